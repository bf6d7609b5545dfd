package fitment

import "stillbright/data"

// after is what to look at once the bulb is in, while it can still be sent
// back, in the order of doing. The first line comes before the halogen is out.
func after(q *question) []string {
	b, l := q.bulb, q.lamp
	list := []string{}
	add := func(when bool, line string) {
		if when {
			list = append(list, line)
		}
	}
	flat := l.Beam != data.BeamHigh
	add(flat, "Before the halogen comes out: level ground, wall 10 m (25 ft in the US) ahead, usual load. Tape the cutoff of both lamps on the wall.")
	add(!flat, "Before the halogen comes out: level ground, wall 10 m (25 ft in the US) ahead, usual load. Tape the centre of both hot spots on the wall.")
	if b.Kind == data.KindHalogen {
		return append(list,
			"Do not touch the glass. Renew both sides together.",
			"Both lamps light, engine off and running.",
			"The beam stands on the tape. If not, see that the bulb is seated, then have the lamps aimed.")
	}
	add(l.twoBeams(), "Both lamps light on low and on high, engine off and running. On high the hot spot rises and comes to the centre.")
	add(!l.twoBeams(), "Both lamps light, engine off and running.")
	add(!not(l.Car.Canbus), "No bulb-out warning, no flicker and no shut-off: after 5 minutes, after a restart, and with the lights off (no glow).")
	add(not(l.Car.Canbus), "No warning on the dash and no flicker, after 5 minutes and after a restart.")
	add(l.Feed != FeedSteady, "Daytime lights on: film the lamp at 240 pictures a second and look for flicker.")
	add(true, "Radio on a weak AM, FM or DAB station, lights off and on, each side. Then key fob and tyre-pressure warning.")
	add(true, "Emitters at 3 and 9 o'clock, flange flat all round, nothing touches.")
	add(l.Cap != CapNone, "The cap closes and seals.")
	add(flat, "Cutoff against the tape, before any screw is turned: same height, same shape, as sharp, no more light above it. Then aim by the cutoff, not by the hot spot. No cutoff: send the bulb back.")
	add(!flat, "Hot spot against the tape: one round spot, in the same place.")
	add(true, "The same again hot, after 30 minutes with the cap on: brightness, height, warnings.")
	add(b.Supply.Driver == DriverExternal || b.Supply.Driver == DriverInline, "The driver sits tight and nothing near it is hot.")
	add(l.Car.Cycle, "Bars at full lock both ways: no cable pulls.")
	add(true, "After a week: collar and clip still as set, beam still on the tape.")
	add(l.Cap == CapNone || l.Cap == CapBoot, "After the first rain: no fog inside the lens.")
	add(l.Car.Climate == ClimateCold, "In snow: an LED does not warm the lens. Stop and clean it.")
	add(true, "Keep the halogens in the car, and the box and receipt until all of this is done.")
	return list
}
