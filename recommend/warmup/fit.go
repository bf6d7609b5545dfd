package warmup

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// fit is the best single curve of a sample, for its parameters and for the name of its shape. The
// figures and bands come from the mixture.
type fit struct {
	terms     int       // 0 flat, 1 or 2 time constants
	b, sd     []float64 // lux constant, then amplitude at the first reading and ln(tau/min) by term
	rss       float64   // relative, summed over the readings
	dof       float64
	residuals []float64 // relative
	start     float64
	solved    bool // the least squares settled; else the readings do not determine the curve
}

// certain is the significance a further term needs in the F test. Its time constant is searched
// for, so that the test is a little lenient; of 2,000 simulated series with one time constant fewer
// than one in a hundred are taken for two (coverage_test.go).
const certain = 0.01

// best fits flat, one-term and two-term curves and keeps a further term only if the F test on the
// sums of squares calls it certain. left are the residuals of at least a one-term curve: a droop
// too small to be certain is no reason to find the readings unsettled.
func (s *sample) best() (chosen fit, left []float64) {
	flat := s.flat()
	one, ok := s.curve(1, flat)
	if !ok {
		return flat, flat.residuals
	}
	chosen, left = flat, one.residuals
	if significance(flat, one, s.share) < certain {
		chosen = one
	}
	if exact := (fit{dof: s.count() - 5}); significance(one, exact, s.share) >= certain {
		return chosen, left // even a curve of two terms without any residual would not be certain
	}
	two, ok := s.curve(2, one)
	if ok && significance(one, two, s.share) < certain && significance(flat, two, s.share) < certain {
		return two, two.residuals
	}
	return chosen, left
}

// significance is the F test of a curve against a simpler one that it contains: the chance of so
// great a gain where there is nothing to gain.
func significance(simple, richer fit, share float64) float64 {
	if richer.dof < 1 {
		return 1
	}
	noise := 1e-8 // a scatter of 0.01 %: no readings have less
	more := simple.dof - richer.dof
	ratio := (simple.rss - richer.rss) * share / more / ((richer.rss*share + noise) / richer.dof)
	if ratio < 1 {
		return 1
	}
	return distuv.F{D1: more, D2: richer.dof}.Survival(ratio)
}

func (s *sample) flat() fit {
	one := dot(s.unit, s.unit)
	mean := dot(s.unit, s.z) / one
	f := fit{b: []float64{mean * s.level}, dof: s.count() - 1, start: s.start(), residuals: make([]float64, len(s.z))}
	for i := range s.z {
		f.residuals[i] = s.z[i] - mean*s.unit[i]
	}
	f.rss = dot(f.residuals, f.residuals)
	f.sd = []float64{math.Sqrt(f.rss/math.Max(f.dof, 1)/one) * s.level}
	return f
}

// curve is the best curve of one or two terms. It starts from the best node of a grid, so that no
// starting point has to be given, and goes on to the least squares unless the node is so far from
// telling that the curve will not be wanted.
func (s *sample) curve(terms int, simpler fit) (fit, bool) {
	parameters := 1 + 2*terms
	dof := s.count() - float64(parameters)
	start, rss, ok := s.bestNode(terms)
	if !ok || len(s.readings) <= parameters || dof < 1 {
		return fit{}, false
	}
	f := fit{terms: terms, b: start, sd: make([]float64, parameters), rss: rss, dof: dof, start: s.start()}
	m := warmUp(parameters)
	x, w, y := make([]float64, len(s.z)), s.unit, make([]float64, len(s.z))
	for i, r := range s.readings {
		x[i], y[i] = r.Min-f.start, r.Lux/s.level
	}
	if significance(simpler, f, s.share) < worthwhile {
		if solved, err := solve(m, x, y, w, start, fromNearby()); err == nil && opposite(solved.b) == opposite(start) {
			f.b, f.sd, f.rss, f.solved = solved.b, solved.sd, solved.rss, true
		}
	}
	gradient := make([]float64, parameters)
	f.residuals = make([]float64, 0, len(x))
	for i := range x {
		f.residuals = append(f.residuals, w[i]*(y[i]-m.value(f.b, x[i], gradient)))
	}
	for k := 0; k < parameters; k++ {
		if k == 0 || k%2 == 1 {
			f.b[k] *= s.level
			f.sd[k] *= s.level
		}
	}
	return f, true
}

