package recommend

import (
	"slices"

	"stillbright/data"
	"stillbright/recommend/need"
)

const (
	priceTooLow  = 0.999 // just under a price: the budget that loses that bulb
	budgetsTried = 4
)

// supposed is an answer that an owner may give, as a need, and how plausible it
// is beside the others.
type supposed struct {
	need   Need
	chance float64
}

// plausible lists the answers an owner may give to an open fact; none for one
// whose answer no decision turns on.
func plausible(c *data.Catalog, n Need, f *need.Fact) []supposed {
	if f.Slot == need.Money {
		list := []supposed{{n, 0.5}} // no limit
		limits := budgets(c, n)
		for _, amount := range limits {
			other := n
			other.Budget = &Budget{Amount: amount, Per: "pair"}
			list = append(list, supposed{other, 0.5 / float64(len(limits))})
		}
		return list
	}
	var list []supposed
	for _, answer := range f.Likely {
		list = append(list, supposed{f.Suppose(n, answer.Text), answer.Chance})
	}
	return list
}

// budgets are the limits that just lose one price after the other, dearest
// first.
func budgets(c *data.Catalog, n Need) []float64 {
	var list []float64
	for _, bulb := range c.Bulbs {
		if price := PriceOf(&bulb, "pair"); price != nil && (bulb.Size == n.Size || slices.Contains(bulb.AlsoFits, n.Size)) {
			list = append(list, priceTooLow*price.Amount)
		}
	}
	slices.Sort(list)
	list = slices.Compact(list)
	slices.Reverse(list)
	return list[:min(budgetsTried, len(list))]
}
