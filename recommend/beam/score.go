package beam

import (
	"fmt"
	"math"

	"stillbright/data"
)

// Beam kinds.
const (
	Low  = "low"
	High = "high"
	Fog  = "fog"
)

// Methods of measuring a pattern; each has its own doubt in Weights.
const (
	MethodGrid  = "grid"
	MethodPhoto = "photo"
	MethodGrade = "grade"
)

// Weights are the weights and thresholds of the pattern score.
type Weights = data.PatternRules

// Doubt holds the half-widths of the 95 % bands of the parts.
type Doubt = data.PatternDoubt

// Parts are the five values of a pattern, each 0..1 with 1 best. The scales are
// anchored so that 0 is the worst plausible bulb; nil is "not measured".
//
// In a low or fog beam Sharpness is the cutoff. A high beam has no cutoff: its
// Sharpness and Stray have weight 0 by default, HotSpot is "one centred peak,
// axis against peak", and Dark includes a split peak.
type Parts struct {
	Sharpness *float64 `json:"sharpness" min:"0" max:"1" doc:"sharpness and straightness of the cutoff"`
	HotSpot   *float64 `json:"hot_spot" min:"0" max:"1" doc:"place of the hot spot"`
	Stray     *float64 `json:"stray" min:"0" max:"1" doc:"light above the cutoff"`
	Dark      *float64 `json:"dark" min:"0" max:"1" doc:"dark spots, or a split peak"`
	Width     *float64 `json:"width" min:"0" max:"1" doc:"width and foreground"`
}

// Marks are the five marks given by eye, 0 (bad) to 3 (as good as a good stock
// beam); nil is "not given".
type Marks struct {
	Cutoff  *int `json:"cutoff"`
	HotSpot *int `json:"hot_spot"`
	Stray   *int `json:"stray"`
	Dark    *int `json:"dark"`
	Width   *int `json:"width"`
}

