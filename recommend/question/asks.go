package question

import "sort"

// onTopic says whether the question is about headlamp bulbs at all.
func (r *reading) onTopic() bool {
	if len(r.sizes) > 0 && len(r.ownSizes(r.sizes)) == 0 {
		return false // "rear tail light H11"
	}
	if len(r.sizes) > 0 || r.has(slotTopic, "headlamp") || r.has(slotBeam, "low") || r.has(slotBeam, "high") || r.has(slotBeam, "fog") {
		return true
	}
	if r.has(slotTopic, "off") {
		return false
	}
	return r.has(slotTopic, "light") || r.kindOff() < offFrom
}

// offFrom is how probable it must be by the model that a question is about something else, to pass it over where no
// phrase tells. Judgement: a stranger's question about something else is answered with nothing, which costs more when
// it was about a headlamp.
const offFrom = 0.15

// askFrom is the least weight of a reading that is reported beside the leading one.
const askFrom = 4

// readAsks weighs what is asked. The weights are in the words; what is understood adds its own.
func (r *reading) readAsks() {
	asks := Asks()
	weights := r.askWeights()
	kinds := r.kindText()
	r.kindSlots(kinds)
	var model [kindClasses]float64
	kinds.kindScores(&model)
	scores := make([]float64, len(asks))
	lead := 0
	for a := range asks {
		scores[a] = float64(weights[a]) + modelWeight*model[a]
		if scores[a] > scores[lead] {
			lead = a
		}
	}
	order := make([]int, 0, len(asks))
	for a := range asks {
		if a == lead || weights[a] >= askFrom {
			order = append(order, a)
		}
	}
	sort.SliceStable(order, func(i, j int) bool { return scores[order[i]] > scores[order[j]] })
	for _, a := range order {
		r.out.Asks = append(r.out.Asks, asks[a])
	}
}

// modelWeight is what a factor e of probability by the model counts against the weights of the phrases; chosen on
// questions left out of the training.
const modelWeight = 10

// askWeights are the weights of the asks by the phrases of the words and by what was understood.
func (r *reading) askWeights() []int {
	asks := Asks()
	weights := make([]int, len(asks))
	for a := range asks {
		most, more := 0, 0
		for _, m := range r.found[slotAsk+slot(a)] {
			if a == askFlicker && r.negated(m.from, 3) { // "no flicker please" is a wish
				continue
			}
			if _, weight := askWeight(m.value); weight > most {
				most = weight
			}
			more++
		}
		if most >= 5 {
			most += min(more, 3)
		}
		weights[a] = most
	}
	r.addEvidence(weights)
	return weights
}

// explicit is the weight from which a phrase asks outright.
const explicit = 12

// Places of the asks in Asks.
const (
	askPick = iota
	askFit
	askCompare
	askLaw
	askFlicker
	_ // aim
	_ // pattern
	askSize
	askOther
)

// addEvidence adds to the weights what the slots say about the ask.
func (r *reading) addEvidence(weights []int) {
	pick := 0
	for _, l := range r.out.Lamps {
		if l.Size != "" || l.Housing != "" {
			pick = 4
			break
		}
	}
	if r.out.Budget != nil {
		pick += 6
	}
	if len(r.out.Driving) > 0 || r.out.TripMin != nil {
		pick += 2
	}
	if r.out.Driver != "" || r.out.PlugAndPlay != nil || r.out.Canbus != nil || r.out.CCTK != nil {
		pick += 2
	}
	if weights[askPick] >= explicit {
		pick /= 2
	} else if (r.anyQuestion() || r.yesNo()) && r.out.Where != "" && r.out.Budget == nil && r.out.TripMin == nil && len(r.out.Driving) == 0 {
		weights[askLaw] += 8
		if r.isAny(0, "can", "may", "could") && r.isAny(1, "i", "you", "we") { // "can I fit LED H4 in NSW"
			weights[askLaw] += 9
		}
	}
	if r.needs() >= 2 {
		pick += 6
	}
	weights[askPick] += pick
	if r.has(slotCanbus, "warns") && r.out.Canbus != nil && *r.out.Canbus && r.needs() == 1 && weights[askPick] < explicit {
		weights[askFlicker] += 7
	}
	if r.out.RearClearanceMM != nil {
		weights[askFit] += 8
		if len(r.sizes) == 1 { // "from socket to firewall" measures
			weights[askSize] -= 8
		}
	}
	if (r.out.Driver != "" || r.out.PlugAndPlay != nil) && r.out.RearClearanceMM == nil {
		weights[askFit] -= 5
	}
	if r.out.Canbus == nil && r.has(slotCanbus, "topic") || r.out.PlugAndPlay == nil && r.has(slotPlug, "topic") {
		weights[askFit] += explicit
	}
	if r.has(slotDriver, "topic") {
		weights[askCompare] += explicit
	}
	if r.yesNo() {
		weights[askOther] = max(weights[askOther], 7)
	}
	if r.sizesCompared() || r.sizeOrSize() && weights[askCompare] < 8 {
		weights[askSize] = max(weights[askSize]+8, 18)
	}
	if r.has(slotHousing, "unknown") {
		weights[askCompare] = 0
	}
	if r.unitTwice("K") || r.unitTwice("W") || r.unitTwice("lm") || r.out.Budget == nil && r.unitTwice("money") {
		weights[askCompare] += 12
	}
}

