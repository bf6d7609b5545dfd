package question

import "slices"

// mark is one word of the question about a lamp: a size or a beam.
type mark struct {
	size     string // canonical, empty for a beam
	beam     string // empty for a size
	from, to int
	strong   bool // a beam that needs no size beside it
}

// lampAt is a lamp with the tokens that name it.
type lampAt struct {
	Lamp
	from, to int
}

// readLamps puts sizes, beams and housings together, one lamp for each lamp named.
func (r *reading) readLamps() {
	marks := r.lampMarks()
	lamps := r.joinLamps(marks)
	lamps = r.addHousings(lamps)
	for _, l := range lamps {
		if slices.Contains(r.out.Lamps, l.Lamp) { // told twice, and nothing tells the two apart
			continue
		}
		r.out.Lamps = append(r.out.Lamps, l.Lamp)
		r.keepItem("lamps", len(r.out.Lamps)-1, l.from, l.to)
	}
}

// lampMarks lists sizes and beams in the order of the question.
func (r *reading) lampMarks() []mark {
	var marks []mark
	own := r.ownSizes(r.sizes)
	for _, s := range own {
		if r.sizeMeant(s) {
			marks = append(marks, mark{size: s.size, from: s.from, to: s.to})
		}
	}
	if len(marks) == 0 {
		for _, s := range own {
			marks = append(marks, mark{size: s.size, from: s.from, to: s.to})
		}
	}
	for _, m := range r.found[slotBeam] {
		if m.value != "none" && !r.toks[m.from].taken && !r.negated(m.from, 2) && !r.leftAlone(m) {
			marks = append(marks, mark{beam: m.value, from: m.from, to: m.to, strong: true})
		}
	}
	for _, m := range r.found[slotNearBeam] {
		if m.value == "none" || r.toks[m.from].taken || r.overlaps(slotBeam, m) {
			continue
		}
		if near, sure := r.besideSize(m), r.besideHousing(m) || r.ownClause(m) || r.switchedTo(m); near || sure || r.inList(m) {
			marks = append(marks, mark{beam: m.value, from: m.from, to: m.to, strong: sure})
		}
	}
	for i := 1; i < len(marks); i++ { // few marks: insertion sort
		for k := i; k > 0 && marks[k].from < marks[k-1].from; k-- {
			marks[k], marks[k-1] = marks[k-1], marks[k]
		}
	}
	return marks
}

// leftAlone says whether the asker is content with a beam: "my brights are fine, it's the lows I want to change".
func (r *reading) leftAlone(m match) bool {
	return r.isAny(m.to, "is", "are", "r", "stay", "were") &&
		(r.isAny(m.to+1, "fine", "ok", "okay", "great", "alright", "already", "staying", "good") && !r.is(m.to+2, "but"))
}

// sizeMeant is false for a size that is only named to say what it is not: "H7, not H4".
func (r *reading) sizeMeant(s sized) bool {
	k := s.from - 1
	for r.isAny(k, "a", "an", "the") {
		k--
	}
	return !r.is(k, "not") || r.is(k-1, "or") || r.is(k-1, "why")
}

// overlaps says whether a phrase of the slot shares a token with m.
func (r *reading) overlaps(s slot, m match) bool {
	for _, o := range r.found[s] {
		if o.from < m.to && m.from < o.to {
			return true
		}
	}
	return false
}

// besideSize says whether a short beam word stands beside a size, with no more than small words between.
func (r *reading) besideSize(m match) bool {
	for _, s := range r.sizes {
		from, to := m.to, s.from
		if s.from < m.from {
			from, to = s.to, m.from
		}
		if m.value == "fog" && r.words.fog[s.size] && len(r.sizes) == 1 && r.is(m.from-1, "for") && r.toks[s.from].sentence == r.toks[m.from].sentence {
			return true // "yellow for fog, H8"
		}
		if to < from || to-from > 4 || r.toks[s.from].sentence != r.toks[m.from].sentence {
			continue
		}
		if m.value == "fog" && s.from < m.from && r.between(from, to, "in", "at") { // "H4 in fog" is weather
			continue
		}
		small := true
		for k := from; k < to && small; k++ {
			small = r.smallWord(k) || r.covers(slotHousing, k) != nil || r.isAny(k, "lens", "mirror", "bowl")
		}
		if small && !(m.value == "high" && r.is(m.from, "hi") && r.opens(m.from)) {
			return true
		}
	}
	return false
}

// besideHousing says whether a short beam word touches a word for the housing: "dip projector", "reflector high".
func (r *reading) besideHousing(m match) bool {
	for _, k := range []int{m.from - 1, m.to} {
		if h := r.covers(slotHousing, k); h != nil && (h.value == "projector" || h.value == "reflector") && r.toks[k].clause == r.toks[m.from].clause {
			return m.value == "low" || m.value == "high"
		}
	}
	return false
}

