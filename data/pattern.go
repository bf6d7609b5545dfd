package data

import (
	"errors"
	"fmt"
)

// PatternWeights says how much each part counts in one beam's pattern score.
// They need not sum to one; a part with weight 0 does not belong to that beam.
type PatternWeights struct {
	Sharpness float64 `yaml:"sharpness" req:"1" min:"0" max:"1000" doc:"weight of the cutoff's sharpness and straightness"`
	HotSpot   float64 `yaml:"hot_spot" req:"1" min:"0" max:"1000" doc:"weight of the hot spot's place"`
	Stray     float64 `yaml:"stray" req:"1" min:"0" max:"1000" doc:"weight of the stray light above the cutoff"`
	Dark      float64 `yaml:"dark" req:"1" min:"0" max:"1000" doc:"weight of dark spots, or of a split peak in a high beam"`
	Width     float64 `yaml:"width" req:"1" min:"0" max:"1000" doc:"weight of width and foreground"`
	Why       string  `yaml:"why" req:"1" doc:"one line: why these weights"`
}

// PatternDoubt holds the half-widths of the 95 % bands of the five part values
// (0..1) for one way of measuring, and how much of the error the parts share.
type PatternDoubt struct {
	Sharpness float64 `yaml:"sharpness" req:"1" min:"0" max:"1" doc:"half-width of the 95 % band of the sharpness part"`
	HotSpot   float64 `yaml:"hot_spot" req:"1" min:"0" max:"1" doc:"half-width of the 95 % band of the hot-spot part"`
	Stray     float64 `yaml:"stray" req:"1" min:"0" max:"1" doc:"half-width of the 95 % band of the stray-light part"`
	Dark      float64 `yaml:"dark" req:"1" min:"0" max:"1" doc:"half-width of the 95 % band of the dark-spot part"`
	Width     float64 `yaml:"width" req:"1" min:"0" max:"1" doc:"half-width of the 95 % band of the width part"`
	Shared    float64 `yaml:"shared" req:"1" min:"0" max:"1" doc:"correlation of the five errors, 0 independent to 1 fully shared"`
	Why       string  `yaml:"why" req:"1" doc:"one line: why these half-widths"`
}

// PatternScale maps a figure onto a part value: 1 at Good and beyond, 0 at Bad
// and beyond, straight between (in the logarithm where the doc says so).
type PatternScale struct {
	Good float64 `yaml:"good" req:"1" min:"0" max:"1000000" doc:"figure at and beyond which the part is 1"`
	Bad  float64 `yaml:"bad" req:"1" min:"0" max:"1000000" doc:"figure at and beyond which the part is 0"`
	Why  string  `yaml:"why" req:"1" doc:"one line: why these figures"`
}

// PatternPlace is the box in which a hot spot belongs, in degrees. Gap is
// counted downward from the cutoff, Kerb toward the kerb side from the axis.
// Outside the box the part falls to 0 over Reach degrees.
type PatternPlace struct {
	GapLeast  float64 `yaml:"gap_least" req:"1" min:"-10" max:"10" doc:"deg, least distance of the hot spot under the cutoff"`
	GapMost   float64 `yaml:"gap_most" req:"1" min:"-10" max:"10" doc:"deg, most distance of the hot spot under the cutoff"`
	KerbLeast float64 `yaml:"kerb_least" req:"1" min:"-20" max:"20" doc:"deg, least distance toward the kerb; negative is toward oncoming traffic"`
	KerbMost  float64 `yaml:"kerb_most" req:"1" min:"-20" max:"20" doc:"deg, most distance toward the kerb"`
	Reach     float64 `yaml:"reach" req:"1" min:"0.1" max:"20" doc:"deg outside the box at which the part is 0"`
	Stock     float64 `yaml:"stock" req:"1" min:"0" max:"20" doc:"deg; a hot spot this near the stock hot spot is in place wherever the box is"`
	Why       string  `yaml:"why" req:"1" doc:"one line: why this box"`
}

