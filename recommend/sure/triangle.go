package sure

import (
	"fmt"
	"math"
	"math/big"
)

// The three values of a candidate, in the order in which every [3]float64 of
// this package holds them.
const (
	Output  = 0 // light, hot, against stock
	Pattern = 1 // quality of the beam pattern
	Heat    = 2 // how well it stands its own heat
)

const (
	// NearReach is the reach of the weights called near the owner's: every
	// weight within 0.1 of the owner's own. It is a judgement: about the
	// difference between "matters as much" and "matters a little more".
	NearReach = 0.1
	// RankLimit is the largest number of candidates for which Shares gives the
	// share of every rank. The work for it grows with the fourth power.
	RankLimit = 16
	// duplicateStep is the difference, as a part of the widest range of any
	// value, below which two values count as the same.
	duplicateStep = 1e-9
)

// Region is a part of the triangle of all weights that are not negative and sum
// to one. The zero Region is the whole triangle.
type Region struct{ corners []corner[real] }

func (r Region) polygon() []corner[real] {
	if r.corners == nil {
		return []corner[real]{{x: 0, y: 0}, {x: 1, y: 0}, {x: 0, y: 1}}
	}
	return r.corners
}

// Near returns the region in which every weight differs by at most reach from
// the given weights: a hexagon around them, cut off where it leaves the triangle.
// The weights must not be negative and sum to one within 1e-6; reach is above 0
// and at most 1.
func Near(weights [3]float64, reach float64) (Region, error) {
	if err := checkWeights(weights); err != nil {
		return Region{}, err
	}
	if !(reach > 0 && reach <= 1) {
		return Region{}, fmt.Errorf("reach around the weights: %g, legal: above 0, at most 1", reach)
	}
	polygon := Region{}.polygon()
	for k, w := range weights {
		var unit [3]real
		unit[k] = 1
		weight := planeOf(unit)
		low, high := weight, weight
		low.c -= real(w - reach)
		high.c -= real(w + reach)
		polygon = clip(nil, polygon, low)
		polygon = clip(nil, polygon, plane[real]{-high.a, -high.b, -high.c})
	}
	return Region{polygon}, nil
}

// Share says over how much of a region of weights a candidate takes each rank.
// These are shares of weights, that is of possible priorities. They are not
// probabilities: nothing says that all priorities are equally likely, and the
// errors of the measurements play no part in them.
type Share struct {
	// First is the share of the region in which the candidate has the largest
	// weighted sum, 0..1. Candidates with the same three values share equally.
	First float64
	// Central is the mean of the weights that put the candidate first: the
	// priorities of its typical buyer. All zero when First is zero.
	Central [3]float64
	// Corners are the corners, as weights, of the part of the region in which
	// it is first, for drawing. Nil when First is zero.
	Corners [][3]float64
	// Ranks[r] is the share in which it takes rank r+1. Nil when there are more
	// than RankLimit different candidates.
	Ranks []float64
	// DominatedBy is a candidate at least as good in all three values and
	// better in one, or -1. A dominated candidate is first for no priorities.
	DominatedBy int
	// Same lists the other candidates with the same three values.
	Same []int
}

// Shares returns the exact shares of the region of weights for each candidate,
// given its three values (usually 0..1, any finite numbers will do), exact up to
// the rounding of float64. Values closer than 1e-9 of the widest range count as
// the same. The first-rank areas take time near n log n, because only candidates
// on the upper envelope of the scores are built.
//
// The method is that of rank acceptability in stochastic multicriteria
// acceptability analysis (Lahdelma and Salminen, Operations Research 49(3),
// 2001), for uniform weights and exact values, by polygons instead of draws.
func Shares(values [][3]float64, region Region) ([]Share, error) {
	group, distinct, keys, err := groups(values)
	if err != nil || len(values) == 0 {
		return nil, err
	}
	members := make([][]int, len(distinct))
	for i, g := range group {
		members[g] = append(members[g], i)
	}
	out := make([]Share, len(values))
	dominator := dominators(keys)
	var front []int
	for g, by := range dominator {
		if by < 0 {
			front = append(front, g)
		}
	}
	polygon := region.polygon()
	whole, _, _ := doubleArea(polygon)

	contenders := make([][3]float64, len(front))
	planes := make([]plane[real], len(front))
	for k, g := range front {
		contenders[k] = distinct[g]
		planes[k] = planeOf(reals(distinct[g]))
	}
	firsts := cells(planes, polygon, newHighest(contenders).better)
	for k, cell := range firsts {
		if len(cell) == 0 {
			continue
		}
		g := front[k]
		area, _, _ := doubleArea(cell)
		x, y := centroid(cell)
		for _, i := range members[g] {
			out[i].First = float64(area/whole) / float64(len(members[g]))
			out[i].Central = weightsAt(x, y)
			for _, c := range cell {
				out[i].Corners = append(out[i].Corners, weightsAt(c.x, c.y))
			}
		}
	}
	for i, g := range group {
		out[i].DominatedBy = -1
		if by := dominator[g]; by >= 0 {
			out[i].DominatedBy = members[by][0]
		}
		for _, j := range members[g] {
			if j != i {
				out[i].Same = append(out[i].Same, j)
			}
		}
	}
	if len(distinct) <= RankLimit {
		setRanks(out, distinct, members, polygon, whole)
	}
	return out, nil
}

