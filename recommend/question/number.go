package question

// numberAt reads a number in digits or words that begins at token i: 70, 2 3/4, 2 and a half, a hundred and
// twenty, one fifty. It gives the value and the token after it.
func (r *reading) numberAt(i int) (float64, int, bool) {
	if i >= len(r.toks) || r.toks[i].taken {
		return 0, i, false
	}
	if r.toks[i].kind == number {
		value, next := r.toks[i].value, i+1
		if v, n, ok := r.fractionAt(i); ok {
			return v, n, true
		}
		if n := r.wordValue(next); n == 100 || n == 1000 {
			return value * n, next + 1, true
		}
		return r.andFraction(value, next)
	}
	value, next, ok := r.numberWords(i)
	if !ok {
		return 0, i, false
	}
	return r.andFraction(value, next)
}

// wordValue is the number that one word stands for, 0 if it is none.
func (r *reading) wordValue(i int) float64 {
	if i >= len(r.toks) || r.toks[i].kind != word {
		return 0
	}
	return r.words.numbers[r.toks[i].word]
}

// is says whether token i is this text.
func (r *reading) is(i int, text string) bool {
	return i >= 0 && i < len(r.toks) && r.toks[i].text == text
}

// isAny says whether token i is one of these texts.
func (r *reading) isAny(i int, texts ...string) bool {
	if i < 0 || i >= len(r.toks) {
		return false
	}
	for _, text := range texts {
		if r.toks[i].text == text {
			return true
		}
	}
	return false
}

// fractionAt reads 3/4, 2 3/4 and 2-3/4; denominators are those of a ruler, so that 9005/9006 stays two sizes.
func (r *reading) fractionAt(i int) (float64, int, bool) {
	part := func(i int) (float64, bool) {
		if i+2 >= len(r.toks) || r.toks[i].kind != number || !r.is(i+1, "/") || r.toks[i+2].kind != number {
			return 0, false
		}
		above, below := r.toks[i].value, r.toks[i+2].value
		switch below {
		case 2, 3, 4, 8, 16, 32:
			return above / below, above > 0 && above < below
		}
		return 0, false
	}
	if v, ok := part(i); ok {
		return v, i + 3, true
	}
	next := i + 1
	if r.is(next, "-") || r.is(next, "and") || r.is(next, "&") {
		next++
	}
	if v, ok := part(next); ok && !r.toks[i].decimals {
		return r.toks[i].value + v, next + 3, true
	}
	return 0, i, false
}

// andFraction adds "and a half", "and a quarter", "and three quarters" that follow a number.
func (r *reading) andFraction(value float64, next int) (float64, int, bool) {
	if v, n, ok := r.fractionWords(next); ok {
		return value + v, n, true
	}
	return value, next, true
}

// fractionWords reads "and a half" and its like at token i.
func (r *reading) fractionWords(i int) (float64, int, bool) {
	if !r.isAny(i, "and", "&", "n") {
		return 0, i, false
	}
	i++
	times := 1.0
	if r.isAny(i, "a", "an", "one") {
		i++
	} else if n := r.wordValue(i); n >= 2 && n <= 15 && n == float64(int(n)) { // three quarters, five eighths
		times = n
		i++
	} else if v, n, ok := r.fractionAt(i); ok && v < 1 {
		return v, n, true
	}
	v := r.wordValue(i)
	if v <= 0 || v >= 1 || times*v >= 1 {
		return 0, i, false
	}
	return times * v, i + 1, true
}

// numberWords reads a number written in words.
func (r *reading) numberWords(i int) (float64, int, bool) {
	start := i
	if r.isAny(i, "a", "an") {
		if v := r.wordValue(i + 1); v < 1 && v > 0 || v == 2 || v >= 12 {
			i++
		} else {
			return 0, start, false
		}
	}
	var total, current float64
	read := false
	for ; i < len(r.toks); i++ {
		v := r.wordValue(i)
		if v == 0 {
			afterHundred := read && current >= 100 && int(current)%100 == 0 || read && current == 0 && total > 0
			if next := r.wordValue(i + 1); afterHundred && r.is(i, "and") && next >= 1 && next < 100 {
				continue
			}
			break
		}
		tens := int(current) % 100
		switch {
		case v < 1:
			if read {
				if v <= 0.25 && current*v < 1 && total == 0 {
					return current * v, i + 1, true
				}
				return total + current, i, true
			}
			return v, i + 1, true
		case v == 1000:
			total, current = total+max(current, 1)*1000, 0
		case v == 100:
			if current >= 100 {
				return total + current, i, true
			}
			current = max(current, 1) * 100
		case v >= 10 && v < 20 && current >= 1 && current < 10 && total == 0: // one ten
			current = current*100 + v
		case v >= 20 && v < 100 && current >= 1 && current < 10 && int(v)%10 == 0:
			current = current*100 + v
		case v >= 20 && v < 100 && tens == 0 || v >= 1 && v < 20 && tens == 0, v < 10 && tens >= 20 && tens%10 == 0:
			current += v
		default:
			return total + current, i, read
		}
		read = true
		if v == 2 && r.toks[i].text != "two" && r.is(i+1, "of") {
			i++
		}
	}
	return total + current, i, read
}
