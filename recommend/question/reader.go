package question

import (
	"fmt"

	"stillbright/data"
)

// Reader reads questions. It does not change after New and may be used by several goroutines.
type Reader struct {
	words *lexicon
	cars  []carWords
}

// New makes a reader from the words and the cars of the user's garage. Words that Check would name are left out.
func New(words data.Words, cars []CarName) *Reader {
	l, _ := build(words)
	return &Reader{words: l, cars: prepareCars(cars)}
}

// reading is the state of one question.
type reading struct {
	words      *lexicon
	cars       []carWords
	text       string
	toks       []token
	found      [slots][]match
	quantities []quantity
	sizes      []sized
	scopes     []bool // see foreign
	vague      bool   // the budget names a currency that several countries have
	out        Understood
}

// Read takes from a question what it states. It reads at most MaxBytes, in time linear in them, and never fails:
// a text that says nothing known gives empty slots and asks "other".
func (r *Reader) Read(text string) Understood {
	q := r.start(text)
	if !q.onTopic() {
		q.out.Asks = []string{"other"}
		return q.out
	}
	q.readSlots()
	q.readAsks()
	return q.out
}

// OtherThing says whether a text names a light or a part that is no headlamp.
func (r *Reader) OtherThing(text string) bool { return r.start(text).has(slotTopic, "off") }

// start finds the phrases, sizes and quantities of a question.
func (r *Reader) start(text string) *reading {
	f := fold(text)
	q := &reading{words: r.words, cars: r.cars, text: text}
	q.out = Understood{Lamps: []Lamp{}, Driving: []string{}, Spans: map[string][]Span{}, Sure: map[string]float64{}, Truncated: f.cut}
	q.toks = split(f)
	q.words.identify(q.toks)
	q.readSizes()
	q.spokenSizes()
	q.words.find(q.toks, &q.found)
	q.readLooseSizes()
	q.readQuantities()
	return q
}

// readSlots reads everything but what is asked.
func (q *reading) readSlots() {
	q.readLamps()
	q.readDriving()
	q.readClearance()
	q.readBudget()
	q.readTripAndSpeed()
	q.readColour()
	q.readCanbus()
	q.readDriver()
	q.readPlug()
	q.readPlace()
	q.placeCurrency()
	q.readClimate()
	q.readCar()
	q.trustPhrases()
}

// keep records that a slot came from tokens from (inclusive) to (exclusive).
func (r *reading) keep(slot string, from, to int) {
	if from >= to || to > len(r.toks) {
		return
	}
	start, end := int(r.toks[from].from), int(r.toks[to-1].to)
	r.out.Spans[slot] = append(r.out.Spans[slot], Span{start, end, r.text[start:end]})
}

// keepItem records an item of a list slot.
func (r *reading) keepItem(slot string, item, from, to int) {
	r.keep(fmt.Sprintf("%s[%d]", slot, item), from, to)
}

// negated says whether token i stands under a "not" or "no" of its own clause, at most reach tokens before.
func (r *reading) negated(i, reach int) bool {
	for k := i - 1; k >= 0 && k >= i-reach; k-- {
		if r.toks[k].clause != r.toks[i].clause {
			return false
		}
		if m := r.endsAt(slotNegation, k); m != nil {
			return m.value == "not" || m.value == "rare"
		}
	}
	return false
}

// firstAfter is the place of the first phrase of a slot that ends after token i. Phrases of one slot never overlap.
func (r *reading) firstAfter(s slot, i int) int {
	found := r.found[s]
	low, high := 0, len(found)
	for low < high {
		middle := (low + high) / 2
		if found[middle].to > i {
			high = middle
		} else {
			low = middle + 1
		}
	}
	return low
}

// at gives the phrase of a slot that begins at token i.
func (r *reading) at(s slot, i int) *match {
	if m := r.covers(s, i); m != nil && m.from == i {
		return m
	}
	return nil
}

// covers gives the phrase of the slot that covers token i.
func (r *reading) covers(s slot, i int) *match {
	if k := r.firstAfter(s, i); k < len(r.found[s]) && r.found[s][k].from <= i {
		return &r.found[s][k]
	}
	return nil
}

// endsAt gives the phrase of a slot whose last token is k.
func (r *reading) endsAt(s slot, k int) *match {
	if m := r.covers(s, k); m != nil && m.to == k+1 {
		return m
	}
	return nil
}

// near gives the phrase of a slot with this value nearest to the tokens from..to, at most reach tokens away and in
// the same sentence; nil if there is none.
func (r *reading) near(s slot, value string, from, to, reach int) *match {
	var best *match
	least := reach + 1
	for i := r.firstAfter(s, from-reach-1); i < len(r.found[s]); i++ {
		m := &r.found[s][i]
		if m.from > to+reach {
			break
		}
		if m.value != value {
			continue
		}
		gap := 0
		if m.to <= from {
			gap = from - m.to
		} else if m.from >= to {
			gap = m.from - to
		}
		if gap < least && r.toks[m.from].sentence == r.toks[from].sentence {
			best, least = m, gap
		}
	}
	return best
}

// leads says whether the slot has a phrase with this value at most reach tokens before token i, in the same clause.
func (r *reading) leads(s slot, value string, i, reach int) bool {
	for k := range r.found[s] {
		m := &r.found[s][k]
		if m.value == value && m.to <= i && i-m.to <= reach && r.toks[m.from].clause == r.toks[i].clause {
			return true
		}
	}
	return false
}

// has says whether the slot has a phrase with this value anywhere.
func (r *reading) has(s slot, value string) bool {
	for i := range r.found[s] {
		if r.found[s][i].value == value {
			return true
		}
	}
	return false
}

// general says whether token at stands in a question about anybody's car: "does cold weather hurt LED bulbs?"
func (r *reading) general(at int) bool {
	sentence := r.toks[at].sentence
	first, asked := -1, false
	for i := range r.toks {
		t := &r.toks[i]
		if t.sentence != sentence {
			continue
		}
		if first < 0 && t.kind == word {
			first = i
		}
		asked = asked || t.question
		if r.isAny(i, "here", "my", "our", "we", "im", "ive", "us", "mine", "me", "where", "live", "want", "wants") ||
			r.is(i, "i") && !r.is(i+1, "need") && !r.is(i+1, "have") {
			return false
		}
	}
	if first < 0 || r.toks[first].clause != r.toks[at].clause || r.is(first+1, "bus") {
		return false
	}
	aux := r.isAny(first, "do", "does", "did", "will", "is", "are", "can", "would")
	return (aux || asked && r.isAny(first, "how", "why")) &&
		!r.isAny(first+1, "there", "you", "anyone", "anybody", "any")
}

// plain makes a pointer to a value.
func plain[T any](v T) *T { return &v }
