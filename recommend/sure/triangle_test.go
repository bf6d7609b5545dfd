package sure

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"
)

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

func mustShares(t testing.TB, values [][3]float64, region Region) []Share {
	t.Helper()
	s, err := Shares(values, region)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// grid draws values from few steps, so that ties, duplicates and several planes
// through one point are common.
func grid(r *rand.Rand, n, steps int) [][3]float64 {
	v := make([][3]float64, n)
	for i := range v {
		for k := range v[i] {
			v[i][k] = float64(r.IntN(steps+1)) / float64(steps)
		}
	}
	return v
}

func cube(r *rand.Rand, n int) [][3]float64 {
	v := make([][3]float64, n)
	for i := range v {
		v[i] = [3]float64{r.Float64(), r.Float64(), r.Float64()}
	}
	return v
}

// catalog mixes all of them: free values, few steps, and copies of earlier rows.
func catalog(r *rand.Rand, n int) [][3]float64 {
	v := cube(r, n)
	if r.IntN(2) == 0 {
		v = grid(r, n, 1+r.IntN(6))
	}
	for i := 1; i < n; i++ {
		if r.IntN(5) == 0 {
			v[i] = v[r.IntN(i)]
		}
	}
	return v
}

func TestSharesSumToOne(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 400 {
		values := catalog(r, 1+r.IntN(14))
		near1, err := Near([3]float64{0.5, 0.3, 0.2}, NearReach)
		if err != nil {
			t.Fatal(err)
		}
		for _, region := range []Region{{}, near1} {
			shares := mustShares(t, values, region)
			sum := 0.0
			column := make([]float64, len(values))
			for i, s := range shares {
				sum += s.First
				row := 0.0
				for r, x := range s.Ranks {
					row += x
					column[r] += x
				}
				if !near(row, 1, 1e-9) {
					t.Fatalf("ranks of candidate %d of %v sum to %.12f", i, values, row)
				}
				if s.First > 0 && !near(s.Central[0]+s.Central[1]+s.Central[2], 1, 1e-12) {
					t.Fatalf("central weights %v", s.Central)
				}
				if len(s.Same) == 0 && !near(s.First, s.Ranks[0], 1e-9) {
					t.Fatalf("first %.12f, rank one %.12f", s.First, s.Ranks[0])
				}
			}
			if !near(sum, 1, 1e-9) {
				t.Fatalf("shares of %v sum to %.12f", values, sum)
			}
			for r, c := range column {
				if !near(c, 1, 1e-9) {
					t.Fatalf("rank %d of %v is taken %.12f times", r+1, values, c)
				}
			}
		}
	}
}

func TestSharesIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	sameFirsts := func(what string, a, b []Share) {
		t.Helper()
		for i := range a {
			if !near(a[i].First, b[i].First, 1e-9) {
				t.Fatalf("%s: candidate %d %.12f became %.12f", what, i, a[i].First, b[i].First)
			}
			for k := range a[i].Ranks {
				if !near(a[i].Ranks[k], b[i].Ranks[k], 1e-9) {
					t.Fatalf("%s: candidate %d rank %d %.12f became %.12f", what, i, k+1, a[i].Ranks[k], b[i].Ranks[k])
				}
			}
		}
	}
	for range 300 {
		values := catalog(r, 2+r.IntN(9))
		shares := mustShares(t, values, Region{})

		factor := math.Exp(r.NormFloat64() * 5)
		shift := [3]float64{r.NormFloat64(), r.NormFloat64(), r.NormFloat64()}
		scaled, shifted := make([][3]float64, len(values)), make([][3]float64, len(values))
		for i, v := range values {
			for k := range v {
				scaled[i][k] = v[k] * factor
				shifted[i][k] = v[k] + shift[k]
			}
		}
		sameFirsts("scale", shares, mustShares(t, scaled, Region{}))
		sameFirsts("shift", shares, mustShares(t, shifted, Region{}))

		// A candidate worse in everything than another takes nothing from anybody.
		worse := values[r.IntN(len(values))]
		for k := range worse {
			worse[k] -= 0.01 * r.Float64()
		}
		more := mustShares(t, append(append([][3]float64{}, values...), worse), Region{})
		last := more[len(values)]
		if last.First != 0 || last.DominatedBy < 0 || last.Corners != nil {
			t.Fatalf("dominated candidate: %+v", last)
		}
		for i := range shares {
			if !near(shares[i].First, more[i].First, 1e-12) {
				t.Fatalf("a dominated candidate moved %g to %g", shares[i].First, more[i].First)
			}
		}

		// A copy splits the share and leaves everybody else alone.
		k := r.IntN(len(values))
		twin := mustShares(t, append(append([][3]float64{}, values...), values[k]), Region{})
		held := float64(len(shares[k].Same) + 1)
		for i := range shares {
			want := shares[i].First
			if values[i] == values[k] {
				want *= held / (held + 1)
			}
			if !near(twin[i].First, want, 1e-9) {
				t.Fatalf("copy of %d: candidate %d has %.12f, want %.12f", k, i, twin[i].First, want)
			}
		}

		// The order of the candidates and the order of the criteria do not matter.
		p := r.Perm(len(values))
		permuted := make([][3]float64, len(values))
		for i, j := range p {
			v := values[j]
			permuted[i] = [3]float64{v[2], v[0], v[1]}
		}
		for i, s := range mustShares(t, permuted, Region{}) {
			if !near(s.First, shares[p[i]].First, 1e-9) {
				t.Fatalf("permuted: %.12f, want %.12f", s.First, shares[p[i]].First)
			}
			for k, c := range s.Central {
				if s.First > 0 && !near(c, shares[p[i]].Central[(k+2)%3], 1e-6) {
					t.Fatalf("permuted centre %v, want %v", s.Central, shares[p[i]].Central)
				}
			}
		}
	}
}

