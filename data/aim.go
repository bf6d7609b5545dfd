package data

import (
	"errors"
	"fmt"
)

// How a figure came to be known, for records that say it for each row.
const (
	ConfidenceRead          = "read"            // seen in the document named
	ConfidenceReadSecondary = "read_secondary"  // seen in a transcription or reprint
	ConfidenceComputed      = "computed"        // follows from figures that are marked
	ConfidenceInferred      = "inferred"        // own conclusion from what was read
	ConfidenceMemory        = "memory"          // not checked
	ConfidencePractice      = "common_practice" // a fact of the trade
)

// AimRules is the file aim.yaml: where the cutoff of a beam belongs, by the
// marking on the lens and by place.
type AimRules struct {
	Format int       `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Rules  []AimRule `yaml:"rules" req:"1" doc:"one row for each rule"`
}

// AimRule is one rule of where a beam is set, or of what an inspection lets pass.
// Drops count downward from the height of the lamp centre. Least and most are a
// range, target the place to set; an angle stands beside the slope because some
// rules give one and some the other.
type AimRule struct {
	ID             string   `yaml:"id" req:"1" id:"1" doc:"short name of the rule"`
	Rule           string   `yaml:"rule" req:"1" doc:"what it says, one sentence"`
	Kind           string   `yaml:"kind" req:"1" enum:"set|inspection" doc:"set: where to set the beam; inspection: what a test lets pass"`
	Beam           string   `yaml:"beam" req:"1" enum:"low|high|fog" doc:"the beam it speaks of"`
	Feature        string   `yaml:"feature" req:"1" enum:"cutoff|hot_spot" doc:"what is put at the drop: the cutoff, or the centre of the hot spot"`
	Markings       []string `yaml:"markings" enum:"VOL|VOR|VO|UN" doc:"lens markings it belongs to"`
	Places         []string `yaml:"places" doc:"place codes where it holds"`
	HeightOf       string   `yaml:"height_of" enum:"lamp_centre|lower_edge" doc:"what the height limits count to"`
	HeightAbove    *float64 `yaml:"height_above" unit:"mm" min:"0" max:"2500" doc:"holds for lamps above this height"`
	HeightUpTo     *float64 `yaml:"height_up_to" unit:"mm" min:"0" max:"2500" doc:"holds for lamps up to and at this height"`
	Least          *float64 `yaml:"least" unit:"%" min:"0" max:"5" doc:"least drop, percent of the distance"`
	Most           *float64 `yaml:"most" unit:"%" min:"0" max:"5" doc:"greatest drop, percent of the distance"`
	Target         *float64 `yaml:"target" unit:"%" min:"0" max:"5" doc:"drop to set, percent of the distance"`
	TargetAngle    *float64 `yaml:"target_angle" unit:"deg" min:"0" max:"2.9" doc:"drop to set, as an angle"`
	ToleranceAngle *float64 `yaml:"tolerance_angle" unit:"deg" min:"0" max:"2.9" doc:"allowed either way of the target, as an angle"`
	Source         string   `yaml:"source" req:"1" doc:"document and clause"`
	Confidence     string   `yaml:"confidence" req:"1" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known"`
	Why            string   `yaml:"why" req:"1" doc:"one line: what it is for, or what is left out"`
}

// Validate returns an error that names what contradicts itself in the row. The
// reader holds single figures to the ranges in the tags; the comparisons here also
// refuse NaN.
func (r AimRule) Validate() error {
	fault := func(text string) error { return fmt.Errorf("aim rule %q: %s", r.ID, text) }
	switch {
	case len(r.Markings) == 0 && len(r.Places) == 0:
		return fault("needs markings or places")
	case (r.Least == nil) != (r.Most == nil):
		return fault("least and most go together")
	case r.Target != nil && r.TargetAngle != nil:
		return fault("target and target_angle exclude each other")
	case r.Least == nil && r.Target == nil && r.TargetAngle == nil && r.ToleranceAngle == nil:
		return fault("gives no drop and no tolerance")
	case (r.HeightAbove != nil || r.HeightUpTo != nil) && r.HeightOf == "":
		return fault("height_of is needed with a height limit")
	}
	if r.HeightAbove != nil && r.HeightUpTo != nil && !(*r.HeightAbove < *r.HeightUpTo) {
		return fault("height_above must be below height_up_to")
	}
	if r.Least != nil && !(*r.Least >= 0 && *r.Least <= *r.Most && *r.Most <= 5) {
		return fault("least must not exceed most, within 0 to 5 %")
	}
	if r.Least != nil && r.Target != nil && !(*r.Target >= *r.Least && *r.Target <= *r.Most) {
		return fault("target must lie from least to most")
	}
	return nil
}

// Validate returns the first row's error, or one for an id used twice.
func (r AimRules) Validate() error {
	if len(r.Rules) == 0 {
		return errors.New("aim rules: at least one is needed")
	}
	seen := make(map[string]bool, len(r.Rules))
	for _, rule := range r.Rules {
		if err := rule.Validate(); err != nil {
			return err
		}
		if seen[rule.ID] {
			return fmt.Errorf("aim rule %q: the id is used twice", rule.ID)
		}
		seen[rule.ID] = true
	}
	return nil
}
