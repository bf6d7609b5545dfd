package fitment

const howRear = "Lamp off and cold: depth of the closed cap from its rim, plus the depth from the lamp's rim down to the bulb flange; or press a ball of putty on the old bulb, close the cap, and measure what is left of it."
const howOpen = "Cap off, lamp off and cold: ruler from the bulb flange straight back to the next hard object (battery, washer neck, wing)."

// rear compares what is behind the flange with the room there. The bulb's length
// includes its plug; the cable needs room to turn on top of it.
func rear(q *question) result {
	b, l := q.bulb, q.lamp
	if b.Build.Rear == nil {
		return lacking("The length behind the flange is not recorded.", "Calliper or ruler from the flange to the rearmost hard point, plug included, to 1 mm.")
	}
	bend := q.rules.BendStraight.Value
	if b.Build.PlugAngle == PlugRight {
		bend = q.rules.BendRight.Value
	}
	if b.Build.CableBend != nil {
		bend = *b.Build.CableBend
	}
	length, spare := *b.Build.Rear+bend, q.rules.RearSpare.Value
	open, room := l.RearOpen, l.Rear
	if l.Cap == CapNone && open != nil {
		room = open
	}
	long := "With room for the cable to turn, the bulb needs " + said(length, "mm") + " behind the flange."
	if room == nil {
		if open != nil && !reaches(*open-length, 0) {
			return q.tooLong(long, &length, *open)
		}
		ask := measureAtLeast("rear clearance: flange to the inside of the closed cap", length+spare, "mm", howRear)
		if l.Cap == CapNone {
			ask = measureAtLeast("rear clearance: flange to the next hard object", length+spare, "mm", howOpen)
		}
		return unmeasured(long, ask).number(&length, "", "mm")
	}
	need := upTo(*room - spare)
	switch left := *room - length; {
	case reaches(left, spare):
		return fits(long+" There is room for it.").number(&length, need, "mm")
	case reaches(left, 0):
		return q.tight(long+" That leaves "+said(max(0, left), "mm")+".").number(&length, need, "mm")
	case l.Cap == CapNone || open != nil && !reaches(*open-length, 0):
		if open == nil {
			open = room
		}
		return q.tooLong(long, &length, *open)
	case open == nil:
		return unmeasured(long+" The closed cap leaves no room for that. A deeper cap may, if there is space behind the lamp.",
			measureAtLeast("space behind the lamp: flange to the next hard object, cap off", length, "mm", howOpen)).number(&length, need, "mm")
	}
	return work(long+" The closed cap leaves no room for that, but there is space behind the lamp.",
		"Fit a deeper cap made for this lamp, closed all round, with a sealed grommet where a cable passes. The lamp must stay closed: water and dust would get in.").
		buying("a deeper cap").number(&length, need, "mm")
}

func (q *question) tight(why string) result {
	air, touch, cap := " That is little air for a heatsink.", "See that the cap closes without touching the bulb or trapping the cable", " with the cap on"
	if q.bulb.Build.Cooling == CoolingFan {
		air = " A fan needs more air than that and blows its own warm air around."
	}
	if q.lamp.Cap == CapNone {
		touch, cap = "See that the bulb and its cable touch nothing", ""
	}
	return work(why+air, touch+", and compare the light again after 30 minutes"+cap+". If it has faded more than on the bench, send the bulb back.")
}

func (q *question) tooLong(why string, length *float64, open float64) result {
	there := " Even with a deeper cap there are only "
	if q.lamp.Cap == CapNone {
		there = " There are only "
	}
	return no(why+there+said(open, "mm")+" behind the lamp.",
		"Choose a bulb that is shorter behind the flange.").number(length, atMost(open), "mm")
}

// capDiameter compares the body with the opening it has to go into.
func capDiameter(q *question) result {
	body, room, spare := q.bulb.Build.BodyDia, q.lamp.CapDia, q.rules.TurnSpare.Value
	switch {
	case q.lamp.Cap == CapNone:
		return none()
	case body == nil:
		return lacking("The diameter of the body is not recorded.", "Calliper across the body at its widest point, to 0.5 mm.")
	case room == nil:
		return unmeasured("The body is "+said(*body, "mm")+" wide and has to go through the opening behind the lamp and under its cap.",
			askOpening(*body+spare)).number(body, "", "mm")
	}
	need := upTo(*room - spare)
	switch left := *room - *body; {
	case reaches(left, spare):
		return fits("The body goes through the opening and under the cap.").number(body, need, "mm")
	case reaches(left, 0):
		return work("The body goes through the opening with very little room.",
			"Try it by hand with the lamp cold, and see that the cap closes without touching it.").number(body, need, "mm")
	}
	return no("The body is wider than the opening behind the lamp.", "Choose a bulb with a slimmer body.").number(body, need, "mm")
}
