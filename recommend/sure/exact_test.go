package sure

import (
	"math/big"
	"testing"
)

// ratio lets the geometry that the program runs on float64 run on exact
// fractions. Its tolerance is zero.
type ratio struct{ *big.Rat }

func rat(a, b int64) ratio { return ratio{big.NewRat(a, b)} }

func (a ratio) plus(b ratio) ratio  { return ratio{new(big.Rat).Add(a.Rat, b.Rat)} }
func (a ratio) minus(b ratio) ratio { return ratio{new(big.Rat).Sub(a.Rat, b.Rat)} }
func (a ratio) times(b ratio) ratio { return ratio{new(big.Rat).Mul(a.Rat, b.Rat)} }
func (a ratio) over(b ratio) ratio  { return ratio{new(big.Rat).Quo(a.Rat, b.Rat)} }
func (a ratio) sign() int           { return a.Rat.Sign() }

var wholeExact = []corner[ratio]{
	{x: rat(0, 1), y: rat(0, 1)}, {x: rat(1, 1), y: rat(0, 1)}, {x: rat(0, 1), y: rat(1, 1)},
}

// bestExact looks at every plane: the plain way to the same answer as highest.
func bestExact(planes []plane[ratio]) func(x, y ratio, than int) int {
	return func(x, y ratio, than int) int {
		found, best := -1, planes[than].at(x, y)
		for j := range planes {
			if s := planes[j].at(x, y); s.Cmp(best.Rat) > 0 {
				found, best = j, s
			}
		}
		return found
	}
}

type exactShare struct {
	first   *big.Rat
	central [3]*big.Rat
	ranks   []*big.Rat
}

// sharesExact works on different values only: no duplicates.
func sharesExact(values [][3]ratio, region []corner[ratio]) []exactShare {
	planes := make([]plane[ratio], len(values))
	size := make([]int, len(values))
	for i, v := range values {
		planes[i], size[i] = planeOf(v), 1
	}
	whole, _, _ := doubleArea(region)
	firsts := cells(planes, region, bestExact(planes))
	out := make([]exactShare, len(values))
	for i := range values {
		out[i].first = new(big.Rat)
		out[i].ranks = make([]*big.Rat, len(values))
		for r := range out[i].ranks {
			out[i].ranks[r] = new(big.Rat)
		}
		for above, area := range areasAbove(planes, size, i, region) {
			out[i].ranks[above] = area.over(whole).Rat
		}
		if len(firsts[i]) == 0 {
			continue
		}
		area, _, _ := doubleArea(firsts[i])
		out[i].first = area.over(whole).Rat
		x, y := centroid(firsts[i])
		out[i].central = [3]*big.Rat{x.Rat, y.Rat, rat(1, 1).minus(x).minus(y).Rat}
	}
	return out
}

func fraction(t *testing.T, s string) *big.Rat {
	t.Helper()
	r, ok := new(big.Rat).SetString(s)
	if !ok {
		t.Fatalf("bad fraction %q", s)
	}
	return r
}

func exactValues(t *testing.T, rows ...[3]string) (exact [][3]ratio, plain [][3]float64) {
	t.Helper()
	for _, row := range rows {
		var e [3]ratio
		var p [3]float64
		for k, s := range row {
			e[k] = ratio{fraction(t, s)}
			p[k], _ = e[k].Float64()
		}
		exact, plain = append(exact, e), append(plain, p)
	}
	return exact, plain
}

// The exact check values T1 to T5 were derived independently of this code, by
// clipping the triangle by hand in rational arithmetic for every order.
var exactCases = []struct {
	name    string
	values  [][3]string
	first   []string
	central map[int][3]string
	last    []string
}{
	{
		name:    "T1 three specialists",
		values:  [][3]string{{"1", "0", "0"}, {"0", "1", "0"}, {"0", "0", "1"}},
		first:   []string{"1/3", "1/3", "1/3"},
		central: map[int][3]string{0: {"11/18", "7/36", "7/36"}},
		last:    []string{"1/3", "1/3", "1/3"},
	},
	{
		name:    "T2 one against two",
		values:  [][3]string{{"1", "0", "0"}, {"0", "1", "1"}},
		first:   []string{"1/4", "3/4"},
		central: map[int][3]string{0: {"2/3", "1/6", "1/6"}, 1: {"2/9", "7/18", "7/18"}},
		last:    []string{"3/4", "1/4"},
	},
	{
		name:    "T3 one against two halves",
		values:  [][3]string{{"1", "0", "0"}, {"0", "1/2", "1/2"}},
		first:   []string{"4/9", "5/9"},
		central: map[int][3]string{0: {"5/9", "2/9", "2/9"}, 1: {"7/45", "19/45", "19/45"}},
		last:    []string{"5/9", "4/9"},
	},
	{
		name:    "T4 a compromise",
		values:  [][3]string{{"1", "0", "0"}, {"0", "1", "0"}, {"2/5", "2/5", "1/5"}},
		first:   []string{"5/12", "5/12", "1/6"},
		central: map[int][3]string{2: {"11/72", "11/72", "25/36"}},
	},
	{
		name: "T5 four bulbs",
		values: [][3]string{
			{"0.9", "0.2", "0.5"}, {"0.3", "0.8", "0.6"}, {"0.6", "0.6", "0.3"}, {"0.1", "0.4", "1"},
		},
		first: []string{"51418/144781", "2831/7955", "36/1295", "146/559"},
		last:  []string{"106/405", "1/42", "1055/3402", "3439/8505"},
	},
}

