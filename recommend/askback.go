package recommend

import (
	"cmp"
	"slices"

	"stillbright/data"
)

// mostAskBack is how many things a reply asks back: nobody answers a form.
const mostAskBack = 2

// Slots that no decision of pick turns on, but a reply may.
const (
	slotSize  = "size"
	slotWhere = "where"
)

// askQuestions is what to ask for each slot.
var askQuestions = map[string]string{
	slotSize:             "Which bulb size? It is printed on the base of the old bulb, in the owner's handbook, and on many US lenses.",
	slotWhere:            "Which country or state is the car registered in?",
	string(SlotHousing):  "Is the lamp a projector (a glass ball behind the lens) or a reflector (a mirrored bowl)?",
	string(SlotDriving):  "Where do you mostly drive in the dark: town, motorway, unlit roads, rain, snow?",
	string(SlotRear):     "How much room is behind the bulb, from its flange to the inside of the closed cap?",
	string(SlotFront):    "How much room is in front of the flange, to the nearest shield or lens?",
	string(SlotCanbus):   "Does the car warn when a bulb is out?",
	string(SlotPolarity): "Does the plug have plus on the usual contact? A meter at the plug tells.",
	string(SlotDriver):   "May a driver box sit outside the lamp, or must all be inside?",
	string(SlotClimate):  "Are summers very hot or winters very cold where you drive?",
	string(SlotTrip):     "How long is the usual drive, one way?",
	string(SlotVolts):    "What does a meter read at the lamp plug, engine running, lamps lit?",
	string(SlotBudget):   "What is the most you would pay for a pair?",
	string(SlotPlugPlay): "Must it go in without cutting or adding anything?",
}

// decisionAsks are the asks whose answer is a bulb.
var decisionAsks = []string{"pick", "fit", "compare"}

// slotsFor lists the slots that matter for what is asked first, in their fixed
// order: somebody whose lamps flicker is not asked for a budget.
func slotsFor(ask string) []string {
	switch ask {
	case "pick", "fit", "compare":
		slots := []string{slotSize}
		for _, slot := range Slots() {
			slots = append(slots, string(slot))
		}
		return append(slots, slotWhere)
	case "flicker":
		return []string{slotSize, string(SlotCanbus), string(SlotPolarity)}
	case "size":
		return []string{slotSize}
	case "law", "aim":
		return []string{slotWhere}
	}
	return nil
}

// missing lists the slots that matter and that nobody filled.
func missing(reply *Reply, all []wanted, where Word) []string {
	open := []string{}
	for _, slot := range slotsFor(reply.Asks[0]) {
		switch slot {
		case slotSize:
			if len(all) == 0 && !slices.ContainsFunc(reply.Understood.Lamps, func(l UnderstoodLamp) bool { return l.Size != "" }) {
				open = append(open, slot)
			}
		case slotWhere:
			if where == "" && !slices.ContainsFunc(reply.Facts, isAimRule) {
				open = append(open, slot)
			}
		case string(SlotPlugPlay): // a wish, not a fact that is missing
		default:
			if slices.ContainsFunc(all, func(w wanted) bool { return w.need.open(Slot(slot)) }) || len(all) == 0 && unsaid(reply, Slot(slot)) {
				open = append(open, slot)
			}
		}
	}
	return open
}

// unsaid says whether a slot is open in a question without a size.
func unsaid(reply *Reply, slot Slot) bool { return halfNeed(reply.Understood).open(slot) }

// halfNeed is the need of a question without a size, as far as it was said.
func halfNeed(u Understood) Need {
	n := Need{Driving: u.Driving, RearClearanceMM: u.RearClearanceMM, Canbus: u.Canbus, Driver: u.Driver, Climate: u.Climate,
		SpeedKmh: u.SpeedKmh, CCTK: u.CCTK, PlugAndPlay: u.PlugAndPlay != nil && *u.PlugAndPlay}
	for _, lamp := range u.Lamps {
		n.Housing = lamp.Housing
	}
	if u.TripMin != nil {
		n.TripMin = *u.TripMin
	}
	if u.Budget != nil && u.Budget.Amount > 0 {
		n.Budget = &Budget{u.Budget.Amount, u.Budget.Currency, string(u.Budget.Per)}
	}
	return n
}