func TestDominatedAreNamed(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	dominates := func(a, b [3]float64) bool {
		return a[0] >= b[0] && a[1] >= b[1] && a[2] >= b[2] && a != b
	}
	for range 200 {
		values := grid(r, 1+r.IntN(60), 1+r.IntN(9))
		for i, s := range mustShares(t, values, Region{}) {
			any := false
			for _, v := range values {
				any = any || dominates(v, values[i])
			}
			if any != (s.DominatedBy >= 0) {
				t.Fatalf("%v in %v: dominated %v, named %d", values[i], values, any, s.DominatedBy)
			}
			if any && (!dominates(values[s.DominatedBy], values[i]) || s.First != 0) {
				t.Fatalf("%v said to be dominated by %v, share %g", values[i], values[s.DominatedBy], s.First)
			}
		}
	}
}

// The program's floating-point path with its tree must agree with exact
// fractions and a plain look at every candidate.
func TestFloatAgreesWithExact(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 60 {
		n := 2 + r.IntN(6)
		steps := int64(1 + r.IntN(12))
		var exact [][3]ratio
		var plain [][3]float64
		used := map[[3]int64]bool{}
		for range n {
			k := [3]int64{r.Int64N(steps + 1), r.Int64N(steps + 1), r.Int64N(steps + 1)}
			if used[k] {
				continue
			}
			used[k] = true
			exact = append(exact, [3]ratio{rat(k[0], steps), rat(k[1], steps), rat(k[2], steps)})
			plain = append(plain, [3]float64{float64(k[0]) / float64(steps), float64(k[1]) / float64(steps), float64(k[2]) / float64(steps)})
		}
		want := sharesExact(exact, wholeExact)
		sum := new(big.Rat)
		for i, s := range mustShares(t, plain, Region{}) {
			sum.Add(sum, want[i].first)
			f, _ := want[i].first.Float64()
			if !near(s.First, f, 1e-11) {
				t.Fatalf("%v: candidate %d %.15f, exact %s", plain, i, s.First, want[i].first)
			}
			for k := range s.Central {
				if f > 0 {
					if c, _ := want[i].central[k].Float64(); !near(s.Central[k], c, 1e-11) {
						t.Fatalf("%v: centre of %d %v, exact %v", plain, i, s.Central, want[i].central)
					}
				}
			}
			for k, x := range s.Ranks {
				if f, _ := want[i].ranks[k].Float64(); !near(x, f, 1e-11) {
					t.Fatalf("%v: candidate %d rank %d %.15f, exact %s", plain, i, k+1, x, want[i].ranks[k])
				}
			}
		}
		if sum.Cmp(big.NewRat(1, 1)) != 0 {
			t.Fatalf("exact shares sum to %s", sum)
		}
	}
}

func TestNear(t *testing.T) {
	for _, c := range []struct {
		weights [3]float64
		reach   float64
		area    float64 // as a share of the triangle
	}{
		// A hexagon of half-width r is the triangle of side 3r less three
		// corners of side r each, in units of the side of the whole: 9r^2 - 3r^2.
		{[3]float64{0.4, 0.3, 0.3}, 0.1, 0.06},
		{[3]float64{1. / 3, 1. / 3, 1. / 3}, 0.2, 0.24},
		// At a corner the first weight is at least 1-r: a triangle of side r, r^2.
		{[3]float64{1, 0, 0}, 0.1, 0.01},
		{[3]float64{0.2, 0.5, 0.3}, 1, 1},
	} {
		region, err := Near(c.weights, c.reach)
		if err != nil {
			t.Fatal(err)
		}
		area, _, _ := doubleArea(region.polygon())
		if !near(float64(area), c.area, 1e-12) {
			t.Errorf("near %v within %g: %g of the triangle, want %g", c.weights, c.reach, area, c.area)
		}
	}
	for _, bad := range []struct {
		weights [3]float64
		reach   float64
	}{
		{[3]float64{0.5, 0.5, 0.5}, 0.1}, {[3]float64{-0.1, 0.6, 0.5}, 0.1},
		{[3]float64{math.NaN(), 0.5, 0.5}, 0.1}, {[3]float64{0.4, 0.3, 0.3}, 0},
		{[3]float64{0.4, 0.3, 0.3}, math.NaN()},
	} {
		if _, err := Near(bad.weights, bad.reach); err == nil {
			t.Errorf("near %v within %g was accepted", bad.weights, bad.reach)
		}
	}
}

func TestSharesEdges(t *testing.T) {
	if s, err := Shares(nil, Region{}); s != nil || err != nil {
		t.Errorf("no candidates: %v, %v", s, err)
	}
	one := mustShares(t, [][3]float64{{0.2, 0.2, 0.2}}, Region{})
	if one[0].First != 1 || !near(one[0].Central[2], 1./3, 1e-15) || one[0].DominatedBy != -1 {
		t.Errorf("one candidate: %+v", one[0])
	}
	for _, s := range mustShares(t, [][3]float64{{1, 2, 3}, {1, 2, 3}, {1, 2, 3}}, Region{}) {
		if !near(s.First, 1./3, 1e-15) || len(s.Same) != 2 || !near(s.Ranks[2], 1./3, 1e-15) {
			t.Errorf("three alike: %+v", s)
		}
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		if _, err := Shares([][3]float64{{0, 0, 0}, {0, bad, 0}}, Region{}); err == nil {
			t.Errorf("%g was accepted", bad)
		}
	}
	if _, err := Shares([][3]float64{{1e308, 0, 0}, {-1e308, 0, 0}}, Region{}); err == nil {
		t.Error("an infinite range was accepted")
	}
}
