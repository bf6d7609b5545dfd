package sure

import (
	"math"
	"math/rand/v2"
	"testing"
)

// uniformWeights draws weights uniformly from the triangle: the gaps between
// two sorted uniform numbers.
func uniformWeights(r *rand.Rand) [3]float64 {
	a, b := r.Float64(), r.Float64()
	if a > b {
		a, b = b, a
	}
	return [3]float64{a, b - a, 1 - b}
}

// TestSharesAgainstDraws compares the exact shares with plain draws of weights
// in 200 random catalogs with ties and duplicates among them. The same 10^6
// weights serve all catalogs (the first 10^5 of them for the ranks after the
// first). Every share must lie within four standard errors of the drawn one, or
// within four draws where less than one draw is expected.
func TestSharesAgainstDraws(t *testing.T) {
	draws := 1_000_000
	if testing.Short() {
		draws = 100_000
	}
	const catalogs = 200
	r := rand.New(rand.NewPCG(5, 1))
	weights := make([][2]float64, draws)
	for i := range weights {
		w := uniformWeights(r)
		weights[i] = [2]float64{w[0], w[1]}
	}
	compared, worst := 0, 0.0
	for range catalogs {
		values := catalog(r, 2+r.IntN(5))
		shares := mustShares(t, values, Region{})
		planes := make([][3]float64, len(values))
		for i, v := range values {
			planes[i] = [3]float64{v[0] - v[2], v[1] - v[2], v[2]}
		}
		check := func(candidate, rank int, said, drawn float64, n int) {
			compared++
			allowed := max(4*math.Sqrt(said*(1-said)/float64(n)), 4/float64(n))
			worst = max(worst, math.Abs(said-drawn)/allowed*4)
			if math.Abs(said-drawn) > allowed {
				t.Errorf("%v: candidate %d rank %d: %.6f, drawn %.6f, allowed %.6f", values, candidate, rank, said, drawn, allowed)
			}
		}
		firsts := drawnFirsts(planes, weights)
		ranks := drawnRanks(planes, weights[:draws/10])
		for i, s := range shares {
			together := firsts[i] // the draws gave the first of several alike all of it
			for _, j := range s.Same {
				together += firsts[j]
			}
			check(i, 1, s.First*float64(len(s.Same)+1), together, draws)
			for k := range s.Ranks {
				check(i, k+1, s.Ranks[k], ranks[i][k], draws/10)
			}
		}
	}
	t.Logf("%d shares of %d catalogs compared, %d draws; largest difference %.2f standard errors", compared, catalogs, draws, worst)
}

func drawnFirsts(planes [][3]float64, weights [][2]float64) []float64 {
	out := make([]float64, len(planes))
	for _, w := range weights {
		best, at := math.Inf(-1), 0
		for i := range planes {
			p := &planes[i]
			if s := p[0]*w[0] + p[1]*w[1] + p[2]; s > best {
				best, at = s, i
			}
		}
		out[at]++
	}
	for i := range out {
		out[i] /= float64(len(weights))
	}
	return out
}

func drawnRanks(planes [][3]float64, weights [][2]float64) [][]float64 {
	out := make([][]float64, len(planes))
	for i := range out {
		out[i] = make([]float64, len(planes))
	}
	scores := make([]float64, len(planes))
	for _, w := range weights {
		for i := range planes {
			scores[i] = planes[i][0]*w[0] + planes[i][1]*w[1] + planes[i][2]
		}
		for i, own := range scores {
			above, alike := 0, 0
			for j, s := range scores {
				if planes[j] == planes[i] {
					alike++
				} else if s > own {
					above++
				}
			}
			for k := range alike {
				out[i][above+k] += 1 / float64(alike*len(weights))
			}
		}
	}
	return out
}
