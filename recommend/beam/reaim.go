package beam

import (
	"math"

	"stillbright/data"
)

// reaim fills OKReaimed and the re-aimed intensity of every result.
func (x *intensities) reaim(t data.LimitTable, base []*LimitResult) {
	failing := 0
	for _, r := range base {
		if r != nil {
			r.reaimed = r.Candela
			if !r.OK {
				failing++
			}
		}
	}
	if t.Reaim != data.ReaimEach && t.Reaim != data.ReaimLamp {
		return
	}
	if t.Reaim == data.ReaimLamp && x.m.Grid == nil && failing > 0 {
		for _, r := range base {
			if r != nil && r.OK {
				r.OKReaimed = yes()
			}
		}
		return
	}
	var tries [][]*LimitResult
	if failing > 0 && x.m.Grid != nil {
		tries = x.shifted(t)
	}
	switch {
	case failing == 0:
		for _, r := range base {
			if r != nil {
				r.OKReaimed = yes()
			}
		}
	case t.Reaim == data.ReaimLamp:
		takeBest(base, tries)
	case x.m.Grid != nil:
		for i, r := range base {
			if r == nil {
				continue
			}
			best := r
			for _, try := range tries {
				if try[i] != nil && marginOf(try[i].Candela, try[i].Min, try[i].Max) > marginOf(best.Candela, best.Min, best.Max) {
					best = try[i]
				}
			}
			ok := best.OK
			r.reaimed, r.OKReaimed = best.Candela, &ok
		}
	default:
		for _, r := range base {
			if r != nil {
				x.fromNeighbours(r, math.Max(t.ReaimV, math.Max(t.ReaimLeft, t.ReaimRight)))
			}
		}
	}
}

func yes() *bool { v := true; return &v }

// shifted judges the table at every allowed shift. Turning the lamp right by a
// brings to each direction the light from a to the left of it.
func (x *intensities) shifted(t data.LimitTable) [][]*LimitResult {
	const steps = 4 // on each side of zero
	var out [][]*LimitResult
	for i := -steps; i <= steps; i++ {
		dh := float64(i) / steps * t.ReaimLeft
		if i < 0 {
			dh = float64(i) / steps * t.ReaimRight
		}
		for j := -steps; j <= steps; j++ {
			// "In any direction" is a circle for a single point, a box for the lamp.
			if t.Reaim == data.ReaimEach && i*i+j*j > steps*steps || i == 0 && j == 0 {
				continue
			}
			out = append(out, x.table(t, dh, float64(j)/steps*t.ReaimV))
		}
	}
	return out
}

// takeBest takes the one shift that leaves the fewest requirements unmet, the
// greatest sum of shortfalls in the logarithm deciding between equals.
func takeBest(base []*LimitResult, tries [][]*LimitResult) {
	best := base
	bestFails, bestShort := shortfall(base, base)
	for _, try := range tries {
		fails, short := shortfall(base, try)
		if fails < bestFails || fails == bestFails && short < bestShort {
			best, bestFails, bestShort = try, fails, short
		}
	}
	for i, r := range base {
		if r == nil || best[i] == nil {
			continue
		}
		ok := best[i].OK
		r.reaimed, r.OKReaimed = best[i].Candela, &ok
	}
}

// shortfall counts what is unmet; what was measured before and is shifted off the
// grid counts as unmet.
func shortfall(base, try []*LimitResult) (fails int, short float64) {
	for i, r := range base {
		switch {
		case r == nil:
		case try[i] == nil:
			fails++
			short++
		case !try[i].OK:
			fails++
			short -= marginOf(try[i].Candela, try[i].Min, try[i].Max)
		}
	}
	return fails, short
}

// fromNeighbours estimates what a point could read within angle degrees of it:
// log intensity changes evenly toward each neighbour; a neighbour nearer than
// that is itself a reading.
func (x *intensities) fromNeighbours(r *LimitResult, angle float64) {
	ok := r.OK
	r.OKReaimed = &ok
	if r.OK || r.H == nil || r.Candela <= 0 {
		return
	}
	best := r.Candela
	for _, p := range x.points {
		d := math.Hypot(p.H-*r.H, p.V-*r.V)
		if d == 0 || d > neighbourReach || p.Value <= 0 {
			continue
		}
		value := r.Candela * math.Pow(p.Value/r.Candela, math.Min(1, angle/d))
		if marginOf(value, r.Min, r.Max) > marginOf(best, r.Min, r.Max) {
			best = value
		}
	}
	ok = marginOf(best, r.Min, r.Max) >= 0
	r.reaimed, r.Estimated = best, true
}
