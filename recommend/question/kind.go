package question

import "math"

// The kind of a question is told by two judges: the phrases of the words, which know what they were given, and a
// linear model of words, pairs of words and parts of words, which was trained on the labelled questions and also
// knows wordings that no phrase has. kindWeights (zz_kind.go) is made by TestKindWeights.

// kindBuckets is the number of places that features are hashed to: a small table, and words that share a place are
// told apart by their other features.
const kindBuckets = 1 << 13

// kindClasses are the asks in their order, and whether the question is about something else than headlamp bulbs.
const (
	kindOff     = askOther + 1
	kindClasses = kindOff + 1
)

// kindSet is the set of features of one question.
type kindSet struct {
	has  [kindBuckets / 64]uint64
	list []uint16
}

// add puts one feature into the set.
func (k *kindSet) add(h uint64) {
	at := uint16((h ^ h>>29) % kindBuckets)
	if k.has[at/64]&(1<<(at%64)) == 0 {
		k.has[at/64] |= 1 << (at % 64)
		k.list = append(k.list, at)
	}
}

// scale is what one feature counts: a long question has many, and none of them says more for that.
func (k *kindSet) scale() float64 { return 1 / math.Sqrt(float64(len(k.list)+1)) }

func mix(h uint64, text string) uint64 {
	for i := 0; i < len(text); i++ {
		h = (h ^ uint64(text[i])) * mixBy
	}
	return h
}

// kindText collects the features of the words: every word, its beginning, its parts of four letters, and every two
// neighbours; sizes and quantities stand for what they are.
func (r *reading) kindText() *kindSet {
	k := &kindSet{list: make([]uint16, 0, 256)}
	const open = "^"
	before, asked := open, false
	next := 0 // of the quantities
	for i := 0; i < len(r.toks); i++ {
		t := &r.toks[i]
		for next < len(r.quantities) && r.quantities[next].to <= i {
			next++
		}
		text := t.text
		switch {
		case t.taken:
			for i+1 < len(r.toks) && r.toks[i+1].taken && r.toks[i+1].joint == glued {
				i++
			}
			text = "H#"
		case next < len(r.quantities) && r.quantities[next].from <= i:
			q := &r.quantities[next]
			text, i = "#"+q.unit, q.to-1
		case t.kind == stop:
			asked = asked || t.question
			text = open
			if t.question {
				text = "?"
			}
		case t.kind == comma:
			continue
		}
		k.add(mix(mix(mixFrom, "w"), text))
		k.add(mix(mix(mix(mixFrom, "b"), before), "\x00"+text))
		if t.kind == word && !t.taken && len(text) > 5 && letter(text[0]) {
			k.add(mix(mix(mixFrom, "p"), text[:5]))
			for n := 0; n+4 <= len(text); n++ {
				k.add(mix(mix(mixFrom, "c"), text[n:n+4]))
			}
		}
		before = text
		if t.kind == stop {
			before = open
		}
	}
	if asked {
		k.add(mix(mixFrom, "s?"))
	}
	for s := slot(0); s < slotAsk; s++ {
		for _, m := range r.found[s] {
			k.add(mix(mix(mixFrom, string(rune('A'+s))), m.value))
		}
	}
	if len(r.toks) < 7 {
		k.add(mix(mixFrom, "short"))
	} else if len(r.toks) > 30 {
		k.add(mix(mixFrom, "long"))
	}
	return k
}

// kindSlots adds what was understood to the features.
func (r *reading) kindSlots(k *kindSet) {
	say := func(is bool, name string) {
		if is {
			k.add(mix(mix(mixFrom, "u"), name))
		}
	}
	say(len(r.sizes) > 0, "size")
	say(len(r.sizes) > 1, "sizes")
	say(r.out.Budget != nil, "budget")
	say(len(r.out.Driving) > 0, "driving")
	say(r.out.TripMin != nil || r.out.SpeedKmh != nil, "trip")
	say(r.out.RearClearanceMM != nil, "room")
	say(r.out.Canbus != nil, "canbus")
	say(r.out.Driver != "" || r.out.PlugAndPlay != nil, "driver")
	say(r.out.Where != "", "where")
	say(r.out.CCTK != nil, "colour")
	say(r.housingSaid(), "housing")
	n := min(r.needs(), 4)
	say(true, "needs"+string(rune('0'+n)))
}

// kindScores are the logarithms of how probable each ask is by the model.
func (k *kindSet) kindScores(scores *[kindClasses]float64) {
	var sums [kindClasses]int
	for _, at := range k.list {
		row := kindWeights[int(at)*kindClasses : int(at)*kindClasses+kindClasses]
		for c := range sums {
			sums[c] += int(int8(row[c]))
		}
	}
	scale := k.scale() * kindUnit
	most, total := math.Inf(-1), 0.0
	for c := range sums {
		scores[c] = float64(sums[c]) * scale
		if c < kindOff {
			most = max(most, scores[c])
		}
	}
	for c := range kindOff {
		total += math.Exp(scores[c] - most)
	}
	for c := range kindOff {
		scores[c] -= most + math.Log(total)
	}
}

// kindOff is how probable it is by the words alone that a question is about something else.
func (r *reading) kindOff() float64 {
	k := r.kindText()
	var scores [kindClasses]float64
	k.kindScores(&scores)
	return 1 / (1 + math.Exp(-scores[kindOff]))
}
