package sheets

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/road"
)

// AimSheet is the document of `aim`: where a beam belongs on a wall, and how to
// put it there before and after a bulb is changed.
type AimSheet struct {
	Schema       string                 `json:"schema" enum:"stillbright/aim/1" doc:"document and version"`
	DropMM       *AimDrop               `json:"drop_mm" doc:"how far below the lamp centre on the wall; null when no figure is known"`
	From         string                 `json:"from" enum:"plate|marking|place|none" doc:"where the figure comes from"`
	Rule         string                 `json:"rule" doc:"what the plate, marking or place says"`
	Source       recommend.Word         `json:"source" doc:"document and clause; null without a figure"`
	Confidence   recommend.Word         `json:"confidence" enum:"read|read_secondary|computed|inferred|memory|common_practice" doc:"how it is known; null without a figure"`
	TargetMM     *float64               `json:"target_mm" doc:"drop to set; null when there are only limits, or no figure"`
	ToleranceMM  *float64               `json:"tolerance_mm" doc:"either way of the target; null when none is known"`
	InspectionMM *AimDrop               `json:"inspection_mm" doc:"what an inspection at the place lets pass; null when none is known"`
	DistanceMM   float64                `json:"distance_mm" doc:"lamp to wall"`
	HeightMM     *float64               `json:"height_mm" doc:"lamp centre above the floor; null when not given and not needed"`
	Beam         string                 `json:"beam" enum:"low|high|fog" doc:"beam that is aimed"`
	Feature      string                 `json:"feature" enum:"cutoff|hot_spot" doc:"what is put at the drop"`
	Marking      recommend.Word         `json:"marking" enum:"VOL|VOR|VO|UN" doc:"marking on the lens"`
	Where        recommend.Word         `json:"where" doc:"place whose rule applies"`
	Traffic      recommend.Word         `json:"traffic" enum:"left|right" doc:"side of the road that is driven on; null when not known"`
	Load         recommend.Word         `json:"load" enum:"empty|driver|full" doc:"usual load"`
	Car          recommend.Word         `json:"car" doc:"id of the car whose record filled what was left open"`
	Before       []string               `json:"before" doc:"before the swap"`
	Steps        []string               `json:"steps" doc:"the setting itself"`
	After        []string               `json:"after" doc:"after it, hot"`
	Cautions     []string               `json:"cautions" doc:"what can hurt somebody"`
	Notes        []string               `json:"notes" doc:"what limits the figure"`
	Seen         []AimSeen              `json:"seen" doc:"where the beams lie now, by pictures; empty when none were given"`
	Plot         recommend.Word         `json:"plot" doc:"file of the wall sheet; null when none was asked for"`
	Catalog      *recommend.CatalogLine `json:"catalog" doc:"where the car's record comes from; null without a car"`
	Lamps        int                    `json:"-"` // 1 on a motorcycle
}

// AimDrop is a range below the height of the lamp centre.
type AimDrop struct {
	Least float64 `json:"least" doc:"upper end of the range; negative is above the lamp centre"`
	Most  float64 `json:"most" doc:"lower end of the range"`
}

// AimRequest is what is known of the lamp to aim. Empty words and nil pointers
// are unknown.
type AimRequest struct {
	HeightMM   *float64       // lamp centre above the floor, 200 to 1,600
	DistanceMM float64        // lamp to wall, 2,000 to 50,000
	Dip        *road.Dip      // from the plate on the car or lamp
	Marking    string         // as road.ParseMarking returns it
	Where      recommend.Word // place code
	Beam       string         // low (or empty), high, fog
	Load       string         // empty, driver, full
	Car        recommend.Word
	Catalog    *recommend.CatalogLine
	Lamps      int // 0 is 2
	side       road.Traffic
	notes      []string
}

// FromCar fills what the request leaves open from the lamp of a car. The error is
// a *NeedError when the car has no such lamp.
func (in *AimRequest) FromCar(car data.Car) error {
	lamp, err := lampToAim(car, in.Beam)
	if err != nil {
		return err
	}
	in.Car = recommend.Word(car.ID)
	if in.Beam == "" && lamp.Beam != data.BeamBoth {
		in.Beam = lamp.Beam
	}
	if in.HeightMM == nil {
		in.HeightMM = lamp.Height
	}
	if in.Dip == nil && lamp.Dip != nil {
		in.Dip = &road.Dip{Value: *lamp.Dip, Unit: road.DipPercent}
	}
	if in.Marking == "" && lamp.Marking != "" {
		if in.Marking, err = road.ParseMarking(lamp.Marking); err != nil {
			in.notes = append(in.notes, fmt.Sprintf("The record of the car has the marking %q, which says nothing about the aim.", lamp.Marking))
		}
	}
	in.Where = recommend.Word(cmp.Or(string(in.Where), car.Where))
	in.Load = cmp.Or(in.Load, car.Load)
	if car.Cycle && in.Lamps == 0 {
		in.Lamps = 1
	}
	return nil
}

// lampToAim is the lamp that makes the beam; without a wish the low beam, then
// any.
func lampToAim(car data.Car, beam string) (data.Lamp, error) {
	for _, wanted := range []string{cmp.Or(beam, data.BeamLow), data.BeamBoth} {
		for _, lamp := range car.Lamps {
			if lamp.Beam == wanted && !(wanted == data.BeamBoth && beam == data.BeamFog) {
				return lamp, nil
			}
		}
	}
	if beam == "" && len(car.Lamps) > 0 {
		return car.Lamps[0], nil
	}
	return data.Lamp{}, &recommend.NeedError{
		Message: fmt.Sprintf("car %q has no %s beam; it has %s", car.ID, cmp.Or(beam, data.BeamLow), recommend.LampList(car)),
		Hint:    "leave out --beam",
	}
}

