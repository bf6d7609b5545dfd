package recommend

import (
	"slices"

	"stillbright/data"
)

// Slot is one thing an owner can still say.
type Slot string

// The slots whose answer may change a decision, in the order in which they are
// worth asking when nothing else tells them apart.
const (
	SlotHousing   Slot = "housing"
	SlotDriving   Slot = "driving"
	SlotRear      Slot = "rear_clearance_mm"
	SlotCanbus    Slot = "canbus"
	SlotPolarity  Slot = "polarity"
	SlotDriver    Slot = "driver"
	SlotClimate   Slot = "climate"
	SlotTrip      Slot = "trip_min"
	SlotVolts     Slot = "volts"
	SlotBudget    Slot = "budget"
	SlotPlugPlay  Slot = "plug_and_play"
	SlotFront     Slot = "front_clearance_mm"
	priceTooLow        = 0.999 // just under a price: the budget that loses that bulb
	budgetsTried       = 4
)

// Slots lists the slots in their fixed order.
func Slots() []Slot {
	return []Slot{SlotHousing, SlotDriving, SlotRear, SlotCanbus, SlotPolarity, SlotDriver, SlotClimate, SlotTrip, SlotVolts, SlotBudget, SlotPlugPlay, SlotFront}
}

// open says whether the owner left a slot open.
func (n Need) open(s Slot) bool {
	switch s {
	case SlotHousing:
		return n.Housing == ""
	case SlotDriving:
		return len(n.Driving) == 0
	case SlotRear:
		return n.RearClearanceMM == nil
	case SlotFront:
		return n.FrontClearanceMM == nil
	case SlotCanbus:
		return n.Canbus == nil
	case SlotPolarity:
		return n.Polarity == ""
	case SlotDriver:
		return n.Driver == ""
	case SlotClimate:
		return n.Climate == ""
	case SlotTrip:
		return n.TripMin == 0
	case SlotVolts:
		return n.Volts == nil
	case SlotBudget:
		return n.Budget == nil
	case SlotPlugPlay:
		return !n.PlugAndPlay
	}
	return false
}

// plausible lists the answers an owner may give to a slot, as needs.
func plausible(c *data.Catalog, n Need, s Slot) []Need {
	var list []Need
	with := func(change func(*Need)) {
		other := n
		change(&other)
		list = append(list, other)
	}
	switch s {
	case SlotHousing:
		for _, housing := range []Word{data.Projector, data.Reflector} {
			with(func(n *Need) { n.Housing = housing })
		}
	case SlotDriving:
		for _, name := range []string{"city", "rural", "highway", "rain", "snow"} {
			with(func(n *Need) { n.Driving = []string{name} })
		}
	case SlotRear:
		for _, room := range []float64{35, 45, 55, 70} {
			with(func(n *Need) { n.RearClearanceMM = &room })
		}
	case SlotFront:
		for _, room := range []float64{40, 50} {
			with(func(n *Need) { n.FrontClearanceMM = &room })
		}
	case SlotCanbus:
		for _, watches := range []bool{true, false} {
			with(func(n *Need) { n.Canbus = &watches })
		}
	case SlotPolarity:
		for _, wired := range []Word{"normal", "reversed"} {
			with(func(n *Need) { n.Polarity = wired })
		}
	case SlotDriver:
		for _, where := range []Word{"internal", "any"} {
			with(func(n *Need) { n.Driver = where })
		}
	case SlotClimate:
		for _, climate := range []Word{"hot", "cold"} {
			with(func(n *Need) { n.Climate = climate })
		}
	case SlotTrip:
		for _, minutes := range []float64{10, 27, 60} {
			with(func(n *Need) { n.TripMin = minutes })
		}
	case SlotVolts:
		for _, volts := range []float64{12.2, 13.5, 28} {
			with(func(n *Need) { n.Volts = &volts })
		}
	case SlotBudget:
		list = append(list, n) // no limit
		for _, amount := range budgets(c, n) {
			with(func(n *Need) { n.Budget = &Budget{Amount: amount, Per: "pair"} })
		}
	case SlotPlugPlay:
		list = append(list, n) // work is welcome
		with(func(n *Need) { n.PlugAndPlay = true })
	}
	return list
}

// budgets are the limits that just lose one price after the other, dearest
// first.
func budgets(c *data.Catalog, n Need) []float64 {
	var list []float64
	for _, bulb := range c.Bulbs {
		if price := priceOf(bulb, "pair"); price != nil && (bulb.Size == n.Size || slices.Contains(bulb.AlsoFits, n.Size)) {
			list = append(list, priceTooLow*price.Amount)
		}
	}
	slices.Sort(list)
	list = slices.Compact(list)
	slices.Reverse(list)
	return list[:min(budgetsTried, len(list))]
}

// RankedIDs is the order of the ranked bulbs alone, without how sure it is: for
// asking many needs of one catalog.
func RankedIDs(k *Knowledge, c *data.Catalog, n Need) ([]string, error) {
	pick, err := decide(k, c, n, Options{}, false)
	if err != nil {
		return nil, err
	}
	ids := make([]string, len(pick.Ranked))
	for i, r := range pick.Ranked {
		ids[i] = r.Bulb
	}
	return ids, nil
}
