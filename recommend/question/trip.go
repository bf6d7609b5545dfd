package question

// Trips outside these bounds, in minutes, are not read.
const (
	leastTrip = 3
	mostTrip  = 16 * 60
)

const kilometresPerMile = 1.609344 // exact, international mile

// Speeds outside these bounds, in km/h, are not read.
const (
	leastSpeed = 20
	mostSpeed  = 300
)

// timed is a time of driving.
type timed struct {
	q    *quantity
	sure bool // a word for driving or the way stands beside it
	gap  int  // tokens to that word
}

// readTripAndSpeed reads the length of one way and the speed.
func (r *reading) readTripAndSpeed() {
	r.readSpeed()
	var times []timed
	for i := range r.quantities {
		q := &r.quantities[i]
		if q.unit == "" && r.bareMinutes(q) {
			q.unit = "min"
		}
		if q.unit == "min" && q.value >= leastTrip && q.value <= mostTrip {
			t, ok := r.driveTime(q)
			p := r.believed(mentionTrip, q)
			if ok && p >= keepFrom[mentionTrip] || p >= takeFrom[mentionTrip] {
				times = append(times, t)
				r.sure(mentionTrip, p)
			}
		}
	}
	if len(times) == 0 {
		return
	}
	minutes, from, to, ok := r.oneWay(times)
	if !ok || minutes > mostTrip {
		return
	}
	r.out.TripMin = plain(minutes)
	r.keep("trip_min", from, to)
}

func (r *reading) readSpeed() {
	for i := range r.quantities {
		q := &r.quantities[i]
		v := q.value
		unit := q.unit
		if unit == "" {
			if unit = r.bareSpeed(q); unit == "" {
				unit = r.likelySpeed(q)
			}
		} else if unit == "km" && v <= bareTo && r.isAny(q.from-1, "at", "doing", "@") { // "at eighty k's"
			unit = "kmh"
		}
		if unit == "mph" {
			v *= kilometresPerMile
		} else if unit != "kmh" {
			continue
		}
		p := r.believed(mentionSpeed, q)
		if p < keepFrom[mentionSpeed] {
			continue
		}
		if v < leastSpeed || v > mostSpeed || r.out.SpeedKmh != nil && *r.out.SpeedKmh >= v {
			continue
		}
		r.out.SpeedKmh = plain(v)
		delete(r.out.Spans, "speed_kmh")
		r.keep("speed_kmh", q.from, q.to)
		r.sure(mentionSpeed, p)
	}
}

// A bare number is a speed between these; which unit is told by the number, the roads and the place.
const (
	bareFrom, bareTo = 40, 180
	bareKmhFrom      = 90 // nobody drives that many miles per hour by the numbers on the signs
)

// bareMinutes says whether a number without a unit is minutes: "forty five there, forty five back".
func (r *reading) bareMinutes(q *quantity) bool {
	return q.value >= leastTrip && q.value <= 240 && r.toks[q.from].joint == spaced && (r.isAny(q.to, "there") && !r.is(q.to+1, "is") || r.is(q.to, "each") && r.is(q.to+1, "way")) &&
		!r.isAny(q.from-1, "out", "over", "up")
}

