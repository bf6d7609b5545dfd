package sure

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

var openScale = Scale{Q0: 0.01, Q1: 100}

func plainBulb(ratio, pattern, heat float64, parts ...Part) Candidate {
	return Candidate{
		Ratio: ratio, Scale: openScale, Parts: parts,
		Pattern: Band{pattern, pattern, pattern}, Heat: Band{heat, heat, heat},
	}
}

func mustNoise(t testing.TB, c []Candidate, w [3]float64, o Options) NoiseResult {
	t.Helper()
	n, err := Noise(c, w, o)
	if err != nil {
		t.Fatal(err)
	}
	return n
}

var outputOnly = [3]float64{1, 0, 0}

// Two bulbs read with the same error: for one spread the difference of their
// true logs is normal with mean keep x difference and variance 2 keep own.
func TestNoiseOfTwoAgainstClosedForm(t *testing.T) {
	for _, c := range []struct{ difference, error float64 }{{0.05, 0.05}, {0.1, 0.05}, {0.3, 0.2}, {0, 0.1}} {
		own := Part{Name: "repeat", Rel: c.error}
		bulbs := []Candidate{plainBulb(math.Exp(c.difference), 0, 0, own), plainBulb(1, 0, 0, own)}
		p, err := populationsOf(bulbs, [3]float64{0.25, 0.15, 0.15})
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for _, s := range p[Output].steps {
			z := math.Sqrt(s.keep[0]) * c.difference / (math.Sqrt2 * c.error)
			want += s.weight * distuv.UnitNormal.CDF(z)
		}
		n := mustNoise(t, bulbs, outputOnly, Options{})
		if !near(n.First[0], want, 4*n.StandardError) {
			t.Errorf("difference %g, error %g: %.4f, closed form %.4f", c.difference, c.error, n.First[0], want)
		}
		// Never more sure than without shrinkage.
		if flat := distuv.UnitNormal.CDF(c.difference / (math.Sqrt2 * c.error)); want > flat {
			t.Errorf("difference %g: shrunk %.4f above %.4f", c.difference, want, flat)
		}
	}
}

func TestNoiseSharedErrorsCancel(t *testing.T) {
	own := Part{Name: "repeat", Rel: 0.04}
	stock := func(rig string) Part { return Part{Name: "stock", Rel: 0.3, Key: "stock:" + rig} }
	pair := func(a, b string) []Candidate {
		return []Candidate{
			plainBulb(1.2, 0, 0, own, stock(a)), plainBulb(1.1, 0, 0, own, stock(b)),
			plainBulb(0.8, 0, 0, own, stock(a)), plainBulb(0.7, 0, 0, own, stock(b)),
		}
	}
	without := mustNoise(t, []Candidate{plainBulb(1.2, 0, 0, own), plainBulb(1.1, 0, 0, own), plainBulb(0.8, 0, 0, own), plainBulb(0.7, 0, 0, own)}, outputOnly, Options{Seed: 1})
	same := mustNoise(t, pair("1", "1"), outputOnly, Options{Seed: 2})
	other := mustNoise(t, pair("1", "2"), outputOnly, Options{Seed: 3})
	if !near(same.First[0], without.First[0], 6*same.StandardError) {
		t.Errorf("one rig: %.3f, without the stock error %.3f", same.First[0], without.First[0])
	}
	if other.First[0] > same.First[0]-0.05 {
		t.Errorf("two rigs: %.3f, one rig %.3f: the stock error must count", other.First[0], same.First[0])
	}
	// What awaits in the owner's lamp widens the result and leaves the readings alone.
	lamp := Part{Name: "lamp", Rel: 0.2, Owner: true}
	owner := mustNoise(t, []Candidate{plainBulb(1.2, 0, 0, own, lamp), plainBulb(1.1, 0, 0, own, lamp), plainBulb(0.8, 0, 0, own, lamp), plainBulb(0.7, 0, 0, own, lamp)}, outputOnly, Options{Seed: 4})
	if owner.Kept != without.Kept || owner.First[0] > without.First[0]-0.05 {
		t.Errorf("owner's lamp: kept %.3f, was %.3f; first %.3f, was %.3f", owner.Kept[0], without.Kept[0], owner.First[0], without.First[0])
	}
	lamp.Key = "lamp:reflector"
	shared := mustNoise(t, []Candidate{plainBulb(1.2, 0, 0, own, lamp), plainBulb(1.1, 0, 0, own, lamp), plainBulb(0.8, 0, 0, own, lamp), plainBulb(0.7, 0, 0, own, lamp)}, outputOnly, Options{Seed: 5})
	if !near(shared.First[0], without.First[0], 6*shared.StandardError) {
		t.Errorf("owner's lamp, the same for all: %.3f, was %.3f", shared.First[0], without.First[0])
	}
	// Parts of one candidate under one key are one error: they add up.
	twice := merge([]Part{{Rel: 0.1, Key: "a"}, {Rel: 0.2, Key: "a"}, {Rel: 0.1}, {Rel: 0.1}, {Rel: 0.1, Key: "a", Owner: true}})
	if len(twice) != 4 || !near(twice[0].Rel, 0.3, 1e-15) {
		t.Errorf("merged: %+v", twice)
	}
}

