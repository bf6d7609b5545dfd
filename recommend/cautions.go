package recommend

import (
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend/road"
)

// MostCautions is how many cautions are said unasked: more would be a wall of
// text that nobody reads.
const MostCautions = 2

// BeamCondition is the condition word of a beam.
func BeamCondition(beam string) string {
	switch beam {
	case data.BeamHigh:
		return data.CautionHighBeam
	case data.BeamFog:
		return data.CautionFogBeam
	}
	return data.CautionLowBeam
}

// safety fills in the cautions that apply to a decision, heaviest first. The
// screen says the first two in short; --full says all.
func (d *decision) safety(pick *Pick) {
	pick.Safety, pick.SafetyLine = d.cautions(pick.Law, BulbOf(pick, string(pick.Answer.Bulb)))
}

// cautions are those of a bulb in the owner's lamp, and the first of them in one
// line; an empty bulb stands for halogens that stay or are renewed.
func (d *decision) cautions(law LawLine, r Ranked) (texts []string, line string) {
	texts = []string{}
	var short []string
	for i, caution := range road.Cautions(d.know.Cautions, d.conditions(law, r), len(d.know.Cautions)) {
		texts = append(texts, caution.Text)
		if i < MostCautions {
			short = append(short, caution.Short)
		}
	}
	return texts, strings.Join(short, "; ")
}

func BulbOf(pick *Pick, id string) Ranked {
	for _, r := range pick.Ranked {
		if r.Bulb == id && id != "" {
			return r
		}
	}
	return Ranked{}
}

// conditions are the words of data.CautionConditions that hold for the owner's
// need, the law line and the bulb that is recommended.
func (d *decision) conditions(law LawLine, r Ranked) []string {
	n, words := d.need, []string{}
	when := func(holds bool, word string) {
		if holds {
			words = append(words, word)
		}
	}
	when(n.Beam == data.BeamBoth, data.CautionHighBeam)
	words = append(words, BeamCondition(n.Beam))
	when(n.Housing != data.Projector, data.CautionReflector) // not known may be one
	when(n.Canbus != nil && *n.Canbus, data.CautionBulbOutWarning)
	when(slices.Contains(n.Driving, "snow") || n.Climate == "cold", data.CautionSnow)
	when(n.Load == "full", data.CautionLoad)
	when(n.Cycle, data.CautionMotorcycle)
	when(d.size.Discharge || n.Lamp != nil && n.Lamp.Technology == "discharge", data.CautionDischarge)
	if r.Fit.Overall == string(fitment.DoesNotFit) {
		return words // nothing is fitted
	}
	words = append(words, data.CautionFitting)
	when(slices.Contains(n.Driving, "offroad"), data.CautionOffroadLabel)
	if r.Kind != data.KindLED {
		return append(words, data.CautionAnyHalogen)
	}
	bulb := r.judged.bulb
	words = append(words, data.CautionAnyLED, data.CautionNotPermitted) // no verdict lets an LED through without more ado
	when(law.RowVerdict == data.VerdictInspection, data.CautionInspection)
	when(law.RowVerdict != "" && law.RowVerdict != data.VerdictUnclear, data.CautionInsurance)
	when(noCutoff(r.judged.light.speaks), data.CautionNoCutoff)
	when(len(bulb.Approval) > 0, data.CautionApprovalClaimed)
	when(bulb.Supply.BulbOut == "resistor", data.CautionResistor)
	when(bulb.Supply.Driver == "external", data.CautionExternalDriver)
	when(r.judged.bodyC > r.judged.warm.touch, data.CautionHotBody)
	if lumens := bulb.Claims.Lumens; lumens != nil {
		each := *lumens
		if bulb.Claims.Per == "pair" {
			each /= 2
		}
		when(each > levellingLumens, data.CautionOver2000)
	}
	return words
}

// noCutoff says whether the tester saw no line on the wall.
func noCutoff(test *tried) bool {
	if test == nil || test.test.Pattern == nil {
		return false
	}
	marks := test.test.Pattern.Marks
	return marks != nil && marks.Cutoff != nil && *marks.Cutoff == 0
}

// levellingLumens is the flux above which UN practice asks for levelling and
// washers; the caution names its source.
const levellingLumens = 2000
