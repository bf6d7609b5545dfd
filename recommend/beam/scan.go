package beam

import (
	"math"
)

// profile is light along one vertical scan: even steps, v rising.
type profile struct {
	v0, step float64
	e        []float64
}

func (p profile) v(i int) float64 { return p.v0 + float64(i)*p.step }

// logs returns log10 of the profile; values at or under floor count as floor.
func (p profile) logs(floor float64) []float64 {
	out := make([]float64, len(p.e))
	for i, e := range p.e {
		out[i] = math.Log10(math.Max(e, floor))
	}
	return out
}

// between reads a series at a place between its samples.
func (p profile) between(series []float64, v float64) float64 {
	x := (v - p.v0) / p.step
	i := int(math.Floor(x))
	if i < 0 {
		return series[0]
	}
	if i >= len(series)-1 {
		return series[len(series)-1]
	}
	f := x - float64(i)
	return series[i]*(1-f) + series[i+1]*f
}

// blurred is the profile under a Gaussian of sigma degrees.
func (p profile) blurred(sigma float64) profile {
	f := Field{Step: p.step, NH: len(p.e), NV: 1, Values: p.e}
	return profile{p.v0, p.step, f.smoothed(sigma).Values}
}

// slopes is the derivative per degree by local cubic fits over 2m+1 samples
// (Savitzky and Golay 1964, odd part of the normal equations); 0 within m of the ends.
func slopes(y []float64, step float64, m int) []float64 {
	out := make([]float64, len(y))
	if m == 1 {
		for i := 1; i < len(y)-1; i++ {
			out[i] = (y[i+1] - y[i-1]) / (2 * step)
		}
		return out
	}
	var s2, s4, s6 float64
	for k := 1; k <= m; k++ {
		x := float64(k * k)
		s2, s4, s6 = s2+2*x, s4+2*x*x, s6+2*x*x*x
	}
	for i := m; i < len(y)-m; i++ {
		var one, three float64
		for k := 1; k <= m; k++ {
			d := y[i+k] - y[i-k]
			x := float64(k)
			one, three = one+x*d, three+x*x*x*d
		}
		out[i] = (s6*one - s4*three) / (s2*s6 - s4*s4) / step
	}
	return out
}

// smooth is the local quadratic fit over 2m+1 samples; the ends are left alone.
func smooth(y []float64, m int) []float64 {
	out := append([]float64(nil), y...)
	if m < 2 {
		return out
	}
	s0, s2, s4 := float64(2*m+1), 0.0, 0.0
	for k := 1; k <= m; k++ {
		x := float64(k * k)
		s2, s4 = s2+2*x, s4+2*x*x
	}
	for i := m; i < len(y)-m; i++ {
		sum, square := y[i], 0.0
		for k := 1; k <= m; k++ {
			pair := y[i+k] + y[i-k]
			sum, square = sum+pair, square+float64(k*k)*pair
		}
		out[i] = (s4*sum - s2*square) / (s0*s4 - s2*s2)
	}
	return out
}

// steepest finds where a series of slopes is lowest between two places, refined by
// a parabola; ok is false when the lowest is at an end or not a fall.
func (p profile) steepest(slope []float64, from, to float64, usable func(i int) bool) (v, value float64, ok bool) {
	best := -1
	for i := range slope {
		if x := p.v(i); x < from || x > to || !usable(i) {
			continue
		}
		if best < 0 || slope[i] < slope[best] {
			best = i
		}
	}
	if best < 1 || best >= len(slope)-1 || slope[best] >= 0 || slope[best-1] == 0 || slope[best+1] == 0 {
		return 0, 0, false
	}
	a, b, c := slope[best-1], slope[best], slope[best+1]
	shift := 0.0
	if bend := a - 2*b + c; bend > 0 {
		shift = math.Max(-0.5, math.Min(0.5, (a-c)/(2*bend)))
	}
	return p.v(best) + shift*p.step, b, true
}

// gStep is the angle over which sharpness is defined (UN R112, 49 CFR 571.108).
const gStep = 0.1

// gAt is the largest G = log10 E(b) - log10 E(b + 0.1 deg) between two places and
// its b, on a scan step of scan degrees.
func (p profile) gAt(logs []float64, from, to, scan float64) (g, b float64) {
	g = math.Inf(-1)
	n := int(math.Floor((to - from) / scan))
	for k := 0; k <= n; k++ {
		at := from + float64(k)*scan
		if at < p.v0 || at+gStep > p.v(len(p.e)-1) {
			continue
		}
		if d := p.between(logs, at) - p.between(logs, at+gStep); d > g {
			g, b = d, at
		}
	}
	return g, b
}