func setRanks(out []Share, distinct [][3]float64, members [][]int, polygon []corner[real], whole real) {
	planes := make([]plane[real], len(distinct))
	size := make([]int, len(distinct))
	for g := range distinct {
		planes[g] = planeOf(reals(distinct[g]))
		size[g] = len(members[g])
	}
	for g := range distinct {
		ranks := make([]float64, len(out))
		for above, area := range areasAbove(planes, size, g, polygon) {
			for k := range size[g] { // the same values take several ranks together
				ranks[above+k] += float64(area/whole) / float64(size[g])
			}
		}
		for _, i := range members[g] {
			out[i].Ranks = append([]float64(nil), ranks...)
		}
	}
}

// groups brings the values to the range 0..1 by one common factor and a shift
// of each criterion, which changes no order of weighted sums, and collects
// candidates with the same values.
func groups(values [][3]float64) (group []int, distinct [][3]float64, keys [][3]int64, err error) {
	lower := [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}
	upper := [3]float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for i, v := range values {
		for k, x := range v {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return nil, nil, nil, fmt.Errorf("value %d of candidate %d: %g, legal: a finite number", k+1, i+1, x)
			}
			lower[k], upper[k] = min(lower[k], x), max(upper[k], x)
		}
	}
	scale := max(upper[0]-lower[0], upper[1]-lower[1], upper[2]-lower[2])
	if len(values) > 0 && math.IsInf(scale, 0) {
		return nil, nil, nil, fmt.Errorf("values from %g to %g, legal: a finite range", min(lower[0], lower[1], lower[2]), max(upper[0], upper[1], upper[2]))
	}
	known := make(map[[3]int64]int)
	group = make([]int, len(values))
	for i, v := range values {
		var key [3]int64
		for k := range v {
			if scale > 0 {
				v[k] = (v[k] - lower[k]) / scale
			} else {
				v[k] = 0
			}
			key[k] = int64(math.Round(v[k] / duplicateStep))
		}
		g, ok := known[key]
		if !ok {
			g = len(distinct)
			known[key] = g
			distinct, keys = append(distinct, v), append(keys, key)
		}
		group[i] = g
	}
	return group, distinct, keys, nil
}

func reals(v [3]float64) [3]real { return [3]real{real(v[0]), real(v[1]), real(v[2])} }

func weightsAt(x, y real) [3]float64 {
	return [3]float64{max(0, float64(x)), max(0, float64(y)), max(0, float64(1-x-y))}
}

func checkWeights(w [3]float64) error {
	for k, x := range w {
		if !(x >= 0 && x <= 1+1e-6) {
			return fmt.Errorf("weight %d: %g, legal: 0 to 1", k+1, x)
		}
	}
	if sum := w[0] + w[1] + w[2]; math.Abs(sum-1) > 1e-6 {
		return fmt.Errorf("sum of the weights: %g, legal: 1", sum)
	}
	return nil
}

// RankOrderCentroid returns the weights for an owner who states only an order
// of n criteria, the most important first: the centroid of all weights in that
// order. The weight at place k is (1/k + 1/(k+1) + ... + 1/n) / n, as an exact
// fraction. Nil for n below 1.
func RankOrderCentroid(n int) []*big.Rat {
	if n < 1 {
		return nil
	}
	out := make([]*big.Rat, n)
	sum := new(big.Rat)
	for k := n; k >= 1; k-- {
		sum.Add(sum, big.NewRat(1, int64(k)))
		out[k-1] = new(big.Rat).Quo(sum, big.NewRat(int64(n), 1))
	}
	return out
}
