package fitment

// hole compares what goes through the lamp's bulb hole with the hole.
func hole(q *question) result {
	part, room := q.bulb.Build.FrontDia, q.lamp.Hole
	if part == nil {
		return lacking("The diameter of the part that goes through the hole is not recorded.",
			"Calliper across everything ahead of the flange, at the widest point, to 0.1 mm.")
	}
	spare := q.rules.HoleSpare.Value
	if room == nil {
		return unmeasured("The front part is "+said(*part, "mm")+" wide and has to pass the bulb hole.",
			measureAtLeast("diameter of the bulb hole", *part+spare, "mm",
				"Lamp off and cold, old bulb out: calliper across the hole in the lamp; do not touch the reflector.")).number(part, "", "mm")
	}
	need := upTo(*room - spare)
	switch {
	case reaches(*room-*part, spare):
		return fits("It passes the bulb hole.").number(part, need, "mm")
	case reaches(*room-*part, 0):
		return work("It passes the bulb hole with very little room.",
			"Try it by hand with the lamp cold. It must slide in under its own weight; if it does not, send it back.").number(part, need, "mm")
	}
	return no("The front part is wider than the bulb hole.", "Choose a bulb with a narrower front part.").number(part, need, "mm")
}

// front compares the length ahead of the flange with the room there.
func front(q *question) result {
	tip, room := q.bulb.Build.Tip, q.lamp.Front
	good, least := q.rules.FrontGood.Value, q.rules.FrontLeast.Value
	if tip == nil {
		return lacking("The length ahead of the flange is not recorded.", "Depth gauge or calliper from the flange to the tip, to 0.5 mm.")
	}
	if room == nil {
		return unmeasured("The bulb reaches "+said(*tip, "mm")+" ahead of the flange; a bulb shield or hood may stand in its way.",
			measureAtLeast("front clearance: flange to the nearest shield, hood or lens", *tip+good, "mm",
				"Lamp off and cold, old bulb out: push a soft straw gently through the hole to the nearest shield or lens and mark it at the flange face.")).
			number(tip, "", "mm")
	}
	need := upTo(*room - good)
	switch spare := *room - *tip; {
	case reaches(spare, good):
		return fits("There is room ahead of the tip.").number(tip, need, "mm")
	case reaches(spare, least):
		return work("Only "+said(spare, "mm")+" are left ahead of the tip.",
			"Try it by hand with the lamp cold. If anything touches or rattles, send it back.").number(tip, need, "mm")
	}
	return no("The tip touches, or nearly touches, what is in front of it. It would rattle, scratch the reflector, heat the lens or block a shutter.",
		"Choose a bulb that is shorter ahead of the flange.").number(tip, need, "mm")
}
