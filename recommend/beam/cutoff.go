package beam

import (
	"math"
	"slices"

	"stillbright/data"
)

// Kinds of cutoff by their marking: UN lamps and US VOL lamps are judged on the
// side of oncoming traffic at 2.5 degrees, US VOR lamps on the kerb side at 2.0.
const (
	CutoffUN  = "un"
	CutoffVOL = "vol"
	CutoffVOR = "vor"
)

// Verdicts on G against its published limits.
const (
	GUnder         = "under"
	GInside        = "inside"
	GOver          = "over"
	GUncertain     = "uncertain"
	GNotMeasurable = "not_measurable"
)

// cutoffFound is what the vertical scans say.
type cutoffFound struct {
	found      bool
	v          float64 // inflection at the judged column
	g, b       float64 // sharpness and its place; valid when scanned
	scanned    bool
	measurable bool
	why        string   // why not measurable
	linearity  *float64 // degrees
}

// scanWindow is the half-width in degrees of the local fits behind the slope of
// log E, and columnHalf that of the columns averaged into one scan.
const (
	scanWindow = 0.15
	columnHalf = 0.4
	scanBelow  = 1.0
	scanAbove  = 5.0
	// levelShare: a cutoff lies where the scan holds at least this share of its
	// maximum; below it, patches of stray light have edges of their own.
	levelShare = 0.025
	// blurLoss is how much of G a second helping of the known blur may take; the
	// first helping took about as much.
	blurLoss = 0.04
)

func judgedColumn(kind string) float64 {
	if kind == CutoffVOR {
		return 2.0
	}
	return -2.5
}

// inflection finds the cutoff on one scan. It is looked for with the light replaced
// by the most light found at or above each place, so that the lower edge of a dark
// spot is not taken for it, and then placed on the scan itself.
func inflection(p profile, floor, from, to float64) (float64, bool) {
	envelope := profile{p.v0, p.step, slices.Clone(p.e)}
	for i := len(p.e) - 2; i >= 0; i-- {
		envelope.e[i] = math.Max(envelope.e[i], envelope.e[i+1])
	}
	most := envelope.e[0]
	m := max(2, int(math.Round(scanWindow/p.step)))
	if 2*m+3 > len(p.e) {
		return 0, false
	}
	slope := slopes(envelope.logs(floor), p.step, m)
	v, _, ok := p.steepest(slope, from, to, func(i int) bool {
		return envelope.e[i] >= levelShare*most && envelope.e[i] > floor
	})
	if !ok {
		return 0, false
	}
	slope = slopes(p.logs(floor), p.step, m)
	near, fall, ok := p.steepest(slope, v-2*scanWindow, v+2*scanWindow, func(int) bool { return true })
	if !ok {
		return v, true
	}
	return p.refined(slope, near, fall, floor), true
}

// refined moves an inflection to that of a cubic fitted to log E over the stretch
// where the slope is at least three quarters of its steepest: a soft edge is
// averaged over more of itself than a hard one.
func (p profile) refined(slope []float64, v, fall, floor float64) float64 {
	i := int(math.Round((v - p.v0) / p.step))
	low, high := i, i
	for low > 0 && slope[low-1] <= 0.75*fall {
		low--
	}
	for high < len(slope)-1 && slope[high+1] <= 0.75*fall {
		high++
	}
	half := math.Max(scanWindow, float64(high-low)*p.step/2)
	at := p.v0 + float64(low+high)/2*p.step
	for range 8 {
		m := newEquations(4)
		n := 0
		for k, e := range p.e {
			x := p.v(k) - at
			if math.Abs(x) > half {
				continue
			}
			n++
			m.add([]float64{1, x, x * x, x * x * x}, math.Log(math.Max(e, floor)), 1)
		}
		c, ok := m.solve()
		if !ok || n < 6 || c[3] <= 0 {
			return v
		}
		at += math.Max(-half/2, math.Min(half/2, -c[2]/(3*c[3])))
	}
	if math.Abs(at-v) > 1.5*half {
		return v
	}
	return at
}

