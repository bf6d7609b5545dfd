package beam

import "stillbright/data"

// DefaultWeights returns the weights and thresholds used unless the user's own
// are given. Limits from a rule name it; the others are judgement, with the
// reason beside them. data/known/yaml/pattern.yaml holds the same figures.
func DefaultWeights() Weights {
	return Weights{
		Format: 1,
		// Stray light dazzles others and the cutoff decides how near the beam may be aimed to them.
		Low: data.PatternWeights{Sharpness: 0.25, HotSpot: 0.20, Stray: 0.30, Dark: 0.15, Width: 0.10},
		// A high beam is one centred peak; it has no cutoff and nothing is "above" it.
		High: data.PatternWeights{HotSpot: 0.55, Dark: 0.30, Width: 0.15},
		// In fog, light above the cutoff comes straight back; a peak helps little.
		Fog: data.PatternWeights{Sharpness: 0.25, HotSpot: 0.05, Stray: 0.40, Dark: 0.10, Width: 0.20},

		// Synthetic photos and grids of one beam agree within 0.02; the rest is for seating, wall, lens and camera.
		Grid:  data.PatternDoubt{Sharpness: 0.06, HotSpot: 0.05, Stray: 0.06, Dark: 0.06, Width: 0.05, Shared: 0.2},
		Photo: data.PatternDoubt{Sharpness: 0.10, HotSpot: 0.06, Stray: 0.10, Dark: 0.08, Width: 0.08, Shared: 0.3},
		// One mark of three is a third of the scale; one eye gives all five marks.
		Grade: data.PatternDoubt{Sharpness: 0.33, HotSpot: 0.25, Stray: 0.33, Dark: 0.25, Width: 0.25, Shared: 0.5},
		Mark1: judged(1.0 / 3), Mark2: judged(2.0 / 3),

		GLeast: judged(0.13), GMost: judged(0.40), // UN R112 annex; 49 CFR 571.108 S10.18.9.1.2 has only the lower one
		GZero:    judged(0.04), // 0.1 degree then changes the light by 9 %: no edge is seen
		GHard:    judged(1.00), // a tenfold step in 0.1 degree
		HardLoss: judged(0.40), // a hard edge flickers with the car's pitch but does not dazzle
		GDoubt:   judged(0.10), // the accuracy aimed at for G; nearer to a limit it cannot be called
		// UN R112 allows 0.2 degree.
		Linearity: data.PatternScale{Good: 0.2, Bad: 0.8},

		// The published minimum points 75R, 50R, 50V (0 to 0.3 degree under the aimed cutoff) and
		// 0.6D 1.3R, 1.5D 2R lie in this box; so does the measured lamp (0.3R, 1.2D).
		Place: data.PatternPlace{GapLeast: 0, GapMost: 1.6, KerbLeast: -0.75, KerbMost: 3, Reach: 3, Stock: 0.5},
		// A fog beam is wide and flat; only a peak far off is wrong.
		FogPlace: data.PatternPlace{GapLeast: 0, GapMost: 3, KerbLeast: -4, KerbMost: 4, Reach: 4, Stock: 0.75},
		Centre:   data.PatternScale{Good: 0.5, Bad: 3},
		Axis:     data.PatternScale{Good: 0.8, Bad: 0.3},  // UN R112: I(HV) at least 0.8 Imax
		Split:    data.PatternScale{Good: 0.95, Bad: 0.5}, // a dip of 5 % is not seen; half the light is two spots

		Stray:        data.PatternScale{Good: 1, Bad: 4},   // as stock; fourfold is two photographic stops
		StrayLimit:   data.PatternScale{Good: 1, Bad: 3},   // a published maximum, and three times it
		DarkContrast: judged(0.70),                         // a 30 % hole is seen against its surround
		DarkLeast:    judged(0.20),                         // under a fifth of a square degree the eye does not see a hole on a moving road
		Dark:         data.PatternScale{Good: 0, Bad: 6},   // a hole of 3 x 3 degree with two thirds missing
		WidthVsStock: data.PatternScale{Good: 1, Bad: 0.4}, // stock width is what the lamp was made for
		Width:        data.PatternScale{Good: 30, Bad: 9},  // US columns want 1,000 cd at 15 degrees either side; 9 is half of what UN R112 wants
		Foreground:   data.PatternScale{Good: 1.0 / 3, Bad: 1.5},

		Clean:  judged(75), // three quarters of all parts as good as stock
		Usable: judged(50), // half of what the lamp was made for
	}
}

func judged(v float64) data.Judged { return data.Judged{Value: v} }
