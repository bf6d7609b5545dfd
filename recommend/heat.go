package recommend

import (
	"math"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// heatFacts are the plain numbers behind a heat value; nil is not known.
type heatFacts struct {
	bodyC       *float64 // hottest point of the body at the end of the bench run
	bareMetal   bool     // the thermometer saw bare metal, or nobody noted what
	airC        *float64 // bench air
	capOn       bool     // the cap was on during the test
	foldBack    string   // none, seen, or empty
	stepSeen    bool     // the warm-up series itself holds a step down
	watts       *float64 // hot, one bulb
	retainedPct *float64
	climate     string // hot, mild, cold, or empty: mild
}

// heatValue is how a bulb's heat is judged for the owner, 0..1, with the body
// temperature carried to the owner's lamp (nil when not measured).
//
//	T     = behind + (body - air) + [bare metal] + [cap off]        in C
//	value = a clamp((bad-T)/(bad-good)) + b [no fold-back] + c clamp((bad-W)/(bad-good))
//
// A fact that is not known gives its part nothing. A body that stays cool while
// the light drops strongly is a bad heat path, not a cool bulb: its temperature
// part counts half. The thresholds are judgements of rules.yaml.
func heatValue(f heatFacts, r data.HeatRules) (value float64, inLampC *float64) {
	if f.bodyC != nil {
		air := r.BenchAir.Value
		if f.airC != nil {
			air = *f.airC
		}
		rise := math.Max(0, *f.bodyC-air)
		temperature := behind(f.climate, r) + rise
		if f.bareMetal {
			temperature += r.BareMetal.Value
		}
		if !f.capOn {
			temperature += r.ClosedCap.Value
		}
		inLampC = &temperature
		part := clamp01((r.BodyBad.Value - temperature) / (r.BodyBad.Value - r.BodyGood.Value))
		if badHeatPath(f, rise, r) {
			part /= 2
		}
		value += r.PartBody.Value * part
	}
	if f.foldBack == "none" && !f.stepSeen {
		value += r.PartFold.Value
	}
	if f.watts != nil {
		value += r.PartWatts.Value * clamp01((r.WattsBad.Value-*f.watts)/(r.WattsBad.Value-r.WattsGood.Value))
	}
	return clamp01(value), inLampC
}

// badHeatPath says whether the body is cool while the light drops strongly.
func badHeatPath(f heatFacts, rise float64, r data.HeatRules) bool {
	return f.retainedPct != nil && rise < r.CoolRise.Value && 100-*f.retainedPct >= r.CoolDrop.Value
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
// q is the lower end of the hot vs-stock band; q0 is the dimmest light that
// still serves all of them, q1 the mean of where more stops helping. The square
// root is the inverse-square law: reach goes with the root of intensity.
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
