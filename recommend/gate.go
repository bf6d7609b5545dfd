package recommend

import (
	"fmt"
	"math"

	"stillbright/data"
	"stillbright/recommend/beam"
)

// Verdicts of the glare gate.
const (
	GlareWithin      = "within"
	GlareOver        = "over"
	GlareUnclear     = "unclear" // measured, but the band reaches across the gate
	GlareNotMeasured = "not_measured"
	GlareNone        = "not_applicable" // a beam without a cutoff
)

// Gates that set a bulb aside whatever its kind and the weights; ids of reasons.
const (
	CheckGlare  = "glare"
	CheckCutoff = "cutoff"
	CheckPower  = "power"
	CheckHeat   = "body_heat"
)

// stray is a ratio of light above the cutoff with its 95 % band: that of the
// measurement, or what its method is worth.
type stray struct {
	mid, low, high float64
	own            bool // the measurement knows its band
}

// StrayOf is the stray light of a record; nil where it was not measured.
func (k *Knowledge) StrayOf(record *data.PatternRecord) *stray {
	if record == nil || record.StrayVsStock == nil {
		return nil
	}
	if record.StrayLow != nil && record.StrayHigh != nil {
		return &stray{*record.StrayVsStock, *record.StrayLow, *record.StrayHigh, true}
	}
	doubt := k.Rules.Gate.StrayMetered.Value
	if record.Method == beam.MethodPhoto {
		doubt = k.Rules.Gate.StrayPhoto.Value
	}
	mid, factor := *record.StrayVsStock, 1+doubt/100
	return &stray{mid, mid / factor, mid * factor, false}
}

// StrayGate is the stray light, times stock, from which a beam dazzles.
func (k *Knowledge) StrayGate(beamName string) float64 {
	if beamName == data.BeamFog {
		return k.Rules.Gate.StrayFog.Value
	}
	return k.Rules.Gate.StrayLow.Value
}

// GlareOf is the glare gate for one beam, of a bulb of any kind: stray light
// measured against the halogen of the same lamp, a published limit, or the mark by
// eye (0 dazzles, 1 is clearly lighter than the halogen and is not enough to let a
// bulb pass). A value whose band crosses the gate is not within.
func (k *Knowledge) GlareOf(beamName string, measured *stray, overLimit *bool, byEye *int) Glare {
	g := Glare{Verdict: GlareNotMeasured, Why: "the light above the cutoff was not measured in a lamp like yours"}
	if beamName == data.BeamHigh {
		return Glare{Verdict: GlareNone, Why: "a high beam has no cutoff; dip it for oncoming traffic"}
	}
	gate := k.StrayGate(beamName)
	if measured != nil {
		g.VsStock = &measured.mid
	}
	switch {
	case measured != nil && measured.mid > gate && (!measured.own || measured.low > gate):
		g.Verdict, g.Why = GlareOver, fmt.Sprintf("dazzles: %.2g times the light of your halogen above the cutoff; the limit is %.2g", measured.mid, gate)
	case overLimit != nil && *overLimit:
		g.Verdict, g.Why = GlareOver, "dazzles: over a published limit above the cutoff even after the quarter-degree re-aim"
	case byEye != nil && *byEye == 0:
		g.Verdict, g.Why = GlareOver, "dazzles: judged by eye"
	case measured != nil && measured.high > gate:
		g.Verdict, g.Why = GlareUnclear, fmt.Sprintf("stray light is %.2g times your halogen's, but could be %.2g to %.2g: the limit is %.2g", measured.mid, measured.low, measured.high, gate)
	case measured != nil:
		g.Verdict, g.Why = GlareWithin, fmt.Sprintf("stray light above the cutoff is within %g times your halogen's", gate)
	case overLimit != nil:
		g.Verdict, g.Why = GlareWithin, "within the published limits above the cutoff; not compared with your halogen"
	case byEye != nil && *byEye == 1:
		g.Verdict, g.Why = GlareUnclear, "judged by eye: clearly lighter above the cutoff than the halogen; it has to be measured"
	case byEye != nil:
		g.Verdict, g.Why = GlareWithin, "judged by eye: no more light above the cutoff than the limit lets pass"
	}
	return g
}

