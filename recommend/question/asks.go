package question

import "sort"

// onTopic says whether the question is about headlamp bulbs at all.
func (r *reading) onTopic() bool {
	if len(r.sizes) > 0 || r.has(slotTopic, "headlamp") || r.has(slotBeam, "low") || r.has(slotBeam, "high") || r.has(slotBeam, "fog") {
		return true
	}
	return !r.has(slotTopic, "off") && r.has(slotTopic, "light")
}

// askFrom is the least weight of a reading that is reported beside the leading one.
const askFrom = 4

// readAsks weighs what is asked. The weights are in the words; what is understood adds its own.
func (r *reading) readAsks() {
	asks := Asks()
	weights := make([]int, len(asks))
	for a := range asks {
		most, more := 0, 0
		for _, m := range r.found[slotAsk+slot(a)] {
			if _, weight := askWeight(m.value); weight > most {
				most = weight
			}
			more++
		}
		weights[a] = most + min(more, 3)
	}
	r.addEvidence(weights)
	order := make([]int, 0, len(asks))
	for a := range asks {
		if weights[a] >= askFrom {
			order = append(order, a)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return weights[order[i]] > weights[order[j]] })
	for _, a := range order {
		r.out.Asks = append(r.out.Asks, asks[a])
	}
	if len(order) == 0 {
		r.out.Asks = []string{"other"}
	}
}

// Places of the asks in Asks.
const (
	askPick = iota
	askFit
	askCompare
	_ // law
	_ // flicker
	_ // aim
	_ // pattern
	askSize
	askOther
)

// addEvidence adds to the weights what the slots say about the ask.
func (r *reading) addEvidence(weights []int) {
	for _, l := range r.out.Lamps {
		if l.Size != "" || l.Housing != "" {
			weights[askPick] += 4
			break
		}
	}
	if r.out.Budget != nil {
		weights[askPick] += 4
	}
	if len(r.out.Driving) > 0 || r.out.TripMin != nil {
		weights[askPick] += 2
	}
	if r.out.Driver != "" || r.out.PlugAndPlay != nil || r.out.Canbus != nil || r.out.CCTK != nil {
		weights[askPick] += 2
	}
	if r.out.RearClearanceMM != nil {
		weights[askFit] += 8
	}
	if r.yesNo() {
		weights[askOther] = max(weights[askOther], 7)
	}
	if r.sizesCompared() {
		weights[askSize] = max(weights[askSize]+8, 18)
	}
	if r.has(slotHousing, "unknown") {
		weights[askCompare] = 0
		weights[askOther] += 12
	}
	if r.unitTwice("K") || r.unitTwice("W") || r.unitTwice("lm") {
		weights[askCompare] += 12
	}
}

// yesNo says whether the question opens like one that is answered yes, no or because.
func (r *reading) yesNo() bool {
	start := true
	for i := range r.toks {
		if start && r.isAny(i, "do", "does", "did", "is", "are", "can", "could", "will", "would", "why", "has", "have", "when", "how") &&
			!r.isAny(i+1, "a", "an", "about") && r.asked(i) {
			return true
		}
		start = r.toks[i].kind == stop || start && (r.toks[i].kind == comma || r.isAny(i, "hi", "hello", "hey", "so", "and", "but", "ok", "question"))
	}
	return false
}

// asked says whether the sentence of token i ends with a question mark.
func (r *reading) asked(i int) bool {
	for ; i < len(r.toks); i++ {
		if r.toks[i].kind == stop {
			return r.toks[i].question
		}
	}
	return false
}

// sizesCompared says whether two sizes, or two names of one size, are held against each other: no beam was named for
// any of them, and no list or alias in brackets explains the second.
func (r *reading) sizesCompared() bool {
	for i := 1; i < len(r.sizes); i++ {
		a, b := r.sizes[i-1], r.sizes[i]
		if r.joined(a.from, a.to) == r.joined(b.from, b.to) || b.from-a.to > 8 {
			continue
		}
		if a.size != b.size && r.between(a.to, b.from, "low", "high", "main", "dip", "dipped", "lows", "highs") {
			continue
		}
		if r.between(a.to, b.from, "same", "in", "into", "instead", "the", "a", "difference", "from", "for", "than", "place", "replace", "gave", "not", "is", "with", "put", "use", "can") {
			return true
		}
		if r.between(0, a.from, "difference", "same", "interchangeable", "swap", "between", "interchange") {
			return true
		}
	}
	return false
}

// unitTwice says whether two different values in the same unit stand in the question.
func (r *reading) unitTwice(unit string) bool {
	var first *quantity
	for i := range r.quantities {
		q := &r.quantities[i]
		if q.unit != unit {
			continue
		}
		if q.ranged || first != nil && first.value != q.value && r.between(first.to, q.from, "or", "vs", "versus", "and", "/", "than") && q.from-first.to < 6 {
			return !q.ranged
		}
		first = q
	}
	return false
}
