package fitment

import "strings"

// plugAndPlay is the owner's wish for nothing but the bulb: no adapter ring, no
// resistor, no other cap, no extra lead. It looks at the checks before it.
func plugAndPlay(q *question) result {
	if !q.lamp.PlugAndPlay {
		return none()
	}
	var parts, open []string
	owner, soft := OwnerCar, true
	for _, finding := range q.done {
		if finding.Part != "" {
			parts = append(parts, finding.Part)
		}
	}
	for _, finding := range q.partsOpen {
		open = append(open, finding.Check)
		soft = soft && finding.Soft
		if finding.Owner == OwnerBulb {
			owner = OwnerBulb
		}
	}
	switch {
	case len(parts) > 0:
		return no("You asked for nothing but the bulb. It needs "+strings.Join(parts, ", ")+".",
			"Choose a bulb that needs no extra part, or allow extra parts.").word("extra parts", "none")
	case len(open) > 0:
		r := result{applies: true, verdict: Unknown, owner: owner,
			why:     "You asked for nothing but the bulb. Whether it needs an extra part is not settled.",
			measure: "Settle these first: " + strings.Join(open, ", ") + "."}
		return r.word("", "none").softly(soft)
	}
	return fits("It needs nothing but the bulb.").word("none", "none")
}
