package road

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
)

// Lens markings that say where a cutoff belongs.
const (
	MarkingVOL = "VOL" // US, cutoff left of the axis
	MarkingVOR = "VOR" // US, cutoff right of the axis
	MarkingVO  = "VO"  // US, no cutoff (high beam)
	MarkingUN  = "UN"  // E in a circle, low beam
)

// Where a drop comes from.
const (
	FromPlate   = "plate"
	FromMarking = "marking"
	FromPlace   = "place"
	FromNone    = "none"
)

// Units of a dip.
const (
	DipPercent = "%"
	DipDegree  = "deg"
)

// ParseMarking reads a lens marking. Beside the four names it knows the letters of
// UN low beams: C, CR, HC, HCR, DC and DCR, with or without the stroke [from memory].
// The error says what the text is and what is legal, not that it is a marking.
func ParseMarking(text string) (string, error) {
	folded := strings.ToUpper(strings.NewReplacer("/", "", " ", "", ".", "", "-", "").Replace(text))
	switch folded {
	case MarkingVOL, MarkingVOR, MarkingVO, MarkingUN:
		return folded, nil
	case "C", "CR", "HC", "HCR", "DC", "DCR":
		return MarkingUN, nil
	}
	return "", fmt.Errorf("%q: must be VOL, VOR, VO or UN", text)
}

// Dip is the figure on the plate of a car or lamp.
type Dip struct {
	Value float64
	Unit  string // DipPercent (0 to 5) or DipDegree (0 to 2.9)
}

// slope is the drop over the distance.
func (d Dip) slope() (float64, error) {
	switch d.Unit {
	case DipPercent:
		return d.Value / 100, within("dip", "%", d.Value, 0, 5)
	case DipDegree:
		return math.Tan(radians(d.Value)), within("dip", "deg", d.Value, 0, 2.9)
	}
	return 0, fmt.Errorf("unit of the dip %q: must be %% or deg", d.Unit)
}

// AimInput is what Aim needs. Only height and distance must be known.
type AimInput struct {
	HeightMM   float64        // lamp centre above the floor, 200 to 1,600
	DistanceMM float64        // lamp to wall, 2,000 to 50,000
	Plate      *Dip           // nil: no plate figure
	Marking    string         // "" or as ParseMarking returns it
	Where      string         // place code, "" when not known
	Beam       string         // low (or ""), high, fog
	Load       string         // "", empty, driver or full, as in a car record
	Traffic    Traffic        // "" when not known
	Rules      []data.AimRule // data/known aim.yaml
}

// Drop is a range below the height of the lamp centre, in mm.
type Drop struct {
	Least float64 `json:"least"`
	Most  float64 `json:"most"`
}

// AimPlan is where a beam belongs on the wall, and how to put it there.
type AimPlan struct {
	// DropMM is nil when no figure is known; TargetMM is nil when the rule gives
	// only limits. ToleranceMM is what the rule or the maker's practice lets pass
	// either way of the target.
	DropMM      *Drop    `json:"drop_mm"`
	TargetMM    *float64 `json:"target_mm"`
	ToleranceMM *float64 `json:"tolerance_mm"`
	// InspectionMM is what an inspection at the place lets pass, where one is known;
	// nil otherwise. Least may be negative: above the lamp centre.
	InspectionMM *Drop    `json:"inspection_mm"`
	DistanceMM   float64  `json:"distance_mm"`
	HeightMM     float64  `json:"height_mm"`
	Feature      string   `json:"feature"` // cutoff or hot_spot
	From         string   `json:"from"`    // plate, marking, place, none
	Rule         string   `json:"rule"`
	Source       string   `json:"source"`
	Confidence   string   `json:"confidence"`
	Before       []string `json:"before"`
	Steps        []string `json:"steps"`
	After        []string `json:"after"`
	Notes        []string `json:"notes"`
}

