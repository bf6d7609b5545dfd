package sure

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestFieldAgainstTheNormal: where all that counts is whose light is more, the answer
// is known: the difference of two normal logarithms, their means less half their
// variances, errors in common taken out.
func TestFieldAgainstTheNormal(t *testing.T) {
	wide := Scale{Q0: 0.001, Q1: 1000}
	worst := 0.0
	for _, a := range []float64{1, 1.1, 1.3, 1.7} {
		for _, own := range [][2]float64{{0.05, 0.05}, {0.1, 0.2}, {0.2, 0.05}} {
			for _, shared := range []float64{0, 0.1} {
				part := func(own float64) []Part { return []Part{{Rel: own}, {Rel: shared, Key: "stock"}} }
				f, err := NewField([]Candidate{{Ratio: a, Parts: part(own[0]), Scale: wide}, {Ratio: 1.05, Parts: part(own[1]), Scale: wide}})
				if err != nil {
					t.Fatal(err)
				}
				mean := math.Log(a) - math.Log(1.05) - (own[0]*own[0]-own[1]*own[1])/2
				want := below(mean / math.Hypot(own[0], own[1]))
				got := f.Beats(0, 1, [3]float64{Output: 1})
				worst = math.Max(worst, math.Abs(got-want))
				if back := f.Beats(1, 0, [3]float64{Output: 1}); math.Abs(got+back-1) > 1e-12 {
					t.Errorf("%g and %g do not add up to 1", got, back)
				}
			}
		}
	}
	t.Logf("largest error of a probability: %.4f", worst)
	if worst > 0.02 {
		t.Errorf("error of a probability %.4f", worst)
	}
}

// TestExpectedIsTheMeanOfTheDraws: the closed form and the points agree, and an error
// never raises an expected value.
func TestExpectedIsTheMeanOfTheDraws(t *testing.T) {
	for _, ratio := range []float64{0.9, 1.2, 1.9, 2.5} {
		last := [3]float64{2, 2, 2}
		for _, u := range []float64{0, 0.05, 0.1, 0.2, 0.3} {
			c := Candidate{Ratio: ratio, Parts: []Part{{Rel: u}}, Scale: Scale{Q0: 0.8, Q1: 2},
				Pattern: Band{0.9 - u/2, 0.9, 1}, Heat: Band{0.6 - u/2, 0.6, 0.6 + u/2}}
			f, err := NewField([]Candidate{c})
			if err != nil {
				t.Fatal(err)
			}
			got := c.Expected()
			z := normals()
			points := [3]values{f.lightOf(0, f.near(0)), c.Pattern.at(z[patternNear]), c.Heat.at(z[heatNear])}
			for k := range got {
				sum := 0.0
				for i := range pointCount {
					sum += min(1, points[k].from+points[k].by*points[k].list[i]) / pointCount
				}
				if math.Abs(got[k]-unit(sum)) > 0.002 {
					t.Errorf("ratio %g, error %g, value %d: %.5f, mean of the points %.5f", ratio, u, k, got[k], sum)
				}
				if got[k] > last[k]+1e-12 {
					t.Errorf("ratio %g, value %d: %.6f with the error %g, %.6f with less", ratio, k, got[k], u, last[k])
				}
			}
			last = got
		}
	}
}

// TestAtLeastIsWhatTheDrawsSay: sparing the draws never gives another answer.
func TestAtLeastIsWhatTheDrawsSay(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	spared := 0
	for range 4000 {
		var list []Candidate
		for range 2 {
			band := func() Band {
				mid, half := r.Float64(), between(0, 0.3)
				return Band{max(0, mid-half), mid, min(1, mid+half)}
			}
			list = append(list, Candidate{Ratio: between(0.5, 2.5), Parts: []Part{{Rel: between(0, 0.3)}, {Rel: between(0, 0.1), Key: "stock"}},
				Down: between(0, 0.1) * float64(r.IntN(2)), Scale: Scale{Q0: 0.8, Q1: 2}, Pattern: band(), Heat: band()})
		}
		f, err := NewField(list)
		if err != nil {
			t.Fatal(err)
		}
		x, y := r.Float64(), r.Float64()
		w := [3]float64{min(x, y), math.Abs(x - y), 1 - max(x, y)}
		beats := f.Beats(0, 1, w)
		for _, p := range []float64{0.05, 0.2, 0.5, 0.8, 0.9, 0.95} {
			if got, want := f.AtLeast(0, 1, w, p), beats >= p; got != want {
				t.Fatalf("at least %g: %v, but the draws say %g of %+v at %v", p, got, beats, list, w)
			}
			if got, want := f.Apart(0, 1, w, p), max(beats, 1-beats) >= p; got != want {
				t.Fatalf("apart by %g: %v, but the draws say %g of %+v at %v", p, got, beats, list, w)
			}
			if math.Abs(f.apart(0, 1, w)) > enough(p) {
				spared++
			}
		}
	}
	if spared < 1000 {
		t.Errorf("only %d of 24000 were told without draws", spared)
	}
}