// glareOfRecord is glareOf for a beam on record.
func (k *Knowledge) glareOfRecord(beamName string, record *data.PatternRecord) Glare {
	if record == nil {
		return k.GlareOf(beamName, nil, nil, nil)
	}
	var byEye *int
	if record.Marks != nil {
		byEye = record.Marks.Stray
	}
	return k.GlareOf(beamName, k.StrayOf(record), record.OverLimit, byEye)
}

// glareOrder is how bad a glare verdict is.
func glareOrder(verdict string) int {
	for i, v := range []string{"", GlareNone, GlareWithin, GlareNotMeasured, GlareUnclear, GlareOver} {
		if v == verdict {
			return i
		}
	}
	return 0
}

// cutoffGate says why a low beam has no usable cutoff, or that this is not sure: the
// mark 0 by eye, or a sharpness G under the least of UN R112 (annex on the cutoff)
// and 49 CFR 571.108 S10.18.9.1.2, with its band.
func (k *Knowledge) cutoffGate(beamName string, record *data.PatternRecord) (out, unsure string) {
	if beamName != data.BeamLow || record == nil {
		return "", ""
	}
	if m := record.Marks; m != nil && m.Cutoff != nil && *m.Cutoff == 0 {
		return "no usable cutoff: the tester saw no line on the wall", ""
	}
	if record.G == nil {
		return "", ""
	}
	g, least, doubt := *record.G, k.Pattern.GLeast.Value, k.Pattern.GDoubt.Value
	switch {
	case g+doubt*math.Abs(g) < least:
		return fmt.Sprintf("no usable cutoff: sharpness G is %.2g; the least for a cutoff is %.2g", g, least), ""
	case g-doubt*math.Abs(g) < least:
		return "", fmt.Sprintf("the sharpness of the cutoff: G is %.2g, too near the least of %.2g to call", g, least)
	}
	return "", ""
}

// powerGate says why a bulb takes more than the lamp, its cables and its plug are
// made for: the greatest power of the size (UN R37). What a pack says counts for a
// halogen, whose power is its rating.
func (d *decision) powerGate(bulb *data.Bulb, list []view) string {
	most := 0.0
	for _, f := range d.size.Functions {
		if f.MaxW != nil {
			most = math.Max(most, *f.MaxW)
		}
	}
	if most == 0 {
		return ""
	}
	watts := 0.0
	see := func(w *float64) {
		if w != nil {
			watts = math.Max(watts, *w)
		}
	}
	see(bulb.Supply.Watts)
	for _, v := range list {
		see(v.watts)
	}
	if claim := bulb.Claims.Watts; bulb.Kind == data.KindHalogen && claim != nil {
		each := *claim
		if bulb.Claims.Per == "pair" {
			each /= 2
		}
		see(&each)
	}
	if watts <= most {
		return ""
	}
	return fmt.Sprintf("takes %.0f W; the most for %s is %.0f W", watts, d.size.Category, most)
}

// bodyGate says why a bulb is hotter than the lamp bears, or that this cannot be
// excluded.
func (d *decision) bodyGate(v view) (out, unsure string) {
	bears := d.know.Rules.Heat.Bears.Value
	switch {
	case v.bodyLeastC != nil && *v.bodyLeastC > bears:
		return fmt.Sprintf("its body reaches at least %.0f °C in your lamp; the lamp bears %.0f °C", *v.bodyLeastC, bears), ""
	case v.bodyC != nil && *v.bodyC > bears:
		return "", fmt.Sprintf("the body temperature with air, surface and cap noted: as recorded it could reach %.0f °C in your lamp", *v.bodyC)
	}
	return "", ""
}
