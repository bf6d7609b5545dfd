package question

// A size is also said in words: "nine double-oh six", "nine thousand six", "ninety oh five", "HB four".

// spokenFirst are the words that the sizes named by four figures begin with.
var spokenFirst = map[string]bool{"nine": true, "ninety": true}

// spokenSizes adds the sizes that are said in words.
func (r *reading) spokenSizes() {
	for i := range r.toks {
		t := &r.toks[i]
		if t.kind != word || t.taken {
			continue
		}
		switch {
		case spokenFirst[t.text]:
			if name, next := r.spokenFigures(i); next > i && r.words.sizes[name] != "" {
				r.takeSize(r.words.sizes[name], i, next)
			}
		case t.text == "h" || t.text == "hb" || t.text == "hir" || t.text == "aitch":
			n := r.wordValue(i + 1)
			if n < 1 || n > 19 || n != float64(int(n)) || i+1 >= len(r.toks) || r.toks[i+1].kind != word || r.isAny(i-1, "half") && t.text == "h" {
				continue
			}
			name := t.text
			if name == "aitch" {
				name = "h"
			}
			name += figures(int(n))
			if size := r.words.sizes[name]; size != "" {
				r.takeSize(size, i, i+2)
			}
		}
	}
}

// spokenFigures reads four figures in words that begin with ninety: 90 and two more figures, or nine, nought, nought
// and one.
func (r *reading) spokenFigures(i int) (string, int) {
	nought := func(k int) bool { return r.isAny(k, "oh", "o", "zero", "nought", "ought", "0") }
	k := i + 1
	if r.is(i, "nine") {
		switch {
		case r.is(k, "thousand"):
			k++
			if r.is(k, "and") {
				k++
			}
			return r.lastFigure("90", k, true)
		case r.isAny(k, "double", "dbl"):
			if nought(k+1) || r.isAny(k+1, "ohs", "zeros") {
				return r.lastFigure("90", k+2, false)
			}
			return "", i
		case nought(k) && nought(k+1):
			return r.lastFigure("90", k+2, false)
		}
		return "", i
	}
	if nought(k) {
		return r.lastFigure("90", k+1, false)
	}
	return "", i // "ninety five dollars" is no size
}

// lastFigure completes "90": with one figure, or with a number below twenty where a whole number was said.
func (r *reading) lastFigure(name string, k int, whole bool) (string, int) {
	v := r.wordValue(k)
	if k < len(r.toks) && r.toks[k].kind == number && !r.toks[k].decimals {
		v = r.toks[k].value
	}
	switch {
	case v >= 1 && v < 10 && v == float64(int(v)):
		return name + "0" + figures(int(v)), k + 1
	case whole && v >= 10 && v < 20 && v == float64(int(v)):
		return name + figures(int(v)), k + 1
	}
	return "", k
}

// figures writes a number below a hundred.
func figures(n int) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return string(rune('0'+n/10)) + string(rune('0'+n%10))
}
