package sure

import (
	"math"
	"math/rand/v2"
	"testing"
)

func firstOf(values [][3]float64, w [3]float64) int {
	best := 0
	for i, v := range values {
		if dot(w, v) > dot(w, values[best]) {
			best = i
		}
	}
	return best
}

// moved gives the weights with one of them set, the others in proportion.
func moved(w [3]float64, k int, to float64) [3]float64 {
	rest := w[(k+1)%3] + w[(k+2)%3]
	for j := range w {
		if j != k {
			w[j] *= (1 - to) / rest
		}
	}
	w[k] = to
	return w
}

func TestFlipWeightByHand(t *testing.T) {
	// A (1, 0, 0) leads B (0, 1, 1) from an output weight of one half on.
	got, err := FlipWeight([][3]float64{{1, 0, 0}, {0, 1, 1}}, [3]float64{0.6, 0.3, 0.1})
	if err != nil {
		t.Fatal(err)
	}
	want := []WeightFlip{
		{Output, 0.6, 0.5, 1},
		{Pattern, 0.3, 5. / 12, 1}, // 0.6 (1-t)/0.7 = 1/2
		{Heat, 0.1, 0.25, 1},       // 0.6 (1-t)/0.9 = 1/2
	}
	if len(got) != len(want) {
		t.Fatalf("%+v", got)
	}
	for i, w := range want {
		if g := got[i]; g.Criterion != w.Criterion || g.Winner != 1 || !near(g.To, w.To, 1e-12) || g.From != w.From {
			t.Errorf("%+v, want %+v", g, w)
		}
	}
	if got, _ := FlipWeight([][3]float64{{1, 1, 1}, {0, 1, 1}}, [3]float64{0.6, 0.3, 0.1}); got != nil {
		t.Errorf("a dominated rival: %+v", got)
	}
	if got, _ := FlipWeight([][3]float64{{1, 0, 0}, {0, 1, 0.5}}, [3]float64{1, 0, 0}); len(got) != 3 || !near(got[1].To, 3./7, 1e-12) {
		t.Errorf("all weight on one: %+v", got) // the others grow alike: t = 0.75 (1-t)
	}
}

func TestFlipWeightAgainstSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 1))
	for range 300 {
		values, w := catalog(r, 2+r.IntN(6)), uniformWeights(r)
		flips, err := FlipWeight(values, w)
		if err != nil {
			t.Fatal(err)
		}
		winner := firstOf(values, w)
		seen := map[[2]int]float64{}
		last := 0.0
		for _, f := range flips {
			if d := math.Abs(f.To - f.From); d < last-1e-12 {
				t.Fatalf("not in order: %+v", flips)
			} else {
				last = d
			}
			side := 1.0
			if f.To < f.From {
				side = -1
			}
			seen[[2]int{f.Criterion, int(side)}] = f.To
			at := moved(w, f.Criterion, f.To)
			if !near(dot(at, values[f.Winner]), dot(at, values[winner]), 1e-9) {
				t.Fatalf("at the flip the two are not level: %+v", f)
			}
			if beyond := f.To + 1e-7*side; beyond > 0 && beyond < 1 {
				at := moved(w, f.Criterion, beyond)
				if dot(at, values[f.Winner]) < dot(at, values[firstOf(values, at)])-1e-9 || dot(at, values[f.Winner]) <= dot(at, values[winner]) {
					t.Fatalf("beyond the flip %d does not lead: %+v in %v at %v", f.Winner, f, values, w)
				}
			}
		}
		for k := range w {
			for _, side := range []float64{-1, 1} {
				to, found := seen[[2]int{k, int(side)}]
				for s := range 1000 {
					x := w[k] + side*float64(s)/1000
					if x <= 0 || x >= 1 || found && (x-to)*side > -1e-9 {
						break
					}
					at := moved(w, k, x)
					if now := firstOf(values, at); dot(at, values[now]) > dot(at, values[winner])+1e-9 {
						t.Fatalf("weight %d at %g: %d leads, said to flip at %g (%v)", k, x, now, to, found)
					}
				}
			}
		}
	}
}