// AimFor says where the beam belongs on the wall, from the plate, the marking or
// the place, in that order. Without a lamp height it answers only where the
// height changes nothing. Errors: *road.RangeError for figures no lamp or wall
// has, *NeedError for a height that is needed.
func AimFor(k *recommend.Knowledge, in AimRequest) (AimSheet, error) {
	in.side = trafficOf(k, in)
	plan, err := aimPlan(k, in)
	if err != nil {
		return AimSheet{}, err
	}
	sheet := AimSheet{
		Schema: "stillbright/aim/1", From: plan.From, Rule: plan.Rule, Source: recommend.Word(plan.Source), Confidence: recommend.Word(plan.Confidence),
		DropMM: aimDrop(plan.DropMM), TargetMM: plan.TargetMM, ToleranceMM: plan.ToleranceMM, InspectionMM: aimDrop(plan.InspectionMM),
		DistanceMM: plan.DistanceMM, HeightMM: in.HeightMM, Beam: cmp.Or(in.Beam, data.BeamLow), Feature: plan.Feature,
		Marking: recommend.Word(in.Marking), Where: in.Where, Traffic: recommend.Word(in.side), Load: recommend.Word(in.Load), Car: in.Car,
		Before: plan.Before, Steps: plan.Steps, After: plan.After, Notes: append(in.notes, plan.Notes...), Cautions: []string{}, Seen: []AimSeen{},
		Catalog: in.Catalog, Lamps: in.Lamps,
	}
	if sheet.Lamps == 0 {
		sheet.Lamps = 2
	}
	if sheet.Notes == nil {
		sheet.Notes = []string{}
	}
	for _, caution := range road.Cautions(k.Cautions, aimConditions(sheet), recommend.MostCautions) {
		sheet.Cautions = append(sheet.Cautions, caution.Text)
	}
	return sheet, nil
}

// aimConditions are the words of data.CautionConditions that hold at the wall.
func aimConditions(s AimSheet) []string {
	words := []string{recommend.BeamCondition(s.Beam), data.CautionFitting, data.CautionLooking}
	if s.Load == "full" {
		words = append(words, data.CautionLoad)
	}
	return words
}

func aimDrop(drop *road.Drop) *AimDrop {
	if drop == nil {
		return nil
	}
	return &AimDrop{drop.Least, drop.Most}
}

// aimPlan asks the road room. An unknown height is tried low, middle and high: as
// long as the answer is the same, nobody has to measure it.
func aimPlan(k *recommend.Knowledge, in AimRequest) (road.AimPlan, error) {
	if in.HeightMM != nil {
		return aimAt(k, in, *in.HeightMM)
	}
	plan, err := aimAt(k, in, 1600) // the highest legal lamp: only a figure that was given can be at fault
	if err != nil {
		return plan, err
	}
	sameInspection := true
	for _, heightMM := range []float64{650, 900, 1100} {
		other, err := aimAt(k, in, heightMM)
		if err != nil || other.Rule != plan.Rule || !sameDrop(other.DropMM, plan.DropMM) {
			return plan, &recommend.NeedError{
				Message: "the rule goes by the height of the lamp, which is not given",
				Hint:    "--height 650mm, measured from the floor to the lamp centre",
			}
		}
		sameInspection = sameInspection && sameDrop(other.InspectionMM, plan.InspectionMM)
	}
	if !sameInspection {
		in.Where = ""
		plan, err = aimAt(k, in, 650)
		plan.Notes = append(plan.Notes, "What the inspection of the place lets pass goes by the height of the lamp; --height adds it.")
		return plan, err
	}
	return aimAt(k, in, 650) // a note about high lamps belongs only to those who have one
}

func aimAt(k *recommend.Knowledge, in AimRequest, heightMM float64) (road.AimPlan, error) {
	return road.Aim(road.AimInput{
		HeightMM: heightMM, DistanceMM: in.DistanceMM, Plate: in.Dip, Marking: in.Marking, Where: string(in.Where),
		Beam: in.Beam, Load: in.Load, Traffic: in.side, Rules: k.Aim,
	})
}

func sameDrop(a, b *road.Drop) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}

// traffic is the side of the road at the place. The markings VOL and VOR are of
// the US rule, which drives on the right.
func trafficOf(k *recommend.Knowledge, in AimRequest) road.Traffic {
	if side := k.Drives(in.Where); side != "" {
		return side
	}
	if slices.Contains([]string{road.MarkingVOL, road.MarkingVOR}, in.Marking) {
		return road.RightHand
	}
	return ""
}

// FootPlace says whether walls are measured in feet and inches at a place: the
// United States and Canada, whose lamp rules are written so.
func FootPlace(where recommend.Word) bool {
	country, _, _ := strings.Cut(string(where), "-")
	return country == "US" || country == "CA"
}

// RangeHint is the flag that gives a figure which the road room refused, for a
// hint; empty when the error is no *road.RangeError.
func RangeHint(err error) string {
	var wrong *road.RangeError
	if !errors.As(err, &wrong) {
		return ""
	}
	switch wrong.What {
	case road.Height:
		return "--height 650mm, measured from the floor to the lamp centre"
	case road.Distance:
		return "--distance 10m, or 25ft"
	case "dip":
		return "--dip 1.2%, as on the plate of the car"
	}
	return ""
}
