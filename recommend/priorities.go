package recommend

import (
	"cmp"
	"slices"

	"stillbright/recommend/sure"
)

// Priority is a bulb's part of all priorities an owner may have.
type Priority struct {
	Bulb  string  // id; StockID is the fitted halogen
	Name  string  // name as sold; empty for the fitted halogen
	First float64 // share of all weights at which it is first, 0..1
	// Central are the mean weights among those: the priorities of its typical
	// buyer. All zero when it is first nowhere.
	Central Weights
	// Corners of the part of the weight triangle in which it is first, in order
	// around it; nil when it is first nowhere.
	Corners []Weights
	// Ranks holds the share of weights at which it takes rank 1, 2, …; nil when
	// there are more bulbs than that can be computed for.
	Ranks []float64
	// Below is the id of a bulb at least as good in every value and better in
	// one; empty without one.
	Below string
}

// Priorities says at which priorities which bulb of a decision is first, over
// all weights, the largest share first. These are shares of weights, not
// probabilities; measuring errors play no part in them. When nothing is ranked,
// the fitted halogen has all.
func Priorities(pick *Pick) []Priority { return prioritiesOf(pick.Stock, pick.Ranked) }

// PrioritiesAmong is the same for the compared bulbs that pick ranks, as if there
// were no others.
func PrioritiesAmong(s *CompareSheet) []Priority {
	var ranked []Ranked
	for _, b := range s.Bulbs {
		if b.Standing == StandingRanked {
			ranked = append(ranked, b.Ranked)
		}
	}
	return prioritiesOf(s.Stock, ranked)
}

func prioritiesOf(stock Stock, ranked []Ranked) []Priority {
	values := [][3]float64{stock.Parts.vector()}
	list := []Priority{{Bulb: StockID}}
	for _, r := range ranked {
		values = append(values, r.Parts.vector())
		list = append(list, Priority{Bulb: r.Bulb, Name: r.Name})
	}
	shares, err := sure.Shares(values, sure.Region{})
	if err != nil {
		return nil
	}
	for i, share := range shares {
		p := &list[i]
		p.First, p.Central, p.Ranks = share.First, weightsOf(share.Central), share.Ranks
		for _, corner := range share.Corners {
			p.Corners = append(p.Corners, weightsOf(corner))
		}
	}
	for i, share := range shares {
		if share.DominatedBy >= 0 {
			list[i].Below = list[share.DominatedBy].Bulb
		}
	}
	slices.SortStableFunc(list, func(a, b Priority) int { return -cmp.Compare(a.First, b.First) })
	return list
}

func weightsOf(v [3]float64) Weights {
	return Weights{Output: v[sure.Output], Pattern: v[sure.Pattern], Heat: v[sure.Heat]}
}
