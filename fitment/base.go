package fitment

import (
	"slices"
	"strings"

	"stillbright/data"
)

func sameSize(a, b string) bool { return a != "" && strings.EqualFold(a, b) }

func contains(sizes []string, size string) bool {
	return slices.ContainsFunc(sizes, func(s string) bool { return sameSize(s, size) })
}

// base compares size codes. Tabs are made unequal on purpose so that the wrong
// bulb does not seat (49 CFR 564.2: new sources must be distinct and not
// interchangeable), so there is no way round a wrong one.
func base(q *question) result {
	size, wanted := q.bulb.Size, q.lamp.Size
	switch {
	case wanted == "":
		return unmeasured("The size of the lamp is not known, and everything else hangs on it.",
			askSize(size)).word(size, "")
	case size == "":
		return lacking("The size of the bulb is not recorded.", "Read the code on the bulb's base or box.").word("", wanted)
	case sameSize(size, wanted):
		return fits("The size code is the lamp's own.").word(size, wanted)
	case q.lamp.sameBase(size):
		return fits("The base is another name or form of the lamp's own.").word(size, wanted)
	}
	halogen := q.bulb.Kind == data.KindHalogen
	if contains(q.bulb.AlsoFits, wanted) && !halogen {
		return fits("The base is of the same mounting family, and the bulb is sold for this size too.").word(size, wanted)
	}
	fix := "Buy a bulb made for " + wanted + ", or stay with the " + wanted + " halogen."
	why := "The tabs of another size do not seat. They differ on purpose, so that the light source ends up where the lamp was computed for."
	for _, near := range q.lamp.Of.SimilarNotSame {
		if sameSize(near.Size, size) {
			why = near.Why
		}
	}
	if halogen {
		fix = "Buy a halogen of size " + wanted + "."
		why += " Another category is not approved in this lamp."
	}
	return no(why, fix).word(size, wanted)
}

func askSize(size string) ToMeasure {
	return find("bulb size of the lamp", size,
		"Read the code on the old bulb itself, on its metal or plastic base, not in a web list; then count the tabs and compare.")
}

// bulbLamp asks whether there is a halogen bulb to replace.
func bulbLamp(q *question) result {
	switch q.lamp.Technology {
	case TechnologyHalogen:
		return fits("The lamp holds a halogen bulb.").word(TechnologyHalogen, TechnologyHalogen)
	case TechnologyDischarge:
		return no("This is a discharge lamp. It runs from a ballast with some 20 kV to start, which can kill, and a bulb of a halogen size has no place in it.",
			"Have the discharge bulb renewed by a workshop, both sides together.").word(TechnologyDischarge, TechnologyHalogen)
	case TechnologyModule:
		return no("The lamp has fixed LED modules. There is no bulb and no flange.",
			"Ask the vehicle maker for the module or the whole lamp.").word(TechnologyModule, TechnologyHalogen)
	}
	return unmeasured("The same car is often sold with halogen, discharge and LED lamps. Only a halogen lamp takes this bulb.",
		find("what is in the lamp now", TechnologyHalogen,
			"Look at the bulb, not at the badge: a halogen is a small glass bulb with a wire in it and a size code on its base. Touch nothing behind a lamp marked D, DC or DR, or with a high-voltage sign.")).
		word("", TechnologyHalogen)
}
