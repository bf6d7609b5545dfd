package sheets

import (
	"math"

	"stillbright/recommend"
	"stillbright/recommend/beam"
	"stillbright/recommend/road"
)

// AimSeen is where one lamp's beam lies now, by a picture of the wall.
type AimSeen struct {
	File    recommend.Word `json:"file" doc:"the picture"`
	DropMM  float64        `json:"drop_mm" doc:"how far the cutoff or hot spot lies below the lamp centre; negative is above"`
	LeastMM float64        `json:"least_mm" doc:"upper end of its 95 % band"`
	MostMM  float64        `json:"most_mm" doc:"lower end of its 95 % band"`
	AskedMM *AimDrop       `json:"asked_mm" doc:"what it is held against: the rule's limits, or its target with the tolerance; null without a figure"`
	Verdict string         `json:"verdict" enum:"within|too_high|too_low|unclear|no_figure" doc:"where the whole band lies; unclear when it lies on a limit"`
	Notes   []string       `json:"notes" doc:"what limits the figure"`
}

// Verdicts of AimSeen.
const (
	AimWithin   = "within"
	AimTooHigh  = "too_high"
	AimTooLow   = "too_low"
	AimUnclear  = "unclear"
	AimNoFigure = "no_figure"
)

// BeamOptions are how a picture of the lamp of this sheet is read.
func (s *AimSheet) BeamOptions(k *recommend.Knowledge) beam.Options {
	o := beam.Options{Beam: s.Beam, Traffic: "right", Cutoff: beam.CutoffUN, Weights: k.Pattern}
	if s.Traffic == recommend.Word(road.LeftHand) {
		o.Traffic = "left"
	}
	switch s.Marking {
	case road.MarkingVOL:
		o.Cutoff = beam.CutoffVOL
	case road.MarkingVOR:
		o.Cutoff = beam.CutoffVOR
	}
	if s.Feature == "hot_spot" {
		o.Beam = beam.High
	}
	return o
}

// See holds what a picture shows against what the sheet asks for.
func (s *AimSheet) See(file string, p beam.Present) {
	drop := func(v float64) float64 { return -s.DistanceMM * math.Tan(v*math.Pi/180) }
	seen := AimSeen{File: recommend.Word(file), DropMM: drop(p.V), LeastMM: drop(p.V + p.Band), MostMM: drop(p.V - p.Band),
		AskedMM: s.asked(), Verdict: AimUnclear, Notes: p.Notes}
	switch a := seen.AskedMM; {
	case a == nil:
		seen.Verdict = AimNoFigure
	case seen.LeastMM >= a.Least && seen.MostMM <= a.Most:
		seen.Verdict = AimWithin
	case seen.MostMM < a.Least:
		seen.Verdict = AimTooHigh
	case seen.LeastMM > a.Most:
		seen.Verdict = AimTooLow
	}
	s.Seen = append(s.Seen, seen)
}

// asked is the range a beam may lie in: the rule's limits, else its target with the
// tolerance; nil when there is no figure to hold it against.
func (s *AimSheet) asked() *AimDrop {
	if d := s.DropMM; d != nil && d.Least < d.Most {
		return d
	}
	if s.TargetMM == nil || s.ToleranceMM == nil {
		return nil
	}
	return &AimDrop{*s.TargetMM - *s.ToleranceMM, *s.TargetMM + *s.ToleranceMM}
}