// PatternRules are the weights and thresholds that turn pattern figures into a
// score. They are judgement unless the doc names a rule.
type PatternRules struct {
	Format int `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`

	Low  PatternWeights `yaml:"low" req:"1" doc:"weights of the low beam"`
	High PatternWeights `yaml:"high" req:"1" doc:"weights of the high beam"`
	Fog  PatternWeights `yaml:"fog" req:"1" doc:"weights of the fog beam"`

	Grid  PatternDoubt `yaml:"grid" req:"1" doc:"doubt of parts from a lux grid"`
	Photo PatternDoubt `yaml:"photo" req:"1" doc:"doubt of parts from a pair of wall photos"`
	Grade PatternDoubt `yaml:"grade" req:"1" doc:"doubt of parts given by eye"`
	Mark1 Judged       `yaml:"mark_1" req:"1" doc:"part value of the by-eye mark 1; mark 0 is 0 and mark 3 is 1"`
	Mark2 Judged       `yaml:"mark_2" req:"1" doc:"part value of the by-eye mark 2"`

	GLeast    Judged       `yaml:"g_least" req:"1" doc:"least sharpness G of the plateau"`
	GMost     Judged       `yaml:"g_most" req:"1" doc:"greatest sharpness G of the plateau"`
	GZero     Judged       `yaml:"g_zero" req:"1" doc:"G at and under which the sharpness part is 0"`
	GHard     Judged       `yaml:"g_hard" req:"1" doc:"G at and over which a hard cutoff has lost hard_loss"`
	HardLoss  Judged       `yaml:"hard_loss" req:"1" doc:"what a hard cutoff loses of the sharpness part at most, 0 to 1"`
	GDoubt    Judged       `yaml:"g_doubt" req:"1" doc:"share of G within which a limit is too near to call"`
	Linearity PatternScale `yaml:"linearity" req:"1" doc:"deg, largest vertical difference of the cutoff; multiplies the sharpness part"`

	Place    PatternPlace `yaml:"place" req:"1" doc:"where the hot spot of a low beam belongs"`
	FogPlace PatternPlace `yaml:"fog_place" req:"1" doc:"where the hot spot of a fog beam belongs"`
	Centre   PatternScale `yaml:"centre" req:"1" doc:"deg, distance of the high-beam peak from the axis"`
	Axis     PatternScale `yaml:"axis" req:"1" doc:"high beam: intensity on the axis over the peak"`

	Split PatternScale `yaml:"split" req:"1" doc:"high beam: least light between two peaks, over the lower peak"`

	Stray        PatternScale `yaml:"stray" req:"1" doc:"stray light over stock stray light in the same rig, logarithmic"`
	StrayLimit   PatternScale `yaml:"stray_limit" req:"1" doc:"stray light over its published limit, logarithmic"`
	DarkContrast Judged       `yaml:"dark_contrast" req:"1" doc:"a spot is dark when it holds less than this share of the light on both its sides"`
	DarkLeast    Judged       `yaml:"dark_least" req:"1" doc:"square degrees, least area of a dark spot or stray patch"`
	Dark         PatternScale `yaml:"dark" req:"1" doc:"square degrees, sum over dark spots of area times missing share"`
	WidthVsStock PatternScale `yaml:"width_vs_stock" req:"1" doc:"width over stock width, both at a tenth of the stock peak"`
	Width        PatternScale `yaml:"width" req:"1" doc:"deg, width at 1250 cd, used when there is no stock beam"`
	Foreground   PatternScale `yaml:"foreground" req:"1" doc:"light near the car over the hot spot; multiplies the width part"`

	Clean  Judged `yaml:"clean" req:"1" doc:"score, 0 to 100, from which a pattern is called clean"`
	Usable Judged `yaml:"usable" req:"1" doc:"score, 0 to 100, from which a pattern is called usable; under it, poor"`
}

// Validate returns an error that names the first rule whose figures contradict
// each other. Single figures are held to the ranges in the tags by the reader;
// the bounds here also refuse NaN.
func (r PatternRules) Validate() error {
	for _, w := range []struct {
		name string
		w    PatternWeights
	}{{"low", r.Low}, {"high", r.High}, {"fog", r.Fog}} {
		sum := w.w.Sharpness + w.w.HotSpot + w.w.Stray + w.w.Dark + w.w.Width
		if !(sum > 0 && sum <= 5000) {
			return fmt.Errorf("pattern: %s: at least one weight must be above 0", w.name)
		}
	}
	if !(0 < r.Usable.Value && r.Usable.Value < r.Clean.Value && r.Clean.Value <= 100) {
		return errors.New("pattern: usable and clean must rise, from above 0 to 100")
	}
	if !(0 <= r.Mark1.Value && r.Mark1.Value <= r.Mark2.Value && r.Mark2.Value <= 1) {
		return errors.New("pattern: mark_1 and mark_2 must rise within [0, 1]")
	}
	if !(0 <= r.GZero.Value && r.GZero.Value < r.GLeast.Value && r.GLeast.Value < r.GMost.Value &&
		r.GMost.Value < r.GHard.Value && r.GHard.Value < 10) {
		return errors.New("pattern: g_zero, g_least, g_most, g_hard must rise, from 0 to under 10")
	}
	for _, s := range []struct {
		name   string
		s      PatternScale
		rising bool
	}{
		{"linearity", r.Linearity, false}, {"centre", r.Centre, false}, {"axis", r.Axis, true}, {"split", r.Split, true}, {"stray", r.Stray, false},
		{"stray_limit", r.StrayLimit, false}, {"dark", r.Dark, false}, {"width_vs_stock", r.WidthVsStock, true},
		{"width", r.Width, true}, {"foreground", r.Foreground, false},
	} {
		if !(s.s.Good >= 0 && s.s.Bad >= 0) || s.s.Good == s.s.Bad || s.rising != (s.s.Good > s.s.Bad) {
			return fmt.Errorf("pattern: %s: good %g and bad %g must differ, the right way round", s.name, s.s.Good, s.s.Bad)
		}
	}
	if !(r.Stray.Good > 0 && r.StrayLimit.Good > 0) {
		return errors.New("pattern: stray and stray_limit: good must be above 0, the scale is logarithmic")
	}
	for _, p := range []PatternPlace{r.Place, r.FogPlace} {
		if !(p.GapLeast <= p.GapMost && p.KerbLeast <= p.KerbMost && p.Reach > 0 && p.Stock >= 0) {
			return errors.New("pattern: place: least must not exceed most, and reach must be above 0")
		}
	}
	for _, v := range []float64{r.HardLoss.Value, r.GDoubt.Value, r.DarkContrast.Value} {
		if !(v >= 0 && v < 1) {
			return fmt.Errorf("pattern: hard_loss, g_doubt, dark_contrast: %g: must be in [0, 1)", v)
		}
	}
	if !(r.DarkLeast.Value > 0) {
		return errors.New("pattern: dark_least must be above 0")
	}
	return nil
}
