package reply

import (
	"cmp"
	"slices"
	"sync"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/need"
	"stillbright/recommend/question"
)

// mostAskBack is how many things a reply asks back: nobody answers a form.
const mostAskBack = 2

// decisionAsks are the asks whose answer is a bulb.
var decisionAsks = []string{"pick", "fit", "compare"}

// slotsFor lists the slots that matter for what is asked first, in their fixed
// order: somebody whose lamps flicker is not asked for a budget.
func slotsFor(ask string) []need.Slot {
	switch ask {
	case "pick", "fit", "compare":
		var slots []need.Slot
		for _, f := range need.Asked() {
			slots = append(slots, f.Slot)
		}
		return slots
	case "flicker":
		return []need.Slot{need.Size, need.Canbus, need.Polarity}
	case "size":
		return []need.Slot{need.Size}
	case "law", "aim":
		return []need.Slot{need.Where}
	}
	return nil
}

// missing lists the slots that matter and that nobody filled.
func (r *Replier) missing(reply *Reply, all []recommend.Need, where recommend.Word) []need.Slot {
	open := []need.Slot{}
	unsized := len(all) == 0
	if unsized {
		all = []recommend.Need{r.halfNeed(reply.Understood)}
	}
	for _, slot := range slotsFor(reply.Asks[0]) {
		switch slot {
		case need.Size:
			if unsized && !slices.ContainsFunc(reply.Understood.Lamps, func(l question.Lamp) bool { return l.Size != "" }) {
				open = append(open, slot)
			}
		case need.Where:
			if where == "" && !slices.ContainsFunc(reply.Facts, isAimRule) {
				open = append(open, slot)
			}
		case need.PlugPlay: // a wish, not a fact that is missing
		default:
			if slices.ContainsFunc(all, func(n recommend.Need) bool { return n.Open(slot) }) {
				open = append(open, slot)
			}
		}
	}
	return open
}

// halfNeed is the need of a question without a size, as far as it was said.
func (r *Replier) halfNeed(u question.Understood) recommend.Need {
	var n recommend.Need
	need.Hear(&n, u, r.known())
	for _, lamp := range u.Lamps {
		n.Housing = lamp.Housing
	}
	return n
}

// askBack chooses what to ask: the missing slots whose answer could change the
// reply most. A place changes the law line, a size everything, the rest the pick.
func (r *Replier) askBack(reply *Reply, all []recommend.Need) []AskBack {
	found := []AskBack{}
	lists := sync.OnceValue(func() [][]recommend.NextQuestion { return r.worthAsking(reply, all) })
	for _, slot := range reply.Missing {
		worth := 0.0
		switch slot {
		case need.Size:
			worth = wholeScore
		case need.Where:
			if !slices.Contains(decisionAsks, reply.Asks[0]) { // the pick is the same everywhere
				worth = wholeScore * r.worthOfPlace(reply)
			}
		default:
			worth = worthOf(lists(), len(all) > 0, slot)
		}
		if worth > 0 {
			found = append(found, AskBack{slot, need.Of(slot).Ask, worth})
		}
	}
	slices.SortStableFunc(found, func(a, b AskBack) int { return -cmp.Compare(a.Worth, b.Worth) })
	return found[:min(mostAskBack, len(found))]
}

// wholeScore is what an answer is worth without which nothing can be decided.
const wholeScore = 100

// worthAsking are the questions of each lamp; where no size is known, those of the
// sizes most tested.
func (r *Replier) worthAsking(reply *Reply, all []recommend.Need) (lists [][]recommend.NextQuestion) {
	if len(all) == 0 {
		for _, size := range r.sizes {
			n := r.halfNeed(reply.Understood)
			n.Size = size
			all = append(all, n)
		}
	}
	for _, n := range all {
		lists = append(lists, r.questionsOf(n))
	}
	return lists
}

// worthOf is the most that the answer to a slot is worth for one of the lamps; of
// sizes that were only supposed, the mean.
func worthOf(lists [][]recommend.NextQuestion, sized bool, slot need.Slot) float64 {
	most, sum := 0.0, 0.0
	for _, list := range lists {
		worth := worthIn(list, slot)
		most, sum = max(most, worth), sum+worth
	}
	if sized || len(lists) == 0 {
		return most
	}
	return sum / float64(len(lists))
}

func worthIn(list []recommend.NextQuestion, slot need.Slot) float64 {
	for _, q := range list {
		if q.Slot == slot {
			return q.Worth
		}
	}
	return 0
}

// questionsOf is Questions, kept for needs that come again.
func (r *Replier) questionsOf(n recommend.Need) []recommend.NextQuestion {
	key := need.Command(n)
	r.mutex.Lock()
	list, ok := r.questions.get(key)
	r.mutex.Unlock()
	if !ok {
		list = recommend.Questions(r.know, r.catalog, n)
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
