package question

import (
	"sort"
	"strings"
)

// housed is a housing that the question states.
type housed struct {
	value    string
	from, to int
}

// readHousings lists the housings stated, "not a projector" turned into reflector, and those merely compared left out.
func (r *reading) readHousings() []housed {
	var out []housed
	unknown := map[int32]bool{}
	foreign := r.foreign()
	for _, m := range r.found[slotHousing] {
		if m.value == "unknown" {
			unknown[r.toks[m.from].sentence] = true
			if !r.between(m.from, m.to, "projector", "projectors", "reflector", "reflectors") { // "reflector I think? not sure how to tell"
				unknown[r.toks[m.from].sentence-1] = true
			}
		}
	}
	for _, m := range r.found[slotHousing] {
		if m.value != "projector" && m.value != "reflector" || unknown[r.toks[m.from].sentence] || foreign[m.from] || r.eitherHousing(m) {
			continue
		}
		value := m.value
		if r.deniedHousing(m.from) || r.nearBefore(m.from, 2, "non") || r.refused(m.to) {
			value = otherHousing(value)
		}
		out = append(out, housed{value, m.from, m.to})
	}
	for i := range r.toks { // "H11, lens, autobahn"; "low H7 lens, high H1 mirror"
		value := ""
		switch r.toks[i].text {
		case "lens", "lenses":
			value = "projector"
		case "mirror", "mirrors", "bowl":
			value = "reflector"
		}
		if value != "" && (r.alone(i) || r.forBeam(i+1)) && r.covers(slotHousing, i) == nil {
			out = append(out, housed{value, i, i + 1})
		}
	}
	sort.SliceStable(out, func(a, b int) bool { return out[a].from < out[b].from })
	return r.dropCompared(out)
}

// alone says whether a word is a clause of its own, or ends a clause right after a bulb size.
func (r *reading) alone(i int) bool {
	return (i == 0 || r.toks[i-1].kind >= comma || r.toks[i-1].taken || r.covers(slotNearBeam, i-1) != nil || r.covers(slotBeam, i-1) != nil) && (i+1 == len(r.toks) || r.toks[i+1].kind >= comma || i > 0 && r.toks[i-1].taken && (r.beamAt(i+1) || r.covers(slotDriving, i+1) != nil))
}

// forBeam says whether "for the low" or the like stands at token i.
func (r *reading) forBeam(i int) bool {
	return r.isAny(i, "for", "on") && (r.beamAt(i+1) || r.isAny(i+1, "the", "my") && r.beamAt(i+2))
}

// beamAt says whether a word for a beam stands at token i.
func (r *reading) beamAt(i int) bool {
	return r.covers(slotNearBeam, i) != nil || r.covers(slotBeam, i) != nil
}

// refused says whether a plain "no" follows: "projector no, reflector yes"; "projector? no."
func (r *reading) refused(i int) bool {
	if i < len(r.toks) && r.toks[i].question {
		i++
	}
	return r.isAny(i, "no", "nope", "not") && (i+1 == len(r.toks) || r.toks[i+1].kind >= comma)
}

// eitherHousing says whether the asker does not mind the housing: "projector or not doesn't matter".
func (r *reading) eitherHousing(m match) bool {
	return r.is(m.to, "or") && r.is(m.to+1, "not") || r.is(m.from-1, "or") && r.is(m.from-2, "not")
}

// deniedHousing says whether "not" stands before a housing with no more than small words between: "not one of those
// projectors", but not "not awful in a reflector".
func (r *reading) deniedHousing(i int) bool {
	k := i - 1
	for k > i-6 && r.isAny(k, "a", "an", "the", "any", "proper", "real", "fancy", "one", "of", "those", "these", "kind", "got", "have", "has",
		"with", "style", "in", "type", "got", "my", "bi", "actual", "actually", "really", "use") {
		k--
	}
	if k < 0 || r.toks[k].clause != r.toks[i].clause {
		return false
	}
	m := r.covers(slotNegation, k)
	return m != nil && m.value == "not"
}