// ownClause says whether a short beam word is a clause of its own: "H11, low, reflector"; "H7. Dip."
func (r *reading) ownClause(m match) bool {
	return len(r.sizes) > 0 && !r.is(m.from, "hi") && m.from > 0 && r.toks[m.from-1].kind >= comma && (m.to == len(r.toks) || r.toks[m.to].kind >= comma) && (m.value == "low" || m.value == "high")
}

// switchedTo says whether a short beam word is what the lamps are on: "can't see past 80 m on high."
func (r *reading) switchedTo(m match) bool {
	return r.is(m.from-1, "on") && (m.value == "low" || m.value == "high") &&
		(m.to == len(r.toks) || r.toks[m.to].kind >= comma || r.isAny(m.to, "and", "but", "it", "they", "its", "is", "i")) && r.closeSentence(m.from)
}

// closeSentence says whether a size stands in the sentence of token i or in one beside it.
func (r *reading) closeSentence(i int) bool {
	for _, s := range r.sizes {
		if d := r.toks[s.from].sentence - r.toks[i].sentence; d >= -1 && d <= 1 {
			return true
		}
	}
	return false
}

// inList says whether a short beam word stands in a row of three: "dip main fog".
func (r *reading) inList(m match) bool {
	if len(r.sizes) < 3 {
		return false
	}
	n := 1
	row := func(k, step int) {
		for range 2 {
			if k >= 0 && k < len(r.toks) && r.toks[k].kind >= sign && r.toks[k].kind < stop {
				k += step
			}
			if !r.beamAt(k) {
				return
			}
			n++
			k += step
		}
	}
	row(m.from-1, -1)
	row(m.to, 1)
	return n >= 3
}

// opens says whether token i is the first of the question: "Hi H7 …" greets.
func (r *reading) opens(i int) bool { return i == 0 }

// smallWord says whether a token may stand between a size and its short beam word.
func (r *reading) smallWord(k int) bool {
	t := &r.toks[k]
	if t.kind == comma {
		return t.text != ","
	}
	if t.kind == stop {
		return false
	}
	return r.isAny(k, "for", "on", "in", "is", "are", "the", "my", "=", "/", "bulb", "bulbs", "led", "leds", "s", "as", "a", "takes", "uses",
		"use", "take", "one", "ones", "type", "being", "side", "get", "needs", "was", "has", "it", "its", "of", "halogen", "both", "at", "size", "globe", "globes", "x", "2", "two", "pair", "drl")
}

// joinLamps pairs sizes with beams and merges what is said twice.
func (r *reading) joinLamps(marks []mark) []lampAt {
	var sizes, beams []mark
	for _, m := range marks {
		if m.size != "" {
			sizes = append(sizes, m)
		} else {
			beams = append(beams, m)
		}
	}
	if len(sizes) == 0 {
		return beamLamps(beams)
	}
	r.shareParallel(marks)
	r.shareFog(sizes, beams, marks)
	paired, used := r.pairMarks(marks)
	var lamps []lampAt
	for i, m := range marks {
		if m.size == "" {
			continue
		}
		l := lampAt{Lamp: Lamp{Size: Name(m.size)}, from: m.from, to: m.to}
		if b := paired[i]; b >= 0 {
			l.Beam = Name(marks[b].beam)
			l.from, l.to = min(l.from, marks[b].from), max(l.to, marks[b].to)
		}
		lamps = append(lamps, l)
	}
	lamps = r.mergeLamps(lamps)
	var left []mark
	for i, m := range marks {
		if m.size == "" && m.strong && !used[i] {
			left = append(left, m)
		}
	}
	return r.spareBeams(lamps, left)
}

// beamLamps makes lamps where no size was named: one for each beam.
func beamLamps(beams []mark) []lampAt {
	var lamps []lampAt
	add := func(beam string, m mark) {
		for i := range lamps {
			if lamps[i].Beam == Name(beam) {
				return
			}
		}
		lamps = append(lamps, lampAt{Lamp: Lamp{Beam: Name(beam)}, from: m.from, to: m.to})
	}
	for _, m := range beams {
		switch {
		case !m.strong:
		case m.beam == "pair":
			add("low", m)
			add("high", m)
		default:
			add(m.beam, m)
		}
	}
	return lamps
}