// worthwhile is the significance at a node of the grid from which the least squares may yet reach
// certainty.
const worthwhile = 0.1

// warmUp is the model b0 + b1 exp(-x/exp(b2)) and so on by pairs: with the logarithm of the time
// constant as the parameter no step can make it negative.
func warmUp(parameters int) model {
	return model{parameters, func(b []float64, x float64, g []float64) float64 {
		g[0] = 1
		v := b[0]
		for k := 1; k < len(b); k += 2 {
			u := x * math.Exp(-math.Min(math.Max(b[k+1], -20), 20))
			e := math.Exp(-u)
			g[k], g[k+1] = e, b[k]*e*u
			v += b[k] * e
		}
		return v
	}}
}

// opposite reports whether two terms pull against each other, which no warm-up does.
func opposite(b []float64) bool { return len(b) == 5 && b[1]*b[3] < 0 }

// The grids of the best curve, the same in every fit.
var oneTermAxes, twoTermAxes = newAxes(), newAxes()

// bestNode is the best of a grid of curves; of two terms, those that pull the same way.
func (s *sample) bestNode(terms int) (start []float64, rss float64, ok bool) {
	const barely = 1e-9 // keeps two columns that are alike from being singular
	rss = math.Inf(1)
	if terms == 1 {
		a := s.axisOf(oneTermAxes, 0.1, 200, 24)
		defer a.free()
		for i := range a.tau {
			if c, rest, _, ok := s.oneTerm(a, i, barely); ok && rest < rss {
				rss, start = rest, []float64{c.beta[0], c.beta[1], math.Log(c.tau[0])}
			}
		}
	} else {
		a := s.axisOf(twoTermAxes, 0.1, 200, 12)
		defer a.free()
		for i := range a.tau {
			for j := i + 1; j < len(a.tau); j++ {
				if c, rest, _, ok := s.twoTerms(a, a, i, j, barely); ok && rest < rss && c.beta[1]*c.beta[2] > 0 {
					rss, start = rest, []float64{c.beta[0], c.beta[1], math.Log(c.tau[0]), c.beta[2], math.Log(c.tau[1])}
				}
			}
		}
	}
	return start, math.Max(rss, 0) / s.share, start != nil
}

// change is the change of the fitted curve over the readings, share of its start.
func (f fit) change(last float64) float64 {
	first, at := f.b[0], f.b[0]
	for k := 1; k < len(f.b); k += 2 {
		first += f.b[k]
		at += f.b[k] * math.Exp(-(last-f.start)/math.Exp(f.b[k+1]))
	}
	return at/first - 1
}

// scatter is the standard deviation of residuals, share of the level, after so many parameters.
func scatter(residuals []float64, parameters int) float64 {
	return math.Sqrt(dot(residuals, residuals) / math.Max(float64(len(residuals)-parameters), 1))
}

// lagOne is the lag-1 autocorrelation coefficient SUM (x_i-m)(x_i+1-m) / SUM (x_i-m)^2 of the NIST
// Statistical Reference Datasets; 0 for fewer than two values or values all alike.
func lagOne(x []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	mean := stat.Mean(x, nil)
	together, self := 0.0, 0.0
	for i, v := range x {
		self += (v - mean) * (v - mean)
		if i+1 < len(x) {
			together += (v - mean) * (x[i+1] - mean)
		}
	}
	if self == 0 {
		return 0
	}
	return together / self
}
