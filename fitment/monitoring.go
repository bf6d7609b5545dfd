package fitment

import "math"

// halogenAmps is the running current of a halogen at 13.5 V, from its power at
// 13.2 V: power grows as volts to the 1.6 (rule of thumb, from memory), so
// current as volts to the 0.6. 55 to 57 W give 4.2 to 4.4 A.
func halogenAmps(watts float64) float64 { return watts / 13.2 * math.Pow(13.5/13.2, 0.6) }

// Load resistors as sold for this, in ohms (common practice).
var loadOhms = [2]float64{8, 6}

// amps is the bulb's current at 13.5 V.
func (b *Bulb) amps() *float64 {
	if b.Supply.Amps != nil || b.Supply.Watts == nil {
		return b.Supply.Amps
	}
	amps := *b.Supply.Watts / 13.5
	return &amps
}

func askCanbus() ToMeasure {
	return find("whether the car warns of a bulb that is out", "no",
		"Lamp cold, take one halogen out and switch the lamp on: a warning on the dash means that the car watches its bulbs. Put it back without touching the glass.")
}

const howHalogenWatts = "Read the watts on its base."

// monitoring compares the bulb's current with what the car expects of a
// halogen. CAN is only the wire that carries the message.
func monitoring(q *question) result {
	if not(q.lamp.Car.Canbus) {
		return fits("The car does not watch its bulbs.")
	}
	watched := q.watched()
	if q.lamp.Car.Canbus == nil && watched.verdict != Fits {
		return unmeasured("Whether the car watches its bulbs is not known. If it does: "+lower(watched.why),
			askCanbus()).number(q.bulb.amps(), watched.need, "A")
	}
	return watched
}

// watched is the finding for a car that watches its bulbs.
func (q *question) watched() result {
	have, limit := q.bulb.amps(), q.lamp.BulbOutA
	stated := limit != nil
	if !stated {
		if q.bulb.Supply.BulbOut == BulbOutBuiltIn {
			return fits("It is stated to satisfy a car that watches its bulbs. Cars differ: see for yourself while it can still be sent back.").number(have, "", "A")
		}
		if q.lamp.halogenWatts() == nil {
			return unmeasured("What current the halogen draws is not known, so the bulb's cannot be compared with it.",
				find(whatHalogenWatts, "", howHalogenWatts)).number(have, "", "A")
		}
		usual := q.rules.BulbOutShare.Value * halogenAmps(*q.lamp.halogenWatts())
		limit = &usual
	}
	need := atLeast(*limit)
	if have == nil {
		return lacking("The bulb's current is not recorded, and the car compares it with a halogen's.",
			"Ammeter in one lead at 13.5 V, after some minutes.").number(nil, need, "A")
	}
	switch {
	case reaches(*have, *limit) && stated:
		return fits("It draws more than the current under which this car reports a bulb out.").number(have, need, "A")
	case reaches(*have, *limit):
		return fits("It draws enough of the halogen's current for most cars. The limit is the car maker's own: see for yourself while the bulb can be sent back.").number(have, need, "A")
	}
	why := "It draws " + said(*have, "A") + "."
	switch {
	case stated:
		why += " The car reports a bulb out under " + said(*limit, "A") + "."
	case *have < q.rules.BulbOutDoubt.Value*halogenAmps(*q.lamp.halogenWatts()):
		why += " The halogen draws " + said(halogenAmps(*q.lamp.halogenWatts()), "A") + "; under half of that a warning, a flicker or a shut-off is to be expected."
	default:
		why += " The halogen draws " + said(halogenAmps(*q.lamp.halogenWatts()), "A") + "; many cars report a bulb out somewhere between half and 70 % of that, so it is doubtful."
	}
	return q.loaded(why, *limit-*have).number(have, need, "A")
}

// loaded says what a load resistor would do: current V/R, heat V²/R.
func (q *question) loaded(why string, lacking float64) result {
	ohms := 0.0
	for _, r := range loadOhms {
		if ohms == 0 && reaches(13.5/r, lacking) {
			ohms = r
		}
	}
	if ohms == 0 {
		return work(why+" One load resistor of "+said(loadOhms[1], "ohms")+" is not enough.",
			"Choose a bulb that draws more or is stated to satisfy such cars, or have the bulb check of this lamp switched off by a dealer where that is lawful.").
			buying("a decoder")
	}
	part := "a load resistor"
	if q.bulb.Supply.BulbOut == BulbOutResistor {
		part = "the load resistor from the box"
	}
	return work(why+" A load resistor of "+said(ohms, "ohms")+" adds "+said(13.5/ohms, "A")+" and turns "+said(13.5*13.5/ohms, "W")+
		" into heat at 13.5 V, "+said(14.4*14.4/ohms, "W")+" at 14.4 V, as long as the lamp is on.",
		"Choose a bulb stated to satisfy such cars, or a decoder; or have the check switched off by a dealer. If "+part+
			" is used: in parallel, on bare metal, over 50 mm from plastic, wiring and foam, never inside the lamp or taped to a loom; it reaches 100 to 200 °C.").
		buying(part)
}

// inrush compares the peak at switch-on with the halogen's own.
func inrush(q *question) result {
	have := q.bulb.Supply.Inrush
	switch {
	case not(q.lamp.Car.Canbus), q.lamp.Car.Canbus == nil && have == nil:
		return none()
	case q.lamp.halogenWatts() == nil:
		return unmeasured("What current the halogen draws is not known, so the peak at switch-on cannot be compared with it.",
			find(whatHalogenWatts, "", howHalogenWatts)).number(have, "", "A").softly(true)
	}
	limit := q.rules.InrushTimes.Value * halogenAmps(*q.lamp.halogenWatts())
	switch {
	case have == nil:
		return lacking("The peak at switch-on was not measured. An electronic fuse may take a high one for a fault.",
			"Current clamp and oscilloscope, three switch-ons, cold.").number(nil, atMost(limit), "A").softly(true)
	case *have <= limit:
		return fits("Its peak at switch-on is within what a cold halogen draws.").number(have, atMost(limit), "A")
	}
	why := "Its peak at switch-on is above what a cold halogen draws. An electronic fuse may take it for a fault."
	if q.lamp.Car.Canbus == nil {
		return unmeasured("Whether the car watches its bulbs is not known. If it does: "+lower(why), askCanbus()).
			number(have, atMost(limit), "A").softly(true)
	}
	return work(why,
		"Switch on ten times, cold, with both sides fitted. If a lamp stays dark or a warning shows, send the bulb back.").number(have, atMost(limit), "A")
}
