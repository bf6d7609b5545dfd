package question

// node is one place in the graph of all phrases.
type node struct {
	next   []edge
	number []*node // after '#'
	gap    []*node // after '...'
	tags   []tag
}

// edge is a word and the node after it.
type edge struct {
	word int32
	to   *node
}

// tag is what a phrase means: a value of a slot.
type tag struct {
	slot  slot
	value string
}

// match is a phrase found in a question: tokens from (inclusive) to (exclusive).
type match struct {
	value    string
	from, to int
}

// gapMost is how many tokens `...` may stand for.
const gapMost = 3

// identify looks up the words of a question.
func (l *lexicon) identify(toks []token) {
	for i := range toks {
		t := &toks[i]
		if t.kind == comma || t.kind == stop {
			continue
		}
		t.word = l.words[t.text]
		if t.kind != word {
			continue
		}
		if t.word == 0 {
			t.word = l.mend(t.text)
		}
		if t.word == 0 {
			t.word = l.bySound(t.text)
		}
		n := 0
		for length := min(len(t.text), l.longest); length >= l.shortest && n < len(t.stem); length-- {
			if id, ok := l.stems[t.text[:length]]; ok {
				t.stem[n] = id
				n++
			}
		}
	}
}

// finder is the state of one search for phrases.
type finder struct {
	toks    []token
	best    [slots]match
	touched bool
	start   int
}

// find gives every phrase in the question by slot: leftmost first, longest of those that start together.
func (l *lexicon) find(toks []token, found *[slots][]match) {
	f := finder{toks: toks}
	var free [slots]int
	for i := range toks {
		t := &toks[i]
		if t.kind == comma || t.kind == stop {
			continue
		}
		f.start, f.touched = i, false
		if t.word != 0 {
			f.all(l.first[t.word], i+1)
		}
		for _, id := range t.stem {
			if id == 0 {
				break
			}
			f.all(l.first[id], i+1)
		}
		if t.kind == number {
			f.all(l.root.number, i+1)
		}
		if !f.touched {
			continue
		}
		for s := range f.best {
			if m := f.best[s]; m.to > 0 {
				if i >= free[s] {
					found[s] = append(found[s], m)
					free[s] = m.to
				}
				f.best[s] = match{}
			}
		}
	}
}

func (f *finder) all(nodes []*node, i int) {
	for _, n := range nodes {
		f.walk(n, i)
	}
}

// walk follows the graph from token i.
func (f *finder) walk(n *node, i int) {
	for _, t := range n.tags {
		if i > f.best[t.slot].to {
			f.best[t.slot] = match{t.value, f.start, i}
			f.touched = true
		}
	}
	if i >= len(f.toks) {
		return
	}
	for skip := 0; n.gap != nil && skip <= gapMost && i+skip < len(f.toks); skip++ {
		if k := f.toks[i+skip].kind; k == stop || k == comma {
			break
		}
		f.all(n.gap, i+skip)
	}
	t := &f.toks[i]
	if t.kind == comma && t.text == ":" { // "roads: country"
		if i+1 < len(f.toks) && f.toks[i+1].kind <= number {
			f.next(n, i+1)
		}
		return
	}
	if t.kind == comma || t.kind == stop {
		return
	}
	f.next(n, i)
}

// next follows the edges for token i.
func (f *finder) next(n *node, i int) {
	t := &f.toks[i]
	if t.kind == number {
		f.all(n.number, i+1)
	}
	if t.word == 0 && t.stem[0] == 0 {
		return
	}
	for _, e := range n.next {
		if e.word == t.word || e.word == t.stem[0] || e.word == t.stem[1] || e.word == t.stem[2] {
			f.walk(e.to, i+1)
		}
	}
}
