package road

import (
	"fmt"

	"stillbright/data"
)

// What a finding speaks of.
const (
	ClaimAdvertised = "lumens_at_advertised_watts"
	ClaimMeasured   = "lumens_at_measured_watts"
	ClaimWatts      = "watts"
	ClaimColour     = "colour"
	ClaimFigure     = "figure" // a figure that cannot be used at all
)

// Verdicts beside those of data.ClaimRung.
const (
	ClaimUnusable    = "unusable"     // the figure is outside anything a bulb has
	ClaimWhite       = "white"        // well inside the white boundary
	ClaimEdge        = "edge"         // a sample may lie on either side of it
	ClaimNotWhite    = "not_white"    // outside
	ClaimWattsAgree  = "watts_agree"  // measured within a tenth of advertised
	ClaimWattsDiffer = "watts_differ" // further apart
)

// ClaimInput is what a pack says and what was measured. Lumens and watts of the
// pack belong to one bulb or to the pair, both alike.
type ClaimInput struct {
	Lumens        *float64 // lm, 1 to 10^6
	Watts         *float64 // W, 0.1 to 1,000
	CCT           *float64 // K, 1,000 to 25,000
	Per           string   // each, pair, or "" when the pack does not say
	MeasuredWatts *float64 // W of one bulb, warm, 0.1 to 1,000
	Ladder        []data.ClaimRung
}

// ClaimFinding is one claim against what is possible.
type ClaimFinding struct {
	Claim      string   // ClaimAdvertised, ClaimMeasured, ClaimWatts, ClaimColour, ClaimFigure
	LmPerW     *float64 // nil but for the two lumen findings
	Rung       string   // id of the rung; "" but for the two lumen findings
	Verdict    string   // of the rung, or one of the constants above
	Text       string
	Assumed    string // what was taken for granted, "" if nothing
	Source     string
	Confidence string
}

// nominalBin is the half-width in K of the usual bin sold as 6,500 K, 6,530 +- 510 K,
// ANSI C78.377 [from memory]. A bulb sold by a nominal figure may lie that far off.
const nominalBin = 510.0

// Audit puts a pack's claims on the ladder of published limits:
//
//	lumens / watts, at the advertised and at the measured power
//	measured / advertised watts
//	advertised colour temperature against where white ends (WhiteEnd, WhiteStart)
//
// It gives a finding for each claim that can be judged and none where a figure is
// missing. A figure out of range gives a finding that says so. The ladder is that of
// data/known claims.yaml; without rungs there are no lumen findings. Source: the
// rungs name theirs; colour as WhiteEnd [computed].
func Audit(in ClaimInput) []ClaimFinding {
	findings := []ClaimFinding{}
	for _, figure := range []struct {
		name, unit  string
		value       **float64
		least, most float64
	}{
		{"advertised lumens", "lm", &in.Lumens, 1, 1e6},
		{"advertised watts", "W", &in.Watts, 0.1, 1000},
		{"measured watts", "W", &in.MeasuredWatts, 0.1, 1000},
		{"advertised colour temperature", "K", &in.CCT, 1000, 25000},
	} {
		if *figure.value == nil {
			continue
		}
		if err := within(figure.name, figure.unit, **figure.value, figure.least, figure.most); err != nil {
			findings = append(findings, ClaimFinding{Claim: ClaimFigure, Verdict: ClaimUnusable, Text: err.Error(), Confidence: data.ConfidenceComputed})
			*figure.value = nil
		}
	}
	bulbs := 1.0
	if in.Per == "pair" {
		bulbs = 2
	}
	if in.Lumens != nil && in.Watts != nil {
		// Both belong to the same count of bulbs, so the count cancels.
		findings = in.rung(findings, ClaimAdvertised, *in.Lumens / *in.Watts, "")
	}
	if in.Lumens != nil && in.MeasuredWatts != nil {
		perWatt := *in.Lumens / bulbs / *in.MeasuredWatts
		assumed := ""
		if in.Per == "" {
			assumed = fmt.Sprintf("the lumens are taken for one bulb; if they are for the pair it is %s lm/W", short(perWatt/2))
		}
		findings = in.rung(findings, ClaimMeasured, perWatt, assumed)
	}
	if in.Watts != nil && in.MeasuredWatts != nil {
		findings = append(findings, wattsFinding(*in.Watts/bulbs, *in.MeasuredWatts, in.Per))
	}
	if in.CCT != nil {
		findings = append(findings, colourFinding(*in.CCT))
	}
	return findings
}

// rung appends the finding of the highest rung that a claim is above.
func (in ClaimInput) rung(findings []ClaimFinding, claim string, perWatt float64, assumed string) []ClaimFinding {
	var best *data.ClaimRung
	for i, rung := range in.Ladder {
		if perWatt > rung.Above && (best == nil || rung.Above > best.Above) {
			best = &in.Ladder[i]
		}
	}
	if best == nil {
		return findings
	}
	return append(findings, ClaimFinding{
		Claim: claim, LmPerW: &perWatt, Rung: best.ID, Verdict: best.Verdict, Text: best.Text,
		Assumed: assumed, Source: best.Source, Confidence: best.Confidence,
	})
}

func wattsFinding(advertised, measured float64, per string) ClaimFinding {
	share := 100 * measured / advertised
	finding := ClaimFinding{
		Claim: ClaimWatts, Verdict: ClaimWattsAgree, Source: "measured against the pack", Confidence: data.ConfidenceComputed,
		Text: fmt.Sprintf("Measured %s W of the %s W advertised, %.0f %%.", short(measured), short(advertised), share),
	}
	if per == "" {
		finding.Assumed = "the watts are taken for one bulb"
	}
	if share < 90 || share > 110 {
		finding.Verdict = ClaimWattsDiffer
	}
	return finding
}

// colourFinding judges an advertised colour temperature. The two loci leave white at
// slightly different figures, and a nominal figure stands for a bin.
func colourFinding(cct float64) ClaimFinding {
	finding := ClaimFinding{
		Claim: ClaimColour, Source: "49 CFR 571.108 S14.4.1.4.2.3; UN R48 (from memory); CIE daylight and Planckian loci", Confidence: data.ConfidenceComputed,
		Assumed: "the LED lies on the daylight or Planckian locus; a real one lies beside them, and then x decides, not the colour temperature",
	}
	white := WhiteUN() // the narrower red line of the two
	daylight, errDay := WhiteEnd(white, Daylight)
	planckian, errPlanck := WhiteEnd(white, Planckian)
	start, errStart := WhiteStart(white)
	if firstError(errDay, errPlanck, errStart) != nil {
		finding.Verdict, finding.Text = ClaimUnusable, "The white boundary has no crossing with the loci."
		return finding
	}
	ends := fmt.Sprintf("White ends at %.0f K on the daylight locus and %.0f K on the Planckian", daylight, planckian)
	switch {
	case cct > planckian:
		finding.Verdict, finding.Text = ClaimNotWhite, fmt.Sprintf("%s; %s K is outside, too blue.", ends, short(cct))
	case cct < start:
		finding.Verdict, finding.Text = ClaimNotWhite, fmt.Sprintf("White starts at %.0f K on the Planckian locus; %s K is too yellow.", start, short(cct))
	case cct > daylight-nominalBin:
		finding.Verdict = ClaimEdge
		finding.Text = fmt.Sprintf("%s; %s K is near it, and a sample may lie on either side.", ends, short(cct))
	default:
		finding.Verdict, finding.Text = ClaimWhite, fmt.Sprintf("%s; %s K is inside.", ends, short(cct))
	}
	return finding
}
