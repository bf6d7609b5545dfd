package beam

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// curveOf is a camera's code for light 0 to 1: sRGB under an S-curve, written out here.
func curveOf(x, s float64) float64 {
	v := 12.92 * x
	if x > 0.0031308 {
		v = 1.055*math.Pow(x, 1/2.4) - 0.055
	}
	return 255 * (v + s*4*v*(1-v)*(v-0.5))
}

// scenes are places of one scene in three exposures two stops apart.
func scenes(code func(x float64) float64, black, noise float64, r *rand.Rand) (list []Observation) {
	for range 6000 {
		x := math.Exp(-8 + 8*r.Float64())
		for _, t := range []float64{1, 4} {
			a, b := x*t+black, 4*x*t+black
			if b > 0.98 {
				continue
			}
			list = append(list, Observation{code(a) + noise*r.NormFloat64(), code(b) + noise*r.NormFloat64(), 4})
		}
	}
	return list
}

func worstOf(res *Response, code func(x float64) float64, least float64) (worst float64) {
	at := func(x float64) float64 {
		c := code(x)
		i := int(c)
		f := c - float64(i)
		return math.Log(res.Light[i])*(1-f) + math.Log(res.Light[min(255, i+1)])*f - math.Log(x)
	}
	// A unit is free: it is set in the middle.
	unit := at(0.2)
	for x := least; x < 0.9; x *= 1.05 {
		if code(x) < codeLeast+4 || code(x) > codeMost {
			continue // below, nothing is read from the curve
		}
		worst = math.Max(worst, math.Abs(at(x)-unit))
	}
	return worst
}

// A known response comes back from exposures whose ratio is known, as Mitsunaga and
// Nayar (CVPR 1999) have it: their error is under 2.7 % on synthetic curves of several
// shapes (from memory, their table of 100 random responses).
func TestResponseIsRecovered(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for _, s := range []float64{0, 0.1, 0.2, 0.3} {
		for _, black := range []float64{0, 0.0002, 0.0005} {
			code := func(x float64) float64 { return curveOf(x, s) }
			res, err := FitResponse(scenes(code, black, 0.3, r))
			if err != nil {
				t.Errorf("curve %g, black %g: %v", s, black, err)
				continue
			}
			worst := worstOf(&res, code, 0.004)
			t.Logf("curve %.1f black %.4f: off by %.4f at most, misfit %.4f", s, black, worst, res.Misfit)
			limit := 0.027
			if black > 0 {
				limit = 0.12 * math.Max(black/0.0005, 0.4) // a black level nobody knows is part of the dark codes
			}
			if worst > limit {
				t.Errorf("curve %g, black %g: off by %.3f", s, black, worst)
			}
		}
	}
}

// Exposures of one scene agree under one tone curve, unless the phone changes the
// picture from place to place. The limit stands between what both give.
func TestMisfitTellsToneMapping(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 4))
	var plain, bent []float64
	for k := range 2 * evenings(1) {
		how := viewer
		if k%2 == 1 {
			how.local = 0.5
		}
		s := evening(r, how, k%4 > 1)
		list := append(observed(s.shots.Stock), observed(s.shots.Bulb)...)
		misfit := 1.0
		if res, err := FitResponse(list); err == nil {
			misfit = res.Misfit
		}
		if how.local > 0 {
			bent = append(bent, misfit)
		} else {
			plain = append(plain, misfit)
		}
	}
	slices.Sort(plain)
	slices.Sort(bent)
	t.Logf("misfit without tone mapping %.4f to %.4f, with it %.4f to %.4f", plain[0], plain[len(plain)-1], bent[0], bent[len(bent)-1])
	if plain[len(plain)-1] > mostMisfit || bent[0] < mostMisfit {
		t.Errorf("the limit %g does not part them", mostMisfit)
	}
}