// pairMarks joins each size with at most one beam beside it in the row of marks, so that the sum of closeness is
// greatest: "low H11 high 9005" and "9006 low 9005 high" both come out right. paired[i] is the beam of size i.
func (r *reading) pairMarks(marks []mark) (paired []int, used []bool) {
	n := len(marks)
	paired, used = make([]int, n), make([]bool, n)
	best, take := make([]int, n+2), make([]bool, n+1)
	for i := n - 1; i >= 0; i-- {
		paired[i] = -1
		best[i] = best[i+1]
		if i+1 < n {
			if c := r.closeness(marks[i], marks[i+1]); c > 0 && c+best[i+2] > best[i] {
				best[i], take[i] = c+best[i+2], true
			}
		}
	}
	for i := 0; i < n; {
		if !take[i] {
			i++
			continue
		}
		s, b := i, i+1
		if marks[s].size == "" {
			s, b = b, s
		}
		paired[s], used[b] = b, true
		i += 2
	}
	for i := range marks {
		if marks[i].size != "" && marks[i].beam != "" { // from shareParallel
			paired[i] = i
		}
	}
	return paired, used
}

// pairReach is how many tokens may stand between a size and its beam when there are several lamps.
const pairReach = 7

// closeness scores a size and a beam that are neighbours in the row of marks; 0: they do not belong together.
func (r *reading) closeness(a, b mark) int {
	if (a.size == "") == (b.size == "") || a.size != "" && a.beam != "" || b.size != "" && b.beam != "" {
		return 0
	}
	if a.size == "" && a.beam == "" || b.size == "" && b.beam == "" {
		return 0
	}
	if b.from-a.to > pairReach {
		return 0
	}
	if apart := r.toks[b.from].sentence - r.toks[a.from].sentence; apart != 0 {
		if apart == 1 && a.size != "" && r.takenBack(a.to, b.from) { // "HB3 in the spots? no, in the mains"
			return 1
		}
		return 0
	}
	score := 40 - 2*(b.from-a.to)
	for k := a.to; k < b.from; k++ {
		switch {
		case r.toks[k].text == "," && b.from-a.to > 3:
			return 0
		case r.toks[k].text == "," || r.isAny(k, "and", "&", "+", "but", "also", "with"):
			score -= 8
		case r.toks[k].text == "/":
			score -= 4
		}
	}
	return max(score, 1)
}

// takenBack says whether a question mark and a "no" stand among tokens from..to.
func (r *reading) takenBack(from, to int) bool {
	for k := from; k+1 < to; k++ {
		if r.toks[k].question && r.isAny(k+1, "no", "nope", "nah") {
			return true
		}
	}
	return false
}

// mergeLamps makes one lamp of a size said twice, and "both" of low and high where one bulb serves the two.
func (r *reading) mergeLamps(lamps []lampAt) []lampAt {
	var out []lampAt
	for _, l := range lamps {
		if l.Beam == "pair" {
			if r.words.dual[string(l.Size)] {
				l.Beam = "both"
			} else {
				low, high := l, l
				low.Beam, high.Beam = "low", "high"
				out = append(out, low)
				l = high
			}
		}
		done := false
		for i := range out {
			o := &out[i]
			if o.Size != l.Size {
				continue
			}
			switch {
			case o.Beam == l.Beam || l.Beam == "":
				done = true
			case o.Beam == "":
				o.Beam, o.from, o.to, done = l.Beam, min(o.from, l.from), max(o.to, l.to), true
			case r.words.dual[string(l.Size)] && o.Beam != "fog" && l.Beam != "fog":
				o.Beam, o.from, o.to, done = "both", min(o.from, l.from), max(o.to, l.to), true
			}
			if done {
				break
			}
		}
		if !done {
			out = append(out, l)
		}
	}
	return out
}

// spareBeams gives a beam that stands away from its size to the only lamp there is.
func (r *reading) spareBeams(lamps []lampAt, left []mark) []lampAt {
	if len(lamps) != 1 || len(left) == 0 {
		return lamps
	}
	l := &lamps[0]
	dual := r.words.dual[string(l.Size)]
	low, high, fog, both := false, false, false, false
	for _, m := range left {
		low = low || m.beam == "low" || m.beam == "pair"
		high = high || m.beam == "high" || m.beam == "pair"
		fog = fog || m.beam == "fog"
		both = both || m.beam == "both"
	}
	if fog && r.words.fog[string(l.Size)] {
		low, high, both = false, false, false
	}
	low, high = low || l.Beam == "low", high || l.Beam == "high"
	switch {
	case both && dual, dual && low && high && l.Beam == "":
		l.Beam = "both"
	case l.Beam != "":
	case low && high && !fog && !both:
		pairs := 0
		for _, m := range left {
			if m.beam == "pair" {
				pairs++
			}
		}
		if pairs == len(left) {
			other := *l
			l.Beam, other.Beam = "low", "high"
			return append(lamps, other)
		}
	case low && !high && !fog && !both:
		l.Beam = "low"
	case high && !low && !fog && !both:
		l.Beam = "high"
	case fog && !low && !high && !both:
		l.Beam = "fog"
	case both:
		l.Beam = "both"
	}
	if l.Beam != "" {
		for _, m := range left {
			l.from, l.to = min(l.from, m.from), max(l.to, m.to)
		}
	}
	return lamps
}
