package fitment

import (
	"strings"

	"stillbright/data"
)

// known returns the one value that is known, or all it could be.
func known(value string, all ...string) []string {
	for _, v := range all {
		if v == value {
			return []string{value}
		}
	}
	return all
}

// heat asks whether the lamp bears the bulb's heat: an LED sends it backward,
// into a closed space made for a halogen that sent it forward.
func heat(q *question) result {
	watts, halogen := q.bulb.Supply.Watts, q.lamp.halogenWatts()
	if watts == nil {
		return lacking("Its power was not measured, and claims on the box do not count.", "Volts times amps at 13.5 V, after some minutes.")
	}
	var askWatts []ToMeasure
	if halogen == nil {
		askWatts = append(askWatts, measureAtLeast(whatHalogenWatts, *watts, "W", howHalogenWatts))
	}
	if halogen != nil && *watts > *halogen+noise {
		return no("It takes more power than the halogen the lamp, its holder and its wiring were made for.",
			"Choose a bulb of no more than "+said(*halogen, "W")+".").number(watts, atMost(*halogen), "W")
	}
	if q.lamp.Beam == data.BeamFog && *watts > q.rules.FogWatts.Value {
		return work("A fog lamp is small, closed and of plastic.",
			"Choose a bulb of less power; or look for a hot lens and a soft holder after 30 minutes, and send the bulb back if you find one.").
			number(watts, atMost(q.rules.FogWatts.Value), "W").also(askWatts...)
	}
	coolings := known(q.bulb.Build.Cooling, CoolingFan, CoolingFins, CoolingBraid)
	caps := known(q.lamp.Cap, CapHard, CapBoot, CapVented, CapNone)
	climates := known(q.lamp.Car.Climate, ClimateHot, ClimateMild, ClimateCold)
	// The first bad outcome over everything that may still be the case.
	var bad result
	good := 0
	for _, cooling := range coolings {
		for _, cap := range caps {
			for _, climate := range climates {
				r := q.closedHeat(*watts, cooling, cap, climate)
				if r.verdict == Fits {
					good++
				} else if !bad.applies {
					bad = r
				}
			}
		}
	}
	var r result
	switch {
	case bad.applies && good == 0 && len(coolings) == 1:
		r = bad
	case bad.applies && len(coolings) > 1:
		r = lacking("How it sheds its heat is not recorded, and "+said(*watts, "W")+" may be too much behind a closed cap.",
			"Look at the back of the bulb: a fan, bare fins, or straps of braid.")
	case bad.applies:
		var ask []ToMeasure
		if len(caps) > 1 {
			ask = append(ask, askCap())
		}
		if len(climates) > 1 {
			ask = append(ask, find("climate it is driven in", "mild or cold", "Hot is where summer traffic stands in 35 °C and more."))
		}
		r = unmeasured("It depends on the car. "+bad.why, ask...).number(watts, bad.need, "W")
	case halogen == nil:
		return unmeasured("Whether it takes more power than the halogen is not known.", askWatts...).number(watts, "", "W")
	default:
		r = fits("The lamp bears its heat.")
	}
	need := r.need
	switch {
	case need != "":
	case q.lamp.Beam == data.BeamFog:
		need = atMost(q.rules.FogWatts.Value)
	case halogen != nil:
		need = atMost(*halogen)
	}
	return r.also(askWatts...).number(watts, need, "W")
}

// closedHeat is the finding for one kind of cooling, cap and climate.
func (q *question) closedHeat(watts float64, cooling, cap, climate string) result {
	closed := cap == CapHard || cap == CapBoot
	const fix = "Fit a deeper cap that gives the heatsink more air, closed all round, or a bulb of less power; and compare the light again after 30 minutes with the cap on."
	switch {
	case closed && cooling == CoolingBraid:
		return work("Straps of braid work only when they are spread out.",
			"Spread the straps evenly in the cap, not bundled, and keep them off the terminals with insulation.")
	case closed && cooling == CoolingFins && watts > q.rules.FinsWatts.Value:
		return work(said(watts, "W")+" is much for bare fins behind a closed cap.", fix).number(&watts, atMost(q.rules.FinsWatts.Value), "W")
	case closed && climate == ClimateHot && watts > q.rules.ClosedHot.Value:
		return work(said(watts, "W")+" is much behind a closed cap in a hot climate: the air there reaches 60 to 85 °C in summer traffic.", fix).
			number(&watts, atMost(q.rules.ClosedHot.Value), "W")
	}
	return fits("")
}

// ingress reads the two numerals of an ingress code such as IP67 or IP6K9K. An
// X is a numeral that was not tested.
func ingress(code string) (dust, water int, ok bool) {
	code = strings.ToUpper(strings.TrimSpace(code))
	code, found := strings.CutPrefix(code, "IP")
	if !found {
		return 0, 0, false
	}
	code = strings.ReplaceAll(strings.TrimSpace(code), "K", "")
	if len(code) != 2 {
		return 0, 0, false
	}
	numeral := func(c byte) (int, bool) {
		if c == 'X' {
			return 0, true
		}
		return int(c - '0'), c >= '0' && c <= '9'
	}
	dust, first := numeral(code[0])
	water, second := numeral(code[1])
	return dust, water, first && second
}

// water asks whether the back of the bulb bears spray, where it is in the open.
// A code says which part was tested; one for the driver alone says nothing of a
// fan bearing.
func water(q *question) result {
	caps := known(q.lamp.Cap, CapHard, CapBoot, CapVented, CapNone)
	if len(caps) == 1 && caps[0] != CapNone {
		return fits("The bulb sits inside the closed lamp. It stays dry as long as the cap stays on and seals.")
	}
	leastDust, leastWater := q.rules.DustNumeral.Value, q.rules.SprayNumeral.Value
	need := "IP" + bare(leastDust) + bare(leastWater)
	dust, spray, ok := ingress(q.bulb.Build.IngressBody)
	enough := ok && float64(dust) >= leastDust && float64(spray) >= leastWater
	switch {
	case enough && (spray == 7 || spray == 8):
		return fits("Dust does it no harm, and water was tested by immersion. That promises nothing against a jet: keep a pressure washer away from it.").
			word(q.bulb.Build.IngressBody, need)
	case enough:
		return fits("Dust and spray do it no harm.").word(q.bulb.Build.IngressBody, need)
	case len(caps) > 1:
		return unmeasured("Behind some lamps the back of the bulb is in the open, and this one is not known to bear spray.",
			askCap()).word(q.bulb.Build.IngressBody, need)
	case !ok:
		return lacking("The back of the bulb is in the open. What spray it bears is not recorded.", "Ask the seller which part the ingress code is for, and for the code of the weakest part, fan included.").word("", need)
	}
	return work("The back of the bulb is in the open, and "+q.bulb.Build.IngressBody+" promises too little against road dust or spray.",
		"Fit a sealed boot over the back of the lamp with a grommet for the cable, or choose a bulb with a higher code for the whole bulb.").
		buying("a sealed boot").word(q.bulb.Build.IngressBody, need)
}