func otherHousing(value string) string {
	if value == "projector" {
		return "reflector"
	}
	return "projector"
}

// dropCompared leaves out "projector or reflector" and "better in a projector than a reflector".
func (r *reading) dropCompared(all []housed) []housed {
	var out []housed
	for i := 0; i < len(all); i++ {
		if i+1 < len(all) && all[i].value != all[i+1].value && r.toks[all[i].from].sentence == r.toks[all[i+1].from].sentence &&
			all[i+1].from-all[i].to <= 6 && r.between(all[i].to, all[i+1].from, "or", "vs", "versus", "than", "over", "/") {
			i++
			continue
		}
		out = append(out, all[i])
	}
	return out
}

// between says whether one of the texts stands among tokens from..to.
func (r *reading) between(from, to int, texts ...string) bool {
	for k := from; k < to; k++ {
		if r.isAny(k, texts...) {
			return true
		}
	}
	return false
}

// addHousings puts the housings on the lamps they were said of.
func (r *reading) addHousings(lamps []lampAt) []lampAt {
	stated := r.readHousings()
	if len(stated) == 0 {
		return lamps
	}
	same := true
	for _, h := range stated {
		same = same && h.value == stated[0].value
	}
	if len(lamps) == 0 {
		if same {
			h := stated[0]
			return []lampAt{{Lamp: Lamp{Housing: Name(h.value)}, from: h.from, to: h.to}}
		}
		return lamps
	}
	if split, ok := r.splitByHousing(lamps, stated); ok {
		return split
	}
	if len(lamps) == 1 {
		if h, ok := r.ownHousing(stated, same); ok {
			setHousing(&lamps[0], h)
		}
		return lamps
	}
	if rest, others, ok := r.restHousing(stated); ok {
		r.ownersOf(lamps, others)
		for i := range lamps {
			if lamps[i].Housing == "" {
				lamps[i].Housing = Name(rest.value)
			}
		}
		return lamps
	}
	if len(stated) == 1 {
		for i, l := range lamps {
			if b, linked := r.beamBeside(stated[0]); linked && l.Beam == Name(b) && !r.universal(stated[0]) { // "the dipped have a lens"
				setHousing(&lamps[i], stated[0])
				return lamps
			}
		}
	}
	if rest := r.housingsByBeam(lamps, stated); len(rest) < len(stated) {
		r.pairHousings(lamps, rest)
		return lamps
	}
	if same && (len(stated) >= len(lamps) || len(stated) == 1 && r.saidOfAll(lamps, stated[0])) {
		for i := range lamps {
			if lamps[i].Beam != "fog" || r.universal(stated[0]) {
				setHousing(&lamps[i], stated[0])
			}
		}
		return lamps
	}
	r.pairHousings(lamps, stated)
	return lamps
}

// restHousing finds a housing that is said of all lamps but those already given one: "the rest are reflectors".
func (r *reading) restHousing(stated []housed) (rest housed, others []housed, ok bool) {
	for _, h := range stated {
		if !ok && len(others) > 0 && r.nearBefore(h.from, 4, "rest", "others", "else") && !r.is(h.from-1, "or") {
			rest, ok = h, true
		} else {
			others = append(others, h)
		}
	}
	return rest, others, ok
}

// ownersOf gives each housing to the lamp whose beam it names, else to the nearest lamp.
func (r *reading) ownersOf(lamps []lampAt, stated []housed) {
	var loose []housed
	for _, h := range stated {
		b, _ := r.beamBeside(h)
		owned := false
		for i := range lamps {
			if b != "" && lamps[i].Beam == Name(b) && lamps[i].Housing == "" {
				setHousing(&lamps[i], h)
				owned = true
			}
		}
		if !owned {
			loose = append(loose, h)
		}
	}
	r.pairHousings(lamps, loose)
}

func setHousing(l *lampAt, h housed) {
	l.Housing = Name(h.value)
	if h.to >= l.from && h.from <= l.to || h.from-l.to < 8 && l.from-h.to < 8 {
		l.from, l.to = min(l.from, h.from), max(l.to, h.to)
	}
}

