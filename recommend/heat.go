package recommend

import (
	"math"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// heatFacts are the plain numbers behind a heat value; nil is not known.
type heatFacts struct {
	inLampC     *float64 // hottest point of the body, in the owner's lamp
	foldBack    string   // none, seen, or empty
	stepSeen    bool     // the warm-up series itself holds a step down
	watts       *float64 // hot, one bulb
	retainedPct *float64
	climate     string // hot, mild, cold, or empty: mild
}

// heatValue is how a bulb's heat is judged for the owner, 0..1:
//
//	value = a min(clamp((bad-T)/(bad-good)), k) + b [no fold-back] + c clamp((bad-W)/(bad-good))
//
// T is the body in the owner's lamp. A fact that is not known gives its part
// nothing. A body can stay cool because its heat does not get there, and then the
// light drops: k falls from 1 to 1/2 between the two stated losses of light. The
// thresholds are judgements of rules.yaml.
func heatValue(f heatFacts, r data.HeatRules) (value float64) {
	if f.inLampC != nil {
		part := clamp01((r.BodyBad.Value - *f.inLampC) / (r.BodyBad.Value - r.BodyGood.Value))
		if f.retainedPct != nil {
			lost := 100 - *f.retainedPct
			part = math.Min(part, 1-clamp01((lost-r.CoolDrop.Value)/(r.CoolDropMost.Value-r.CoolDrop.Value))/2)
		} else {
			part = math.Min(part, 0.5)
		}
		value += r.PartBody.Value * part
	}
	if f.foldBack == "none" && !f.stepSeen {
		value += r.PartFold.Value
	}
	if f.watts != nil {
		value += r.PartWatts.Value * clamp01((r.WattsBad.Value-*f.watts)/(r.WattsBad.Value-r.WattsGood.Value))
	}
	return clamp01(value)
}

// bodyRise is the rise of a test's body over the air of the bench, in kelvin.
func bodyRise(t tried, r data.HeatRules) float64 {
	air := r.BenchAir.Value
	if t.test.Ambient != nil {
		air = *t.test.Ambient
	}
	return math.Max(0, *t.test.Body-air)
}

// warmRoom is the bench air taken where the aim is what is surely so (common
// practice); where the aim is caution, rules.yaml has a cold garage.
const warmRoom = 25

// bodyInLamp carries the body temperature of a test to the owner's lamp, in C:
//
//	T = behind + (body - air) + [bare metal] + [cap off]
//
// once with what is not recorded at its worst, once with what is recorded alone. A
// halogen's figure is the second: it was read where the tester could reach.
func bodyInLamp(t tried, climate string, r data.HeatRules) (worst, sure float64) {
	worst = behind(climate, r) + bodyRise(t, r)
	air := float64(warmRoom)
	if t.test.Ambient != nil {
		air = *t.test.Ambient
	}
	sure = behind(climate, r) + math.Max(0, *t.test.Body-air)
	switch t.test.Surface {
	case "":
		worst += r.BareMetal.Value
	case "bare_metal":
		worst, sure = worst+r.BareMetal.Value, sure+r.BareMetal.Value
	}
	switch t.test.Cap {
	case "":
		worst += r.ClosedCap.Value
	case "off":
		worst, sure = worst+r.ClosedCap.Value, sure+r.ClosedCap.Value
	}
	return worst, sure
}

func behind(climate string, r data.HeatRules) float64 {
	switch climate {
	case "hot":
		return r.BehindHot.Value
	case "cold":
		return r.BehindCold.Value
	}
	return r.BehindMild.Value
}

func clamp01(v float64) float64 { return math.Max(0, math.Min(1, v)) }

// outputScale makes the scale of the output value for several driving
// environments:
//
//	(sqrt(q) - sqrt(q0)) / (sqrt(q1) - sqrt(q0)), clamped
//
// q is hot vs stock, by the draws; q0 is the dimmest light that
// still serves all of them, q1 the mean of where more stops helping. The square
// root stands for seeing, which gains less than the light does (judgement; along a
// low beam's cutoff the gain in distance is smaller still, see road).
func outputScale(profiles []data.Profile) sure.Scale {
	var scale sure.Scale
	for _, p := range profiles {
		scale.Q0 = math.Max(scale.Q0, p.Dim.Value)
		scale.Q1 += p.Enough.Value / float64(len(profiles))
	}
	// A user's own rules may put a dim light above another's enough.
	scale.Q1 = math.Max(scale.Q1, 1.05*scale.Q0)
	return scale
}
