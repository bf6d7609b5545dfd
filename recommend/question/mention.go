package question

import (
	"math"
	"strings"
)

// The words of the lexicon and the readers of the slots propose what a number or a phrase of a question means. A
// second judge doubts it: one logistic regression for each kind of mention, over the words around it, trained on the
// labelled questions (mentionWeights in zz_mention.go, made by TestMentionWeights). It has not seen which rule
// spoke, so that the two err apart.

// mentionKind is what a mention would say.
type mentionKind int

const (
	mentionTrip mentionKind = iota
	mentionSpeed
	mentionBudget
	mentionRoom
	mentionColour
	mentionKinds
)

// mentionBuckets is the number of places that features are hashed to, for each kind.
const mentionBuckets = 1 << 13

// A mention is told by this many tokens beside it by their place, and by twice as many by their side only.
const (
	mentionNear = 4
	mentionFar  = 10
)

// mentionSet is the set of features of one mention.
type mentionSet struct {
	has  [mentionBuckets / 64]uint64
	list []uint16
}

func (s *mentionSet) add(h uint64) {
	h ^= h >> 29
	at := uint16((h ^ h>>13) % mentionBuckets)
	if s.has[at/64]&(1<<(at%64)) == 0 {
		s.has[at/64] |= 1 << (at % 64)
		s.list = append(s.list, at)
	}
}

// plainText is the text of token i as a feature: a size and a number stand for what they are, and a word that no
// phrase has, for any such word, so that a slip in a word that does not matter changes nothing.
func (r *reading) plainText(i int) string {
	t := &r.toks[i]
	switch {
	case t.taken:
		return "H#"
	case t.kind == number:
		return "#"
	case t.kind == comma:
		return ","
	case t.kind == word && r.words.words[t.text] == 0 && t.stem[0] == 0:
		return "_"
	}
	return t.text
}

// mentionFeatures collects what stands around the tokens from..to in their sentence; own names the value.
func (r *reading) mentionFeatures(from, to int, own string) *mentionSet {
	s := &mentionSet{list: make([]uint16, 0, 96)}
	s.add(mix(mix(mixFrom, "o"), own))
	one := func(mark byte, text string) { s.add(mix((mixFrom^uint64(mark))*mixBy, text)) }
	for i := from; i < to; i++ {
		one('t', r.plainText(i))
	}
	first, last := r.mentionSide(s, 'A', from-1, -1), r.mentionSide(s, 'a', to, 1)
	for k := slot(0); k < slotAsk; k++ {
		for n := r.firstAfter(k, first+1); n < len(r.found[k]); n++ {
			m := &r.found[k][n]
			if m.from >= last {
				break
			}
			where := byte('0')
			switch {
			case m.to <= from-3:
				where = '1'
			case m.to <= from:
				where = '2'
			case m.from >= to+2:
				where = '4'
			case m.from >= to:
				where = '3'
			}
			s.add(mix((mixFrom^uint64(k)<<8^uint64(where))*mixBy, m.value))
		}
	}
	if r.foreign()[from] {
		one('z', "foreign")
	}
	if r.negated(from, 3) {
		one('z', "not")
	}
	if last < len(r.toks) && r.toks[last].question {
		one('z', "asked")
	}
	for i := first; i < last; i++ {
		if r.isAny(i, "i", "my", "im", "ive", "we", "our", "mine", "id") {
			one('z', "mine")
			break
		}
	}
	return s
}

// mentionSide adds the words on one side of a mention, from token i on, as far as its sentence goes, and gives the
// place of the last one looked at. Greetings count for nothing.
func (r *reading) mentionSide(s *mentionSet, mark byte, i, step int) int {
	one := func(mark byte, text string) { s.add(mix((mixFrom^uint64(mark))*mixBy, text)) }
	before, d := "", 0
	for ; d < mentionFar; i += step {
		if i < 0 || i >= len(r.toks) || r.toks[i].kind == stop {
			if d < mentionNear {
				one(mark+byte(d), "^")
			}
			break
		}
		if r.isAny(i, "hello", "hi", "hey", "thanks", "cheers", "please", "pls", "ta") {
			if d++; d > mentionFar {
				break
			}
			continue
		}
		text := r.plainText(i)
		if d < mentionNear {
			one(mark+byte(d), text)
			if d > 0 {
				one(mark+'\x10', before+" "+text)
			}
			before = text
		}
		if text != "_" {
			one(mark+'\x20', text)
		}
		d++
	}
	return i
}

// believed is how probable it is by the model that the tokens of a quantity state what the kind says.
func (r *reading) believed(k mentionKind, q *quantity) float64 {
	s := r.mentionFeatures(q.from, q.to, "u"+q.unit)
	row := mentionWeights[int(k)*mentionBuckets : (int(k)+1)*mentionBuckets]
	sum := 0
	for _, at := range s.list {
		sum += int(int8(row[at]))
	}
	return 1 / (1 + math.Exp(-float64(sum)*mentionUnit/math.Sqrt(float64(len(s.list)+1))))
}

// How the two judges are weighed: what the rules chose stays where the model gives it at least keepFrom; another one
// is taken where the model gives it at least takeFrom and more than the rules' choice. Chosen on questions left out
// of the training, see the README of the sets.
var (
	keepFrom = [mentionKinds]float64{0.4, 0.4, 0.4, 0.4, 0.4}
	takeFrom = [mentionKinds]float64{0.7, 0.7, 0.7, 0.7, 0.7}
)

// likeliest gives the quantity of a slot by both judges: chosen is what the rules took, nil for none. It notes how
// sure the choice is.
func (r *reading) likeliest(k mentionKind, chosen *quantity, can func(*quantity) bool) *quantity {
	best, most := chosen, 0.0
	if chosen != nil {
		if most = r.believed(k, chosen); most < keepFrom[k] {
			best, most = nil, 0
		}
	}
	for i := range r.quantities {
		q := &r.quantities[i]
		if q == chosen || !can(q) {
			continue
		}
		if p := r.believed(k, q); p >= takeFrom[k] && p > most {
			best, most = q, p
		}
	}
	if best != nil {
		r.sure(k, most)
	}
	return best
}

// sure notes how sure the reading of a slot is: the least of what it was made from.
func (r *reading) sure(k mentionKind, p float64) {
	slot := mentionSlots[k]
	if before, ok := r.out.Sure[slot]; !ok || p < before {
		r.out.Sure[slot] = p
	}
}

// mentionSlots are the slots that the kinds fill.
var mentionSlots = [mentionKinds]string{"trip_min", "speed_kmh", "budget", "rear_clearance_mm", "cct_k"}

// phraseTrust is how often the slots that are read from phrases were right where they were filled, on the first runs
// of the sets that nothing had been mended with (more-aside, unseen, fresh).
var phraseTrust = [...]struct {
	slot  string
	share float64
}{
	{"lamps", 0.92}, {"driving", 0.93}, {"canbus", 0.92}, {"driver", 0.78}, {"plug_and_play", 0.67}, {"climate", 0.9}, {"where", 0.91},
}

// trustPhrases notes how sure the slots are that no quantity fills, and drops what was noted of slots left empty.
func (r *reading) trustPhrases() {
	filled := map[string]bool{}
	for name := range r.out.Spans {
		slot, _, _ := strings.Cut(name, "[")
		filled[slot] = true
	}
	for _, t := range phraseTrust {
		if filled[t.slot] {
			r.out.Sure[t.slot] = t.share
		}
	}
	for slot := range r.out.Sure {
		if !filled[slot] {
			delete(r.out.Sure, slot)
		}
	}
}
