package question

import "strings"

// placed is a place named in the question.
type placed struct {
	code     string
	from, to int
	lived    bool // "I live in …", "here in …"
}

// readPlace reads the one place that the question is about; several that do not lie in one another leave it empty.
func (r *reading) readPlace() {
	var all []placed
	for _, m := range r.found[slotPlace] {
		if c := r.covers(slotCurrency, m.from); c != nil && c.to-c.from > m.to-m.from { // NZ$90 names no place
			continue
		}
		if m.value != "none" && !r.negated(m.from, 2) && !r.namesCar(m) && !r.mountain(m) {
			all = append(all, r.place(m))
		}
	}
	for _, m := range r.found[slotShortPlace] {
		if lead := r.endsAt(slotPlaceLead, m.from-1); lead != nil && lead.value != "nation" && !r.overlaps(slotPlace, m) && !r.overlaps(slotUnit, m) {
			if code, full := strings.CutSuffix(m.value, " direction"); !full || lead.value == "direction" {
				all = append(all, r.place(match{code, m.from, m.to}))
			}
		}
	}
	for _, m := range r.found[slotDemonym] {
		after := r.at(slotPlaceLead, m.to)
		if after == nil {
			after = r.at(slotPlaceLead, m.to+1) // "Swiss mountain roads"
		}
		if after != nil && after.value == "nation" && !r.overlaps(slotPlace, m) {
			all = append(all, r.place(m))
		}
	}
	best, ok := narrow(all)
	if !ok {
		var lived []placed
		for _, p := range all {
			if p.lived {
				lived = append(lived, p)
			}
		}
		if best, ok = narrow(lived); !ok {
			return
		}
	}
	r.out.Where = Name(best.code)
	r.keep("where", best.from, best.to)
}

// namesCar says that a place word stands as the name of a car: beside a model year, as somebody's own right before a
// size, a beam or the end of a clause ("my … H7 lows"), or, if it is a town, with an article or bare before a size or
// a beam. What stands in or near a place is there, and so is who asks about the law.
func (r *reading) namesCar(m match) bool {
	if r.endsAt(slotPlaceLead, m.from-1) != nil {
		return false
	}
	if r.yearAt(m.from-1) || r.yearAt(m.to) {
		return true
	}
	lamp := m.to < len(r.toks) && r.toks[m.to].taken || r.beamAt(m.to)
	town := r.at(slotTown, m.from)
	isTown := town != nil && town.to == m.to
	if r.isAny(m.from-1, "my", "our", "his", "her") || isTown && r.isAny(m.from-1, "a", "an") { // no town has an article
		return m.to == len(r.toks) || r.toks[m.to].kind >= comma || lamp
	}
	return lamp && isTown && len(r.found[slotAsk+askLaw]) == 0
}

// mountain says whether a place is spelt as the Spanish word for a mountain.
func (r *reading) mountain(m match) bool {
	return r.is(m.from, "montana") && strings.ContainsAny(r.text[r.toks[m.from].from:r.toks[m.from].to], "ñÑ")
}

// yearAt says whether a model year stands at token i.
func (r *reading) yearAt(i int) bool {
	return i >= 0 && i < len(r.toks) && r.toks[i].kind == number && isYear(r.toks[i].text)
}

// isYear says whether text can be a model year.
func isYear(text string) bool {
	return len(text) == 4 && (text[:2] == "19" || text[:2] == "20") && digit(text[2]) && digit(text[3])
}

func (r *reading) place(m match) placed {
	return placed{m.value, m.from, m.to, r.nearBefore(m.from, 3, "live", "living", "here", "im", "am", "based", "are")}
}

// narrow gives the most exact of places that lie in one another.
func narrow(all []placed) (placed, bool) {
	var best placed
	for _, p := range all {
		switch {
		case best.code == "" || within(p.code, best.code):
			best = p
		case p.code != best.code && !within(best.code, p.code):
			return placed{}, false
		}
	}
	return best, best.code != ""
}

