package recommend_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// TestPriorities: the shares are those of the decision and sum to one, the ranks
// of each bulb sum to one, the areas of the triangle's parts are the shares (an
// area is half the determinant, the whole triangle the unit), and the central
// weights sum to one.
func TestPriorities(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(10) {
		c, n := generated(seed, 12), need(rand.New(rand.NewPCG(seed, 41)))
		pick := decide(t, &k, &c, n)
		if len(pick.Ranked) == 0 {
			continue
		}
		all := map[string]float64{recommend.StockID: *pick.Stock.Firm.All}
		for _, r := range pick.Ranked {
			all[r.Bulb] = *r.Firm.All
		}
		list := recommend.Priorities(&pick)
		if len(list) != len(pick.Ranked)+1 {
			t.Fatalf("seed %d: %d priorities of %d bulbs", seed, len(list), len(pick.Ranked))
		}
		sum := 0.0
		for i, p := range list {
			sum += p.First
			if p.First != all[p.Bulb] {
				t.Errorf("seed %d: %s has %g of all weights, in the decision %g", seed, p.Bulb, p.First, all[p.Bulb])
			}
			if i > 0 && p.First > list[i-1].First {
				t.Errorf("seed %d: not in order of shares", seed)
			}
			if area := areaOf(p.Corners); math.Abs(area-p.First) > 1e-9 {
				t.Errorf("seed %d: the corners of %s hold %g, the share is %g", seed, p.Bulb, area, p.First)
			}
			w := p.Central
			if total := w.Output + w.Pattern + w.Heat; p.First > 0 && math.Abs(total-1) > 1e-9 {
				t.Errorf("seed %d: central weights of %s sum to %g", seed, p.Bulb, total)
			}
			ranks := 0.0
			for _, share := range p.Ranks {
				ranks += share
			}
			if p.Ranks != nil && math.Abs(ranks-1) > 1e-9 {
				t.Errorf("seed %d: ranks of %s sum to %g", seed, p.Bulb, ranks)
			}
		}
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("seed %d: shares sum to %g", seed, sum)
		}
	}
}

// areaOf is the area of a polygon of weights in units of the whole triangle.
func areaOf(corners []recommend.Weights) float64 {
	twice := 0.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		twice += a.Output*b.Pattern - b.Output*a.Pattern
	}
	return math.Abs(twice)
}
