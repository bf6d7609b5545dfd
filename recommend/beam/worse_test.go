package beam

import (
	"math"
	"math/rand/v2"
	"testing"
)

// gridOf reads a synthetic beam as a goniometer would: candela, 0.05 degree steps
// where the cutoff may lie, coarser elsewhere.
func gridOf(s *synth, candela float64) Measured {
	m := Measured{Unit: Candela, Grid: &Grid{}}
	for h := -18.0; h <= 18; h += 0.5 {
		m.Grid.X = append(m.Grid.X, h)
	}
	for v := -6.0; v < 7; {
		m.Grid.Y = append(m.Grid.Y, v)
		if v > -2.51 && v < 1.99 {
			v = math.Round((v+0.05)*20) / 20
		} else {
			v = math.Round((v+0.25)*20) / 20
		}
	}
	for _, v := range m.Grid.Y {
		for _, h := range m.Grid.X {
			value := candela * s.at(h, v)
			m.Grid.Values = append(m.Grid.Values, value)
			m.Points = append(m.Points, Point{h, v, value})
		}
	}
	return m
}

func gridScore(t *testing.T, bulb *synth, stock *Measured, o Options) Pattern {
	t.Helper()
	aperture := 0.05
	in := GridInput{Bulb: gridOf(bulb, 30000), Stock: stock, ApertureDeg: &aperture}
	p, _, err := FromGrid(in, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Making a beam worse in one way never raises its score.
func TestWorseNeverScoresBetter(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	for kind, o := range map[string]Options{
		Low: {Beam: Low, Weights: DefaultWeights()},
		Fog: {Beam: Fog, Weights: DefaultWeights()},
	} {
		rounds := 2
		if testing.Short() {
			rounds = 1
		}
		for n := range rounds {
			stock := cleanBeam(r)
			if kind == Fog {
				stock.fog, stock.rise, stock.hotH, stock.hotSH = true, 0, 0, 7
			}
			stock.soft = 0.11 + 0.04*r.Float64() // on the plateau of G, where softer cannot be better
			bulb := stock
			bulb.hotH, bulb.soft = stock.hotH+0.6*(r.Float64()-0.5), stock.soft*(0.85+0.15*r.Float64())
			var base *Measured
			if n == 0 {
				m := gridOf(&stock, 30000)
				base = &m
			}
			sound := gridScore(t, &bulb, base, o)
			for way, worsen := range map[string]func(b *synth, by float64){
				"more stray light": func(b *synth, by float64) { b.veil *= 1 + 4*by },
				"more leak":        func(b *synth, by float64) { b.leak *= 1 + 6*by },
				"a stray patch":    func(b *synth, by float64) { b.patches = []blob{{-2, b.cut + 2, 0.7, 0.05 * by}} },
				"a dark spot":      func(b *synth, by float64) { b.holes = []blob{{2, b.cut - 2, 0.8, 0.8 * by}} },
				"a dark spot in the peak": func(b *synth, by float64) {
					b.holes = []blob{{b.hotH, b.hotV, 0.6, 0.8 * by}}
				},
				"a softer cutoff":     func(b *synth, by float64) { b.soft *= 1 + 5*by },
				"a hot spot far left": func(b *synth, by float64) { b.hotH -= 6 * by },
				"a hot spot too low":  func(b *synth, by float64) { b.hotV -= 4 * by },
				"a narrower beam":     func(b *synth, by float64) { b.floodSH *= 1 - 0.7*by },
			} {
				before := sound
				for _, by := range []float64{0.3, 1} {
					worse := bulb
					worsen(&worse, by)
					after := gridScore(t, &worse, base, o)
					// Rounding of places to the raster is worth hundredths of a point.
					if after.Score > before.Score+0.05 {
						t.Errorf("%s %d (stock %v): %s by %g raises %.2f %+v to %.2f %+v", kind, n, base != nil, way, by,
							before.Score, partList(before), after.Score, partList(after))
					}
					before = after
				}
			}
		}
	}
}

func partList(p Pattern) []float64 {
	return []float64{deref(p.Parts.Sharpness), deref(p.Parts.HotSpot), deref(p.Parts.Stray), deref(p.Parts.Dark), deref(p.Parts.Width)}
}
