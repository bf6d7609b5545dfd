package fitment

import (
	"math"
	"strings"
	"testing"

	"stillbright/data"
)

// Thresholds of facts/fitment.md section 4 (derived and common practice).

func seen(b *Bulb) { b.PatternMeasured = true }

func depthExamples() []example {
	return []example{
		{name: "at the light centre", change: same, want: Fits, have: "25", need: "24.7 to 25.3"},
		{name: "0.3 ahead", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(25.3) }, want: Fits, says: "0.3 mm ahead"},
		{name: "0.3 behind", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(24.7) }, want: Fits, says: "behind"},
		{name: "0.6 behind", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(24.4) }, want: NeedsWork, says: "aiming does not cure"},
		{name: "1.0 ahead", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(26.0) }, want: NeedsWork},
		{name: "1.2 ahead", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(26.2) }, want: DoesNotFit, says: "1.2 mm"},
		{name: "1.2 ahead, focal length known", change: func(b *Bulb, l *Lamp) { b.Build.Emitter, l.Focal = p(26.2), p(25.0) }, want: DoesNotFit, says: "up to 1.79°"},
		{name: "1.2 ahead in a reflector", change: func(b *Bulb, l *Lamp) { b.Build.Emitter, l.Housing = p(26.2), data.Reflector }, want: DoesNotFit},
		{name: "1.2 ahead, slides", change: func(b *Bulb, l *Lamp) { b.Build.Emitter, b.Build.Collar = p(26.2), CollarSetScrew }, want: NeedsWork},
		{name: "0.6 behind, beam measured", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(24.4); seen(b) }, want: Fits, says: "that beam counts"},
		{name: "1.2 ahead, beam measured", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = p(26.2); seen(b) }, want: DoesNotFit},
		{name: "not measured", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = nil }, want: Unknown, owner: OwnerBulb},
		{name: "not measured, beam measured", change: func(b *Bulb, l *Lamp) { b.Build.Emitter = nil; seen(b) }, want: Unknown, owner: OwnerBulb, soft: true, says: "beam is the evidence"},
		{name: "light centre not known", change: func(b *Bulb, l *Lamp) { l.Of.LightCentreMM = nil }, want: Unknown, owner: OwnerCar},
	}
}

func stripLengthExamples() []example {
	return []example{
		{name: "as long", change: same, want: Fits, need: "4 to 5"},
		{name: "0.5 longer", change: func(b *Bulb, l *Lamp) { b.Build.Strip = p(5.0) }, want: Fits},
		{name: "0.6 longer", change: func(b *Bulb, l *Lamp) { b.Build.Strip = p(5.1) }, want: NeedsWork, says: "blurs"},
		{name: "2 longer", change: func(b *Bulb, l *Lamp) { b.Build.Strip = p(6.5) }, want: NeedsWork},
		{name: "2.1 longer", change: func(b *Bulb, l *Lamp) { b.Build.Strip = p(6.6) }, want: DoesNotFit, says: "2.1 mm"},
		{name: "1 shorter", change: func(b *Bulb, l *Lamp) { b.Build.Strip = p(3.5) }, want: NeedsWork, says: "shorter"},
		{name: "1 longer, beam measured", change: func(b *Bulb, l *Lamp) { b.Build.Strip = p(5.5); seen(b) }, want: Fits, says: "that beam counts"},
		{name: "transverse filament", change: func(b *Bulb, l *Lamp) { l.Of.Filament = FilamentTransverse }, want: Unknown, owner: OwnerBulb, says: "across"},
		{name: "transverse filament, beam measured", change: func(b *Bulb, l *Lamp) { l.Of.Filament = FilamentTransverse; seen(b) }, want: Fits},
		{name: "not measured", change: func(b *Bulb, l *Lamp) { b.Build.Strip = nil }, want: Unknown, owner: OwnerBulb},
		{name: "not measured, beam measured", change: func(b *Bulb, l *Lamp) { b.Build.Strip = nil; seen(b) }, want: Unknown, owner: OwnerBulb, soft: true},
		{name: "filament not known", change: func(b *Bulb, l *Lamp) { l.Of.Filament, l.Of.FilamentMM = "", nil }, want: Unknown, owner: OwnerCar},
	}
}