// Result is a pattern score, 0..100, with its 95 % band.
type Result struct {
	Score float64 `json:"score"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
}

// weightsFor returns the part weights of a beam kind: low, high or fog.
func weightsFor(beamKind string, w Weights) (data.PatternWeights, error) {
	switch beamKind {
	case Low:
		return w.Low, nil
	case High:
		return w.High, nil
	case Fog:
		return w.Fog, nil
	}
	return data.PatternWeights{}, fmt.Errorf("beam %q: must be low, high or fog", beamKind)
}

// DoubtOf returns the doubt of a method: grid, photo or grade.
func DoubtOf(method string, w Weights) (Doubt, error) {
	switch method {
	case MethodGrid:
		return w.Grid, nil
	case MethodPhoto:
		return w.Photo, nil
	case MethodGrade:
		return w.Grade, nil
	}
	return Doubt{}, fmt.Errorf("method %q: must be grid, photo or grade", method)
}

// Score weighs the parts of a beam kind (low, high, fog) into 0..100.
//
//	Score = 100 sum(w_i p_i) / sum(w_i)
//
// A part not measured counts 0 in Score and Low and 1 in High. A measured part
// moves by its half-width u_i, never past 0 or 1; with x_i = w_i times that move
// the band is sqrt((1-r) sum(x_i^2) + r (sum x_i)^2), r the shared share.
// All three figures never fall when a part rises, and neither Score nor Low
// rises when a part is taken away. Errors: unknown beam, a part outside [0, 1].
func Score(beamKind string, p Parts, u Doubt, w Weights) (Result, error) {
	weights, err := weightsFor(beamKind, w)
	if err != nil {
		return Result{}, err
	}
	rows := []struct {
		name              string
		part              *float64
		weight, halfWidth float64
	}{
		{"sharpness", p.Sharpness, weights.Sharpness, u.Sharpness},
		{"hot_spot", p.HotSpot, weights.HotSpot, u.HotSpot},
		{"stray", p.Stray, weights.Stray, u.Stray},
		{"dark", p.Dark, weights.Dark, u.Dark},
		{"width", p.Width, weights.Width, u.Width},
	}
	total := 0.0
	for _, row := range rows {
		if !(row.weight >= 0) || math.IsInf(row.weight, 0) || !(row.halfWidth >= 0) {
			return Result{}, fmt.Errorf("%s: weight %g and doubt %g must not be negative", row.name, row.weight, row.halfWidth)
		}
		total += row.weight
	}
	if total <= 0 {
		return Result{}, fmt.Errorf("beam %s: at least one weight must be above 0", beamKind)
	}
	var score, missing float64
	var down, up spread
	for _, row := range rows {
		share := row.weight / total
		if row.part == nil {
			missing += share
			continue
		}
		v := *row.part
		if !(v >= 0 && v <= 1) {
			return Result{}, fmt.Errorf("%s: %g: must be in [0, 1]", row.name, v)
		}
		score += share * v
		down.add(share * math.Min(row.halfWidth, v))
		up.add(share * math.Min(row.halfWidth, 1-v))
	}
	return Result{
		Score: bounded(100 * score),
		Low:   bounded(100 * (score - down.band(u.Shared))),
		High:  bounded(100 * (score + missing + up.band(u.Shared))),
	}, nil
}

// spread adds up half-widths that share a part of their error.
type spread struct{ sum, squares float64 }

func (s *spread) add(x float64) { s.sum += x; s.squares += x * x }

func (s spread) band(shared float64) float64 {
	shared = clamp01(shared)
	return math.Sqrt((1-shared)*s.squares + shared*s.sum*s.sum)
}

// bounded keeps rounding from leaving the scale.
func bounded(v float64) float64 { return math.Max(0, math.Min(100, v)) }

func clamp01(v float64) float64 { return math.Max(0, math.Min(1, v)) }

// PartsFromMarks turns marks given by eye into parts, 0, w.Mark1, w.Mark2 and 1.
// The band of such parts is DoubtOf(MethodGrade, w): wide, and half shared because
// one eye gives all five. Errors: a mark outside 0..3.
func PartsFromMarks(m Marks, w Weights) (Parts, error) {
	var p Parts
	for _, row := range []struct {
		name string
		mark *int
		part **float64
	}{
		{"cutoff", m.Cutoff, &p.Sharpness}, {"hot_spot", m.HotSpot, &p.HotSpot}, {"stray", m.Stray, &p.Stray},
		{"dark", m.Dark, &p.Dark}, {"width", m.Width, &p.Width},
	} {
		if row.mark == nil {
			continue
		}
		if *row.mark < 0 || *row.mark > 3 {
			return Parts{}, fmt.Errorf("%s: mark %d: must be 0, 1, 2 or 3", row.name, *row.mark)
		}
		v := [4]float64{0, clamp01(w.Mark1.Value), clamp01(w.Mark2.Value), 1}[*row.mark]
		*row.part = &v
	}
	return p, nil
}

// onScale maps a figure onto 0..1: 1 at s.Good and beyond, 0 at s.Bad and beyond.
func onScale(v float64, s data.PatternScale) float64 {
	return clamp01((v - s.Bad) / (s.Good - s.Bad))
}

// onLogScale is onScale in log v; v at or under 0 lies beyond the smaller end.
func onLogScale(v float64, s data.PatternScale) float64 {
	return onScale(math.Log(math.Max(v, 1e-9)), data.PatternScale{Good: math.Log(s.Good), Bad: math.Log(s.Bad)})
}

// StrayPart is the stray-light part of a low or fog beam from its stray light
// over the stock beam's in the same rig (a plain ratio, not negative): 1 up to
// w.Stray.Good, 0 from w.Stray.Bad, logarithmic between.
func StrayPart(strayVsStock float64, w Weights) float64 { return onLogScale(strayVsStock, w.Stray) }