func TestExactCases(t *testing.T) {
	// T4 in full: every rank of every candidate.
	fullRanks := map[string][][]string{
		"T2 one against two":        {{"1/4", "3/4"}, {"3/4", "1/4"}},
		"T3 one against two halves": {{"4/9", "5/9"}, {"5/9", "4/9"}},
		"T4 a compromise":           {{"5/12", "7/60", "7/15"}, {"5/12", "7/60", "7/15"}, {"1/6", "23/30", "1/15"}},
	}
	for _, c := range exactCases {
		t.Run(c.name, func(t *testing.T) {
			exact, plain := exactValues(t, c.values...)
			got := sharesExact(exact, wholeExact)
			program, err := Shares(plain, Region{})
			if err != nil {
				t.Fatal(err)
			}
			same := func(what, want string, exact *big.Rat, program float64) {
				t.Helper()
				w := fraction(t, want)
				if exact.Cmp(w) != 0 {
					t.Errorf("%s: exact %s, want %s", what, exact, w)
				}
				if f, _ := w.Float64(); !near(program, f, 1e-13) {
					t.Errorf("%s: program %.17g, want %.17g", what, program, f)
				}
			}
			for i, want := range c.first {
				same("first", want, got[i].first, program[i].First)
				same("first rank", want, got[i].ranks[0], program[i].Ranks[0])
			}
			for i, want := range c.last {
				r := len(c.values) - 1
				same("last rank", want, got[i].ranks[r], program[i].Ranks[r])
			}
			for i, want := range c.central {
				for k := range want {
					same("central weight", want[k], got[i].central[k], program[i].Central[k])
				}
			}
			for i, row := range fullRanks[c.name] {
				for r, want := range row {
					same("rank", want, got[i].ranks[r], program[i].Ranks[r])
				}
			}
		})
	}
}

func TestRankOrderCentroid(t *testing.T) {
	want := map[int][]string{
		1: {"1"},
		2: {"3/4", "1/4"},
		3: {"11/18", "5/18", "1/9"},
		4: {"25/48", "13/48", "7/48", "1/16"},
		5: {"137/300", "77/300", "47/300", "9/100", "1/25"},
	}
	for n, row := range want {
		got := RankOrderCentroid(n)
		for k, s := range row {
			if got[k].Cmp(fraction(t, s)) != 0 {
				t.Errorf("n %d place %d: %s, want %s", n, k+1, got[k], s)
			}
		}
		// The weights in a given order form a simplex whose corners are (1, 0, 0 ...),
		// (1/2, 1/2, 0 ...), (1/3, 1/3, 1/3, 0 ...): the centroid is their mean.
		for k := range got {
			mean := new(big.Rat)
			for m := k + 1; m <= n; m++ {
				mean.Add(mean, big.NewRat(1, int64(m*n)))
			}
			if got[k].Cmp(mean) != 0 {
				t.Errorf("n %d place %d: %s, mean of corners %s", n, k+1, got[k], mean)
			}
		}
	}
	if RankOrderCentroid(0) != nil {
		t.Error("no criteria have no weights")
	}
	// The geometry must give the same for three: cut the triangle to w1 >= w2 >= w3.
	zero, one := rat(0, 1), rat(1, 1)
	unit := func(a, b, c ratio) plane[ratio] { return planeOf([3]ratio{a, b, c}) }
	first, second, third := unit(one, zero, zero), unit(zero, one, zero), unit(zero, zero, one)
	part := clip(nil, clip(nil, wholeExact, first.minus(second)), second.minus(third))
	x, y := centroid(part)
	if x.Cmp(big.NewRat(11, 18)) != 0 || y.Cmp(big.NewRat(5, 18)) != 0 {
		t.Errorf("centroid of w1 >= w2 >= w3: %s, %s, want 11/18, 5/18", x.Rat, y.Rat)
	}
}
