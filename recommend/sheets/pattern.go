package sheets

import (
	"stillbright/data"
	"stillbright/recommend"
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
	Verdict  recommend.Word `json:"verdict" enum:"clean|usable|poor|dazzles" doc:"the score in a word; dazzles is over the glare gate under any score; null for a list of points, which is not scored"`
	Glare    PatternGlare   `json:"glare" doc:"the glare gate"`
	Cautions []string       `json:"cautions" doc:"what can hurt somebody"`
	Plot     recommend.Word `json:"plot" doc:"file of the picture; null when none was asked for"`
	Saved    *PatternSave   `json:"saved" doc:"where the figures were written; null when they were not"`
	Drawing  beam.Drawing   `json:"-"`
}

// PatternGlare is the glare gate with its threshold.
type PatternGlare struct {
	recommend.Glare
	Gate *float64 `json:"gate" doc:"stray light, times stock, from which a bulb is set aside; null for a high beam"`
}

// PatternSave says which record was written.
type PatternSave struct {
	File string `json:"file" doc:"record file"`
	Bulb string `json:"bulb" doc:"id of the bulb"`
	Rig  string `json:"rig" doc:"id of the rig"`
}

// PatternOf makes the document of a measured beam.
func PatternOf(k *recommend.Knowledge, p beam.Pattern, d beam.Drawing, marks *beam.Marks) PatternSheet {
	s := PatternSheet{Schema: "stillbright/pattern/1", Pattern: p, Drawing: d, Cautions: []string{}}
	s.Glare = patternGlare(k, &p, marks)
	scored := p.Method != beam.MethodGrid || d.Bulb != nil
	switch {
	case s.Glare.Verdict == recommend.GlareOver:
		s.Verdict = PatternDazzles
	case !scored:
	default:
		s.Verdict = verdictOf(k, &p)
	}
	for _, caution := range road.Cautions(k.Cautions, []string{data.CautionLooking}, recommend.MostCautions) {
		s.Cautions = append(s.Cautions, caution.Text)
	}
	return s
}

// patternGlare judges the light above the cutoff as pick does.
func patternGlare(k *recommend.Knowledge, p *beam.Pattern, marks *beam.Marks) PatternGlare {
	var g PatternGlare
	if p.Beam == beam.High {
		g.Glare = k.GlareOf(p.Beam, nil, nil, nil)
		return g
	}
	gate := k.StrayGate(p.Beam)
	g.Gate = &gate
	var byEye *int
	if marks != nil {
		byEye = marks.Stray
	}
	measured := k.StrayOf(&data.PatternRecord{Method: p.Method, StrayVsStock: p.Stray.VsStock, StrayLow: p.Stray.VsStockLow, StrayHigh: p.Stray.VsStockHigh})
	g.Glare = k.GlareOf(p.Beam, measured, p.Stray.OverLimit, byEye)
	if g.Verdict == recommend.GlareNotMeasured && p.Stray.Why != "" {
		g.Why = p.Stray.Why
	}
	return g
}

// verdictOf is the score in a word. Where only the sharpness could not be measured
// and the cutoff is known to be sharp enough, the word goes by the other parts: what
// nobody could see makes no beam worse, it widens the band.
func verdictOf(k *recommend.Knowledge, p *beam.Pattern) recommend.Word {
	score := p.Score
	if p.Parts.Sharpness == nil && p.Beam != beam.High && p.Cutoff.G != nil && *p.Cutoff.G >= k.Pattern.GLeast.Value {
		weight := k.Pattern.Low.Sharpness
		if p.Beam == beam.Fog {
			weight = k.Pattern.Fog.Sharpness
		}
		score /= 1 - weight
	}
	switch {
	case score >= k.Pattern.Clean.Value:
		return PatternClean
	case score >= k.Pattern.Usable.Value:
		return PatternUsable
	}
	return PatternPoor
}
