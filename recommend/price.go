package recommend

import (
	"fmt"

	"stillbright/data"
)

// perWord is what prices are shown for: the budget's each or pair, else a pair.
// A budget for all lamps is compared with a pair, since one lamp kind is asked
// for at a time.
func perWord(n Need) string {
	if n.Budget != nil && n.Budget.Per == "each" {
		return "each"
	}
	return "pair"
}

// PriceOf converts a bulb's price to each or pair. A price that does not say
// what it buys is taken for one bulb, which is the dearer reading.
func PriceOf(bulb *data.Bulb, per string) *Price {
	if bulb.Price == nil {
		return nil
	}
	amount := bulb.Price.Amount
	switch {
	case per == "pair" && bulb.Per != "pair":
		amount *= 2
	case per == "each" && bulb.Per == "pair":
		amount /= 2
	}
	return &Price{Amount: amount, Currency: bulb.Price.Currency, Per: per}
}

// Words on a budget.
const (
	affordable   = "affordable"
	tooDear      = "too_dear"
	priceUnknown = "unknown"
)

// afford compares a price with the budget. Currencies are not converted: a
// price in another currency is unknown, not out of budget.
func afford(price *Price, budget *Budget) string {
	switch {
	case budget == nil:
		return affordable
	case price == nil, budget.Currency != "" && price.Currency != string(budget.Currency):
		return priceUnknown
	case price.Amount > budget.Amount:
		return tooDear
	}
	return affordable
}

func dearReason(price *Price, budget *Budget) Reason {
	return Reason{Check: "budget", Why: fmt.Sprintf("costs %s, more than the budget of %s", moneyText(price.Amount, price.Currency, price.Per), moneyText(budget.Amount, string(budget.Currency), budget.Per))}
}

func moneyText(amount float64, currency, per string) string {
	text := fmt.Sprintf("%.2f", amount)
	if amount == float64(int64(amount)) {
		text = fmt.Sprintf("%.0f", amount)
	}
	if currency != "" {
		text += " " + currency
	}
	switch per {
	case "each":
		return text + " each"
	case "pair":
		return text + " a pair"
	case "all":
		return text + " in all"
	}
	return text
}