func TestNoiseWithoutErrors(t *testing.T) {
	n := mustNoise(t, []Candidate{plainBulb(1.2, 0.5, 0.5), plainBulb(1.1, 0.5, 0.5), plainBulb(1, 0.5, 0.5)}, [3]float64{0.5, 0.3, 0.2}, Options{})
	for a := range n.Beats {
		for b := range n.Beats {
			beats := 0.5
			if a < b {
				beats = 1
			} else if a > b {
				beats = 0
			}
			if n.Beats[a][b] != beats {
				t.Errorf("%d %d: beats %g", a, b, n.Beats[a][b])
			}
		}
		if n.Ties(a) != nil {
			t.Errorf("%d ties with %v", a, n.Ties(a))
		}
	}
	if n.First[0] != 1 || !near(n.Kept[0], 1, 1e-12) {
		t.Errorf("first %v, kept %v", n.First, n.Kept)
	}
	alike := mustNoise(t, []Candidate{plainBulb(1, 0.5, 0.5), plainBulb(1, 0.5, 0.5), plainBulb(1, 0.5, 0.5), plainBulb(0.5, 0.5, 0.5)}, [3]float64{0.5, 0.3, 0.2}, Options{})
	for a := range 3 {
		if !near(alike.First[a], 1./3, 1e-12) || alike.Beats[a][(a+1)%3] != 0.5 || alike.Beats[a][3] != 1 || len(alike.Ties(a)) != 2 {
			t.Errorf("alike: %.4f, %v, ties %v", alike.First[a], alike.Beats[a], alike.Ties(a))
		}
	}
}

func noisyCatalog(seed uint64, n int) ([]Candidate, [3]float64) {
	r := rand.New(rand.NewPCG(seed, 1))
	w := world{shape: normal, least: [3]float64{0.2, 0.1, 0.1}, most: [3]float64{0.2, 0.1, 0.1}, noise: 1}
	var c []Candidate
	for len(c) < n {
		c = append(c, w.simulate(r).candidates...)
	}
	return c[:n], [3]float64{0.5, 0.3, 0.2}
}

func TestNoiseIdentities(t *testing.T) {
	for seed := range uint64(5) {
		c, w := noisyCatalog(seed, 6)
		n := mustNoise(t, c, w, Options{Seed: seed})
		if n.Draws != 10000 || n.StandardError != 0.005 {
			t.Fatalf("%d draws, standard error %g", n.Draws, n.StandardError)
		}
		sum := 0.0
		for a := range c {
			sum += n.First[a]
			for b := range c {
				if !near(n.Beats[a][b]+n.Beats[b][a], 1, 1e-9) {
					t.Fatalf("%d against %d: %g and %g", a, b, n.Beats[a][b], n.Beats[b][a])
				}
				if a != b && n.First[a] > n.Beats[a][b]+1e-9 { // the first of all is above each
					t.Fatalf("%d is first with %g and above %d with %g", a, n.First[a], b, n.Beats[a][b])
				}
			}
		}
		if !near(sum, 1, 1e-9) {
			t.Fatalf("first sums to %g", sum)
		}
		if again := mustNoise(t, c, w, Options{Seed: seed}); !reflect.DeepEqual(n, again) {
			t.Fatal("the same seed gave another result")
		}
		before := runtime.GOMAXPROCS(1)
		alone := mustNoise(t, c, w, Options{Seed: seed})
		runtime.GOMAXPROCS(before)
		if !reflect.DeepEqual(n, alone) {
			t.Fatal("one processor gave another result than several")
		}
		// Another seed and another order agree within the stated error.
		turned := append(append([]Candidate{}, c[3:]...), c[:3]...)
		other := mustNoise(t, turned, w, Options{Seed: seed + 100})
		for i, p := range n.First {
			if q := other.First[(i+3)%6]; !near(p, q, 4*math.Sqrt2*n.StandardError) {
				t.Fatalf("candidate %d: %.4f, in another order %.4f", i, p, q)
			}
		}
	}
	c, w := noisyCatalog(1, 6)
	if n := mustNoise(t, c, w, Options{StandardError: 0.02}); n.Draws != 625 || n.StandardError != 0.02 {
		t.Errorf("%d draws for a standard error of 0.02, %g", n.Draws, n.StandardError)
	}
}

