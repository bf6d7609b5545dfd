package warmup

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

const (
	pairNodes = 32
	normalNu  = 1e7 // degrees of freedom at which Student's t is the normal distribution
	normal95  = 1.959963984540054
)

// pair is one or two readings: the numbers as read, and between or beyond two of them the curves
// through both for every time constant of the usual range, all alike likely in the logarithm.
type pair struct {
	readings []Reading
	repeat   float64 // standard deviation of a reading, share
	curves   *mixture
}

func newPair(readings []Reading, o Options) *pair {
	p := &pair{readings: readings, repeat: o.RepeatPct / 100}
	if len(readings) < 2 {
		return p
	}
	first, second := readings[0], readings[1]
	p.curves = &mixture{start: first.Min, level: first.Lux, rounding: o.ResolutionLux / math.Sqrt(12) / first.Lux,
		tail: distuv.StudentsT{Mu: 0, Sigma: 1, Nu: normalNu}}
	p.curves.components = make([]component, 0, pairNodes)
	ratio := second.Lux / first.Lux
	for i := 0; i < pairNodes; i++ {
		tau := o.TauLowMin * math.Pow(o.TauHighMin/o.TauLowMin, (float64(i)+0.5)/pairNodes)
		e := math.Exp(-(second.Min - first.Min) / tau)
		d := -math.Expm1(-(second.Min - first.Min) / tau)
		c := component{weight: 1, terms: 1, tau: [2]float64{tau}, scale2: p.repeat * p.repeat}
		c.beta = [3]float64{(ratio - e) / d, (1 - ratio) / d}
		// The normal equations of A + B in the first reading and A + e B in the second, weighted by
		// the size of each.
		w := 1 / (ratio * ratio)
		l, _, ok := factor([3][3]float64{{1 + w}, {1 + e*w, 1 + e*e*w}}, 2)
		if !ok { // the readings are too near each other for this time constant
			continue
		}
		c.factor = l
		p.curves.components = append(p.curves.components, c)
	}
	if len(p.curves.components) == 0 {
		p.curves = nil
		return p
	}
	p.curves.components = normalise(p.curves.components)
	p.curves.fillTable()
	return p
}

func (p *pair) at(minutes float64) (Estimate, bool) {
	for _, r := range p.readings {
		if r.Min == minutes {
			half := normal95 * p.repeat
			return Estimate{r.Lux, math.Max(r.Lux*(1-half), 0), r.Lux * (1 + half)}, true
		}
	}
	if p.curves == nil {
		return Estimate{}, false
	}
	return p.curves.estimate(minutes)
}
