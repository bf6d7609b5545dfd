package warmup

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// TestSimulatedShapes names the shapes that are not a plain fall.
func TestSimulatedShapes(t *testing.T) {
	runs := 500
	if testing.Short() {
		runs = 150
	}
	flat := func(r *rand.Rand) truth { return truth{level: uniform(r, 300, 2500)} }
	rising := func(r *rand.Rand) truth {
		c := oneTruth(r)
		c.drop[0] = -uniform(r, 0.06, 0.3)
		return c
	}
	hunting := func(r *rand.Rand) truth { // a driver that hunts between two powers
		c := oneTruth(r)
		c.swing, c.swingMin = uniform(r, 0.05, 0.15), uniform(r, 4, 9)
		return c
	}
	for _, test := range []struct {
		kind
		shape Shape
		least float64
	}{
		{kind{name: "flat", truth: flat, times: minutes(27), at: 27, noise: anyNoise}, ShapeFlat, 0.97},
		{kind{name: "rising", truth: rising, times: minutes(27), at: 27, noise: fixedNoise(0.01)}, ShapeRising, 0.97},
		{kind{name: "hunting", truth: hunting, times: minutes(27), at: 27, noise: fixedNoise(0.005)}, ShapeUnsettled, 0.95},
		{kind{name: "one", truth: oneTruth, times: minutes(27), at: 27, noise: fixedNoise(0.005)}, ShapeOne, 0.98},
	} {
		y := test.simulate(t, runs, 3)
		t.Logf("%s: %v", test.name, y.shapes)
		if got := y.share(test.shape); got < test.least {
			t.Errorf("%s: %.3f named so, want %.2f: %v", test.name, got, test.least, y.shapes)
		}
	}
}

// TestStepAfterTheEnd: a step that has not happened cannot be in the band, and the forecast says so.
func TestStepAfterTheEnd(t *testing.T) {
	late := func(r *rand.Rand) truth {
		c := oneTruth(r)
		c.stepAt, c.stepBy = 15, 0.3
		return c
	}
	y := kind{truth: late, times: minutes(12), at: 27, noise: fixedNoise(0.005)}.simulate(t, 200, 5)
	if held, _ := y.coverage(1); held > 20 {
		t.Errorf("%d of 200 bands hold a light that fell by 30 %% after the last reading: they are too wide to mean anything", held)
	}
	for _, r := range y.runs {
		if !r.figures.Forecast || !strings.Contains(strings.Join(r.figures.Notes, "; "), "cannot be foreseen") {
			t.Fatalf("a forecast that does not say that a step cannot be foreseen: %v", r.figures.Notes)
		}
	}
}

// TestSpreadHoldsItsMiddle: the mean of equal readings is one of them, whatever the sum rounds to.
func TestSpreadHoldsItsMiddle(t *testing.T) {
	for n := 2; n < 60; n++ {
		for _, lux := range []float64{0.07626985859023445, 0.1, 1e7 / 3} {
			p := piece{s: &sample{readings: slices.Repeat([]Reading{{0, lux}}, n)}, unsettled: true}
			if e, ok := p.spread(0); !ok || e != (Estimate{lux, lux, lux}) {
				t.Errorf("%d readings of %v: %+v", n, lux, e)
			}
		}
	}
}