func TestFlipMeasurement(t *testing.T) {
	scale := Scale{Q0: 0.25, Q1: 2.25} // roots 0.5 and 1.5: value = root - 0.5
	a := Measured{Ratio: 1.44, Scale: scale, Pattern: 0.8, Heat: 0.5, Uncertainty: [3]float64{0.1, 0.05, 0}}
	b := Measured{Ratio: 1.21, Scale: scale, Pattern: 0.8, Heat: 0.5, Uncertainty: [3]float64{0.1, 0.1, 0}}
	got, err := FlipMeasurement([]Measured{a, b}, [3]float64{0.5, 0.25, 0.25})
	if err != nil {
		t.Fatal(err)
	}
	// The lead is 0.05: either ratio by 0.1 in value, pattern or heat by 0.2.
	want := []MeasurementFlip{
		{1, Output, 1.21, 1.44, 0, 0}, {0, Output, 1.44, 1.21, 1, 0},
		{1, Pattern, 0.8, 1, 0, 0}, {0, Pattern, 0.8, 0.6, 1, 0}, {0, Heat, 0.5, 0.3, 1, 0}, {1, Heat, 0.5, 0.7, 0, 0},
	}
	for _, w := range want {
		found := false
		for _, g := range got {
			if g.Candidate == w.Candidate && g.Criterion == w.Criterion {
				found = near(g.To, w.To, 1e-9) && g.From == w.From && g.Winner == 1
			}
		}
		// b's pattern would have to reach exactly 1 to be level: it cannot lead.
		if found == (w.Candidate == 1 && w.Criterion == Pattern) {
			t.Errorf("%+v not as wanted in %+v", w, got)
		}
	}
	if f := got[0]; !near(f.Uncertainties, math.Log(1.44/1.21)/0.1, 1e-9) {
		t.Errorf("first: %+v", f)
	}
	if f := got[len(got)-1]; f.Criterion != Heat || f.Uncertainties != 0 {
		t.Errorf("unknown uncertainty comes last: %+v", f)
	}
	for name, bad := range map[string]Measured{
		"ratio": {Scale: scale}, "scale": {Ratio: 1}, "pattern": {Ratio: 1, Scale: scale, Pattern: 2},
		"heat":        {Ratio: 1, Scale: scale, Heat: math.NaN()},
		"uncertainty": {Ratio: 1, Scale: scale, Uncertainty: [3]float64{-1, 0, 0}},
	} {
		if _, err := FlipMeasurement([]Measured{a, bad}, [3]float64{0.5, 0.25, 0.25}); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

func TestFlipMeasurementDoesWhatItSays(t *testing.T) {
	r := rand.New(rand.NewPCG(42, 1))
	count := 0
	for range 300 {
		w := uniformWeights(r)
		c := make([]Measured, 2+r.IntN(4))
		for i := range c {
			c[i] = Measured{Ratio: 0.5 + 2*r.Float64(), Scale: simScale, Pattern: r.Float64(), Heat: r.Float64()}
		}
		lead := func(c []Measured) int {
			var v [][3]float64
			for _, m := range c {
				v = append(v, m.values())
			}
			return firstOf(v, w)
		}
		first := lead(c)
		flips, err := FlipMeasurement(c, w)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range flips {
			count++
			for _, part := range []float64{0.999, 1.001} {
				changed := append([]Measured{}, c...)
				to := f.From + part*(f.To-f.From)
				m := &changed[f.Candidate]
				*[]*float64{&m.Ratio, &m.Pattern, &m.Heat}[f.Criterion] = to
				want := first
				if part > 1 {
					want = f.Winner
				}
				if got := lead(changed); got != want && math.Abs(f.To-f.From) > 1e-6 {
					t.Fatalf("%+v at %g: %d leads, want %d", f, to, got, want)
				}
			}
		}
	}
	if count < 1000 {
		t.Errorf("only %d flips tried", count)
	}
}

func TestFlipBudget(t *testing.T) {
	known := func(prices ...float64) (out []Offer) {
		for _, p := range prices {
			out = append(out, Offer{p, p >= 0})
			if p < 0 {
				out[len(out)-1].Price = 0
			}
		}
		return out
	}
	for _, c := range []struct {
		name   string
		offers []Offer
		budget float64
		want   []BudgetFlip
	}{
		{"raise", known(90, 80, 50, 30), 60, []BudgetFlip{{60, 50, true, 3}, {60, 80, false, 1}}},
		{"cut and nothing left", known(50), 60, []BudgetFlip{{60, 50, true, -1}}},
		{"nothing eligible", known(90, 80), 60, []BudgetFlip{{60, 80, false, 1}}},
		{"unknown price is always eligible", known(90, -1, 30), 60, []BudgetFlip{{60, 90, false, 0}}},
		{"unknown price takes over", known(50, -1), 60, []BudgetFlip{{60, 50, true, 1}}},
		{"equal prices", known(80, 80, 50), 60, []BudgetFlip{{60, 50, true, -1}, {60, 80, false, 0}}},
		{"no budget", known(90, 50), 0, []BudgetFlip{{0, 90, true, 1}}},
		{"free", known(0), 10, nil},
		{"nothing", nil, 10, nil},
	} {
		got, err := FlipBudget(c.offers, c.budget)
		if err != nil {
			t.Fatal(err)
		}
		same := len(got) == len(c.want)
		for i := range c.want {
			same = same && got[i] == c.want[i]
		}
		if !same {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
	if _, err := FlipBudget(known(1), math.NaN()); err == nil {
		t.Error("budget nan accepted")
	}
	if _, err := FlipBudget([]Offer{{-1, true}}, 1); err == nil {
		t.Error("negative price accepted")
	}
}

func TestFlipWeightRefuses(t *testing.T) {
	if _, err := FlipWeight([][3]float64{{0, 0, math.Inf(1)}, {0, 0, 0}}, [3]float64{1, 0, 0}); err == nil {
		t.Error("an infinite value was accepted")
	}
	if _, err := FlipWeight(nil, [3]float64{1, 1, 0}); err == nil {
		t.Error("weights of sum 2 were accepted")
	}
}