// bareSpeed gives the unit of a number without one that stands as a speed beside a road: "autobahn 130", "at sixty on
// A-roads", "autoroute à 130"; "" if it is none, or could be in either unit.
func (r *reading) bareSpeed(q *quantity) string {
	if r.toks[q.from].joint == glued && !r.is(q.from-1, "@") || q.value != float64(int(q.value)) || int(q.value)%5 != 0 || q.value < bareFrom || q.value > bareTo {
		return ""
	}
	if q.to < len(r.toks) && r.toks[q.to].kind < comma && !r.isAny(q.to, "for", "or", "and", "with", "then", "all", "each", "on", "in", "every", "along", "down", "through", "max", "most", "to") {
		return ""
	}
	if r.at(slotPer, q.to) != nil || r.limitNear(q) && !r.isAny(q.from-1, "at", "doing", "bei") {
		return ""
	}
	lead := r.isAny(q.from-1, "at", "doing", "bei", "a", "@", "op", "around", "cruise", "cruising", "mit") && !(r.is(q.from-1, "a") && r.wordsEnglish())
	road := r.endsAt(slotDriving, q.from-1)
	if road != nil && road.value == "highway" && int(q.value)%10 == 0 && q.to-q.from == 1 && r.isAny(q.from-1, "autobahn", "autoroute", "autostrada", "motorway", "highway", "autopista", "snelweg") {
		if q.value >= 100 && !r.isAny(q.from-1, "highway") || q.value >= 120 { // "highway 90" is the road's number
			return "kmh"
		}
		return ""
	}
	if !lead {
		return ""
	}
	road = nil
	reach := 5
	if q.to >= len(r.toks) || r.toks[q.to].kind >= comma { // "… of county road to the plant, at fifty five."
		reach = 14
	}
	for i := range r.found[slotDriving] {
		m := &r.found[slotDriving][i]
		if m.value != "none" && m.value != "rain" && m.value != "fog" && m.value != "snow" && r.toks[m.from].sentence == r.toks[q.from].sentence && r.gap(m, q) <= reach && (road == nil || r.gap(m, q) < r.gap(road, q)) {
			road = m
		}
	}
	if road == nil {
		if q.value < bareKmhFrom && r.numberedRoad(q) { // "up the A9 at sixty"
			return "mph"
		}
		return ""
	}
	miles := r.milesRoad(road)
	switch {
	case q.value >= bareKmhFrom && !miles:
		return "kmh"
	case q.value < bareKmhFrom && (miles || r.milesPlace()):
		return "mph"
	case r.isAny(road.from, "landstrasse", "autobahn", "autoroute", "snelweg", "autopista", "autostrada"):
		return "kmh"
	}
	return ""
}

// likelySpeed gives the unit of a number without one that is a speed by the words around it; "" if it is none.
func (r *reading) likelySpeed(q *quantity) string {
	if q.value != float64(int(q.value)) || int(q.value)%5 != 0 || q.value < bareFrom || q.value > bareTo || q.ranged || !r.isAny(q.from-1, "at", "doing", "around", "about") ||
		q.to < len(r.toks) && r.toks[q.to].kind < comma && !r.isAny(q.to, "then", "and", "on", "for", "all", "most") || r.believed(mentionSpeed, q) < takeFrom[mentionSpeed] {
		return ""
	}
	switch {
	case q.value >= bareKmhFrom && !r.milesPlace():
		return "kmh"
	case q.value < bareKmhFrom && !r.metricPlace():
		return "mph"
	}
	return ""
}

// metricPlace says whether a place or a currency is named of a country whose signs are in kilometres.
func (r *reading) metricPlace() bool {
	for _, m := range r.found[slotPlace] {
		if len(m.value) >= 2 && m.value[:2] != "US" && m.value[:2] != "GB" {
			return true
		}
	}
	for i := range r.quantities {
		if c := r.quantities[i].currency; c != "" && c != "GBP" && c != "USD" {
			return true
		}
	}
	return false
}

// numberedRoad says whether a British road number stands just before a quantity: A9, B4391, M62.
func (r *reading) numberedRoad(q *quantity) bool {
	for k := q.from - 1; k > 0 && k >= q.from-5; k-- {
		if r.toks[k].kind == number && r.toks[k].joint == glued && r.isAny(k-1, "a", "b", "m") {
			return true
		}
	}
	return false
}

// wordsEnglish says whether the token before a number can only be the English article.
func (r *reading) wordsEnglish() bool { return !r.has(slotDriving, "highway") || r.hasAnyToken("the") }

// milesRoad says whether a road is one of a country whose signs are in miles.
func (r *reading) milesRoad(m *match) bool {
	for k := m.from; k < m.to; k++ {
		if r.isAny(k, "interstate", "interstates", "turnpike", "freeway", "freeways", "county", "carriageway", "carriageways", "motorway", "motorways") || k+1 < len(r.toks) && len(r.toks[k].text) == 1 && r.isAny(k, "a", "b") {
			return true
		}
	}
	return false
}

// milesPlace says whether the asker speaks of money, miles or a place of such a country.
func (r *reading) milesPlace() bool {
	for i := range r.quantities {
		if q := &r.quantities[i]; q.currency == "GBP" || q.unit == "mile" || q.unit == "mph" {
			return true
		}
	}
	for _, m := range r.found[slotPlace] {
		if len(m.value) >= 2 && (m.value[:2] == "US" || m.value[:2] == "GB") {
			return true
		}
	}
	return false
}