// Aim says where the cutoff (or, without one, the hot spot) belongs on a wall. In
// order: the figure on the plate, the marking on the lens, the rule of the place
// (of its country, where it has none of its own); else no drop is given, only how to
// tape the stock beam. A plate figure and the markings VOL, VOR and UN speak of the
// low beam (a plate also of a fog lamp); a high beam has no drop but VO. Figures
// outside the ranges of AimInput, and a wall so far that the cutoff would meet the
// floor first, give a *RangeError.
func Aim(in AimInput) (AimPlan, error) {
	beam := in.Beam
	if beam == "" {
		beam = data.BeamLow
	}
	if err := checkAim(in, beam); err != nil {
		return AimPlan{}, err
	}
	plan := AimPlan{
		DistanceMM: in.DistanceMM, HeightMM: in.HeightMM, From: FromNone, Feature: "cutoff",
		Rule:   "no figure known for this lamp: the taped stock beam says where the new one belongs",
		Before: []string{}, Steps: []string{}, After: []string{}, Notes: []string{},
	}
	if beam == data.BeamHigh {
		plan.Feature = "hot_spot"
	}
	used, err := plan.choose(in, beam)
	if err != nil {
		return AimPlan{}, err
	}
	if plan.DropMM != nil && plan.DropMM.Most >= in.HeightMM {
		return AimPlan{}, &RangeError{
			What: Distance, Why: ", so that the beam meets the wall and not the floor first", Unit: "mm",
			Got: in.DistanceMM, Least: 2000, Most: math.Floor(in.DistanceMM * in.HeightMM / plan.DropMM.Most),
		}
	}
	plan.inspect(in, beam)
	plan.note(in, beam, used)
	plan.instruct(in)
	return plan, nil
}

func checkAim(in AimInput, beam string) error {
	err := firstError(
		within(Height, "mm", in.HeightMM, 200, 1600),
		within(Distance, "mm", in.DistanceMM, 2000, 50000))
	if err != nil {
		return err
	}
	if !slices.Contains([]string{data.BeamLow, data.BeamHigh, data.BeamFog}, beam) {
		return fmt.Errorf("beam %q: must be low, high or fog", beam)
	}
	if !slices.Contains([]string{"", MarkingVOL, MarkingVOR, MarkingVO, MarkingUN}, in.Marking) {
		return fmt.Errorf("lens marking %q: must be VOL, VOR, VO or UN", in.Marking)
	}
	if !slices.Contains([]string{"", "empty", "driver", "full"}, in.Load) {
		return fmt.Errorf("load %q: must be empty, driver or full", in.Load)
	}
	if in.Traffic != "" {
		_, err = in.Traffic.kerb()
	}
	if in.Plate != nil {
		_, errPlate := in.Plate.slope()
		err = firstError(err, errPlate)
	}
	for _, rule := range in.Rules {
		err = firstError(err, rule.Validate())
	}
	return err
}

// choose fills in the drop and where it comes from, and returns the rule used.
func (p *AimPlan) choose(in AimInput, beam string) (*data.AimRule, error) {
	if in.Plate != nil && beam != data.BeamHigh {
		slope, err := in.Plate.slope()
		if err != nil {
			return nil, err
		}
		drop := slope * in.DistanceMM
		p.DropMM, p.TargetMM = &Drop{drop, drop}, &drop
		p.ToleranceMM = tolerance(slope, QuarterDegree, in.DistanceMM)
		p.From, p.Confidence = FromPlate, data.ConfidenceRead
		p.Rule = fmt.Sprintf("plate on the car or lamp: the cutoff %s %s below the lamp centre", short(in.Plate.Value), in.Plate.Unit)
		p.Source = "the plate; the tolerance is the quarter degree of 49 CFR 571.108 S14.6"
		return nil, nil
	}
	rule, from := pickRule(in, beam)
	if rule == nil {
		return nil, nil
	}
	p.From, p.Rule, p.Source, p.Confidence, p.Feature = from, rule.Rule, rule.Source, rule.Confidence, rule.Feature
	var target *float64
	switch {
	case rule.Target != nil:
		slope := *rule.Target / 100
		target = &slope
	case rule.TargetAngle != nil:
		slope := math.Tan(radians(*rule.TargetAngle))
		target = &slope
	}
	if target != nil {
		drop := *target * in.DistanceMM
		p.TargetMM, p.DropMM = &drop, &Drop{drop, drop}
		if rule.ToleranceAngle != nil {
			p.ToleranceMM = tolerance(*target, *rule.ToleranceAngle, in.DistanceMM)
		}
	}
	if rule.Least != nil {
		p.DropMM = &Drop{*rule.Least / 100 * in.DistanceMM, *rule.Most / 100 * in.DistanceMM}
	}
	return rule, nil
}

