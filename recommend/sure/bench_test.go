package sure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// shell puts every candidate on the upper envelope: points of a sphere.
func shell(r *rand.Rand, n int) [][3]float64 {
	v := make([][3]float64, n)
	for i := range v {
		x, y, z := math.Abs(r.NormFloat64()), math.Abs(r.NormFloat64()), math.Abs(r.NormFloat64())
		d := math.Sqrt(x*x + y*y + z*z)
		v[i] = [3]float64{x / d, y / d, z / d}
	}
	return v
}

// trade makes every candidate undominated, few of them ever first: points of
// one flat surface on which more of one value costs another.
func trade(r *rand.Rand, n int) [][3]float64 {
	v := make([][3]float64, n)
	for i := range v {
		v[i] = uniformWeights(r)
	}
	return v
}

// fan puts every candidate through one tie at equal weights: points of a circle
// seen along the line of equal weights.
func fan(_ *rand.Rand, n int) [][3]float64 {
	v := make([][3]float64, n)
	for i := range v {
		s, c := math.Sincos(2 * math.Pi * float64(i) / float64(n))
		v[i] = [3]float64{0.5 + 0.3*c, 0.5 + 0.3*(-c/2+s*math.Sqrt(3)/2), 0.5 + 0.3*(-c/2-s*math.Sqrt(3)/2)}
	}
	return v
}

func BenchmarkShares(b *testing.B) {
	for _, kind := range []struct {
		name string
		make func(*rand.Rand, int) [][3]float64
	}{{"cube", cube}, {"trade", trade}, {"shell", shell}, {"fan", fan}} {
		for _, n := range []int{10, 100, 1000, 10000} {
			b.Run(fmt.Sprintf("%s/%d", kind.name, n), func(b *testing.B) {
				values := kind.make(rand.New(rand.NewPCG(9, 1)), n)
				for b.Loop() {
					if _, err := Shares(values, Region{}); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
	}
}

// All kinds of large catalogs keep the identity that the shares sum to one.
func TestLargeCatalogs(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 2))
	for _, kind := range []struct {
		name string
		make func(*rand.Rand, int) [][3]float64
	}{{"cube", cube}, {"trade", trade}, {"shell", shell}, {"fan", fan}} {
		sum, firsts := 0.0, 0
		for _, s := range mustShares(t, kind.make(r, 3000), Region{}) {
			sum += s.First
			if s.First > 0 {
				firsts++
			}
		}
		t.Logf("%s: %d of 3000 are first somewhere", kind.name, firsts)
		if !near(sum, 1, 1e-7) {
			t.Errorf("%s: shares sum to %.10f", kind.name, sum)
		}
	}
}

// The work, counted in candidates looked at, grows near n log n even when every
// candidate is on the envelope: four times the candidates take less than four
// times the work and half again.
func TestWorkGrowsNearNLogN(t *testing.T) {
	work := func(n int) float64 {
		values := shell(rand.New(rand.NewPCG(9, 4)), n)
		planes := make([]plane[real], n)
		for i, v := range values {
			planes[i] = planeOf(reals(v))
		}
		h, looks := newHighest(values), 0
		cells(planes, Region{}.polygon(), func(x, y real, than int) int {
			looks += leafSize // what one question takes
			return h.better(x, y, than)
		})
		for _, p := range h.nodes { // what building the parts took
			looks += len(p.members)
		}
		return float64(looks)
	}
	small, medium, large := work(1000), work(4000), work(16000)
	t.Logf("looks: %.0f for 1,000, %.0f for 4,000, %.0f for 16,000", small, medium, large)
	if medium > 6*small || large > 6*medium {
		t.Errorf("work %.0f, %.0f, %.0f grows faster than n log n", small, medium, large)
	}
}
