package recommend

import (
	"fmt"

	"stillbright/data"
	"stillbright/recommend/beam"
	"stillbright/recommend/road"
)

// Words for a pattern score.
const (
	PatternClean   = "clean"
	PatternUsable  = "usable"
	PatternPoor    = "poor"
	PatternDazzles = "dazzles" // over the glare gate, whatever the score
)

// PatternSheet is the document of `pattern`: one beam in figures, its score, and
// what the glare gate says of it.
type PatternSheet struct {
	Schema string `json:"schema" enum:"stillbright/pattern/1" doc:"document and version"`
	beam.Pattern
	Verdict  Word         `json:"verdict" enum:"clean|usable|poor|dazzles" doc:"the score in a word; dazzles is over the glare gate under any score; null for a list of points, which is not scored"`
	Glare    PatternGlare `json:"glare" doc:"the glare gate"`
	Cautions []string     `json:"cautions" doc:"what can hurt somebody"`
	Plot     Word         `json:"plot" doc:"file of the picture; null when none was asked for"`
	Saved    *PatternSave `json:"saved" doc:"where the figures were written; null when they were not"`
	Drawing  beam.Drawing `json:"-"`
}

// PatternGlare is the glare gate with its threshold.
type PatternGlare struct {
	Glare
	Gate *float64 `json:"gate" doc:"stray light, times stock, from which a bulb is set aside; null for a high beam"`
}

// PatternSave says which record was written.
type PatternSave struct {
	File string `json:"file" doc:"record file"`
	Bulb string `json:"bulb" doc:"id of the bulb"`
	Rig  string `json:"rig" doc:"id of the rig"`
}

// PatternOf makes the document of a measured beam.
func PatternOf(k *Knowledge, p beam.Pattern, d beam.Drawing, marks *beam.Marks) PatternSheet {
	s := PatternSheet{Schema: "stillbright/pattern/1", Pattern: p, Drawing: d, Cautions: []string{}}
	s.Glare = patternGlare(k, &p, marks)
	scored := p.Method != beam.MethodGrid || d.Bulb != nil
	switch {
	case s.Glare.Verdict == "over":
		s.Verdict = PatternDazzles
	case !scored:
	case p.Score >= k.Pattern.Clean.Value:
		s.Verdict = PatternClean
	case p.Score >= k.Pattern.Usable.Value:
		s.Verdict = PatternUsable
	default:
		s.Verdict = PatternPoor
	}
	for _, caution := range road.Cautions(k.Cautions, []string{data.CautionLooking}, mostCautions) {
		s.Cautions = append(s.Cautions, caution.Text)
	}
	return s
}

// patternGlare judges the light above the cutoff as pick does.
func patternGlare(k *Knowledge, p *beam.Pattern, marks *beam.Marks) PatternGlare {
	g := PatternGlare{Glare: Glare{VsStock: p.Stray.VsStock}}
	if p.Beam == beam.High {
		g.Verdict, g.Why = "not_applicable", "a high beam has no cutoff; dip it for oncoming traffic"
		return g
	}
	gate := k.Rules.Gate.StrayLow.Value
	if p.Beam == beam.Fog {
		gate = k.Rules.Gate.StrayFog.Value
	}
	g.Gate = &gate
	verdict := beam.GlareGate(p.Beam, p.Stray.VsStock, p.Stray.OverLimit, gate)
	byEye := marks != nil && marks.Stray != nil
	if byEye && verdict == beam.GlareUnknown {
		verdict = beam.GlareClear
		if *marks.Stray == 0 {
			verdict = beam.GlareTooMuch
		}
	}
	switch {
	case verdict == beam.GlareTooMuch:
		g.Verdict, g.Why = "over", glareWhy(&data.PatternRecord{StrayVsStock: p.Stray.VsStock, OverLimit: p.Stray.OverLimit}, gate)
		if byEye {
			g.Why = "dazzles: judged by eye"
		}
	case verdict == beam.GlareUnknown:
		g.Verdict, g.Why = "not_measured", "the light above the cutoff was not measured against stock"
	case byEye:
		g.Verdict, g.Why = "within", "judged by eye: no more light above the cutoff than the gate lets pass"
	case p.Stray.VsStock == nil:
		g.Verdict, g.Why = "within", "within the published limits above the cutoff; not compared with stock"
	default:
		g.Verdict, g.Why = "within", fmt.Sprintf("stray light above the cutoff is within %g times stock", gate)
		if high := p.Stray.VsStockHigh; high != nil && *high > gate {
			g.Why += fmt.Sprintf(", but could be %.2g times it if all that may be room light or flare were", *high)
		}
	}
	return g
}