// housingSaid says whether any lamp has its housing.
func (r *reading) housingSaid() bool {
	for _, l := range r.out.Lamps {
		if l.Housing != "" {
			return true
		}
	}
	return false
}

// anyQuestion says whether a question mark stands anywhere.
func (r *reading) anyQuestion() bool {
	for i := range r.toks {
		if r.toks[i].question {
			return true
		}
	}
	return false
}

// sizeOrSize says whether two sizes stand as a choice: "H11 or H8?", "HB2 = 9003?"
func (r *reading) sizeOrSize() bool {
	for i := 1; i < len(r.sizes); i++ {
		a, b := r.sizes[i-1], r.sizes[i]
		if r.joined(a.from, a.to) != r.joined(b.from, b.to) && b.from-a.to == 1 && r.isAny(a.to, "or", "=") && (r.asked(a.from) || a.size == b.size) {
			return true
		}
	}
	return false
}

// needs counts what the asker says of the need beyond the lamp: someone who tells much wants a bulb.
func (r *reading) needs() int {
	n := 0
	for _, said := range []bool{
		r.out.Budget != nil, len(r.out.Driving) > 0, r.out.TripMin != nil, r.out.Canbus != nil, r.out.Driver != "",
		r.housingSaid(), r.out.PlugAndPlay != nil, r.out.CCTK != nil, r.out.Climate != "", r.out.SpeedKmh != nil,
	} {
		if said {
			n++
		}
	}
	return n
}

// yesNo says whether the question opens like one that is answered yes, no or because.
func (r *reading) yesNo() bool {
	start := true
	for i := range r.toks {
		if start && r.isAny(i, "do", "does", "did", "is", "are", "can", "could", "will", "would", "why", "has", "have", "when", "how") &&
			!r.isAny(i+1, "a", "an", "about", "bus") && (r.asked(i) || i == 0 && !r.isAny(i, "has", "have", "when")) {
			return true
		}
		if start && r.isAny(i, "what", "whats", "which", "where") && r.asked(i) && r.near(slotTopic, "light", i, i+1, 3) == nil {
			return true
		}
		start = r.toks[i].kind == stop || r.toks[i].kind == comma || start && (r.isAny(i, "hi", "hello", "hey", "so", "and", "but", "ok", "question"))
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
		if a.size != b.size && (r.beamWithin(a.to, b.from) || r.between(a.to, b.from, "low", "high", "main", "dip", "dipped", "lows", "highs")) {
			continue
		}
		if a.size == b.size && a.to == b.from && r.yesNo() { // "is 9003 H4"
			return true
		}
		if r.between(a.to, b.from, "same", "in", "into", "instead", "the", "a", "difference", "from", "for", "than", "place", "replace", "gave", "says", "said", "sold", "not", "is", "just", "with", "put", "use", "can") {
			return true
		}
		if r.between(b.to, b.to+4, "same", "identical", "interchangeable", "interchange") {
			return true
		}
		if r.between(0, a.from, "difference", "same", "interchangeable", "swap", "between", "interchange") {
			return true
		}
	}
	return false
}

// beamWithin says whether a beam is named among tokens from..to.
func (r *reading) beamWithin(from, to int) bool {
	i := r.firstAfter(slotBeam, from)
	return i < len(r.found[slotBeam]) && r.found[slotBeam][i].to <= to && r.found[slotBeam][i].from >= from && r.found[slotBeam][i].value != "none"
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
