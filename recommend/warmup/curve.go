package warmup

import (
	"cmp"
	"math"
	"slices"
)

// Estimate is the light at one time: the middle of what is believed and the 95 % band, in lux.
type Estimate struct{ Lux, Low, High float64 }

// HalfWidthPct is half the band in percent of the middle.
func (e Estimate) HalfWidthPct() float64 { return 50 * (e.High - e.Low) / e.Lux }

// Curve is the light over time with its band, for reading off any time and for drawing.
type Curve struct {
	pieces []piece
}

// piece is a stretch of readings without a step: a mixture, a pair of readings, or an unsettled
// stretch of which only the spread is known.
type piece struct {
	s         *sample
	mixture   *mixture
	fit       fit
	unsettled bool
	pair      *pair
}

// At is the light at a time in minutes since switch-on. It is false where nothing honest can be
// said: before 0, between two readings with a step in between, beyond the last reading of an
// unsettled series or of one with fewer than three readings since its step, away from a single
// reading, and so long before the first reading that the band knows no bound.
func (c *Curve) At(minutes float64) (Estimate, bool) {
	if c == nil || !(minutes >= 0 && minutes <= mostMinutes) {
		return Estimate{}, false
	}
	for i, p := range c.pieces {
		if i > 0 && minutes < p.s.start() {
			return Estimate{}, false // inside a step
		}
		if minutes <= p.s.last() || i == len(c.pieces)-1 {
			return p.at(minutes)
		}
	}
	return Estimate{}, false
}

func (p piece) at(minutes float64) (Estimate, bool) {
	switch {
	case p.unsettled:
		return p.spread(minutes)
	case p.mixture != nil:
		return p.mixture.estimate(minutes)
	default:
		return p.pair.at(minutes)
	}
}

// start is the light at the first reading of the piece.
func (p piece) start() (float64, bool) {
	if p.mixture != nil {
		lux := p.mixture.quantiles(p.s.start(), 0.5)[0]
		return lux, lux > 0
	}
	e, ok := p.at(p.s.start())
	return e.Lux, ok && !p.unsettled
}

// spread is the middle and the least and most of the readings near a time of an unsettled stretch.
func (p piece) spread(minutes float64) (Estimate, bool) {
	if minutes < p.s.start() || minutes > p.s.last() {
		return Estimate{}, false
	}
	near := slices.Clone(p.s.readings)
	slices.SortStableFunc(near, func(a, b Reading) int {
		return cmp.Compare(math.Abs(a.Min-minutes), math.Abs(b.Min-minutes))
	})
	near = near[:min(len(near), max(5, len(near)/2))]
	e := Estimate{Low: math.Inf(1)}
	for _, r := range near {
		e.Lux += r.Lux / float64(len(near))
		e.Low = math.Min(e.Low, r.Lux)
		e.High = math.Max(e.High, r.Lux)
	}
	e.Lux = min(max(e.Lux, e.Low), e.High) // the sum of equal readings may be off in its last digit
	return e, true
}
