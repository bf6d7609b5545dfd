package question

import (
	"sort"
	"strings"
)

// sized is one bulb size named in the question.
type sized struct {
	size     string
	from, to int
}

// readSizes finds every bulb size and marks its tokens as taken, so that no digit of it is read as an amount.
func (r *reading) readSizes() {
	for i := 0; i < len(r.toks); i++ {
		if i > 0 && r.toks[i].joint == glued && r.toks[i-1].kind <= number && !r.toks[i-1].taken && !r.is(i-1, "x") {
			continue // inside a longer word
		}
		size, next := r.sizeAt(i)
		if size == "" {
			continue
		}
		next = r.takeSize(size, i, next)
		next = r.shortSizes(size, next)
		i = next - 1
	}
}

// takeSize records a size.
func (r *reading) takeSize(size string, from, to int) int {
	for k := from; k < to; k++ {
		r.toks[k].taken = true
	}
	r.sizes = append(r.sizes, sized{size, from, to})
	return to
}

// longestSize is the number of tokens that a size can have: h 27 w / 1.
const longestSize = 6

// sizeAt reads a size that begins at token i: the longest row of joined tokens that is a known name.
func (r *reading) sizeAt(i int) (string, int) {
	if r.toks[i].kind > number {
		return "", i
	}
	var b [16]byte
	name := b[:0]
	found, end, digits := "", i, false
	for k := i; k < len(r.toks) && k < i+longestSize; k++ {
		t := &r.toks[k]
		if k > i && t.joint != glued && !r.looseJoin(k, string(name)) || len(name)+len(t.text) > len(b) || t.taken {
			break
		}
		if t.kind > number && !(t.text == "/" && string(name) == "h27w") {
			break
		}
		name = append(name, t.text...)
		digits = digits || t.kind == number
		if !digits {
			continue
		}
		if size := r.sizeNamed(string(name)); size != "" && r.sizeEnds(i, k+1) {
			found, end = size, k+1
		}
	}
	return found, end
}

// looseJoin allows the space or hyphen of "h 11", "hb-3", "d 2 s" between two tokens of a size.
func (r *reading) looseJoin(k int, name string) bool {
	t := &r.toks[k]
	switch name {
	case "h", "hb", "hir", "hs", "ps", "psx", "p", "d":
		if t.kind != number || t.decimals {
			return false
		}
		if t.joint == hyphened {
			return true
		}
		hours := name == "h" && k >= 2 && r.toks[k-2].kind == number && !r.toks[k-2].taken // 1 h 15 min
		return name != "p" && name != "d" && !hours
	}
	return false
}

// sizeNamed looks a name up, with O for 0 and l or I for 1 put right.
func (r *reading) sizeNamed(name string) string {
	if size, ok := r.words.sizes[name]; ok {
		return size
	}
	mended := strings.Map(func(c rune) rune {
		switch c {
		case 'o':
			return '0'
		case 'l', 'i':
			return '1'
		}
		return c
	}, name)
	if mended != name {
		if size, ok := r.words.sizes[mended]; ok {
			return size
		}
	}
	return ""
}

// sizeEnds says whether a size may end before token k: at a gap, a plural s, or a word such as led; not in h7w or 9005k.
func (r *reading) sizeEnds(i, k int) bool {
	if r.toks[i].kind == number && i > 0 && r.covers0(i-1) {
		return false
	}
	if k >= len(r.toks) {
		return true
	}
	t := &r.toks[k]
	if t.joint == glued && t.kind == word && t.text != "s" && len(t.text) < 3 {
		return false
	}
	if t.joint == glued && t.kind == number {
		return false
	}
	if r.toks[i].kind == number && k == i+1 && (i == 0 || !r.toks[i-1].taken) { // 9005 lumens, 9012 km
		return !r.isAny(k, "lm", "lumen", "lumens", "lux", "k", "km", "miles", "mi", "mm", "rpm", "kelvin", "bucks", "dollars", "quid", "euro", "euros", "%")
	}
	return !r.isAny(k, "freeway", "interstate")
}

// covers0 says whether token k is a currency sign: $9005 is no size.
func (r *reading) covers0(k int) bool {
	t := &r.toks[k]
	return t.kind == sign && (t.text == "$" || t.text[0] >= signPound && t.text[0] <= signWon)
}

// shortSizes reads what follows a size in short form: 9005/6, H8/9/11.
func (r *reading) shortSizes(size string, next int) int {
	last := r.sizes[len(r.sizes)-1]
	base := r.joined(last.from, last.to)
	for next+1 < len(r.toks) && r.is(next, "/") && r.toks[next].joint == glued {
		t := &r.toks[next+1]
		if t.kind != number || t.joint != glued || t.decimals || !r.sizeEnds(next, next+2) {
			return next
		}
		name := ""
		switch {
		case len(base) == 4 && digit(base[0]) && len(t.text) == 1:
			name = base[:3] + t.text
		case base[0] == 'h' && len(base) > 1 && digit(base[1]) && len(t.text) <= 2:
			name = "h" + t.text
		case strings.HasPrefix(base, "hb") && len(t.text) == 1:
			name = "hb" + t.text
		}
		other, ok := r.words.sizes[name]
		if !ok {
			return next
		}
		next = r.takeSize(other, next+1, next+2)
	}
	return next
}

// joined is the text of tokens from..to without gaps.
func (r *reading) joined(from, to int) string {
	s := ""
	for k := from; k < to; k++ {
		s += r.toks[k].text
	}
	return s
}

// readLooseSizes adds numbers such as 880 that are a size only beside a word for a bulb or lamp.
func (r *reading) readLooseSizes() {
	for i := range r.toks {
		t := &r.toks[i]
		size := r.words.loose[t.text]
		if size == "" || t.kind != number || t.taken || t.joint == glued {
			continue
		}
		if i+1 < len(r.toks) && r.toks[i+1].joint == glued && r.toks[i+1].kind <= number {
			continue
		}
		if r.near(slotBeam, "fog", i, i+1, 5) != nil || r.near(slotTopic, "light", i, i+1, 3) != nil || r.near(slotTopic, "headlamp", i, i+1, 3) != nil {
			r.takeSize(size, i, i+1)
		}
	}
	sort.SliceStable(r.sizes, func(a, b int) bool { return r.sizes[a].from < r.sizes[b].from })
}
