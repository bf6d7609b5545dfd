package question

// Rear clearances outside these bounds, in mm, are not read: no lamp has them.
const (
	leastRoom = 10
	mostRoom  = 300
	wideRoom  = 130 // above it a length is the room only where it says so
)

// sureRoom is the score from which a length is surely one behind the lamp.
const sureRoom = 12

// readClearance reads the room that the asker measured behind a lamp.
func (r *reading) readClearance() {
	var best *quantity
	bestScore := 0
	for i := range r.quantities {
		q := &r.quantities[i]
		if q.unit == "" && q.to-q.from >= 3 && q.value != float64(int(q.value)) { // 1 3/4 from face to bottle: inches
			q.unit = "in"
		}
		scale := millimetres(q.unit)
		if scale == 0 || q.low*scale < leastRoom || q.low*scale > mostRoom {
			continue
		}
		if r.believed(mentionRoom, q) < keepFrom[mentionRoom] {
			continue
		}
		score := r.roomScore(q)
		beside := best != nil && score > 0 && r.toks[q.from].sentence == r.toks[best.from].sentence && q.from-best.to < 8
		if best != nil && bestScore >= sureRoom && (score >= sureRoom || beside) { // two measures: the tighter one counts
			if q.low*scale < best.low*millimetres(best.unit) {
				best, bestScore = q, score
			}
		} else if score > bestScore {
			best, bestScore = q, score
		}
	}
	if best != nil {
		r.out.RearClearanceMM = plain(best.low * millimetres(best.unit))
		r.keep("rear_clearance_mm", best.from, best.to)
		r.sure(mentionRoom, r.believed(mentionRoom, best))
	}
}

// millimetres is the length of a unit, 0 if it is none that people measure a lamp with.
func millimetres(unit string) float64 {
	switch unit {
	case "mm":
		return 1
	case "cm":
		return 10
	case "in":
		return 25.4
	}
	return 0
}

// roomScore says how surely a length is the room behind the lamp; 0 or less: it is not.
func (r *reading) roomScore(q *quantity) int {
	behind, other := r.roomWord(q, "behind", 8), r.roomWord(q, "other", 4)
	score := 5
	if behind == nil && q.low*millimetres(q.unit) > wideRoom {
		return 0
	}
	if behind != nil {
		score += 10 - r.gap(behind, q)
	}
	if other != nil {
		score -= 10 - 2*r.gap(other, q)
		if behind == nil || r.gap(other, q) <= r.gap(behind, q) {
			score -= 12
		}
	}
	if behind == nil && r.measuresBeam(q) {
		return 0
	}
	if r.isAny(q.from-1, "x", "by") || r.isAny(q.to, "x") {
		return 0
	}
	return score
}

// measuresBeam says whether the sentence of a length also has the distance of a wall: it then is a drop of the beam.
func (r *reading) measuresBeam(q *quantity) bool {
	for i := range r.quantities {
		if o := &r.quantities[i]; (o.unit == "ft" || o.unit == "m") && r.toks[o.from].sentence == r.toks[q.from].sentence {
			return true
		}
	}
	return false
}

// roomWord gives the nearest word of the room table within reach that is not nearer to another length.
func (r *reading) roomWord(q *quantity, value string, reach int) *match {
	m := r.near(slotRoom, value, q.from, q.to, reach)
	if m == nil {
		return nil
	}
	for i := range r.quantities {
		o := &r.quantities[i]
		if o != q && (millimetres(o.unit) > 0 || o.unit == "ft") && r.gap(m, o) < r.gap(m, q) {
			return nil
		}
	}
	return m
}