// within says whether place a is a part of place b by its code.
func within(a, b string) bool {
	if b == "EU" {
		return a != "EU" && len(a) == 2 && strings.Contains(memberStates, a)
	}
	return len(a) > len(b) && a[:len(b)] == b && a[len(b)] == '-'
}

// memberStates are the ISO codes of the members of the European Union.
const memberStates = "AT BE BG HR CY CZ DK EE FI FR DE GR HU IE IT LV LT LU MT NL PL PT RO SK SI ES SE"

// Air temperatures in degrees Celsius from which a climate is called hot or cold, and the bounds outside which a
// temperature is not one of the air. Judgement: design 5.8 carries body temperatures to the owner's climate.
const (
	hotFrom, coldTo    = 33, -5
	airHottest, airMin = 58, -60
)

// readClimate reads the climate from words, air temperatures, or a place whose name says it.
func (r *reading) readClimate() {
	climate, from, to, clash := "", 0, 0, false
	say := func(value string, a, b int) {
		if climate != "" && climate != value {
			clash = true
		}
		if climate == "" {
			climate, from, to = value, a, b
		}
	}
	for _, m := range r.found[slotClimate] {
		if m.value != "none" && m.value != "weather" && !r.negated(m.from, 3) && !r.general(m.from) {
			say(m.value, m.from, m.to)
		}
	}
	if i := r.aloneClimate(); i >= 0 {
		say(r.toks[i].text, i, i+1)
	}
	for i := range r.quantities {
		q := &r.quantities[i]
		if c, ok := r.airTemperature(q); ok {
			switch {
			case c >= hotFrom && c <= airHottest:
				say("hot", q.from, q.to)
			case c <= coldTo && c >= airMin:
				say("cold", q.from, q.to)
			}
		}
	}
	if clash {
		return
	}
	if climate == "" && r.out.Where != "" {
		if s := r.out.Spans["where"]; len(s) > 0 && r.words.climate[string(r.out.Where)] != "" {
			r.out.Climate, r.out.Spans["climate"] = Name(r.words.climate[string(r.out.Where)]), s
		}
		return
	}
	if climate != "" {
		r.out.Climate = Name(climate)
		r.keep("climate", from, to)
	}
}

// aloneClimate gives the place of hot or cold as a clause of its own, "taxi, hot, city"; -1 if there is none, or if
// both words stand in the question: then it is about bulbs before and after they warmed up.
func (r *reading) aloneClimate() int {
	found := -1
	for i := range r.toks {
		if !r.isAny(i, "hot", "cold") {
			continue
		}
		if found >= 0 && r.toks[found].text != r.toks[i].text {
			return -1
		}
		first := i
		for r.isAny(first-1, "very", "so", "really", "always", "too") {
			first--
		}
		if first > 0 && r.toks[first-1].kind >= comma && (i+1 == len(r.toks) || r.toks[i+1].kind >= comma) {
			found = i
		}
	}
	return found
}

// airTemperature gives the temperature of the air in degrees Celsius that a number states, if it does.
func (r *reading) airTemperature(q *quantity) (float64, bool) {
	weather := r.near(slotClimate, "weather", q.from, q.to, 8) != nil
	c := q.value
	switch q.unit {
	case "C":
	case "F":
		c = (q.value - 32) / 1.8
	case "deg":
		if q.value >= 90 {
			c = (q.value - 32) / 1.8
		}
	case "":
		if q.value >= 10 && r.is(q.to, "below") && (q.to+1 >= len(r.toks) || r.toks[q.to+1].kind >= comma || r.is(q.to+1, "zero")) {
			return -q.value, true // "40 below"
		}
		if q.value > -10 && (q.value >= 0 || !weather) {
			return 0, false
		}
	default:
		return 0, false
	}
	return c, weather || q.value < 0 && r.near(slotClimate, "none", q.from, q.to, 6) == nil
}