// beamBeside gives the beam that is named directly before or after a housing: "dip is projector", "reflector mains".
// linked says that a small word joins the two, so that the housing is said of that beam alone.
func (r *reading) beamBeside(h housed) (named string, linked bool) {
	small := func(k int) bool {
		return r.isAny(k, "is", "are", "the", "in", "for", "a", "being", "beam", "have", "has", "that", "those", "got", "with")
	}
	beam := func(k int) string {
		if k < 0 || k >= len(r.toks) || r.toks[k].clause != r.toks[h.from].clause {
			return ""
		}
		for _, s := range []slot{slotBeam, slotNearBeam} {
			if m := r.covers(s, k); m != nil && (m.value == "low" || m.value == "high" || m.value == "fog") {
				return m.value
			}
		}
		return ""
	}
	before, after := h.from-1, h.to
	for small(before) && before > h.from-4 {
		before--
	}
	if b := beam(before); b != "" && !(r.housingEnds(before) && beam(after) != "") { // "projector lows reflector highs"
		return b, before < h.from-1 || r.isAny(h.from, "have", "has", "with", "got") || r.wholeClause(before, h.to)
	}
	for (small(after) || r.is(after, "on")) && after < h.to+2 {
		after++
	}
	b := beam(after)
	return b, b != "" && (after > h.to || r.wholeClause(h.from, after+1))
}

// housingEnds says whether a housing stands right before the beam of token i, in its clause.
func (r *reading) housingEnds(i int) bool {
	for i > 0 && r.beamAt(i-1) {
		i--
	}
	h := r.endsAt(slotHousing, i-1)
	return h != nil && (h.value == "projector" || h.value == "reflector") && r.toks[i-1].clause == r.toks[i].clause
}

// wholeClause says whether tokens from..to are all of their clause: "H7 dip, H1 main. Projector dip."
func (r *reading) wholeClause(from, to int) bool {
	return from > 0 && r.toks[from-1].kind >= comma && (to >= len(r.toks) || r.toks[to].kind >= comma)
}

// housingsByBeam gives housings that name their beam to the lamps of that beam, when two or more do; it returns the rest.
func (r *reading) housingsByBeam(lamps []lampAt, stated []housed) []housed {
	var rest []housed
	owner := make([]int, len(stated))
	named := 0
	for k, h := range stated {
		owner[k] = -1
		for i, l := range lamps {
			if b, _ := r.beamBeside(h); b != "" && l.Beam == Name(b) {
				owner[k] = i
			}
		}
		if owner[k] >= 0 {
			named++
		}
	}
	if named < 2 || named < len(stated) {
		return stated
	}
	for k, h := range stated {
		setHousing(&lamps[owner[k]], h)
	}
	return rest
}

// splitByHousing makes two lamps of one size whose housings are told apart by beam only: "dip is projector, main is
// reflector, both H7".
func (r *reading) splitByHousing(lamps []lampAt, stated []housed) ([]lampAt, bool) {
	if len(lamps) != 1 || len(stated) != 2 || r.words.dual[string(lamps[0].Size)] {
		return lamps, false
	}
	first, _ := r.beamBeside(stated[0])
	second, _ := r.beamBeside(stated[1])
	if first == "" || second == "" || first == second {
		return lamps, false
	}
	a, b := lamps[0], lamps[0]
	a.Beam, b.Beam = Name(first), Name(second)
	setHousing(&a, stated[0])
	setHousing(&b, stated[1])
	return []lampAt{a, b}, true
}

