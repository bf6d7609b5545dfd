package question

// quantity is a number of the question with its unit. A range keeps both ends.
type quantity struct {
	low, value float64 // value is the upper end
	unit       string  // "" for a bare number, "money" for an amount
	currency   string  // ISO code, or "" if unsaid
	from, to   int     // tokens
	ranged     bool
}

// readQuantities reads every number of the question once, left to right.
func (r *reading) readQuantities() {
	for i := 0; i < len(r.toks); {
		q, ok := r.quantityAt(i)
		if !ok {
			i++
			continue
		}
		r.quantities = append(r.quantities, q)
		i = q.to
	}
}

// currencyAt reads a currency sign or word at token i. A single letter counts only if it touches its number.
func (r *reading) currencyAt(i int, before bool) (code string, next int, ok bool) {
	m := r.at(slotCurrency, i)
	if m == nil {
		return "", i, false
	}
	if t := &r.toks[i]; t.kind == word && len(t.text) == 1 && m.to == i+1 {
		touching := t.joint == glued
		if before {
			touching = i+1 < len(r.toks) && r.toks[i+1].joint == glued &&
				!r.isAny(i-1, "ece", "un", "unece", "reg", "regulation", "regulations") // UN R112 is no sum of rand
		}
		if !touching {
			return "", i, false
		}
	}
	code = m.value
	if code == "unsaid" {
		code = ""
	}
	return code, m.to, true
}

// quantityAt reads one number with what belongs to it.
func (r *reading) quantityAt(i int) (quantity, bool) {
	q := quantity{from: i}
	if i >= len(r.toks) || r.toks[i].taken {
		return q, false
	}
	if m := r.at(slotMoneyWord, i); m != nil {
		return r.moneyWord(m), true
	}
	if q, ok := r.unitAlone(i); ok {
		return q, true
	}
	money := false
	if code, next, ok := r.currencyAt(i, true); ok {
		q.currency, money, i = code, true, next
		if r.is(i, ".") {
			i++
		}
	}
	negative := false
	if r.isAny(i, "-", "minus") && !money {
		negative = true
		i++
	}
	value, next, ok := r.numberAt(i)
	if !ok {
		return q, false
	}
	if v, n, ok := r.numberAt(next + 1); ok && v == value && r.is(next, "(") && r.is(n, ")") { // forty (40) pounds
		next = n + 1
	}
	q.low, q.value, q.to = value, value, next
	r.tail(&q, &money)
	if r.isAny(q.to, "ish", "odd") {
		q.to++
		r.tail(&q, &money)
	}
	r.extend(&q, &money)
	if money {
		q.unit = "money"
		if r.is(q.to, "k") && r.toks[q.to].joint == glued {
			q.value, q.low, q.to = q.value*1000, q.low*1000, q.to+1
		}
	}
	if negative {
		q.low, q.value = -q.low, -q.value
	}
	return q, true
}

// tail reads the unit or currency after a number, and what completes it (an hour *and a half*, 1h*20*).
func (r *reading) tail(q *quantity, money *bool) bool {
	if r.is(q.to, "k") && r.toks[q.to].joint == glued { // 3k pesos
		if _, _, ok := r.currencyAt(q.to+1, false); ok {
			q.value, q.low, q.to = q.value*1000, q.low*1000, q.to+1
		}
	}
	if code, next, ok := r.currencyAt(q.to, false); ok {
		if code != "" || !*money {
			q.currency = code
		}
		q.to, *money = next, true
		if code, next, ok := r.currencyAt(q.to, false); ok && code != "" {
			q.currency, q.to = code, next
		}
		return true
	}
	if *money {
		return false
	}
	at := q.to
	if r.isAny(at, "of", "a", "an") && q.low < 1 { // half an inch, three quarters of an hour
		for r.isAny(at, "of", "a", "an") {
			at++
		}
	}
	m := r.at(slotUnit, at)
	if m == nil || r.toks[m.from].taken || !r.unitFits(q, m) {
		return false
	}
	q.unit, q.to = m.value, m.to
	if v, n, ok := r.fractionWords(q.to); ok && (q.unit == "in" || q.unit == "h") {
		q.value, q.low, q.to = q.value+v, q.low+v, n
	}
	if q.unit == "h" {
		r.hourTail(q)
	}
	return true
}

// hourTail reads the minutes of 1h20, 1 hour 20, 1 hr and 15 min; the quantity is in minutes afterwards.
func (r *reading) hourTail(q *quantity) {
	q.unit, q.value, q.low = "min", q.value*60, q.low*60
	at := q.to
	touching := at < len(r.toks) && r.toks[at].joint == glued
	if r.is(at, "and") {
		at++
	}
	v, n, ok := r.numberAt(at)
	if !ok || v >= 60 || v <= 0 {
		return
	}
	m := r.at(slotUnit, n)
	if m != nil && m.value == "min" && !r.toks[n].taken {
		n = m.to
	} else if m != nil && !r.toks[n].taken || !touching && r.toks[at].kind != number && !roundMinutes(v) || at != q.to && !roundMinutes(v) {
		return
	}
	q.value, q.low, q.to = q.value+v, q.low+v, n
}

