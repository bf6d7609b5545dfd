package fitment

import "math"

// fold brings an angle of a two-sided emitter into 0 to 90 degrees: half a turn
// changes nothing.
func fold(deg float64) float64 {
	deg = math.Mod(math.Abs(deg), 180)
	return math.Min(deg, 180-deg)
}

// worst is the larger angle that two angles of unknown direction can add up to.
func worst(a, b float64) float64 { return math.Max(fold(a+b), fold(a-b)) }

// turns reports whether the bulb can be turned in its collar; known is false
// when the record does not say.
func (b *Bulb) turns() (can, known bool) {
	switch build := b.Build; {
	case build.Clocking != "":
		return build.Clocking == ClockingAdjustable, true
	case build.Collar == CollarFriction || build.Collar == CollarSetScrew:
		return true, true
	case build.Collar == CollarFixed || build.ClockingOff != nil:
		return false, true
	}
	return false, false
}

const (
	whyClocking = "The emitters have to face 3 and 9 o'clock, so that the dark edges of the board point up and down where most lamps use least light."
	howClocking = "Phone inclinometer on the flat of the bulb's body, bulb seated, lamp level: 0 is emitters exactly to the sides."
	howForced   = "Look at the old bulb in the lamp from behind: note how far its tabs, or the flat of its base, stand turned from level, with a phone inclinometer."
)

// clocking looks at the angle of the emitters in the lamp.
func clocking(q *question) result {
	good, poor := q.rules.ClockingGood.Value, q.rules.ClockingPoor.Value
	forced, own := q.lamp.ForcedOff, q.bulb.Build.ClockingOff
	can, known := q.bulb.turns()
	askForced := measureAtMost("angle off 3 and 9 o'clock that the holder forces", good, "deg", howForced)
	if !known {
		return lacking(whyClocking+" Whether the bulb can be turned in its collar is not recorded.", howClocking).
			number(nil, atMost(good), "deg").softly(q.bulb.PatternMeasured)
	}
	if can {
		return work(whyClocking+" The bulb can be turned, so it has to be set.",
			"With the lamp level, turn the bulb until its emitters face 3 and 9 o'clock by a phone inclinometer, lock it, and keep the setting that gives the sharper cutoff.").
			number(nil, atMost(good), "deg")
	}
	if own == nil {
		return lacking(whyClocking+" The angle of this bulb, which cannot be turned, is not recorded.", howClocking).
			number(nil, atMost(good), "deg").softly(q.bulb.PatternMeasured)
	}
	if forced == nil && worst(*own, 0) <= poor {
		askForced = measureAtMost(askForced.What, math.Max(0, good-*own), "deg", howForced)
		return unmeasured(whyClocking+" Some holders turn the bulb; this one cannot be turned back.", askForced).
			number(own, atMost(good), "deg")
	}
	off := worst(*own, 0)
	if forced != nil {
		off = worst(*own, *forced)
	}
	switch grade(off, good, poor) {
	case Fits:
		return fits("The emitters face 3 and 9 o'clock.").number(&off, atMost(good), "deg")
	case NeedsWork:
		return work("The emitters stand "+degrees(off)+" off 3 and 9 o'clock and cannot be turned. That can tilt or blur the cutoff and move the hot spot aside.",
			"Compare the cutoff on the wall with the taped cutoff of the halogen, and send the bulb back if it tilts.").number(&off, atMost(good), "deg")
	}
	return no("The emitters can stand "+degrees(off)+" off 3 and 9 o'clock and cannot be turned. That scatters light and leaves a dark hole ahead.",
		"Choose a bulb that can be turned in its collar.").number(&off, atMost(good), "deg")
}
