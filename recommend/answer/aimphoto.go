package answer

import (
	"fmt"

	"stillbright/recommend/sheets"
)

// seen says where the beams lie now, one line for each picture, and how to put right
// what is not.
func (p *page) seen(s *sheets.AimSheet, unit string) {
	for i, one := range s.Seen {
		if text := aimSeen(s, one, unit); i == 0 {
			p.head(text, "")
		} else {
			p.say(text)
		}
		for _, note := range one.Notes {
			p.say("Note: " + note + ".")
		}
	}
	p.say("A check by photo, not an approval: an inspection measures with the car loaded and level. The floor must be level between car and wall.")
}

func aimSeen(s *sheets.AimSheet, one sheets.AimSeen, unit string) string {
	where := "below"
	least, most, drop := one.LeastMM, one.MostMM, one.DropMM
	if drop < 0 {
		where, drop, least, most = "above", -drop, -most, -least
	}
	text := fmt.Sprintf("%s: the %s lies %s %s the lamp centre at %s", one.File, aimFeature(s), length(drop, unit), where, wallDistance(s.DistanceMM, unit))
	text += fmt.Sprintf(" (%s to %s).", wallNumber(least, unit), length(most, unit))
	a := one.AskedMM
	switch one.Verdict {
	case sheets.AimWithin:
		return text + fmt.Sprintf(" Within what is asked: %s below.", span(*a, unit))
	case sheets.AimTooHigh:
		return text + fmt.Sprintf(" Too high: it dazzles. Asked for is %s below; %s.", span(*a, unit), turned(s, one, "lower", unit))
	case sheets.AimTooLow:
		return text + fmt.Sprintf(" Too low: you see less far. Asked for is %s below; %s.", span(*a, unit), turned(s, one, "raise", unit))
	case sheets.AimUnclear:
		return text + fmt.Sprintf(" Cannot be told: asked for is %s below, and the picture is not sure enough. Measure with a tape.", span(*a, unit))
	}
	if where == "above" {
		return text + " No figure is known for this lamp, but above the lamp centre a low beam dazzles nearly everywhere."
	}
	return text + " No figure is known for this lamp to hold it against."
}

// turned is how far to the middle of what is asked, or to the target.
func turned(s *sheets.AimSheet, one sheets.AimSeen, way, unit string) string {
	goal := (one.AskedMM.Least + one.AskedMM.Most) / 2
	if s.TargetMM != nil {
		goal = *s.TargetMM
	}
	by := goal - one.DropMM
	if by < 0 {
		by = -by
	}
	return fmt.Sprintf("%s it by %s with the vertical screw", way, length(by, unit))
}
