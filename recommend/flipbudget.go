package recommend

import (
	"math"
	"slices"
)

// budgetFlip follows the budget up and down over the prices until the answer
// changes. Bulbs without a price in the budget's currency take no part: a
// budget would first ask for their price.
func (d *decision) budgetFlip(pick *Pick, b *ballot) *Flip {
	all, stated := b, d.need.Budget != nil
	limit, currency := math.Inf(1), ""
	if stated {
		limit, currency = d.need.Budget.Amount, string(d.need.Budget.Currency)
		open := d.need
		open.Budget = nil
		wide, err := decide(d.know, d.catalog, open, Options{memory: d.memory}, false)
		if err != nil {
			return nil
		}
		for i := range wide.Ranked {
			wide.Ranked[i].Price = PriceOf(wide.Ranked[i].judged.bulb, perWord(d.need))
		}
		all, _ = d.ballotOf(&wide)
		all.allowed = b.allowed
	}
	var prices []float64
	for i := range all.ranked {
		if price := all.ranked[i].Price; price != nil {
			if currency == "" && !stated {
				currency = price.Currency
			}
			if currency == "" || price.Currency == currency {
				prices = append(prices, price.Amount)
			}
		}
	}
	slices.Sort(prices)
	prices = slices.Compact(prices)
	namedAt := func(most float64) string {
		other := *all
		other.allowed = func(r *Ranked) bool {
			return all.allowed(r) && r.Price != nil && (currency == "" || r.Price.Currency == currency) && r.Price.Amount <= most
		}
		id, _ := other.named()
		return id
	}
	base, _ := b.named()
	if namedAt(limit) != base {
		return nil // the bulb named has no price that a budget could be held against
	}
	var up, down *Flip
	for _, p := range prices {
		if p > limit && up == nil {
			if id := namedAt(p); id != base {
				up = &Flip{To: p, Winner: id}
			}
		}
	}
	for _, p := range slices.Backward(prices) {
		if p <= limit && down == nil {
			if id := namedAt(math.Nextafter(p, 0)); id != base {
				down = &Flip{To: p, Winner: id}
			}
		}
	}
	best, far := up, up == nil
	if down != nil && (far || limit-down.To < up.To-limit) {
		best = down
	}
	if best == nil {
		return nil
	}
	best.What, best.Of, best.Unit = FlipBudget, FlipBudget, Word(cmpOr(currency, currencyAt(all.ranked, best.To)))
	if stated {
		best.From = &limit
	}
	text := moneyText(best.To, string(best.Unit), perWord(d.need))
	if best == down {
		best.Text = "With a budget below " + text + ", the answer would be: " + all.wouldBe(best.Winner) + "."
	} else {
		best.Text = "With " + text + " or more, the answer would be: " + all.wouldBe(best.Winner) + "."
	}
	return best
}

// currencyAt is the currency of the prices that are this amount, where a budget was
// given without one; empty if they differ.
func currencyAt(ranked []Ranked, amount float64) string {
	found := ""
	for _, r := range ranked {
		switch {
		case r.Price == nil || r.Price.Amount != amount:
		case found != "" && found != r.Price.Currency:
			return ""
		default:
			found = r.Price.Currency
		}
	}
	return found
}
