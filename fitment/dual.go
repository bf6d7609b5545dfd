package fitment

// cup asks for the ledge under the low emitters. In an H4 and its like the low
// filament sits ahead of the focus above a metal cup that hides it from the
// lower half of the reflector; a bulb without one throws its low beam upward.
// H13, HB1 and HB5 halogens have no cup: there the lamp does it.
func cup(q *question) result {
	if !q.lamp.twoBeams() {
		return none()
	}
	const why = "In this size a metal cup under the low filament keeps the low beam down."
	switch size := q.lamp.Of.LowCup; {
	case not(size):
		return fits("The halogen of this size has no cup either; the lamp keeps the low beam down.")
	case yes(q.bulb.Build.Cup):
		return fits("The low emitters have a cup or ledge under them, as the halogen has.")
	case size == nil:
		return unmeasured("Whether the halogen of this size has a cup under its low filament is not known here, and without one in the bulb that decides.",
			find("whether the halogen has a metal cup under its front filament", "no cup", "Look into the old halogen from the side: a small metal trough under the filament nearer the tip is the cup."))
	case q.bulb.Build.Cup == nil:
		return lacking(why+" Whether this bulb has one is not recorded.", "Look at the bulb from the side: a ledge or trough under the emitters nearer the tip, shading downward.")
	}
	return no(why+" This bulb has none: its low beam throws light upward and dazzles.",
		"Choose a bulb with a cup or ledge under the low emitters, or stay with the halogen.")
}

// highBeam asks whether high beam lights the high emitters alone.
func highBeam(q *question) result {
	if !q.lamp.twoBeams() {
		return none()
	}
	switch alone := q.bulb.Build.HighAlone; {
	case alone == nil:
		return lacking("Whether high beam lights the high emitters alone, or low and high together, is not recorded. Both together double the load on the driver.",
			"Photograph the bulb from the side on high beam, at a short exposure, and see which emitters are lit. Do not look into the light.").softly(true)
	case *alone:
		return fits("High beam lights the high emitters alone.")
	}
	return work("High beam leaves the low emitters lit. That doubles the load on the driver and brightens the foreground.",
		"On the wall, see that the hot spot rises and comes to the centre on high beam, and that high beam is still as bright after 30 minutes. If not, send the bulb back.")
}