// tolerance is how far an angle either way moves a mark at a slope, in the unit of
// the distance.
func tolerance(slope, angleDeg, distance float64) *float64 {
	t := distance * (math.Tan(math.Atan(slope)+radians(angleDeg)) - slope)
	return &t
}

// pickRule finds the rule of the marking, or else of the place or its country.
// Where a place has both, a rule of setting goes before one of inspection.
func pickRule(in AimInput, beam string) (*data.AimRule, string) {
	if in.Marking != "" {
		if rule := findRule(in, beam, func(r data.AimRule) bool { return slices.Contains(r.Markings, in.Marking) }); rule != nil {
			return rule, FromMarking
		}
	}
	for _, place := range places(in.Where) {
		if rule := findRule(in, beam, func(r data.AimRule) bool { return slices.Contains(r.Places, place) }); rule != nil {
			return rule, FromPlace
		}
	}
	return nil, FromNone
}

// findRule returns the first matching rule that gives a drop at this height, by kind
// and then id, so that the order of the rules does not matter.
func findRule(in AimInput, beam string, matches func(data.AimRule) bool) *data.AimRule {
	var best *data.AimRule
	for i, rule := range in.Rules {
		givesDrop := rule.Least != nil || rule.Target != nil || rule.TargetAngle != nil
		if rule.Beam != beam || !givesDrop || !holdsAt(rule, in.HeightMM) || !matches(rule) {
			continue
		}
		// "set" sorts behind "inspection", so the greater kind is the one wanted.
		if best == nil || rule.Kind > best.Kind || rule.Kind == best.Kind && rule.ID < best.ID {
			best = &in.Rules[i]
		}
	}
	return best
}

// inspect fills in what the inspection of the place lets pass: a range, or a
// tolerance round a target that came from the plate or the lens.
func (p *AimPlan) inspect(in AimInput, beam string) {
	for _, place := range places(in.Where) {
		for _, rule := range in.Rules {
			if rule.Kind != "inspection" || rule.Beam != beam || !slices.Contains(rule.Places, place) || !holdsAt(rule, in.HeightMM) {
				continue
			}
			switch {
			case rule.Least != nil:
				p.InspectionMM = &Drop{*rule.Least / 100 * in.DistanceMM, *rule.Most / 100 * in.DistanceMM}
			case rule.ToleranceAngle != nil && p.TargetMM != nil:
				slope := *p.TargetMM / in.DistanceMM
				p.InspectionMM = &Drop{
					*p.TargetMM + *tolerance(slope, -*rule.ToleranceAngle, in.DistanceMM),
					*p.TargetMM + *tolerance(slope, *rule.ToleranceAngle, in.DistanceMM),
				}
			}
			return
		}
	}
}

func holdsAt(rule data.AimRule, heightMM float64) bool {
	return (rule.HeightAbove == nil || heightMM > *rule.HeightAbove) && (rule.HeightUpTo == nil || heightMM <= *rule.HeightUpTo)
}

// places is the place itself and then its country.
func places(where string) []string {
	code := strings.ToUpper(strings.TrimSpace(where))
	if country, _, isRegion := strings.Cut(code, "-"); isRegion {
		return []string{code, country}
	}
	return []string{code}
}
