package data

import (
	"errors"
	"fmt"
	"slices"
)

// Cautions is the file cautions.yaml: what can hurt someone, and when to say so.
type Cautions struct {
	Format   int       `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Cautions []Caution `yaml:"cautions" req:"1" doc:"one row for each caution"`
}

// Caution is one or two sentences said when every condition of When holds and none
// of Unless. The words of both are those of CautionConditions.
type Caution struct {
	ID         string   `yaml:"id" req:"1" id:"1" doc:"short name of the caution"`
	When       []string `yaml:"when" req:"1" enum:"low_beam|high_beam|fog_beam|any_led|any_halogen|discharge_lamp|reflector|no_cutoff|not_permitted|inspection|insurance|offroad_label|approval_claimed|bulb_out_warning|resistor|external_driver|hot_body|over_2000_lm|snow|load|motorcycle|fitting|looking|bench" doc:"it is said when all of these hold"`
	Unless     []string `yaml:"unless" enum:"low_beam|high_beam|fog_beam|any_led|any_halogen|discharge_lamp|reflector|no_cutoff|not_permitted|inspection|insurance|offroad_label|approval_claimed|bulb_out_warning|resistor|external_driver|hot_body|over_2000_lm|snow|load|motorcycle|fitting|looking|bench" doc:"it is not said when any of these holds"`
	Weight     float64  `yaml:"weight" req:"1" min:"0" max:"100" doc:"100 can maim, 70 can dazzle others, 40 costs money or time, 10 is good to know; heavier ones come first"`
	Text       string   `yaml:"text" req:"1" doc:"one or two short sentences"`
	Short      string   `yaml:"short" req:"1" doc:"the same in at most 34 characters, so that two fit a line"`
	Source     string   `yaml:"source" req:"1" doc:"where it comes from"`
	Confidence string   `yaml:"confidence" req:"1" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known"`
}

// cautionShort is the longest short form, in characters.
const cautionShort = 34

// Conditions of a caution.
const (
	CautionLowBeam         = "low_beam"
	CautionHighBeam        = "high_beam"
	CautionFogBeam         = "fog_beam"
	CautionAnyLED          = "any_led"     // an LED bulb is named or asked about
	CautionAnyHalogen      = "any_halogen" // a halogen is fitted or recommended
	CautionDischarge       = "discharge_lamp"
	CautionReflector       = "reflector"
	CautionNoCutoff        = "no_cutoff"     // the beam shows none, or was aimed without
	CautionNotPermitted    = "not_permitted" // the law line is not permissive
	CautionInspection      = "inspection"    // the place inspects vehicles
	CautionInsurance       = "insurance"
	CautionOffroadLabel    = "offroad_label"
	CautionApprovalClaimed = "approval_claimed" // a mark on a box is taken for approval
	CautionBulbOutWarning  = "bulb_out_warning"
	CautionResistor        = "resistor"
	CautionExternalDriver  = "external_driver"
	CautionHotBody         = "hot_body"
	CautionOver2000        = "over_2000_lm"
	CautionSnow            = "snow"
	CautionLoad            = "load"
	CautionMotorcycle      = "motorcycle"
	CautionFitting         = "fitting" // the answer tells someone to change a bulb
	CautionLooking         = "looking" // someone stands before a lit lamp
	CautionBench           = "bench"
)

// CautionConditions lists every condition word.
func CautionConditions() []string {
	return []string{
		CautionLowBeam, CautionHighBeam, CautionFogBeam, CautionAnyLED, CautionAnyHalogen, CautionDischarge,
		CautionReflector, CautionNoCutoff, CautionNotPermitted, CautionInspection, CautionInsurance,
		CautionOffroadLabel, CautionApprovalClaimed, CautionBulbOutWarning, CautionResistor, CautionExternalDriver,
		CautionHotBody, CautionOver2000, CautionSnow, CautionLoad, CautionMotorcycle, CautionFitting,
		CautionLooking, CautionBench,
	}
}

// Validate returns the first fault: no rows, an id used twice, an unknown
// condition, a condition both wanted and excluded, a weight outside 0 to 100, or a short form that is missing or too long.
func (c Cautions) Validate() error {
	if len(c.Cautions) == 0 {
		return errors.New("cautions: at least one is needed")
	}
	known := CautionConditions()
	seen := make(map[string]bool, len(c.Cautions))
	for _, row := range c.Cautions {
		if seen[row.ID] {
			return fmt.Errorf("caution %q: the id is used twice", row.ID)
		}
		seen[row.ID] = true
		if !(row.Weight >= 0 && row.Weight <= 100) {
			return fmt.Errorf("caution %q: weight %g: must be 0 to 100", row.ID, row.Weight)
		}
		if len(row.Short) == 0 || len(row.Short) > cautionShort {
			return fmt.Errorf("caution %q: short has %d characters: must be 1 to %d", row.ID, len(row.Short), cautionShort)
		}
		for _, word := range slices.Concat(row.When, row.Unless) {
			if !slices.Contains(known, word) {
				return fmt.Errorf("caution %q: unknown condition %q", row.ID, word)
			}
		}
		for _, word := range row.When {
			if slices.Contains(row.Unless, word) {
				return fmt.Errorf("caution %q: condition %q is both wanted and excluded", row.ID, word)
			}
		}
	}
	return nil
}
