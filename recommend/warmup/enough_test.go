package warmup

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"
)

// TestEnoughToStop compares the number of readings foretold with the number it then takes: right
// within a factor of four in nine of ten runs, and within 1.7 at the median.
func TestEnoughToStop(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	var ratios []float64
	for i := 0; i < 40; i++ {
		c := oneTruth(r)
		var readings []Reading
		for _, m := range minutes(60) {
			readings = append(readings, Reading{m, math.Round(c.at(m) * (1 + 0.005*r.NormFloat64()))})
		}
		const wanted = 2
		told := stop(t, readings[:8], wanted)
		if told.Enough {
			continue
		}
		for n := 9; n <= len(readings); n++ {
			if s := stop(t, readings[:n], wanted); s.Enough {
				ratios = append(ratios, float64(told.More)/float64(n-8))
				if s.More != 0 || *s.HalfWidthPct > wanted {
					t.Fatalf("enough, and yet %+v", s)
				}
				break
			}
		}
	}
	sort.Float64s(ratios)
	n := len(ratios)
	if n < 20 || ratios[n/2] < 1/1.7 || ratios[n/2] > 1.7 || ratios[n/20] < 0.25 || ratios[n*19/20] > 4 {
		t.Errorf("foretold over taken: %v", ratios)
	}
}

func stop(t *testing.T, readings []Reading, wanted float64) Stop {
	t.Helper()
	f, err := Reduce(readings, 30, Options{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := f.EnoughToStop(wanted)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestEnoughToStopLimits(t *testing.T) {
	if s := stop(t, nil, 2); s.Enough || s.More != leastForShape || s.HalfWidthPct != nil {
		t.Errorf("no readings: %+v", s)
	}
	// Two readings, one of them at the time asked for, have a band from the repeatability; that is no
	// reason to stop.
	if s := stop(t, []Reading{{0, 1000}, {30, 900}}, 10); s.Enough || s.More != 3 {
		t.Errorf("two readings: %+v", s)
	}
	f, err := Reduce([]Reading{{0, 1000}}, 30, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range []float64{0, -1, 60, math.NaN()} {
		if _, err := f.EnoughToStop(w); err == nil {
			t.Errorf("a wanted half-width of %g %% is taken", w)
		}
	}
}