func stripWidthExamples() []example {
	return dimensionExamples(func(b *Bulb) **float64 { return &b.Build.StripWidth }, 1.6, 2.2)
}
func boardExamples() []example {
	return append(dimensionExamples(func(b *Bulb) **float64 { return &b.Build.Board }, 1.5, 2.2),
		example{name: "in optics of 25 mm", change: func(b *Bulb, l *Lamp) { b.Build.Board, l.Focal = p(2.0), p(25.0) }, want: NeedsWork, says: "up to 2.29°"})
}
func matchExamples() []example {
	return append(dimensionExamples(func(b *Bulb) **float64 { return &b.Build.Mismatch }, 0.1, 0.3),
		example{name: "in optics of 25 mm", change: func(b *Bulb, l *Lamp) { b.Build.Mismatch, l.Focal = p(0.25), p(25.0) }, want: NeedsWork, says: "up to 0.573°"})
}

// dimensionExamples are the cases of a dimension of which less is better.
func dimensionExamples(field func(*Bulb) **float64, good, poor float64) []example {
	set := func(v *float64, pattern bool) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { *field(b), b.PatternMeasured = v, pattern }
	}
	return []example{
		{name: "good", change: set(p(good), false), want: Fits, have: bare(good), need: "<= " + bare(good)},
		{name: "doubtful", change: set(p(good+0.05), false), want: NeedsWork},
		{name: "at the limit", change: set(p(poor), false), want: NeedsWork},
		{name: "beyond", change: set(p(poor+0.05), false), want: DoesNotFit},
		{name: "doubtful, beam measured", change: set(p(poor), true), want: Fits, says: "that beam counts"},
		{name: "beyond, beam measured", change: set(p(poor+0.05), true), want: DoesNotFit},
		{name: "not measured", change: set(nil, false), want: Unknown, owner: OwnerBulb},
		{name: "not measured, beam measured", change: set(nil, true), want: Unknown, owner: OwnerBulb, soft: true},
	}
}

// The worked figures of facts/fitment.md section 4: F = 25 mm, 0.25 mm is 0.57°,
// 0.5 mm 1.15°, 1 mm 2.3°; a fog lamp of F = 12 to 15 mm turns 0.5 mm into
// about 2°.
func TestTurnWorkedFigures(t *testing.T) {
	for _, c := range []struct{ off, focal, want, within float64 }{
		{0.25, 25, 0.57, 0.005}, {0.5, 25, 1.15, 0.005}, {1, 25, 2.3, 0.05}, {0.5, 13.5, 2, 0.2},
	} {
		if got := turnDeg(c.off, c.focal); math.Abs(got-c.want) > c.within {
			t.Errorf("turn of %g mm in %g mm: %g°, want %g°", c.off, c.focal, got, c.want)
		}
	}
	if got := spreadDeg(1, 1) * math.Pi / 180; math.Abs(got-0.65) > 0.001 { // design.md 5.11: up to 0.65 delta/F
		t.Errorf("axial spread is %g delta/F, want 0.65", got)
	}
}

// traced is the largest angle that a source moved by (aside, along) from the
// focus gives in a meridional section of the parabola z = r²/4F, found by
// reflecting rays.
func traced(aside, along, focal float64) float64 {
	largest := 0.0
	for i := -2000; i <= 2000; i++ {
		r := float64(i) / 2000 * 4 * focal
		z := r * r / (4 * focal)
		dr, dz := r-aside, z-(focal+along)
		nr, nz := -r/(2*focal), 1.0
		along := 2 * (dr*nr + dz*nz) / (nr*nr + nz*nz)
		outR, outZ := dr-along*nr, dz-along*nz
		largest = math.Max(largest, math.Abs(math.Atan2(outR, outZ)))
	}
	return largest * 180 / math.Pi
}

func TestTurnAgainstTracedRays(t *testing.T) {
	for _, focal := range []float64{12, 25, 40} {
		const off = 0.01 // small against F, so that the first order holds to a thousandth
		if got, want := turnDeg(off, focal), traced(off, 0, focal); math.Abs(got/want-1) > 2e-3 {
			t.Errorf("F %g: sideways %g°, traced %g°", focal, got, want)
		}
		for _, axial := range []float64{off, -off} {
			if got, want := spreadDeg(off, focal), traced(0, axial, focal); math.Abs(got/want-1) > 2e-3 {
				t.Errorf("F %g: axial %g°, traced %g°", focal, got, want)
			}
		}
	}
}

// A projector keeps its cutoff; the words say so, and only there.
func TestDepthSpeaksOfTheHousing(t *testing.T) {
	b, l := sample()
	b.Build.Emitter = p(26.2)
	for housing, want := range map[string]bool{data.Projector: true, data.Reflector: false, "": false} {
		l.Housing = housing
		f, _ := find1(Check(b, l, shipped(t)), "emitter_depth")
		if got := strings.Contains(f.Why, "projector keeps its cutoff"); got != want {
			t.Errorf("%q: %s", housing, f.Why)
		}
	}
}
