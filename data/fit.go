package data

import "fmt"

// FitRules are the thresholds of the fit checks. A figure that is published
// geometry or arithmetic lives with its check; these are judgements, each with its
// reason.
type FitRules struct {
	HoleSpare  Judged `yaml:"hole_spare" unit:"mm" req:"1" doc:"mm, room in diameter between bulb hole and front part at which it simply goes in"`
	FrontGood  Judged `yaml:"front_good" unit:"mm" req:"1" doc:"mm, room ahead of the tip at which it simply fits"`
	FrontLeast Judged `yaml:"front_least" unit:"mm" req:"1" doc:"mm, room ahead of the tip under which it does not fit"`

	DepthGood    Judged `yaml:"depth_good" unit:"mm" req:"1" doc:"mm, emitter centre off the light centre that costs nothing"`
	DepthPoor    Judged `yaml:"depth_poor" unit:"mm" req:"1" doc:"mm, emitter centre off the light centre beyond which it does not fit"`
	StripGood    Judged `yaml:"strip_good" unit:"mm" req:"1" doc:"mm, strip longer or shorter than the filament that costs nothing"`
	StripPoor    Judged `yaml:"strip_poor" unit:"mm" req:"1" doc:"mm, strip longer than the filament beyond which it does not fit"`
	WidthGood    Judged `yaml:"width_good" unit:"mm" req:"1" doc:"mm, width of the strip that costs nothing"`
	WidthPoor    Judged `yaml:"width_poor" unit:"mm" req:"1" doc:"mm, width of the strip beyond which it does not fit"`
	BoardGood    Judged `yaml:"board_good" unit:"mm" req:"1" doc:"mm, thickness between opposed emitters that costs nothing"`
	BoardPoor    Judged `yaml:"board_poor" unit:"mm" req:"1" doc:"mm, thickness between opposed emitters beyond which it does not fit"`
	MismatchGood Judged `yaml:"mismatch_good" unit:"mm" req:"1" doc:"mm, height difference of left and right emitters that costs nothing"`
	MismatchPoor Judged `yaml:"mismatch_poor" unit:"mm" req:"1" doc:"mm, height difference of left and right emitters beyond which it does not fit"`
	ClockingGood Judged `yaml:"clocking_good" unit:"deg" req:"1" doc:"deg, angle off 3 and 9 o'clock that costs nothing"`
	ClockingPoor Judged `yaml:"clocking_poor" unit:"deg" req:"1" doc:"deg, angle off 3 and 9 o'clock beyond which it does not fit"`

	CollarGood    Judged `yaml:"collar_good" unit:"mm" req:"1" doc:"mm, collar thicker than the halogen's flange that a clip takes"`
	CollarPoor    Judged `yaml:"collar_poor" unit:"mm" req:"1" doc:"mm, collar thicker than the halogen's flange beyond which a clip does not latch"`
	TurnSpare     Judged `yaml:"turn_spare" unit:"mm" req:"1" doc:"mm, room in diameter that a body needs to turn or to sit in a cap"`
	Mass          Judged `yaml:"mass" unit:"g" req:"1" doc:"g, mass above which a clip or a motorcycle needs care"`
	SeatingSpread Judged `yaml:"seating_spread" unit:"%" req:"1" doc:"percent, spread of lux over reseatings above which the collar does not repeat"`

	RearSpare    Judged `yaml:"rear_spare" unit:"mm" req:"1" doc:"mm, room behind the bulb at which it simply fits"`
	BendStraight Judged `yaml:"bend_straight" unit:"mm" req:"1" doc:"mm, room for the cable to turn behind a straight plug, when it was not measured"`
	BendRight    Judged `yaml:"bend_right" unit:"mm" req:"1" doc:"mm, room for the cable to turn behind a right-angle plug, when it was not measured"`
	CableSlack   Judged `yaml:"cable_slack" unit:"mm" req:"1" doc:"mm, cable needed beyond the path"`

	BulbOutShare Judged `yaml:"bulb_out_share" req:"1" doc:"share of the halogen's current that a car which watches its bulbs usually accepts"`
	BulbOutDoubt Judged `yaml:"bulb_out_doubt" req:"1" doc:"share of the halogen's current under which a warning is to be expected"`
	InrushTimes  Judged `yaml:"inrush_times" req:"1" doc:"peak at switch-on, times the halogen's running current, that a halogen makes itself"`
	FogWatts     Judged `yaml:"fog_watts" unit:"W" req:"1" doc:"W that a small closed fog lamp bears"`
	FinsWatts    Judged `yaml:"fins_watts" unit:"W" req:"1" doc:"W that bare fins shed inside a closed cap"`
	ClosedHot    Judged `yaml:"closed_hot" unit:"W" req:"1" doc:"W inside a closed cap in a hot climate above which care is needed"`
	DustNumeral  Judged `yaml:"dust_numeral" req:"1" doc:"first numeral of the ingress code of a bulb whose back is in the open"`
	SprayNumeral Judged `yaml:"spray_numeral" req:"1" doc:"second numeral of the ingress code of a bulb whose back is in the open"`
}

// Validate returns an error that names the first threshold out of [0, 1000]
// (NaN included), or the first pair that stands the wrong way round.
func (r FitRules) Validate() error {
	type named struct {
		name string
		is   Judged
	}
	pairs := [][2]named{
		{{"front_least", r.FrontLeast}, {"front_good", r.FrontGood}},
		{{"depth_good", r.DepthGood}, {"depth_poor", r.DepthPoor}},
		{{"strip_good", r.StripGood}, {"strip_poor", r.StripPoor}},
		{{"width_good", r.WidthGood}, {"width_poor", r.WidthPoor}},
		{{"board_good", r.BoardGood}, {"board_poor", r.BoardPoor}},
		{{"mismatch_good", r.MismatchGood}, {"mismatch_poor", r.MismatchPoor}},
		{{"clocking_good", r.ClockingGood}, {"clocking_poor", r.ClockingPoor}},
		{{"collar_good", r.CollarGood}, {"collar_poor", r.CollarPoor}},
		{{"bend_right", r.BendRight}, {"bend_straight", r.BendStraight}},
		{{"bulb_out_doubt", r.BulbOutDoubt}, {"bulb_out_share", r.BulbOutShare}},
	}
	all := []named{
		{"hole_spare", r.HoleSpare}, {"turn_spare", r.TurnSpare}, {"mass", r.Mass}, {"seating_spread", r.SeatingSpread},
		{"rear_spare", r.RearSpare}, {"cable_slack", r.CableSlack}, {"inrush_times", r.InrushTimes},
		{"fog_watts", r.FogWatts}, {"fins_watts", r.FinsWatts}, {"closed_hot", r.ClosedHot},
		{"dust_numeral", r.DustNumeral}, {"spray_numeral", r.SprayNumeral},
	}
	for _, pair := range pairs {
		all = append(all, pair[0], pair[1])
	}
	for _, one := range all {
		if !(one.is.Value >= 0 && one.is.Value <= 1000) {
			return fmt.Errorf("fit: %s: %g: must be in [0, 1000]", one.name, one.is.Value)
		}
	}
	for _, pair := range pairs {
		if low, high := pair[0], pair[1]; low.is.Value > high.is.Value {
			return fmt.Errorf("fit: %s %g must not exceed %s %g", low.name, low.is.Value, high.name, high.is.Value)
		}
	}
	return nil
}
