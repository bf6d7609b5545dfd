package beam

import (
	"fmt"
	"math"
	"slices"
)

// Response is a camera's tone curve: the light of each 8-bit code, any unit. It is
// the sRGB curve (IEC 61966-2-1) times the exponential of a polynomial in the code:
// the radiometric self-calibration of Mitsunaga and Nayar (CVPR 1999) with known
// exposures, on few parameters, since a free curve (Debevec and Malik, SIGGRAPH
// 1997) bends itself to fit local tone mapping too.
type Response struct {
	Light [256]float64
	// Misfit is the root mean square, in ln light, by which the exposures of one
	// scene still disagree under this curve.
	Misfit float64
}

const (
	responseDegree = 5
	// Codes that are fitted: below, black level and rounding rule, above, the knee.
	codeLeast, codeMost = 10, 230
	// mostMisfit is the misfit from which exposures of one scene are taken to be bent
	// by local tone mapping. It was chosen by looking at a few simulated evenings:
	// 0.023 without it, 0.073 with, in the test; weaker bending is not always told
	// from none, and has to stay within the band (TestMisfitTellsToneMapping).
	mostMisfit = 0.04
)

// Observation is one place of the scene in two exposures: its codes, which need not
// be whole, and how many times as long the second was exposed.
type Observation struct{ A, B, Ratio float64 }

// logSRGB is the logarithm of the sRGB curve at a code.
func logSRGB(code float64) float64 { return math.Log(math.Max(linear(code/255), 1e-5)) }

// FitResponse recovers the curve from one scene in several exposures. Observations
// outside codeLeast to codeMost are left out. Error: too few, or a curve that does
// not rise.
func FitResponse(list []Observation) (Response, error) {
	var r Response
	list = slices.DeleteFunc(slices.Clone(list), func(o Observation) bool {
		return o.A < codeLeast || o.B < codeLeast || o.A > codeMost || o.B > codeMost || !(o.Ratio > 0)
	})
	if len(list) < 50 {
		return r, fmt.Errorf("the exposures share too little: take them two stops apart, none black, none white")
	}
	c, residuals, ok := fitCurve(list)
	if !ok {
		return r, fmt.Errorf("the exposures do not determine the camera's tone curve")
	}
	last := math.Inf(-1)
	for code := range r.Light {
		v := curveAt(c, float64(code))
		if code >= codeLeast && v <= last {
			return r, fmt.Errorf("the camera's tone curve falls at code %d: the exposures do not belong together", code)
		}
		last = v
		r.Light[code] = math.Exp(v)
	}
	r.Light[0] = 0
	r.Misfit = misfitOf(list, residuals)
	return r, nil
}

func absolute(v []float64) []float64 {
	out := make([]float64, len(v))
	for i, x := range v {
		out[i] = math.Abs(x)
	}
	return out
}

// fitCurve is weighted and robust least squares for the polynomial.
func fitCurve(list []Observation) (c []float64, residuals []float64, ok bool) {
	c = make([]float64, responseDegree)
	residuals = make([]float64, len(list))
	weight, sure := make([]float64, len(list)), make([]float64, len(list))
	rows := make([][responseDegree]float64, len(list))
	target := make([]float64, len(list))
	for i, o := range list {
		for k := range responseDegree {
			rows[i][k] = basis(o.B, k) - basis(o.A, k)
		}
		target[i] = math.Log(o.Ratio) - logSRGB(o.B) + logSRGB(o.A)
		sure[i] = sureOf(list[i])
		weight[i] = sure[i]
	}
	scaled := make([]float64, len(list))
	for range 5 {
		m := newEquations(responseDegree)
		for k := range responseDegree {
			m[k][k] += 1e-2
		}
		for i := range list {
			m.add(rows[i][:], target[i], weight[i])
		}
		if c, ok = m.solve(); !ok {
			return c, nil, false
		}
		for i := range residuals {
			residuals[i] = -target[i]
			for k, x := range rows[i] {
				residuals[i] += c[k] * x
			}
			scaled[i] = math.Abs(residuals[i]) * math.Sqrt(sure[i])
		}
		// Tukey's weights: an edge that moved by a pixel is no tone curve.
		spread := 1.4826*median(slices.Clone(scaled)) + 1e-9
		for i, v := range scaled {
			z := math.Min(1, v/(6*spread))
			weight[i] = sure[i] * (1 - z*z) * (1 - z*z)
		}
	}
	return c, residuals, true
}

// misfitOf weighs what is left by how well each place is known, so that noise in the
// dark does not look like a bent picture. The worst three in a hundred moved.
func misfitOf(list []Observation, residuals []float64) float64 {
	limit := slices.Clone(absolute(residuals))
	slices.Sort(limit)
	most := limit[len(limit)*97/100]
	sum, weight := 0.0, 0.0
	for i, v := range residuals {
		if math.Abs(v) <= most && list[i].A >= 2*codeLeast {
			w := sureOf(list[i])
			sum, weight = sum+w*v*v, weight+w
		}
	}
	return math.Sqrt(sum / math.Max(weight, 1e-9))
}

// sureOf is the weight of an observation: a third of a code of rounding and noise
// moves dark codes more.
func sureOf(o Observation) float64 {
	slope := (logSRGB(o.A+0.5) - logSRGB(o.A-0.5)) / 3
	return 1 / (slope*slope + 0.004*0.004)
}

// basis are the powers of the curve's polynomial.
func basis(code float64, k int) float64 { return math.Pow(code/255, float64(k+1)) }

// curveAt is the logarithm of the light of a code.
func curveAt(c []float64, code float64) float64 {
	v := logSRGB(code)
	for k, x := range c {
		v += x * basis(code, k)
	}
	return v
}