// Candidates that trail far behind are left out of most draws. That must not
// change the answer for the others.
func TestNoiseOfManyKeepsTheLead(t *testing.T) {
	c, w := noisyCatalog(3, 120)
	all := mustNoise(t, c, w, Options{Lead: 1, StandardError: 0.02})
	order := make([]int, 0, len(c))
	for i := range c {
		order = append(order, i)
	}
	sorted := make([]Candidate, 0, len(c))
	for len(order) > 0 {
		best := 0
		for k, i := range order {
			if all.First[i] > all.First[order[best]] {
				best = k
			}
		}
		sorted = append(sorted, c[order[best]])
		order = append(order[:best], order[best+1:]...)
	}
	full := mustNoise(t, sorted, w, Options{Seed: 5, Lead: len(c), StandardError: 0.01})
	part := mustNoise(t, sorted, w, Options{Seed: 6, Lead: 5, StandardError: 0.01})
	if len(part.Beats) != 5 || len(part.First) != len(c) || len(part.Beats[4]) != 5 {
		t.Fatalf("%d rows of %d pairs", len(part.Beats), len(part.Beats[0]))
	}
	for i, p := range full.First {
		if !near(p, part.First[i], 4*math.Sqrt2*part.StandardError) {
			t.Errorf("candidate %d: %.4f, all drawn %.4f", i, part.First[i], p)
		}
	}
	for a := range 5 {
		for b := range 5 {
			if !near(part.Beats[a][b], full.Beats[a][b], 4*math.Sqrt2*part.StandardError) {
				t.Errorf("candidate %d against %d: %.4f, all drawn %.4f", a, b, part.Beats[a][b], full.Beats[a][b])
			}
		}
	}
}

// Halogens are not pulled towards the LEDs, and a halogen without error stays
// where it is.
func TestNoiseKinds(t *testing.T) {
	own := Part{Rel: 0.1}
	led := func(q float64) Candidate { c := plainBulb(q, 0.5, 0.5, own); c.Kind = "led"; return c }
	halogen := plainBulb(1, 0.5, 1)
	halogen.Kind = "halogen"
	p, err := populationsOf([]Candidate{led(1.8), led(1.7), led(1.9), halogen}, [3]float64{0.25, 0.15, 0.15})
	if err != nil {
		t.Fatal(err)
	}
	r := rand.New(rand.NewPCG(1, 1))
	x := make([]float64, 4)
	sum := 0.0
	for range 2000 {
		p[Output].draw(r, p[Output].scratch(), []int{0, 1, 2, 3}, x)
		if !near(x[3], 0, 1e-15) {
			t.Fatalf("the halogen was drawn at %g", x[3])
		}
		sum += x[0] / 2000
	}
	if sum < math.Log(1.7) || sum > math.Log(1.9) {
		t.Errorf("an LED of 1.8 was drawn around %.3f", math.Exp(sum))
	}
}

func TestNoiseRefuses(t *testing.T) {
	good := plainBulb(1, 0.5, 0.5, Part{Name: "repeat", Rel: 0.1})
	with := func(change func(*Candidate)) []Candidate { c := good; change(&c); return []Candidate{good, c} }
	nan := math.NaN()
	for name, c := range map[string]struct {
		candidates []Candidate
		weights    [3]float64
		opt        Options
	}{
		"ratio":        {with(func(c *Candidate) { c.Ratio = 0 }), outputOnly, Options{}},
		"ratio nan":    {with(func(c *Candidate) { c.Ratio = nan }), outputOnly, Options{}},
		"part":         {with(func(c *Candidate) { c.Parts = []Part{{Rel: -1}} }), outputOnly, Options{}},
		"part nan":     {with(func(c *Candidate) { c.Parts = []Part{{Rel: nan}} }), outputOnly, Options{}},
		"scale":        {with(func(c *Candidate) { c.Scale = Scale{} }), outputOnly, Options{}},
		"pattern":      {with(func(c *Candidate) { c.Pattern = Band{0.5, 0.4, 0.6} }), outputOnly, Options{}},
		"heat":         {with(func(c *Candidate) { c.Heat.High = 1.1 }), outputOnly, Options{}},
		"heat nan":     {with(func(c *Candidate) { c.Heat.Mid = nan }), outputOnly, Options{}},
		"weights":      {[]Candidate{good}, [3]float64{1, 1, 1}, Options{}},
		"draws":        {[]Candidate{good}, outputOnly, Options{StandardError: 1e-9}},
		"draws nan":    {[]Candidate{good}, outputOnly, Options{StandardError: nan}},
		"tie":          {[]Candidate{good}, outputOnly, Options{Tie: 0.4}},
		"lead":         {[]Candidate{good}, outputOnly, Options{Lead: -1}},
		"usual spread": {[]Candidate{good}, outputOnly, Options{Usual: [3]float64{-1, 1, 1}}},
	} {
		if _, err := Noise(c.candidates, c.weights, c.opt); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	if n, err := Noise(nil, outputOnly, Options{}); err != nil || len(n.First) != 0 || n.Ties(0) != nil {
		t.Errorf("no candidates: %+v, %v", n, err)
	}
	if n := mustNoise(t, []Candidate{good}, outputOnly, Options{}); n.First[0] != 1 || n.Beats[0][0] != 0.5 {
		t.Errorf("one candidate: %+v", n)
	}
}