// ownHousing chooses the housing of the only lamp: all say the same, or one is said of the asker's own car.
func (r *reading) ownHousing(stated []housed, same bool) (housed, bool) {
	if same {
		return stated[0], true
	}
	var own, mine []housed
	for _, h := range stated {
		if r.nearBefore(h.from, 4, "mine", "mines") {
			mine = append(mine, h)
		}
	}
	if len(mine) == 1 {
		return mine[0], true
	}
	for _, h := range stated {
		if r.nearBefore(h.from, 5, "my", "mine", "ive", "have", "got", "im", "mines", "have", "its") {
			own = append(own, h)
		}
	}
	if len(own) == 1 {
		return own[0], true
	}
	var named []housed // "glass lens, reflector": the plain word counts
	for _, h := range stated {
		if text := r.toks[h.from].text; h.to == h.from+1 && (strings.HasPrefix(text, "proj") || strings.HasPrefix(text, "refl")) {
			named = append(named, h)
		}
	}
	if len(named) == 1 {
		return named[0], true
	}
	return housed{}, false
}

// universal says whether "both", "all" or the like stands just before the housing or just after it.
func (r *reading) universal(h housed) bool {
	return r.nearBefore(h.from, 3, "both", "all", "everything", "each") || r.isAny(h.to, "both", "all", "throughout") ||
		r.isAny(h.to+1, "both", "all", "throughout") || r.isAny(h.to+2, "both", "all")
}

// saidOfAll says whether one housing is meant for every lamp: not when it clings to one lamp of several.
func (r *reading) saidOfAll(lamps []lampAt, h housed) bool {
	if r.universal(h) {
		return true
	}
	first, last := lamps[0], lamps[0]
	for _, l := range lamps {
		if l.from < first.from {
			first = l
		}
		if l.to > last.to {
			last = l
		}
	}
	if list := r.bareList(lamps, first.to, last.from); list && (h.from-last.to <= 1 && h.from >= last.to || h.to <= first.from) {
		return true
	}
	if h.to <= first.from {
		return h.to < first.from || len(lamps) > 1 && r.toks[first.from].clause != r.toks[h.from].clause
	}
	if h.from >= last.to {
		apart := r.toks[h.from].clause != r.toks[last.to-1].clause || r.between(last.to, h.from, "with", "and", "in")
		if !apart && last.Beam != "fog" && r.oneThing(first.to, last.from) && !r.between(first.to, last.from, ",", ".", ";", ":") {
			return true // "H1 low + H1 high reflector"
		}
		return apart || last.Beam != "fog" && (r.plural(h) || r.isAny(h.to, "housing", "housings", "headlights", "headlamps", "lights"))
	}
	return false
}

// oneThing says whether nothing but beams and small words stands between two lamps: they belong to one car.
func (r *reading) oneThing(from, to int) bool {
	for k := from; k < to; k++ {
		if !r.smallWord(k) && !r.beamAt(k) && !r.isAny(k, "and", "&", "+", "with", "plus", "are", "beam", "beams", "also", "then") && !r.toks[k].taken {
			return false
		}
	}
	return true
}

// bareList says whether the lamps are sizes in a row without beams: "H11/9005", "9005 and 9006".
func (r *reading) bareList(lamps []lampAt, from, to int) bool {
	for _, l := range lamps {
		if l.Beam != "" {
			return false
		}
	}
	return to-from <= 2
}

// plural says whether the housing was named in the plural.
func (r *reading) plural(h housed) bool {
	text := r.toks[h.to-1].text
	return text[len(text)-1] == 's'
}

// pairHousings gives each housing to the nearest lamp beside it.
func (r *reading) pairHousings(lamps []lampAt, stated []housed) {
	for _, h := range stated {
		best, least := -1, 1<<20
		for i, l := range lamps {
			if l.Housing != "" {
				continue
			}
			gap := h.from - l.to
			if h.to <= l.from {
				gap = l.from - h.to + 1 // a housing more often follows its lamp
			} else if gap < 0 {
				gap = 0
			}
			if r.toks[l.from].clause != r.toks[h.from].clause {
				gap += 4
			}
			if r.toks[l.from].sentence != r.toks[h.from].sentence {
				gap += 10
			}
			if gap < least {
				best, least = i, gap
			}
		}
		if best >= 0 && least < 14 {
			setHousing(&lamps[best], h)
		}
	}
}