// askBack chooses what to ask: the missing slots whose answer could change the
// reply most. A place changes the law line, a size everything, the rest the pick.
func (r *Replier) askBack(reply *Reply, all []wanted) []AskBack {
	found := []AskBack{}
	for _, slot := range reply.Missing {
		worth := 0.0
		switch slot {
		case slotSize:
			worth = wholeScore
		case slotWhere:
			if !slices.Contains(decisionAsks, reply.Asks[0]) { // the pick is the same everywhere
				worth = wholeScore * r.worthOfPlace(reply)
			}
		default:
			worth = r.worthOf(reply, all, Slot(slot))
		}
		if worth > 0 {
			found = append(found, AskBack{slot, askQuestions[slot], worth})
		}
	}
	slices.SortStableFunc(found, func(a, b AskBack) int { return -cmp.Compare(a.Worth, b.Worth) })
	return found[:min(mostAskBack, len(found))]
}

// wholeScore is what an answer is worth without which nothing can be decided.
const wholeScore = 100

// worthOf is the most that the answer to a slot is worth for one of the lamps;
// where no size is known, the mean over the sizes most tested.
func (r *Replier) worthOf(reply *Reply, all []wanted, slot Slot) float64 {
	most := 0.0
	for _, w := range all {
		most = max(most, worthIn(r.questionsOf(w.need, w.car), slot))
	}
	if len(all) > 0 || len(r.sizes) == 0 {
		return most
	}
	sum := 0.0
	for _, size := range r.sizes {
		n := halfNeed(reply.Understood)
		n.Size = size
		sum += worthIn(r.questionsOf(n, ""), slot)
	}
	return sum / float64(len(r.sizes))
}

func worthIn(list []NextQuestion, slot Slot) float64 {
	for _, q := range list {
		if q.Slot == string(slot) {
			return q.Worth
		}
	}
	return 0
}

// questionsOf is Questions, kept for needs that come again.
func (r *Replier) questionsOf(n Need, car string) []NextQuestion {
	key := CommandLine(n, car)
	r.mutex.Lock()
	list, ok := r.questions.get(key)
	r.mutex.Unlock()
	if !ok {
		list = Questions(r.know, r.catalog, n)
		r.mutex.Lock()
		r.questions.put(key, list)
		r.mutex.Unlock()
	}
	return list
}

// worthOfPlace is the share of the places on file whose law or aim says more than
// the answer without a place.
func (r *Replier) worthOfPlace(reply *Reply) float64 {
	beam := data.BeamLow
	if len(reply.Law) > 0 {
		beam = reply.Law[0].Beam
	}
	rows, tell := 0, 0
	for _, row := range r.know.Law {
		if row.Beam != beam {
			continue
		}
		rows++
		if data.Law(r.know.Law, r.know.Places, nil, row.Place, beam).Verdict != data.VerdictUnclear {
			tell++
		}
	}
	if rows == 0 {
		return 0
	}
	return float64(tell) / float64(rows)
}

// sizesMostTested are up to three sizes with the most LED bulbs in the catalog.
func sizesMostTested(c *data.Catalog) []string {
	count := map[string]int{}
	for _, bulb := range c.Bulbs {
		if bulb.Kind == data.KindLED {
			count[bulb.Size]++
		}
	}
	var sizes []string
	for size := range count {
		sizes = append(sizes, size)
	}
	slices.SortFunc(sizes, func(a, b string) int { return cmp.Or(-cmp.Compare(count[a], count[b]), cmp.Compare(a, b)) })
	return sizes[:min(3, len(sizes))]
}
