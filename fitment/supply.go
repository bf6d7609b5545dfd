package fitment

import "stillbright/data"

// A 12 V car charges at 13.5 to 14.7 V (common practice); 6 and 24 V systems in
// proportion. LED sources under UN rules are expected to work over 9 to 16 V
// and 16 to 32 V (UN GRE-81-04); a nominal voltage is read as that range.
const (
	chargeLow, chargeHigh = 13.5, 14.7
	workLow, workHigh     = 9.0, 16.0
	workLow24             = 16.0
)

// system is the nominal voltage that a voltage at the plug belongs to.
func system(volts float64) float64 {
	switch {
	case volts < 9:
		return 6
	case volts < 18:
		return 12
	}
	return 24
}

// bears is the supply range of the bulb, with a nominal voltage opened to the
// range it stands for. A halogen without a mark is the 12 V type of its size.
func (b *Bulb) bears() (low, high *float64) {
	low, high = b.Supply.VoltsMin, b.Supply.VoltsMax
	if b.Kind == data.KindHalogen && low == nil && high == nil {
		nominal := 12.0
		low, high = &nominal, &nominal
	}
	if high == nil || !nominal(*high) {
		return low, high
	}
	most := workHigh * *high / 12
	if low != nil && nominal(*low) {
		least := workLow * *low / 12
		if *low == 24 {
			least = workLow24
		}
		low = &least
	}
	return low, &most
}

// nominal reports whether a voltage is the name of a system: no system charges
// at exactly that, so it can only be a label.
func nominal(volts float64) bool { return volts == 6 || volts == 12 || volts == 24 }

// volts compares the car's system with what the bulb bears.
func volts(q *question) result {
	low, high := q.bulb.bears()
	if q.lamp.Car.Volts == nil {
		if q.bulb.Kind == data.KindHalogen {
			return none() // it is bought in the voltage marked on the old bulb
		}
		ask := find("voltage of the vehicle", "", "Read it on the battery or in the handbook: cars have 12 V, lorries and buses 24 V, some old vehicles 6 V.")
		if low != nil && high != nil {
			ask = measureBetween(ask.What, *low, *high, "V", ask.How)
		}
		return unmeasured("Whether the vehicle has 12 V or 24 V is not known.", ask)
	}
	of := system(*q.lamp.Car.Volts)
	least, most := chargeLow*of/12, chargeHigh*of/12
	need := bare(least) + " to " + bare(most)
	has := ""
	if low != nil && high != nil {
		has = bare(*low) + " to " + bare(*high)
	}
	name := said(of, "V")
	switch {
	case high != nil && *high < least:
		return no("A "+name+" system charges at up to "+said(most, "V")+". This bulb bears "+said(*high, "V")+" and would be destroyed.",
			"Choose a bulb marked for "+name+".").word(has, need).in("V")
	case high != nil && *high < most:
		return no("A "+name+" system charges at up to "+said(most, "V")+". This bulb bears "+said(*high, "V")+" and would be overloaded.",
			"Choose a bulb marked for "+name+".").word(has, need).in("V")
	case low != nil && *low > least:
		return no("A "+name+" system runs at "+said(least, "V")+" or little more. This bulb needs "+said(*low, "V")+" and would stay dark or flicker.",
			"Choose a bulb marked for "+name+".").word(has, need).in("V")
	case low == nil || high == nil:
		return lacking("The voltage range is not recorded. A bulb for 12 V only is destroyed on 24 V.",
			"Read the voltage on the bulb or its box.").word("", need).in("V")
	case *low > workLow*of/12:
		return fits("It bears the "+name+" system. It may drop out while the starter turns.").word(has, need).in("V")
	}
	return fits("It bears the "+name+" system.").word(has, need).in("V")
}

// in sets the unit of a finding whose figures are ranges.
func (r result) in(unit string) result {
	r.unit = unit
	return r
}

// alternates reports whether the lamp is fed with alternating current. Cars and
// lorries run their lamps from a battery; small and old motorcycles may not.
func (l *Lamp) alternates() (does, known bool) {
	switch {
	case l.Polarity == PolarityAC:
		return true, true
	case l.Polarity != "" || !l.Car.Cycle:
		return false, true
	}
	return false, false
}

// alternating asks whether the bulb works on what the lamp is fed with.
func alternating(q *question) result {
	does, known := q.lamp.alternates()
	switch {
	case known && !does && !q.lamp.Car.Cycle:
		return none()
	case known && !does:
		return fits("The lamp is fed with direct current.")
	case yes(q.bulb.Supply.AC):
		return fits("It works on direct and on alternating current.")
	case !known:
		return unmeasured("Some motorcycles feed the lamp with alternating current from the stator; an LED bulb flickers on it or dies.",
			find("direct or alternating current at the lamp plug", "direct", "Engine running, lamp plug off: meter on DC volts, then on AC volts. Direct current shows 12 to 15 V on DC and next to nothing on AC."))
	case q.bulb.Supply.AC == nil:
		return lacking("The lamp is fed with alternating current. Whether the bulb bears that is not recorded.", "Read the bulb's box: AC/DC, or DC only.")
	}
	return no("The lamp is fed with alternating current, and this bulb is for direct current only: it flickers with the revs or dies.",
		"Choose a bulb stated for AC and DC, or have a workshop convert the lamp circuit to direct current first.")
}

const howPolarity = "Lights on low, black lead of a meter on battery minus: a common pin at 0 V and the low pin at 12 V is the normal wiring. A common pin at 12 V, and with the plug off a low pin with contact to ground, is ground-switched."

// polarity asks whether the bulb lights the way round the plug is wired.
func polarity(q *question) result {
	if does, known := q.lamp.alternates(); known && does {
		return none() // alternating current has no polarity; the check before says the rest
	}
	own, wired, two := q.bulb.Supply.Polarity, q.lamp.Polarity, q.lamp.twoBeams()
	ask := find("how the lamp plug is wired", PolarityNormal, howPolarity)
	switch {
	case own == PolarityAny:
		return fits("It lights either way round.").word(own, "")
	case own != PolarityNormal:
		r := lacking("An LED bulb can stay dark one way round. Whether this one lights either way is not recorded.",
			"Try it on 12 V both ways round, or read its box: polarity-free, or plus and minus marked.").word("", wired)
		if wired == "" {
			return r.also(ask)
		}
		return r
	}
	switch wired {
	case PolarityNormal:
		return fits("The plug is wired the way this bulb wants it.").word(own, wired)
	case PolarityReversed:
		return work("The plug is wired the other way round: the bulb stays dark.",
			"Turn the plug by half a turn if it is symmetrical, or use a short adapter lead that swaps the two wires.").buying("a swapping lead").word(own, wired)
	case PolarityGround:
		if !two {
			return fits("The car switches the ground side. A bulb with one beam has both wires at hand, so it does not matter.").word(own, wired)
		}
		return work("The car switches the ground side of its two beams. This bulb would stay dark, light both beams, or leave low on with high.",
			"Use a negative-switching adapter lead made for this bulb, or choose a bulb stated to light either way round.").
			buying("a negative-switching lead").word(own, wired)
	}
	return unmeasured("This bulb lights one way round only, and plugs are not wired to a common standard.", ask).word(own, "")
}
