package road

import (
	"math"
	"testing"
)

// testdata/facts/read-2026-11.csv, computed there from the two equations of CIE 146: 1 lx
// at 3.5 degrees, 60 years, brown eyes: 1.0157 and 1.2570 cd/m2; plain 10/t^2: 0.8163.
func TestVeilCheckValues(t *testing.T) {
	near(t, "general", must(t)(Veil(1, 3.5, 60, 0.5)), 1.0157, 5e-5)
	near(t, "Stiles-Holladay, by age", must(t)(VeilStilesHolladay(1, 3.5, 60)), 1.2570, 5e-5)
	near(t, "Stiles-Holladay, plain", must(t)(VeilStilesHolladay(1, 3.5, 1)), 0.8163, 5e-5)
}

// Twice the light is twice the veil; a wider angle, a younger and a darker eye make it
// thinner; the two equations stay within a third of each other from 1 to 30 degrees.
func TestVeilOrder(t *testing.T) {
	last := math.Inf(1)
	for theta := 1.0; theta <= 30; theta += 0.5 {
		veil := must(t)(Veil(1, theta, 40, 0.5))
		near(t, "twice", must(t)(Veil(2, theta, 40, 0.5)), 2*veil, 1e-12)
		if veil >= last || must(t)(Veil(1, theta, 70, 0.5)) <= veil || must(t)(Veil(1, theta, 40, 1)) <= veil {
			t.Errorf("%g degrees: %g", theta, veil)
		}
		last = veil
	}
	for _, theta := range []float64{2, 4, 8} {
		general, stiles := must(t)(Veil(1, theta, 60, 0.5)), must(t)(VeilStilesHolladay(1, theta, 60))
		if ratio := general / stiles; ratio < 2.0/3 || ratio > 1.5 {
			t.Errorf("%g degrees: %g by one equation, %g by the other", theta, general, stiles)
		}
	}
}

func TestVeilDomain(t *testing.T) {
	for what, err := range map[string]error{
		"illuminance at the eye": second(Veil(-1, 3, 60, 0.5)), "glare angle": second(Veil(1, 0.05, 60, 0.5)),
		"age": second(Veil(1, 3, 0, 0.5)), "pigment of the eye": second(Veil(1, 3, 60, 2)),
	} {
		outOfRange(t, err, what)
	}
	outOfRange(t, second(VeilStilesHolladay(1, 0.5, 60)), "glare angle")
	outOfRange(t, second(Veil(math.NaN(), 3, 60, 0.5)), "illuminance at the eye")
	outOfRange(t, second(ContrastLeft(0, 1)), "adaptation luminance")
}

func second(_ float64, err error) error { return err }

func TestContrastLeft(t *testing.T) {
	near(t, "no veil", must(t)(ContrastLeft(1, 0)), 1, 0)
	near(t, "as thick as the road is bright", must(t)(ContrastLeft(1, 1)), 0.5, 1e-12)
}

// The veil of a beam is that of its light at the eye, from the angle of the lamps: 3.5 m
// to the side at 50 m is four degrees.
func TestGlareCarriesTheVeil(t *testing.T) {
	for _, at := range glare(t, GlareInput{Field: Uniform(700), LampHeightM: 0.65, Traffic: RightHand, Lamps: 2}) {
		near(t, "veil", at.VeilCdM2, must(t)(Veil(at.Lux, at.ThetaMin/60, VeilAge, VeilPigment)), 1e-12)
	}
}
