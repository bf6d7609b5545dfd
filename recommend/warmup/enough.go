package warmup

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Stop says whether the readings so far are enough for the figure asked for.
type Stop struct {
	Enough       bool
	HalfWidthPct *float64 // half the band in percent of the light; nil where there is no figure
	More         int      // about how many more readings at the last spacing; 0 if enough, -1 if not in sight
	MoreMin      float64  // how many minutes that takes; 0 unless More is above 0
}

const inSight = 120 // readings; a band that needs more will not be had by waiting

// EnoughToStop says whether the band at AtMin is within the wanted half-width, 0.1..50 percent of
// the light, or about how many more readings it takes if they go on as they do. The count
// comes from the curve as it looks now, in its linear picture, scaled to the band as it is; it is a
// forecast of the doubt and as rough as one. A step still to come is not in it.
func (f Figures) EnoughToStop(wantedPct float64) (Stop, error) {
	if err := within("wanted half-width in percent", wantedPct, 0.1, 50); err != nil {
		return Stop{}, err
	}
	s := Stop{More: -1}
	if f.Curve == nil {
		s.More = leastForShape
		return s, nil
	}
	if f.Lux != nil && *f.Lux > 0 {
		half := 50 * (*f.LuxHigh - *f.LuxLow) / *f.Lux
		s.HalfWidthPct = &half
	}
	last := f.Curve.pieces[len(f.Curve.pieces)-1]
	if last.unsettled {
		return s, nil
	}
	if n := len(last.s.readings); n < leastForShape || last.mixture == nil {
		s.More = leastForShape - n
		s.MoreMin = float64(s.More) * last.s.spacing()
		return s, nil
	}
	now, ok := f.Curve.At(f.AtMin)
	if !ok {
		return s, nil
	}
	if f.Lux != nil && *s.HalfWidthPct <= wantedPct {
		return Stop{Enough: true, HalfWidthPct: s.HalfWidthPct}, nil
	}
	p := newPlan(last, f.AtMin)
	scale := now.HalfWidthPct() / p.doubt()
	for k := 1; k <= inSight; k++ {
		p.add(last.s.last() + float64(k)*last.s.spacing())
		if scale*p.doubt() <= wantedPct {
			s.More, s.MoreMin = k, float64(k)*last.s.spacing()
			break
		}
	}
	return s, nil
}

// spacing is the median of the last three spacings of the readings in minutes, 1 for a single one.
func (s *sample) spacing() float64 {
	var gaps []float64
	for i := len(s.readings) - 1; i > 0 && len(gaps) < 3; i-- {
		gaps = append(gaps, s.readings[i].Min-s.readings[i-1].Min)
	}
	if len(gaps) == 0 {
		return 1
	}
	slices.Sort(gaps)
	return gaps[len(gaps)/2]
}

// plan is the information of the readings on a curve, and what it leaves open at one time.
type plan struct {
	m           model
	b           []float64
	start, at   float64
	share       float64
	count       float64
	information *mat.SymDense
}

// newPlan takes the curve of the heaviest component of the mixture and the priors of the mixture.
func newPlan(p piece, at float64) plan {
	c := p.mixture.components[0]
	q := plan{m: warmUp(1 + 2*c.terms), start: p.s.start(), at: at, share: p.s.share, b: []float64{c.beta[0]}}
	variance := c.scale2
	q.information = mat.NewSymDense(q.m.parameters, nil)
	for j := 0; j < c.terms; j++ {
		q.b = append(q.b, c.beta[j+1], math.Log(c.tau[j]))
		q.information.SetSym(1+2*j, 1+2*j, variance/(firstChange*firstChange))
		q.information.SetSym(2+2*j, 2+2*j, variance/(priorLogSD*priorLogSD))
	}
	for _, r := range p.s.readings {
		q.add(r.Min)
	}
	return q
}

// priorLogSD is the standard deviation of the logarithm of a time constant over the usual range and
// its tails.
const priorLogSD = 0.8

// add counts one more reading.
func (p *plan) add(minutes float64) {
	gradient := make([]float64, p.m.parameters)
	p.m.value(p.b, minutes-p.start, gradient)
	p.information.SymRankOne(p.information, p.share, mat.NewVecDense(len(gradient), gradient))
	p.count++
}

// doubt is in proportion to the half-width of the band at the time asked for.
func (p *plan) doubt() float64 {
	gradient := make([]float64, p.m.parameters)
	p.m.value(p.b, p.at-p.start, gradient)
	g := mat.NewVecDense(len(gradient), gradient)
	var c mat.Cholesky
	if !c.Factorize(p.information) {
		return math.MaxFloat64
	}
	var x mat.VecDense
	if err := c.SolveVecTo(&x, g); err != nil && !isConditionWarning(err) {
		return math.MaxFloat64
	}
	t := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: math.Max(p.count*p.share, 1)}.Quantile(0.975)
	return t * math.Sqrt(math.Max(mat.Dot(g, &x), 0))
}