// scanAt is the scan on which a cutoff is looked for: scanBelow under the hot spot
// to scanAbove over it, with a degree more for the fits at its ends.
func (s *source) scanAt(h float64) (profile, bool) {
	return s.column(h, columnHalf, s.hot.V-scanBelow-1, s.hot.V+scanAbove+1)
}

// cutoff judges the cutoff of a low or fog beam at its column.
func (s *source) cutoff(kind string) cutoffFound {
	var c cutoffFound
	column := judgedColumn(kind)
	from, to := s.hot.V-scanBelow, s.hot.V+scanAbove
	p, ok := s.scanAt(column)
	if !ok {
		return c
	}
	if c.v, c.found = inflection(p, s.floor, from, to); !c.found {
		return c
	}
	least, most := c.v, c.v
	complete := true
	for _, side := range []float64{-1, 1} {
		q, ok := s.scanAt(column + side)
		if !ok {
			complete = false
			continue
		}
		v, ok := inflection(q, s.floor, from, to)
		if !ok {
			complete = false
			continue
		}
		least, most = math.Min(least, v), math.Max(most, v)
	}
	if complete {
		d := most - least
		c.linearity = &d
	}
	s.sharpness(p, &c)
	return c
}

// sharpness scans G around the cutoff and says whether it may be believed.
func (s *source) sharpness(p profile, c *cutoffFound) {
	from, to := c.v-1, c.v+1
	m := int(math.Floor(0.05 / p.step))
	logs := p.logs(s.floor)
	even := smooth(logs, m)
	c.g, c.b = p.gAt(even, from, to, 0.01)
	if math.IsInf(c.g, 0) {
		c.g = 0
		c.why = "the scan is too short"
		return
	}
	c.scanned = true
	switch {
	case s.unsure != "":
		c.why = s.unsure
		return
	case s.kernel < 0:
		c.why = "the aperture or blur is not stated; the true G is at least this"
		return
	case s.native(c.v) > gStep*1.0001:
		c.why = "readings lie more than 0.1 degree apart"
		return
	}
	again := p.blurred(s.kernel)
	g2, _ := again.gAt(smooth(again.logs(s.floor), m), from, to, 0.01)
	if !(c.g > 0) || 1-g2/c.g > blurLoss {
		c.why = "the aperture or blur is too wide for an edge this sharp; the true G is at least this"
		return
	}
	if noise := gNoise(p, logs, even, c.b, m); noise > 0.05*c.g {
		c.why = "noise at the edge is too high"
		return
	}
	c.measurable = true
}

// gNoise is the standard deviation of G from the scatter of the scan about its
// local fits near b.
func gNoise(p profile, logs, even []float64, b float64, m int) float64 {
	if m < 2 {
		return 0
	}
	var sum float64
	n := 0
	for i := range logs {
		if v := p.v(i); v >= b-0.3 && v <= b+0.4 {
			d := logs[i] - even[i]
			sum, n = sum+d*d, n+1
		}
	}
	if n < 3 {
		return 0
	}
	// A quadratic fit over 2m+1 points passes about 9/(4(2m+1)) of the variance on
	// and keeps the rest as residual; G is the difference of two such values.
	pass := math.Min(0.9, 9/(4*float64(2*m+1)))
	return math.Sqrt(2 * pass * sum / float64(n) / (1 - pass))
}

// gVerdict places G among its limits.
func gVerdict(c cutoffFound, w data.PatternRules) string {
	if !c.measurable {
		return GNotMeasurable
	}
	for _, limit := range []float64{w.GLeast.Value, w.GMost.Value} {
		if math.Abs(c.g-limit) <= w.GDoubt.Value*limit {
			return GUncertain
		}
	}
	switch {
	case c.g < w.GLeast.Value:
		return GUnder
	case c.g > w.GMost.Value:
		return GOver
	}
	return GInside
}
