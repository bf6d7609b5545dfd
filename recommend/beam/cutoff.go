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
	columnHalf = 0.25
	// levelShare: a cutoff lies where the scan holds at least this share of its
	// maximum; below it, patches of stray light have edges of their own.
	levelShare = 0.025
	// blurLoss is how much of G a second helping of the known blur may take; the
	// first helping took about as much.
	blurLoss = 0.05
)

func judgedColumn(kind string) float64 {
	if kind == CutoffVOR {
		return 2.0
	}
	return -2.5
}

// inflection finds the cutoff on one scan. Light is first replaced by the most
// light found at or above each place, so that the lower edge of a dark spot is
// not taken for the cutoff.
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
	return v, ok
}

// cutoff judges the cutoff of a low or fog beam at its column.
func (s *source) cutoff(kind string) cutoffFound {
	var c cutoffFound
	column := judgedColumn(kind)
	from, to := s.hot.V-1, s.hot.V+5
	p, ok := s.column(column, columnHalf)
	if !ok {
		return c
	}
	if c.v, c.found = inflection(p, s.floor, from, to); !c.found {
		return c
	}
	least, most := c.v, c.v
	complete := true
	for _, side := range []float64{-1, 1} {
		q, ok := s.column(column+side, columnHalf)
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

// tiltOf is the slope of the horizontal part of the cutoff on an unlevelled
// field, in degrees, by the median of slopes (Theil and Sen); ok is false when
// there is no such line.
func tiltOf(f *Field, kind string, fog bool, floor float64) (tilt float64, ok bool) {
	from, to := -6.0, -1.25
	if kind == CutoffVOR {
		from, to = 1.0, 5.0
	}
	if fog {
		from, to = -5, 5
	}
	soft := f.smoothed(0.1)
	hot, peak := hotSpot(f, soft)
	if peak <= 0 {
		return 0, false
	}
	var hs, vs []float64
	tried := 0
	for h := from; h <= to; h += 0.25 {
		ih := int(math.Round((h - f.H0) / f.Step))
		if ih < 1 || ih >= f.NH-1 {
			continue
		}
		tried++
		p, whole := fieldColumn(soft, ih)
		if !whole {
			continue
		}
		// A tilted picture moves the cutoff up or down with h.
		room := 5 + 0.08*math.Abs(h)
		if v, found := inflection(p, floor, hot.V-2, hot.V+room); found {
			hs, vs = append(hs, f.H(ih)), append(vs, v)
		}
	}
	if len(hs) < 6 || len(hs)*10 < tried*6 {
		return 0, false
	}
	var all []float64
	for i := range hs {
		for j := i + 1; j < len(hs); j++ {
			if hs[j]-hs[i] > 0.9 {
				all = append(all, (vs[j]-vs[i])/(hs[j]-hs[i]))
			}
		}
	}
	if len(all) < 3 {
		return 0, false
	}
	slices.Sort(all)
	slope := all[len(all)/2]
	// A line, not a curve: most points must lie near it.
	rest := make([]float64, len(hs))
	for i := range hs {
		rest[i] = vs[i] - slope*hs[i]
	}
	slices.Sort(rest)
	middle := rest[len(rest)/2]
	close := 0
	for _, r := range rest {
		if math.Abs(r-middle) < 0.15 {
			close++
		}
	}
	return degrees(math.Atan(slope)), close*10 >= len(hs)*7
}

// fieldColumn is the longest measured stretch of one column of a field; whole is
// false when next to nothing of it is measured.
func fieldColumn(f *Field, ih int) (p profile, whole bool) {
	values := make([]float64, f.NV)
	for iv := range values {
		values[iv] = f.Values[iv*f.NH+ih]
	}
	first, n := longestRun(values)
	return profile{f.V(first), f.Step, values[first : first+n]}, n >= 5
}

// longestRun finds the longest stretch without Missing.
func longestRun(values []float64) (first, n int) {
	for i := 0; i < len(values); {
		if values[i] < 0 {
			i++
			continue
		}
		run := i
		for i < len(values) && values[i] >= 0 {
			i++
		}
		if i-run > n {
			first, n = run, i-run
		}
	}
	return first, n
}
