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
	SlotHousing  Slot = "housing"
	SlotDriving  Slot = "driving"
	SlotRear     Slot = "rear_clearance_mm"
	SlotCanbus   Slot = "canbus"
	SlotPolarity Slot = "polarity"
	SlotDriver   Slot = "driver"
	SlotClimate  Slot = "climate"
	SlotTrip     Slot = "trip_min"
	SlotVolts    Slot = "volts"
	SlotBudget   Slot = "budget"
	SlotPlugPlay Slot = "plug_and_play"
	SlotFront    Slot = "front_clearance_mm"
	priceTooLow       = 0.999 // just under a price: the budget that loses that bulb
	budgetsTried      = 4
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

// supposed is an answer that an owner may give, as a need, and how plausible it
// is beside the others.
type supposed struct {
	need   Need
	chance float64
}

// plausible lists the answers an owner may give to a slot. How plausible each is,
// is judgement: no count of owners is known.
func plausible(c *data.Catalog, n Need, s Slot) []supposed {
	var list []supposed
	with := func(chance float64, change func(*Need)) {
		other := n
		change(&other)
		list = append(list, supposed{other, chance})
	}
	switch s {
	case SlotHousing:
		for _, housing := range []Word{data.Projector, data.Reflector} {
			with(0.5, func(n *Need) { n.Housing = housing })
		}
	case SlotDriving:
		for _, name := range []string{"city", "rural", "highway", "rain", "snow"} {
			with(0.2, func(n *Need) { n.Driving = []string{name} })
		}
	case SlotRear:
		with(0.2, func(n *Need) { n.RearClearanceMM = mm(35) })
		with(0.3, func(n *Need) { n.RearClearanceMM = mm(45) })
		with(0.3, func(n *Need) { n.RearClearanceMM = mm(55) })
		with(0.2, func(n *Need) { n.RearClearanceMM = mm(70) })
	case SlotFront: // few lamps have a shield so near
		with(0.1, func(n *Need) { n.FrontClearanceMM = mm(40) })
		with(0.3, func(n *Need) { n.FrontClearanceMM = mm(50) })
		with(0.6, func(n *Need) { n.FrontClearanceMM = mm(60) })
	case SlotCanbus:
		for _, watches := range []bool{true, false} {
			with(0.5, func(n *Need) { n.Canbus = &watches })
		}
	case SlotPolarity: // nearly every car is wired the same way
		with(0.9, func(n *Need) { n.Polarity = "normal" })
		with(0.1, func(n *Need) { n.Polarity = "reversed" })
	case SlotDriver:
		with(0.4, func(n *Need) { n.Driver = "internal" })
		with(0.6, func(n *Need) { n.Driver = "any" })
	case SlotClimate:
		with(0.3, func(n *Need) { n.Climate = "hot" })
		with(0.4, func(n *Need) { n.Climate = "mild" })
		with(0.3, func(n *Need) { n.Climate = "cold" })
	case SlotTrip:
		with(0.3, func(n *Need) { n.TripMin = 10 })
		with(0.4, func(n *Need) { n.TripMin = 27 })
		with(0.3, func(n *Need) { n.TripMin = 60 })
	case SlotVolts: // a lorry is rare, and its owner says so
		for _, at := range [][2]float64{{12.2, 0.25}, {13.5, 0.72}, {28, 0.03}} {
			with(at[1], func(n *Need) { n.Volts = &at[0] })
		}
	case SlotBudget:
		limits := budgets(c, n)
		with(0.5, func(*Need) {}) // no limit
		for _, amount := range limits {
			with(0.5/float64(len(limits)), func(n *Need) { n.Budget = &Budget{Amount: amount, Per: "pair"} })
		}
	case SlotPlugPlay:
		with(0.7, func(*Need) {}) // work is welcome
		with(0.3, func(n *Need) { n.PlugAndPlay = true })
	}
	return list
}

func mm(length float64) *float64 { return &length }

// budgets are the limits that just lose one price after the other, dearest
// first.
func budgets(c *data.Catalog, n Need) []float64 {
	var list []float64
	for _, bulb := range c.Bulbs {
		if price := priceOf(&bulb, "pair"); price != nil && (bulb.Size == n.Size || slices.Contains(bulb.AlsoFits, n.Size)) {
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
