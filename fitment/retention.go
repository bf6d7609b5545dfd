package fitment

// collar looks at how the ring with the tabs is held on the bulb.
func collar(q *question) result {
	switch kind := q.bulb.Build.Collar; kind {
	case CollarFixed:
		return fits("The collar is one piece with the body.").word(kind, "")
	case CollarRemovable:
		return fits("The collar comes off: lock it in the lamp first, then put the body in.").word(kind, "")
	case CollarSetScrew:
		return fits("The collar is locked by a set screw. Secure the screw with thread lock once the beam is right.").word(kind, "")
	case CollarFriction:
		return work("The collar is held by friction alone and can drift with vibration.",
			"Mark the collar against the body once the beam is right, and look at the mark again after a week.").word(kind, "")
	}
	return lacking("How the collar is held on the bulb is not recorded.",
		"Look at the ring with the tabs: one piece with the body, twisted off, moved by hand against an O-ring, or held by a small hex screw.")
}

// retention asks whether what holds the halogen holds the bulb.
func retention(q *question) result {
	switch q.lamp.Retention {
	case HeldByClip, HeldBySpring:
		return q.held()
	case HeldByTwist:
		return q.twisted()
	case HeldByCarrier:
		return q.carried()
	}
	return unmeasured("How the lamp holds its bulb is not known.",
		find("how the lamp holds its bulb", "",
			"Cap off, lamp off and cold: is the old bulb held by a wire clip, by a quarter turn, by a spring, or in a carrier that comes out with it?"))
}

// held compares the collar with the flange under a wire clip or a spring. A
// clip latches over the flange; a collar that seats on one edge tilts the
// emitters.
func (q *question) held() result {
	thick, flange := q.bulb.Build.CollarThick, q.lamp.Flange
	good, poor := q.rules.CollarGood.Value, q.rules.CollarPoor.Value
	if thick == nil {
		return lacking("The thickness of the collar under the clip is not recorded. A clip does not latch over one that is too thick.",
			"Calliper over the collar where the clip bears, to 0.1 mm.")
	}
	if flange == nil {
		return unmeasured("The collar is "+said(*thick, "mm")+" thick where the clip bears; the clip was made for the halogen's flange.",
			measureAtLeast("thickness of the old bulb's flange under the clip", max(0, *thick-good), "mm",
				"Calliper over the old bulb's metal flange where the clip bears, to 0.1 mm.")).number(thick, "", "mm")
	}
	need := atMost(*flange + good)
	switch grade(*thick-*flange, good, poor) {
	case Fits:
		return fits("The clip latches over the collar. See that the flange lies flat all round.").number(thick, need, "mm")
	case NeedsWork:
		return work("The collar is "+said(*thick-*flange, "mm")+" thicker than the halogen's flange. The clip may latch only just.",
			"Try it by hand: the clip must reach its hook easily, and the flange must lie flat all round. If not, send the bulb back.").number(thick, need, "mm")
	}
	return no("The collar is "+said(*thick-*flange, "mm")+" thicker than the halogen's flange: the clip does not latch. A clip that has been strained holds no bulb straight.",
		"Choose a bulb with a thinner collar.").number(thick, need, "mm")
}

// twisted asks whether the bulb can make its quarter turn.
func (q *question) twisted() result {
	spare := q.rules.TurnSpare.Value
	switch q.bulb.Build.Collar {
	case CollarRemovable, CollarFriction, CollarSetScrew:
		return fits("The collar turns into its lock without the body.")
	}
	body, room := q.bulb.Build.BodyDia, q.lamp.CapDia
	roomy := body != nil && room != nil && reaches(*room-*body, spare)
	switch {
	case roomy:
		return fits("The body has room for its quarter turn.").number(body, upTo(*room-spare), "mm")
	case q.bulb.Build.Collar != CollarFixed:
		return lacking("Whether the collar turns without the body is not recorded, and the body may not have room for the quarter turn.",
			"See whether the ring with the tabs comes off the body.")
	case body == nil:
		return lacking("The body has to make the quarter turn with its collar, and its diameter is not recorded.", "Calliper across the body at its widest point, to 0.5 mm.")
	case room == nil:
		return unmeasured("The body, "+said(*body, "mm")+" wide, has to make the quarter turn with its collar.",
			askOpening(*body+spare)).number(body, "", "mm")
	}
	return no("The body is too wide to make its quarter turn in this opening.", "Choose a bulb with a removable collar or a slimmer body.").
		number(body, upTo(*room-spare), "mm")
}

// carried asks for the ring that a carrier needs.
func (q *question) carried() result {
	const ring = "the adapter ring for this lamp's carrier"
	switch included := q.bulb.Build.Adapter; {
	case included == nil:
		return lacking("This lamp holds its bulb in a carrier, which needs an adapter ring. Whether one is in the box is not recorded.",
			"Look into the box, or ask the seller for the part number of the ring.")
	case !*included:
		return work("This lamp holds its bulb in a carrier, and no adapter ring is in the box.",
			"Find the part number of "+ring+" and order it with the bulb. Low and high beam of one car can need different rings.").buying(ring)
	case yes(q.lamp.AdapterOK):
		return fits("The adapter ring in the box is the one for this lamp's carrier.")
	}
	return work("This lamp holds its bulb in a carrier. A ring is in the box, but carriers differ.",
		"Compare the ring with the old bulb's carrier before anything is connected; if it is another one, find the part number of "+ring+".")
}

// weight looks at what hangs behind the flange.
func weight(q *question) result {
	limit := q.rules.Mass.Value
	why := ""
	switch {
	case q.lamp.Car.Cycle:
		why = "A motorcycle shakes its lamp more than a car."
	case q.lamp.Retention == HeldByClip || q.lamp.Retention == HeldBySpring:
		why = "Behind a clip a heavy bulb droops and hums on rough roads."
	default:
		return none()
	}
	mass := q.bulb.Build.Mass
	if mass == nil {
		return lacking(why+" The mass is not recorded.", "Weigh one bulb on a kitchen scale.").number(nil, atMost(limit), "g").softly(true)
	}
	if *mass <= limit {
		return fits("The bulb is light enough for what holds it.").number(mass, atMost(limit), "g")
	}
	return work(why+" This bulb has "+said(*mass, "g")+"; a halogen has 20 to 30.",
		"Tie the cable so that it does not hang on the bulb. Tap the lamp with the engine idling and watch the beam on a wall: it must not shake more than the halogen's.").
		number(mass, atMost(limit), "g")
}

// seating looks at whether the bulb gives the same beam each time it is fitted.
func seating(q *question) result {
	limit, spread := q.rules.SeatingSpread.Value, q.bulb.SpreadPct
	switch {
	case spread == nil:
		return lacking("Whether it gives the same light each time it is fitted was not measured.",
			"Take it out and seat it again three times or more at the bench, and note the hot-spot lux each time.").number(nil, atMost(limit), "%").softly(true)
	case *spread <= limit:
		return fits("It gave about the same light each time it was fitted.").number(spread, atMost(limit), "%")
	}
	return work("Its light changed by "+said(*spread, "%")+" from one fitting to the next: the collar does not seat the same way twice.",
		"Mark the collar against the body, seat it two or three times and keep the seating with the cleaner cutoff.").number(spread, atMost(limit), "%")
}
