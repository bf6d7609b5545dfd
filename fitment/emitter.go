package fitment

import (
	"math"

	"stillbright/data"
)

// The lamp's optics were computed for a filament of a certain length at a
// certain distance from the flange. How far an error turns the light follows
// from a parabolic reflector of focal length F (derived; the tests trace rays):
//
//	sideways error d: up to d / F                        (at the vertex)
//	axial error d:    up to 3 sqrt(3) / 8 · d / F        (60 degrees off the axis)
//
// both in radians. An axial error turns the upper and lower halves opposite
// ways, so that aiming does not cure it.
func turnDeg(sideways, focal float64) float64 { return sideways / focal * 180 / math.Pi }

func spreadDeg(axial, focal float64) float64 {
	return 3 * math.Sqrt(3) / 8 * turnDeg(axial, focal)
}

// ofBeam says what an error does to the beam, when the focal length is known.
func (q *question) ofBeam(verb string, angle func(error, focal float64) float64, error float64) string {
	focal := q.lamp.Focal
	if focal == nil || *focal < 1 || error <= 0 {
		return ""
	}
	return " In optics of " + said(*focal, "mm") + " focal length that " + verb + " up to " + degrees(angle(error, *focal)) + "."
}

const (
	fixNothing   = "Nothing on the bulb cures it. Compare the beam on the wall with the taped beam of the halogen, and send the bulb back if the cutoff or the hot spot is worse."
	fixOther     = "Choose a bulb whose emitters are nearer to the filament's size and place, or stay with the halogen."
	whyPattern   = " A beam was measured with this bulb in a lamp like yours; that beam counts here, not the ruler."
	softPattern  = " A beam was measured with this bulb in a lamp like yours; that beam is the evidence."
	measureStrip = "Calliper on the bulb, lamp off: the yellow strip itself, to 0.1 mm."
)

// dimension grades one dimension of the emitters, of which less is better.
func (q *question) dimension(have *float64, good, poor float64, what, effect, beam, measure string) result {
	if have == nil {
		why := what + " is not recorded. " + effect
		if q.bulb.PatternMeasured {
			why += softPattern
		}
		return lacking(why, measure).number(nil, atMost(good), "mm").softly(q.bulb.PatternMeasured)
	}
	return q.graded(grade(*have, good, poor), what+" is "+said(*have, "mm")+". "+effect+beam, fixOther).number(have, atMost(good), "mm")
}

// graded turns the grade of a known dimension into a finding. A measured beam
// speaks for a doubtful dimension, not for one beyond the limit.
func (q *question) graded(verdict Verdict, why, remedy string) result {
	switch {
	case verdict == Fits:
		return fits(why)
	case verdict == DoesNotFit:
		return no(why, remedy)
	case q.bulb.PatternMeasured:
		return fits(why + whyPattern)
	}
	return work(why, fixNothing)
}

// emitterDepth compares the middle of the emitters with the light centre of the
// size: by regulators' criteria the light-centre length must be the same (UN
// GRE-82-03 and GRE-80-02).
func emitterDepth(q *question) result {
	have, centre := q.bulb.Build.Emitter, q.lamp.Of.LightCentreMM
	good, poor := q.rules.DepthGood.Value, q.rules.DepthPoor.Value
	need := ""
	if centre != nil {
		need = bare(*centre-good) + " to " + bare(*centre+good)
	}
	measureCentre := func(least, most float64) ToMeasure {
		return measureBetween("flange to the middle of the filament of the halogen", least, most, "mm",
			"Depth gauge or calliper on the old halogen, from the flange face that seats in the lamp to the middle of the wire, to 0.1 mm.")
	}
	switch {
	case have == nil:
		why := "How deep the emitters sit is not recorded. Too far forward or back, and the beam loses its hot spot and its edge."
		if q.bulb.PatternMeasured {
			why += softPattern
		}
		return lacking(why, "Depth gauge or calliper with the collar on, from the flange face to the middle of the strip, both sides, to 0.1 mm.").
			number(nil, need, "mm").softly(q.bulb.PatternMeasured)
	case centre == nil:
		return unmeasured("The light centre of this size is not known here, so the depth of the emitters cannot be judged.",
			measureCentre(*have-good, *have+good)).number(have, "", "mm").softly(q.bulb.PatternMeasured)
	}
	off := math.Abs(*have - *centre)
	why := "The emitters sit at the light centre of the size."
	if off > noise {
		side := "behind"
		if *have > *centre {
			side = "ahead of"
		}
		why = "The emitters sit " + said(off, "mm") + " " + side + " the light centre of the size." +
			q.ofBeam("spreads the beam by", spreadDeg, off)
	}
	verdict := grade(off, good, poor)
	if verdict != Fits {
		why += " Upper and lower half move opposite ways, and aiming does not cure it."
		if q.lamp.Housing == data.Projector {
			why += " A projector keeps its cutoff, but light is lost on the shield."
		}
	}
	slides := q.bulb.Build.Collar == CollarSetScrew
	if slides && (verdict == DoesNotFit || verdict == NeedsWork && !q.bulb.PatternMeasured) {
		return work(why, "Slide the body in its collar until the middle of the emitters is "+said(*centre, "mm")+
			" from the flange face, measured with a depth gauge, and lock it.").number(have, need, "mm")
	}
	return q.graded(verdict, why, "Choose a bulb whose emitters sit at the light centre. A spacer counts only if the bulb's maker supplies it for this.").
		number(have, need, "mm")
}

