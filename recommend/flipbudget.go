package recommend

import (
	"cmp"
	"math"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// budgetFlip follows the budget up and down over the prices until the answer
// changes. Bulbs without a price in the budget's currency take no part: a
// budget would first ask for their price.
func (d *decision) budgetFlip(pick *Pick) *Flip {
	ranked, budget := pick.Ranked, 0.0
	if d.need.Budget != nil {
		budget = d.need.Budget.Amount
		open := d.need
		open.Budget = nil
		all, err := decide(d.know, d.catalog, open, Options{memory: d.memory}, false)
		if err != nil {
			return nil
		}
		ranked = all.Ranked
	}
	priced, offers, currency := d.offers(ranked)
	within := func(most float64) []contender {
		var list []contender
		for i, c := range priced {
			if offers[i].Price <= most {
				list = append(list, c)
			}
		}
		return list
	}
	stock, weights := pick.Stock.Parts.vector(), d.need.Weights.Vector()
	nameAt := func(most float64) (int, []contender) {
		list := within(most)
		return named(list, stock, weights), list
	}
	limit := budget
	if budget == 0 {
		limit = math.Inf(1)
	}
	at, list := nameAt(limit)
	base := idOf(list, at)
	// Without an LED that it buys no bulb is named, so the LEDs count by themselves.
	var leds []sure.Offer
	for i, c := range priced {
		if c.kind == data.KindLED {
			leds = append(leds, offers[i])
		}
	}
	if whole := contenders(pick.Ranked); base != idOf(whole, named(whole, stock, weights)) {
		return nil // the bulb named has no price that a budget could be held against
	}
	var best *Flip
	for _, up := range []bool{false, true} {
		b := budget
		for range 2 * len(offers) {
			to, ok := nextBudget([][]sure.Offer{offers, leds}, b, up)
			if !ok {
				break
			}
			b = to
			if !up {
				b = math.Nextafter(to, 0)
			}
			at, list := nameAt(b)
			if idOf(list, at) == base || b <= 0 {
				continue
			}
			unit := cmp.Or(currency, currencyOf(ranked, to, perWord(d.need)))
			if best == nil || math.Abs(to-budget) < math.Abs(best.To-budget) {
				best = &Flip{What: FlipBudget, Of: FlipBudget, To: to, Unit: Word(unit), Winner: idOf(list, at)}
				if d.need.Budget != nil {
					best.From = &budget
				}
				limit := "From " + moneyText(to, unit, perWord(d.need)) + " up"
				if !up {
					limit = "With less than " + moneyText(to, unit, perWord(d.need))
				}
				best.Text = limit + " " + wouldBe(list, at) + "."
			}
			break
		}
	}
	return best
}

// offers are the bulbs that a budget can be held against, in ranked order, with
// their prices; all in one currency: the budget's, else that of the first.
func (d *decision) offers(ranked []Ranked) (list []contender, offers []sure.Offer, currency string) {
	stated := d.need.Budget != nil
	if stated {
		currency = string(d.need.Budget.Currency)
	}
	for i, c := range contenders(ranked) {
		price := priceOf(ranked[i].judged.bulb, perWord(d.need))
		if price == nil || currency != "" && price.Currency != currency {
			continue
		}
		if currency == "" && !stated {
			currency = price.Currency
		}
		list, offers = append(list, c), append(offers, sure.Offer{Price: price.Amount, Known: true})
	}
	return list, offers, currency
}

// currencyOf is the currency of the prices that are this amount, where a budget
// was given without one; empty if they differ.
func currencyOf(ranked []Ranked, amount float64, per string) string {
	found := ""
	for _, r := range ranked {
		price := priceOf(r.judged.bulb, per)
		switch {
		case price == nil || price.Amount != amount:
		case found != "" && found != price.Currency:
			return ""
		default:
			found = price.Currency
		}
	}
	return found
}

// nextBudget is the nearest budget, up or down, at which the first bulb that it
// buys changes in one of the lists.
func nextBudget(lists [][]sure.Offer, budget float64, up bool) (to float64, ok bool) {
	for _, offers := range lists {
		found, err := sure.FlipBudget(offers, budget)
		if err != nil {
			return 0, false
		}
		for _, f := range found {
			if f.Below != up && (!ok || up && f.To < to || !up && f.To > to) {
				to, ok = f.To, true
			}
		}
	}
	return to, ok
}
