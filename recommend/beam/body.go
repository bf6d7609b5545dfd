package beam

import "math"

// Light under litShare of the peak is the edge of the beam; nobody misses a hole there.
const (
	litShare = 0.08
	// anyDip is a dip that noise does not make.
	anyDip = 0.92
	// cutClear keeps the search for dark spots off the cutoff itself.
	cutClear = 0.3
	// tenth is the level at which width is defined.
	tenth = 0.1
	// litCandela is the level of width without a stock beam: a level of the beam's own
	// peak would call a beam with a hole in its peak wider. UN R112 class A at 25L and
	// 25R, and 49 CFR 571.108 at 2D 9L and 9R, ask for 1,250 cd.
	litCandela = 1250
	// The near field for the foreground figure, degrees under the cutoff and either
	// side of the axis: with a lamp at 0.65 m aimed 1 % down it is 7 to 10 m ahead.
	foreTop, foreBottom, foreHalf = 3.0, 5.0, 4.0
)

// darkSpots finds areas that hold less than contrast of the light on both their
// sides. Where the light itself dips at all, the ratio to the stock beam may show
// how deep: that finds small spots on steep flanks, and does not take a beam of
// another shape for a hole. top is the cutoff, +Inf for a high beam.
func (s *source) darkSpots(top float64, stock *source, contrast, least float64) []Area {
	f := s.soft
	lit := litShare * s.peak
	marked, depth := make([]bool, len(f.Values)), make([]float64, len(f.Values))
	wide, short := offsets(f, 0.7, 1.1, 1.7, 2.5, 3.6), offsets(f, 0.7, 1.1, 1.7)
	var ratio *Field
	if stock != nil {
		low := litShare * stock.peak / 2
		ratio = f.like(func(i int) float64 {
			if f.Values[i] < 0 || stock.soft.Values[i] < low {
				return Missing
			}
			return f.Values[i] / stock.soft.Values[i]
		})
	}
	for iv := range f.NV {
		if f.V(iv) > top-cutClear {
			break
		}
		for ih := range f.NH {
			i := iv*f.NH + ih
			depth[i] = 1
			if f.Values[i] < 0 {
				continue
			}
			depth[i] = f.valley(ih, iv, wide, lit, f)
			if ratio != nil && ratio.Values[i] >= 0 && depth[i] < anyDip {
				depth[i] = math.Min(depth[i], ratio.valley(ih, iv, short, lit, f))
			}
			marked[i] = depth[i] < contrast
		}
	}
	return f.areas(marked, depth, least, true)
}

// split is how deep the light falls between two peaks near the peak of a high
// beam: 1 for one peak.
func (s *source) split() float64 {
	f, least := s.soft, 1.0
	steps := offsets(f, 0.4, 0.7, 1.1, 1.7, 2.5)
	for iv := range f.NV {
		for ih := range f.NH {
			if math.Hypot(f.H(ih)-s.hot.H, f.V(iv)-s.hot.V) < 4 && f.value(ih, iv) >= 0 {
				least = math.Min(least, f.valley(ih, iv, steps, 0.5*s.peak, f))
			}
		}
	}
	return least
}

// width is how wide the light reaches level somewhere at or under top, between the
// outermost crossings; cut says that the beam runs on past the edge of what was
// measured, so that the figure is a least one.
func (s *source) width(level, top float64) (deg float64, cut bool) {
	f := s.soft
	line := make([]float64, f.NH)
	for ih := range line {
		line[ih] = Missing
	}
	for iv := range f.NV {
		if f.V(iv) > top {
			break
		}
		for ih, v := range f.Values[iv*f.NH : (iv+1)*f.NH] {
			line[ih] = math.Max(line[ih], v)
		}
	}
	first, last := -1, -1
	for ih, v := range line {
		if v >= level {
			if first < 0 {
				first = ih
			}
			last = ih
		}
	}
	if first < 0 {
		return 0, false
	}
	left, right := f.H(first), f.H(last)
	if first > 0 && line[first-1] >= 0 {
		left -= f.Step * (line[first] - level) / (line[first] - line[first-1])
	} else {
		cut = true
	}
	if last < f.NH-1 && line[last+1] >= 0 {
		right += f.Step * (line[last] - level) / (line[last] - line[last+1])
	} else {
		cut = true
	}
	return right - left, cut
}

// foreground is the mean light of the near field over the peak; ok is false when
// less than half of it was measured.
func (s *source) foreground(cutoff float64) (ratio float64, ok bool) {
	f := s.field
	var sum float64
	n := 0
	for iv := range f.NV {
		if down := cutoff - f.V(iv); down < foreTop || down > foreBottom {
			continue
		}
		for ih := range f.NH {
			if v := f.value(ih, iv); v >= 0 && math.Abs(f.H(ih)) <= foreHalf {
				sum, n = sum+v, n+1
			}
		}
	}
	if float64(n) < (foreBottom-foreTop)*2*foreHalf/(f.Step*f.Step)/2 || s.peak <= 0 {
		return 0, false
	}
	return sum / float64(n) / s.peak, true
}

// axisShare is the light on the axis over the peak.
func (s *source) axisShare() (float64, bool) {
	v := s.soft.near(0, 0)
	if v < 0 || s.peak <= 0 {
		return 0, false
	}
	return math.Min(1, v/s.peak), true
}