// stripLength compares the emitting strip with the filament.
func stripLength(q *question) result {
	if q.lamp.Of.Filament == FilamentTransverse {
		if q.bulb.PatternMeasured {
			return fits("The filament of this size lies across the axis, which two strips along it copy poorly." + whyPattern)
		}
		return lacking("The filament of this size lies across the axis, which two strips along it copy poorly. Without a measured beam nothing speaks for it.",
			"Put the bulb into such a lamp and compare the beam on a wall with the halogen's.")
	}
	have, filament := q.bulb.Build.Strip, q.lamp.Of.FilamentMM
	good, poor := q.rules.StripGood.Value, q.rules.StripPoor.Value
	if have == nil {
		why := "The length of the emitting strip is not recorded."
		if q.bulb.PatternMeasured {
			why += softPattern
		}
		return lacking(why, measureStrip).softly(q.bulb.PatternMeasured)
	}
	if q.lamp.Of.Filament != FilamentAxial || filament == nil {
		ask := []ToMeasure{}
		if q.lamp.Of.Filament != FilamentAxial {
			ask = append(ask, find("which way the filament of the halogen lies", FilamentAxial, "Look at the old halogen: the wire lies along the bulb or across it."))
		}
		if filament == nil {
			ask = append(ask, measureBetween("length of the filament of the halogen", math.Max(0, *have-good), *have+good, "mm",
				"Calliper beside the old halogen: the coiled wire only, to 0.5 mm."))
		}
		return unmeasured("The filament of this size is not known here, so the length of the strip cannot be judged.", ask...).
			number(have, "", "mm").softly(q.bulb.PatternMeasured)
	}
	longer := *have - *filament
	why := "The strip is as long as the filament, within " + said(good, "mm") + "."
	verdict := Fits
	switch {
	case longer > poor+noise:
		verdict, why = DoesNotFit, "The strip is "+said(longer, "mm")+" longer than the filament. Its ends light where the optics expect nothing: a split or smeared hot spot."
	case longer > good+noise:
		verdict, why = NeedsWork, "The strip is "+said(longer, "mm")+" longer than the filament, which blurs the hot spot."
	case longer < -good-noise:
		verdict, why = NeedsWork, "The strip is "+said(-longer, "mm")+" shorter than the filament, so parts of the beam may stay dark."
	}
	return q.graded(verdict, why, fixOther).number(have, bare(math.Max(0, *filament-good))+" to "+bare(*filament+good), "mm")
}

func stripWidth(q *question) result {
	return q.dimension(q.bulb.Build.StripWidth, q.rules.WidthGood.Value, q.rules.WidthPoor.Value,
		"The width of the strip", "A filament is 1.2 to 1.6 mm thick; a wider strip smears the cutoff.", "", measureStrip)
}

func board(q *question) result {
	beam := ""
	if thick := q.bulb.Build.Board; thick != nil {
		beam = q.ofBeam("turns the light of each side by", turnDeg, *thick/2)
	}
	return q.dimension(q.bulb.Build.Board, q.rules.BoardGood.Value, q.rules.BoardPoor.Value,
		"The thickness between the opposed emitters", "Each side sits half of it off the axis.", beam,
		"Calliper across the board at the emitters, from face to face, to 0.1 mm.")
}

func emitterMatch(q *question) result {
	beam := ""
	if off := q.bulb.Build.Mismatch; off != nil {
		beam = q.ofBeam("sets the two sides apart by", turnDeg, *off)
	}
	return q.dimension(q.bulb.Build.Mismatch, q.rules.MismatchGood.Value, q.rules.MismatchPoor.Value,
		"The height difference of the left and right emitters", "Left and right then draw two cutoffs.", beam,
		"Photograph the bulb from the front, straight on, with a ruler beside it, and compare the heights of the two strips.")
}
