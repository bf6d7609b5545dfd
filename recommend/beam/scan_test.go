package beam

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats/scalar"
)

// edge is the synthetic cutoff of facts/photometry.md 1.4 (computed there, not
// from a standard): E(v) = 20 (f + (1-f)/(1+exp(v/s))).
func edge(v, s, f float64) float64 { return 20 * (f + (1-f)/(1+math.Exp(v/s))) }

func edgeScan(step, s, f float64) []float64 {
	n := int(math.Round(3/step)) + 1
	e := make([]float64, n)
	for i := range e {
		e[i] = edge(-1.5+float64(i)*step, s, f)
	}
	return e
}

func TestSyntheticSharpnessSet(t *testing.T) {
	// facts/photometry.md 1.4, synthetic check set [C].
	for _, c := range []struct{ s, f, fine, fineAt, coarse, coarseAt, inflection float64 }{
		{0.20, 0.02, 0.16297, 0.341, 0.16294, 0.35, 0.392},
		{0.15, 0.03, 0.20309, 0.213, 0.20290, 0.20, 0.263},
		{0.10, 0.02, 0.32373, 0.146, 0.32367, 0.15, 0.196},
		{0.05, 0.01, 0.69111, 0.065, 0.68580, 0.05, 0.116},
	} {
		e := edgeScan(0.001, c.s, c.f)
		g, b, err := Sharpness(-1.5, 0.001, e, 0.001)
		if err != nil {
			t.Fatal(err)
		}
		if !scalar.EqualWithinAbs(g, c.fine, 0.000006) || !scalar.EqualWithinAbs(b, c.fineAt, 0.0011) {
			t.Errorf("s %g f %g: fine G %.5f at %.3f, want %.5f at %.3f", c.s, c.f, g, b, c.fine, c.fineAt)
		}
		g, b, _ = Sharpness(-1.5, 0.05, edgeScan(0.05, c.s, c.f), 0.05)
		if !scalar.EqualWithinAbs(g, c.coarse, 0.000006) || !scalar.EqualWithinAbs(b, c.coarseAt, 0.0011) {
			t.Errorf("s %g f %g: G at 0.05 %.5f at %.3f, want %.5f at %.3f", c.s, c.f, g, b, c.coarse, c.coarseAt)
		}
		v, err := Inflection(-1.5, 0.001, e, 0.005)
		// The table reads the inflection off a 0.001 grid, to the next step up. In closed
		// form d2(log E)/dv2 = 0 at v = (s/2) ln(1/f): put u = exp(v/s), then u = 1/sqrt(f).
		exact := c.s / 2 * math.Log(1/c.f)
		if err != nil || !scalar.EqualWithinAbs(v, exact, 0.00001) || !scalar.EqualWithinAbs(v, c.inflection, 0.001) {
			t.Errorf("s %g f %g: inflection %.5f (%v), want %.5f, table %.3f", c.s, c.f, v, err, exact, c.inflection)
		}
	}
}

// Multiplying the light leaves G alone, and G is what the rule says of a pure
// exponential: log10 of the fall over 0.1 degree.
func TestSharpnessIdentities(t *testing.T) {
	e := edgeScan(0.01, 0.1, 0.02)
	g, b, _ := Sharpness(-1.5, 0.01, e, 0.01)
	for i := range e {
		e[i] *= 37
	}
	if g2, b2, _ := Sharpness(-1.5, 0.01, e, 0.01); !scalar.EqualWithinAbs(g, g2, 1e-12) || b != b2 {
		t.Errorf("brighter: %g at %g, was %g at %g", g2, b2, g, b)
	}
	// facts/photometry.md 1.4 [C]: G 0.13 is a fall to 0.7413, G 0.40 to 0.3981.
	for want, ratio := range map[float64]float64{0.13: 0.7413, 0.40: 0.3981} {
		for i := range e {
			e[i] = math.Pow(ratio, float64(i)*0.1)
		}
		if g, _, _ := Sharpness(0, 0.01, e, 0.01); !scalar.EqualWithinAbs(g, want, 0.0001) {
			t.Errorf("G %.5f, want %.2f", g, want)
		}
	}
}

func TestSharpnessRefuses(t *testing.T) {
	for name, e := range map[string][]float64{"short": {1, 2}, "zero": {1, 0, 1}, "nan": {1, math.NaN(), 1}, "inf": {1, math.Inf(1), 1}} {
		if _, _, err := Sharpness(0, 0.1, e, 0.05); err == nil {
			t.Errorf("%s: no error", name)
		}
		if _, err := Inflection(0, 0.1, e, 0.1); err == nil {
			t.Errorf("%s: no inflection error", name)
		}
	}
	if _, err := Inflection(0, 0.1, []float64{1, 2, 3, 4, 5, 6, 7}, 0.1); err == nil {
		t.Error("a rising scan has no cutoff")
	}
}

// The slope of a cubic is exact, and the smoothing of a quadratic leaves it alone.
func TestLocalFitsAreExact(t *testing.T) {
	cubic, quadratic := make([]float64, 41), make([]float64, 41)
	for i := range cubic {
		x := float64(i) * 0.1
		cubic[i], quadratic[i] = x*x*x-2*x*x+x-5, 3*x*x-x+2
	}
	d, s := slopes(cubic, 0.1, 5), smooth(quadratic, 5)
	for i := 5; i < 36; i++ {
		x := float64(i) * 0.1
		if want := 3*x*x - 4*x + 1; !scalar.EqualWithinAbs(d[i], want, 1e-9) {
			t.Errorf("slope at %g: %g, want %g", x, d[i], want)
		}
		if !scalar.EqualWithinAbs(s[i], quadratic[i], 1e-9) {
			t.Errorf("smooth at %g: %g, want %g", x, s[i], quadratic[i])
		}
	}
}
