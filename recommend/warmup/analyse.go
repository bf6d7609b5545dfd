package warmup

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// analysis is what was made of a series: its pieces in order of time and the bad readings.
type analysis struct {
	pieces  []piece
	dropped []int
	steps   []step
}

// step is a sudden change found between two readings.
type step struct {
	from, to float64 // minutes of the readings on either side
	share    float64 // change, share of the level
}

const mostCuts = 2 // more of them are an unsettled light

// unsettled reports whether a stretch moves about, or whether there is more to leave out or cut than
// a series of so many readings bears.
func (a analysis) unsettled(readings int) bool {
	for _, p := range a.pieces {
		if p.unsettled {
			return true
		}
	}
	return len(a.steps) > mostCuts || len(a.dropped) > max(2, readings/5)
}

// analyse takes out bad readings, cuts the series at steps and fits each piece on its own: after a
// fold-back the driver is at another power, and nothing says that the old curve goes on.
func analyse(s *sample, o Options) analysis {
	if len(s.readings) < 3 {
		return analysis{pieces: []piece{{s: s, pair: newPair(s.readings, o)}}}
	}
	f := s.findFeatures()
	if math.Abs(f.stepSize) < o.StepPct/100 {
		f.step = -1
	}
	var a analysis
	for i, bad := range f.bad {
		if bad {
			a.dropped = append(a.dropped, s.index[i])
		}
	}
	if f.step < 0 {
		a.pieces = []piece{newPiece(s.without(f.bad), o)}
		return a
	}
	before, after := make([]bool, len(f.bad)), make([]bool, len(f.bad))
	for i, bad := range f.bad {
		before[i] = bad || i >= f.step
		after[i] = bad || i < f.step
	}
	early, late := s.without(before), s.without(after)
	first, second := analyse(early, o), analyse(late, o)
	if p := second.pieces[0].pair; p != nil {
		p.curves = nil // the usual time constants are those of a warm-up, not of what follows a step
	}
	a.steps = append(append(first.steps, step{early.last(), late.start(), f.stepSize}), second.steps...)
	a.pieces = append(first.pieces, second.pieces...)
	a.dropped = append(append(a.dropped, first.dropped...), second.dropped...)
	return a
}

func newPiece(s *sample, o Options) piece {
	if len(s.readings) < 3 {
		return piece{s: s, pair: newPair(s.readings, o)}
	}
	p := piece{s: s}
	var left []float64
	p.fit, left = s.best()
	parameters := max(3, len(p.fit.b))
	together := goTogether(left)
	p.unsettled = unsettled(left, parameters, together, o)
	// A scatter below the display's step is rounding, whatever its pattern.
	if together > 0 && scatter(left, parameters) > math.Max(o.ResolutionLux/s.level, leastScatter) {
		// Neighbours that go together carry less than their number: the usual count for a
		// first-order autoregression (Bayley and Hammersley, J. R. Stat. Soc. Suppl. 8, 1946, 184).
		s.setShare(math.Max((1-together)/(1+together), leastForShape/float64(len(left))))
		p.fit, _ = s.best()
	}
	p.mixture = s.average(o)
	return p
}

// goTogether is the lag-1 coefficient of the residuals where it is beyond chance (about one in two
// hundred: its standard deviation is 1/sqrt(n) where there is nothing), else 0.
func goTogether(residuals []float64) float64 {
	n := len(residuals)
	if r := lagOne(residuals); n >= leastForLag && r > 2.6/math.Sqrt(float64(n)) {
		return r
	}
	return 0
}

const (
	leastForLag   = 12   // fewer residuals do not show whether neighbours go together
	leastScatter  = 2e-4 // of 0.02 %: no reading is better
	leastForShape = 5    // fewer readings have no shape
	wander        = 0.01 // judgement: less than 1 % of slow wander is put into the band, not called unsettled
)

// unsettled reports whether residuals scatter more than a meter explains, or wander in a way that
// no warm-up does.
func unsettled(residuals []float64, parameters int, together float64, o Options) bool {
	n := len(residuals)
	if n < leastForShape || n <= parameters {
		return false
	}
	limit := o.ScatterPct / 100
	if (distuv.ChiSquared{K: float64(n - parameters)}).Survival(dot(residuals, residuals)/(limit*limit)) < 0.001 {
		return true
	}
	return scatter(residuals, parameters)*math.Sqrt(together) > wander
}