// roundMinutes says whether a number without a unit can be the minutes of "an hour and ten".
func roundMinutes(v float64) bool { return v >= 5 && int(v)%5 == 0 }

// unitFits turns down a word that is a unit only beside some numbers.
func (r *reading) unitFits(q *quantity, m *match) bool {
	t := &r.toks[m.from]
	touching := t.joint != spaced
	switch t.text {
	case "in":
		if touching {
			return true
		}
		if q.value > 12 {
			return false
		}
		if q.value != float64(int(q.value)) && !(q.value < 1 && r.toks[q.from].kind == word) { // "half in town"
			return true
		}
		n := m.to
		return n >= len(r.toks) || r.toks[n].kind == stop || r.toks[n].kind == comma ||
			r.isAny(n, "of", "behind", "deep", "clearance", "room", "space", "between", "from", "max", "at", "enough", "total", "gap")
	case "c", "f":
		return touching || q.value >= 25 || q.value < 0
	case "k":
		return touching || q.value >= 1000
	}
	return true
}

// unitAlone reads "an inch", "an hour and a half", "hour each way", where no number stands before the unit.
func (r *reading) unitAlone(i int) (quantity, bool) {
	q := quantity{from: i, low: 1, value: 1}
	at := i
	article := r.isAny(i, "a", "an", "one", "1")
	if article {
		at++
	}
	m := r.at(slotUnit, at)
	if m == nil || r.toks[m.from].taken || m.value != "in" && m.value != "h" || len(r.toks[at].text) < 4 {
		return q, false
	}
	if !article {
		_, _, half := r.fractionWords(m.to)
		if _, _, ok := r.numberAt(m.to + 1); ok && r.is(m.to, "and") && m.value == "h" { // "hour and twenty each way"
			half = true
		}
		if way := r.at(slotTrip, m.to); !half && (way == nil || way.value != "each_way" && way.value != "drive") {
			return q, false
		}
		if i > 0 && r.toks[i-1].kind == number {
			return q, false
		}
	}
	q.to = at
	none := false
	return q, r.tail(&q, &none)
}

// extend reads the second number of a range: 60-80, between 60 and 80, $60 to $80, 50 or 60 bucks.
func (r *reading) extend(q *quantity, money *bool) {
	at := q.to
	plain := r.isAny(at, "-", "to", "til", "till", "~")
	or := r.is(at, "or")
	between := q.from > 0 && r.is(at, "and") && r.nearBefore(q.from, 2, "between")
	if !plain && !or && !between {
		return
	}
	second := quantity{from: at + 1}
	i, paid := at+1, false
	if code, next, ok := r.currencyAt(i, true); ok {
		second.currency, paid, i = code, true, next
	}
	if or && r.is(i, "maybe") {
		i++
	}
	v, n, ok := r.numberAt(i)
	if !ok || v <= q.value {
		return
	}
	second.low, second.value, second.to = v, v, n
	r.tail(&second, &paid)
	if or && q.unit == "" && (second.unit == "K" || second.unit == "W" || second.unit == "lm") {
		q.unit = second.unit
		return
	}
	if or && q.unit != "" && q.unit != "min" && second.unit != "min" && !*money {
		return // 4300k or 6000k are two things
	}
	if q.unit != "" && second.unit != "" && q.unit != second.unit || *money && second.unit != "" || *money && paid && or {
		return
	}
	q.value, q.to, q.ranged = second.value, second.to, true
	if q.unit == "min" && second.unit == "" {
		return
	}
	if second.unit != "" && q.unit == "" {
		q.unit = second.unit
		if second.unit == "min" && second.value != v { // 1-2 hours: the low end is in hours too
			q.low *= 60
		}
	}
	if paid {
		*money = true
		if second.currency != "" {
			q.currency = second.currency
		}
	}
}

// nearBefore says whether one of the texts stands within n tokens before token i, in the same sentence.
func (r *reading) nearBefore(i, n int, texts ...string) bool {
	for k := i - 1; k >= 0 && k >= i-n && r.toks[k].kind != stop; k-- {
		if r.isAny(k, texts...) {
			return true
		}
	}
	return false
}

// moneyWord reads slang such as "tenner", kept in the words as "10 GBP"; a number before it multiplies.
func (r *reading) moneyWord(m *match) quantity {
	q := quantity{from: m.from, to: m.to, unit: "money"}
	value := 0.0
	k := 0
	for ; k < len(m.value) && digit(m.value[k]); k++ {
		value = value*10 + float64(m.value[k]-'0')
	}
	if k+1 < len(m.value) {
		q.currency = m.value[k+1:]
	}
	q.low, q.value = value, value
	return q
}