// driveTime says whether a time is one of driving, and how surely.
func (r *reading) driveTime(q *quantity) (timed, bool) {
	t := timed{q: q}
	cue := r.near(slotTrip, "drive", q.from, q.to, 6)
	way := r.near(slotTrip, "each_way", q.from, q.to, 4)
	if way == nil {
		way = r.near(slotTrip, "both_ways", q.from, q.to, 6)
	}
	other := r.near(slotTrip, "other", q.from, q.to, 4)
	if r.is(q.from-1, "another") && r.is(q.from-2, "then") {
		return t, true
	}
	if r.isAny(q.to, "shift", "shifts") {
		return t, false
	}
	if r.is(q.to, "there") && way == nil {
		t.sure = true
		return t, true
	}
	if way != nil {
		t.sure, t.gap = true, r.gap(way, q)
		return t, true
	}
	road := r.roadGap(q)
	if other != nil && road <= 4 && road <= r.gap(other, q) {
		return t, true
	}
	if other != nil && (cue == nil || r.gap(other, q) <= r.gap(cue, q)) {
		return t, false
	}
	if cue != nil {
		t.sure, t.gap = true, r.gap(cue, q)
		return t, true
	}
	if other != nil {
		return t, false
	}
	if road <= 6 { // "25 min of motorway", "suburbs, 25 min"
		return t, true
	}
	// A time alone between commas or full stops: "H4, 25 min"; ". Roughly 25 min."
	from := q.from
	for r.isAny(from-1, "roughly", "about", "around", "approx", "maybe", "say", "only", "just", "circa", "approximately") {
		from--
	}
	return t, (from == 0 || r.toks[from-1].kind >= comma) && (q.to == len(r.toks) || r.toks[q.to].kind >= comma)
}

// roadGap is the distance in tokens to the nearest road or weather of the same sentence.
func (r *reading) roadGap(q *quantity) int {
	least := 1 << 20
	for k := range r.found[slotDriving] {
		m := &r.found[slotDriving][k]
		if r.toks[m.from].sentence == r.toks[q.from].sentence {
			least = min(least, r.gap(m, q))
		}
	}
	return least
}

// oneWay makes one way of the times of driving: stages are summed, there and back is halved.
func (r *reading) oneWay(times []timed) (minutes float64, from, to int, ok bool) {
	first := times[0]
	minutes, from, to = first.q.value, first.q.from, first.q.to
	stages := 1
	for i := 1; i < len(times); i++ {
		q, before := times[i].q, times[i-1].q
		switch {
		case r.stage(before, q):
			minutes, to, stages = minutes+q.value, q.to, stages+1
		case q.value == first.q.value && !r.isAny(q.from-1, "another"):
		case times[i].sure && (!first.sure || stages == 1 && times[i].gap < first.gap && first.gap > 2):
			minutes, from, to, first, stages = q.value, q.from, q.to, times[i], 1
		case times[i].sure && first.sure && r.near(slotTrip, "each_way", q.from, q.to, 4) != nil && stages == 1:
			minutes, from, to, first = q.value, q.from, q.to, times[i]
		}
	}
	if stages == 1 && r.near(slotTrip, "both_ways", from, to, 8) != nil && r.near(slotTrip, "each_way", from, to, 3) == nil {
		back := len(times) > 1 && times[1].q.value == first.q.value // "40 min there, 40 min back"
		if !back {
			minutes /= 2
		}
	}
	return minutes, from, to, true
}

// stage says whether b is the next stage of the way after a: "20 min of lanes then 35 of motorway".
func (r *reading) stage(a, b *quantity) bool {
	if r.toks[a.from].sentence != r.toks[b.from].sentence {
		return false
	}
	if r.is(b.from-1, "another") && r.between(a.to, b.from, "then", "and", "stop") { // "20 min, a stop, then another 20"
		return true
	}
	if r.near(slotTrip, "each_way", b.from, b.to, 0) != nil && a.value == b.value { // "50 min there and 50 min back"
		return false
	}
	for i := range r.found[slotTrip] {
		if m := &r.found[slotTrip][i]; m.value == "next_stage" && m.from >= a.to && m.to <= b.from {
			return true
		}
	}
	road := func(from, to int) bool {
		for i := range r.found[slotDriving] {
			if m := &r.found[slotDriving][i]; m.value != "none" && m.from >= from && m.from < to {
				return true
			}
		}
		return false
	}
	return r.between(a.to, b.from, "and", "+", "&", "plus", ",") && (road(a.to, b.from) || road(b.to, b.to+6))
}
