package road

import (
	"math"
	"testing"
)

// Conversions of facts/photometry.md 1.3 and 2.4 (computed there from the distance
// law) and the rows of UN R112 they belong to.
func TestIlluminance(t *testing.T) {
	for _, c := range []struct{ cd, m, lux, tolerance float64 }{
		{350, 25, 0.560, 5e-4}, {625, 25, 1.000, 5e-4}, {1750, 25, 2.800, 5e-4}, {5100, 25, 8.160, 5e-4},
		{10100, 25, 16.160, 5e-4}, {12100, 25, 19.360, 5e-4}, {13200, 25, 21.120, 5e-4},
		{10100, 10, 101.0, 0.05}, {10100, 7.62, 173.9, 0.05}, {10100, 18.3, 30.16, 0.005}, {10100, 3, 1122, 0.5},
		// Peak of the measured lamp, NHTSA report 108-CAN-17-004.
		{36916.81, 25, 59.07, 0.005}, {36916.81, 10, 369.2, 0.05}, {36916.81, 3, 4101.9, 0.05},
	} {
		near(t, "lux", must(t)(Illuminance(c.cd, c.m, 0)), c.lux, c.tolerance)
	}
}

func TestIntensity(t *testing.T) {
	for _, c := range []struct {
		lux, m, cd, tolerance float64
		equivalent            bool
	}{
		{700, 7.62, 40.6e3, 50, true}, // facts/fitment.md 17
		// Facts of the trade (common practice, no source): stock readings at 20 ft.
		{725, 6.096, 26.9e3, 50, true}, {910, 6.096, 33.8e3, 50, true},
		{1, 25, 625, 1e-9, false}, {1, 18.3, 334.89, 1e-9, false}, {1, 18.2999, 334.886, 1e-3, true},
	} {
		got, err := Intensity(c.lux, c.m, 0, RegulatorDistanceUS)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "cd", got.Candela, c.cd, c.tolerance)
		if got.Equivalent != c.equivalent {
			t.Errorf("%g m: equivalent %v, want %v", c.m, got.Equivalent, c.equivalent)
		}
	}
	near3, _ := Intensity(100, 3, 0, RegulatorDistanceUN)
	if got := near3.Unit(); got != "candela-equivalent at 3 m" {
		t.Errorf("unit %q", got)
	}
	far, _ := Intensity(100, 25, 0, RegulatorDistanceUN)
	if got := far.Unit(); got != "cd" {
		t.Errorf("unit %q", got)
	}
}

// Errors of distance and tilt, facts/photometry.md 10 (computed there).
func TestReadingErrors(t *testing.T) {
	base := must(t)(Illuminance(1000, 3, 0))
	near(t, "10 mm in 3 m", 100*(base/must(t)(Illuminance(1000, 3.01, 0))-1), 0.667, 0.002)
	base10 := must(t)(Illuminance(1000, 10, 0))
	near(t, "20 mm in 10 m", 100*(base10/must(t)(Illuminance(1000, 10.02, 0))-1), 0.4, 0.001)
	for _, c := range []struct{ deg, pct float64 }{{5, -0.38}, {8, -0.97}, {10, -1.52}} {
		near(t, "tilt", 100*(must(t)(Illuminance(1000, 3, c.deg))/base-1), c.pct, 0.005)
	}
}

// The disc error of facts/photometry.md 10; and, as an identity, the integral over
// the disc: E = pi L R^2 / (R^2 + d^2) against I / d^2 with I = pi R^2 L.
func TestDiscError(t *testing.T) {
	for _, c := range []struct{ k, pct float64 }{{3, -2.7027}, {5, -0.9901}, {7, -0.5076}, {10, -0.2494}, {15, -0.1110}} {
		near(t, "disc", 100*must(t)(DiscError(c.k*0.15, 0.15)), c.pct, 5e-5)
	}
	const d, r = 2.0, 0.3
	var e float64 // rings of the disc, cos^4 law, luminance 1
	const rings = 100000
	for i := range rings {
		rho := r * (float64(i) + 0.5) / rings
		cos2 := d * d / (d*d + rho*rho)
		e += 2 * math.Pi * rho * (r / rings) / (d * d) * cos2 * cos2
	}
	near(t, "integral", must(t)(DiscError(d, 2*r)), e/(math.Pi*r*r/(d*d))-1, 1e-8)
	near(t, "five times", must(t)(FiveTimes(0.15)), 0.75, 1e-12)
}

// Wall positions (cm at 25 m) and road distances of the UN R112 points,
// facts/photometry.md 1.3; lamp 0.75 m up.
func TestWallAndRoadPoints(t *testing.T) {
	for _, c := range []struct{ h, v, x, y float64 }{
		{-3.43, 0.57, -149.8, 24.9}, {1.15, -0.57, 50.2, -24.9}, {1.72, -0.86, 75.1, -37.5},
		{0, -0.86, 0, -37.5}, {-9, -1.72, -396.0, -75.1}, {2.5, 1, 109.2, 43.6},
	} {
		// The table rounds to 0.1 cm, and takes 0.57 and 0.86 degree as 1 and 1.5 percent.
		near(t, "x", must(t)(DropAt(2500, c.h)), c.x, 0.1)
		near(t, "y", must(t)(DropAt(2500, c.v)), c.y, 0.1)
	}
	for _, c := range []struct{ dip, m float64 }{{0.57, 75.4}, {0.86, 50.0}, {1.72, 25.0}} {
		got, ok, err := CutoffDistance(0.75, c.dip)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		near(t, "road", got, c.m, 0.05)
	}
}

func TestCandelaRange(t *testing.T) {
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e9} {
		_, err := Intensity(bad, 10, 0, 18.3)
		outOfRange(t, err, "illuminance")
		_, err = Intensity(1, bad, 0, 18.3)
		outOfRange(t, err, "distance")
		_, err = Intensity(1, 10, bad, 18.3)
		outOfRange(t, err, "angle of incidence")
		_, err = Intensity(1, 10, 0, bad)
		outOfRange(t, err, "distance limit")
		_, err = Illuminance(bad, 10, 0)
		outOfRange(t, err, "intensity")
		_, err = DiscError(1, bad)
		outOfRange(t, err, "diameter")
		_, err = FiveTimes(bad)
		outOfRange(t, err, "largest dimension")
	}
}

// Round trip: a reading turned into candela and back is the reading.
func TestIntensityRoundTrip(t *testing.T) {
	for _, d := range []float64{0.5, 3, 7.62, 25} {
		for _, tilt := range []float64{0, 8, 60} {
			reading, err := Intensity(832, d, tilt, 0)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "lux", must(t)(Illuminance(reading.Candela, d, tilt)), 832, 1e-9)
		}
	}
}
