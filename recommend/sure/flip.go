package sure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// WeightFlip is a change of one weight, the others kept in proportion, at which
// the winner changes.
type WeightFlip struct {
	Criterion int     // the weight that is changed: Output, Pattern or Heat
	From, To  float64 // at To two candidates are level; beyond it Winner leads
	Winner    int
}

// FlipWeight returns for each weight, up and down, the smallest change that
// changes the winner, smallest changes first; a weight that cannot change it is
// not listed. The other two weights are scaled by one factor so that the sum
// stays one; when both are zero they grow alike. The winner is the candidate
// with the largest weighted sum, the first in the list of several that are
// level. Exact: scores are linear in the weight.
func FlipWeight(values [][3]float64, weights [3]float64) ([]WeightFlip, error) {
	if err := checkWeights(weights); err != nil {
		return nil, err
	}
	if err := checkValues(values); err != nil || len(values) < 2 {
		return nil, err
	}
	winner := 0
	for i, v := range values {
		if dot(weights, v) > dot(weights, values[winner]) {
			winner = i
		}
	}
	var out []WeightFlip
	for k, w := range weights {
		// end[i] is the score of i without this criterion, values[i][k] with it alone
		end := make([]float64, len(values))
		for i, v := range values {
			end[i] = without(k, weights, v)
		}
		for _, up := range []bool{false, true} {
			if f, ok := flipOne(k, w, up, winner, values, end); ok {
				out = append(out, f)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b WeightFlip) int {
		return cmp.Compare(math.Abs(a.To-a.From), math.Abs(b.To-b.From))
	})
	return out, nil
}

// flipOne finds the nearest weight of criterion k above (or below) w at which
// another candidate overtakes the winner.
func flipOne(k int, w float64, up bool, winner int, values [][3]float64, end []float64) (WeightFlip, bool) {
	best, steepest, found := WeightFlip{}, 0.0, false
	for j := range values {
		// lead of the winner over j at weight t: rest + slope t
		rest := end[winner] - end[j]
		slope := values[winner][k] - values[j][k] - rest
		closing := -slope
		if !up {
			closing = slope
		}
		if j == winner || closing <= tolerance {
			continue
		}
		to := -rest / slope
		if up {
			to = max(to, w) // level with the winner already, but for rounding
		} else {
			to = min(to, w)
		}
		if to <= 0 && !up || to >= 1 && up {
			continue
		}
		distance, nearest := math.Abs(to-w), math.Abs(best.To-w)
		if !found || distance < nearest-tolerance || distance < nearest+tolerance && closing > steepest {
			best, steepest, found = WeightFlip{Criterion: k, From: w, To: to, Winner: j}, closing, true
		}
	}
	return best, found
}

// without is the score when the weight of criterion k is zero.
func without(k int, w, v [3]float64) float64 {
	a, b := (k+1)%3, (k+2)%3
	sum := w[a] + w[b]
	if sum == 0 {
		return (v[a] + v[b]) / 2
	}
	return (w[a]*v[a] + w[b]*v[b]) / sum
}

// Measured is a candidate as scored: the figures its three values come from.
type Measured struct {
	Ratio   float64 // the vs-stock ratio that enters the score, above 0
	Scale   Scale
	Pattern float64 // 0..1
	Heat    float64 // 0..1
	// Uncertainty is the standard uncertainty of each: relative for the ratio,
	// in units of the value for pattern and heat. Zero: not known.
	Uncertainty [3]float64
}

func (m Measured) values() [3]float64 {
	return [3]float64{m.Scale.Value(m.Ratio), m.Pattern, m.Heat}
}

// MeasurementFlip is a change of one figure of one candidate at which the winner
// changes: the winner's own figure worse, or another candidate's better.
type MeasurementFlip struct {
	Candidate int
	Criterion int
	From, To  float64 // vs-stock ratio, pattern value or heat value
	Winner    int     // who leads beyond To
	// Uncertainties is the size of the change in standard uncertainties of the
	// figure; for the ratio on the log scale. Below about 2 the measurement's own
	// error can change the winner. Zero when the uncertainty is not known.
	Uncertainties float64
}

// FlipMeasurement returns, for every candidate and figure that can change the
// winner alone, the smallest change that does, the weights fixed. They are
// ordered by their size in standard uncertainties, those of unknown uncertainty
// last. A figure that would have to leave its scale is not listed.
func FlipMeasurement(candidates []Measured, weights [3]float64) ([]MeasurementFlip, error) {
	if err := checkWeights(weights); err != nil {
		return nil, err
	}
	scores := make([]float64, len(candidates))
	values := make([][3]float64, len(candidates))
	for i, c := range candidates {
		if err := c.check(); err != nil {
			return nil, fmt.Errorf("candidate %d: %w", i+1, err)
		}
		values[i] = c.values()
		scores[i] = dot(weights, values[i])
	}
	if len(candidates) < 2 {
		return nil, nil
	}
	first, second := 0, -1
	for i, s := range scores {
		if s > scores[first] {
			first = i
		}
	}
	for i, s := range scores {
		if i != first && (second < 0 || s > scores[second]) {
			second = i
		}
	}
	var out []MeasurementFlip
	for i, c := range candidates {
		change, winner := scores[first]-scores[i], i
		if i == first {
			change, winner = scores[second]-scores[first], second
		}
		figures := [3]float64{c.Ratio, c.Pattern, c.Heat}
		for k, w := range weights {
			if w <= 0 {
				continue
			}
			target := values[i][k] + change/w
			if i == first && target <= 0 || i != first && target >= 1 {
				continue
			}
			f := MeasurementFlip{Candidate: i, Criterion: k, From: figures[k], To: target, Winner: winner}
			size := math.Abs(target - figures[k])
			if k == Output {
				f.To = c.Scale.Ratio(target)
				size = math.Abs(math.Log(f.To / c.Ratio))
			}
			if u := c.Uncertainty[k]; u > 0 {
				f.Uncertainties = size / u
			}
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b MeasurementFlip) int {
		known := func(f MeasurementFlip) int {
			if candidates[f.Candidate].Uncertainty[f.Criterion] > 0 {
				return 0
			}
			return 1
		}
		return cmp.Or(cmp.Compare(known(a), known(b)), cmp.Compare(a.Uncertainties, b.Uncertainties))
	})
	return out, nil
}

func (m Measured) check() error {
	if !(m.Ratio > 0) || math.IsInf(m.Ratio, 0) {
		return fmt.Errorf("vs-stock ratio %g, legal: a finite number above 0", m.Ratio)
	}
	for k, v := range [2]float64{m.Pattern, m.Heat} {
		if !(v >= 0 && v <= 1) {
			return fmt.Errorf("%s value %g, legal: 0 to 1", []string{"pattern", "heat"}[k], v)
		}
	}
	for _, u := range m.Uncertainty {
		if !(u >= 0) || math.IsInf(u, 0) {
			return fmt.Errorf("standard uncertainty %g, legal: 0 or more, finite", u)
		}
	}
	return m.Scale.check()
}

func checkValues(values [][3]float64) error {
	for i, v := range values {
		for k, x := range v {
			if math.IsNaN(x) || math.Abs(x) > 1e100 {
				return fmt.Errorf("value %d of candidate %d: %g, legal: a finite number", k+1, i+1, x)
			}
		}
	}
	return nil
}

// Offer is what a candidate costs.
type Offer struct {
	Price float64 // in the budget's currency and for the same number of bulbs
	Known bool    // false: no price, or another currency; never out of budget
}

// BudgetFlip is a change of the budget at which the winner changes.
type BudgetFlip struct {
	From, To float64
	// Below is true when the winner changes at every budget below To, false when
	// it changes from To upwards.
	Below  bool
	Winner int // -1: nothing is left
}

// FlipBudget returns the smallest changes of the budget, down and up, that
// change the winner, the smaller first. The offers are in ranked order, the best
// first, those out of budget included; the winner is the first that the budget
// buys. At most two; none when no change of the budget changes the winner. A
// budget of zero or less means that none was stated: only a cut is looked for,
// and From is zero.
func FlipBudget(offers []Offer, budget float64) ([]BudgetFlip, error) {
	stated := budget > 0
	if math.IsNaN(budget) || math.IsInf(budget, 0) {
		return nil, fmt.Errorf("budget %g, legal: a finite amount", budget)
	}
	for i, o := range offers {
		if o.Known && (!(o.Price >= 0) || math.IsInf(o.Price, 0)) {
			return nil, fmt.Errorf("price of offer %d: %g, legal: a finite amount, 0 or more", i+1, o.Price)
		}
	}
	first := func(buys func(o Offer) bool) int {
		for i, o := range offers {
			if !o.Known || buys(o) {
				return i
			}
		}
		return -1
	}
	winner := first(func(o Offer) bool { return !stated || o.Price <= budget })
	from := max(0, budget)
	var out []BudgetFlip
	if winner >= 0 && offers[winner].Known && offers[winner].Price > 0 {
		price := offers[winner].Price
		out = append(out, BudgetFlip{From: from, To: price, Below: true, Winner: first(func(o Offer) bool { return o.Price < price })})
	}
	better := offers
	if winner >= 0 {
		better = offers[:winner]
	}
	up := -1
	for i, o := range better { // all of them cost more than the budget
		if up < 0 || o.Price < better[up].Price {
			up = i
		}
	}
	if up >= 0 {
		out = append(out, BudgetFlip{From: from, To: better[up].Price, Winner: up})
	}
	slices.SortStableFunc(out, func(a, b BudgetFlip) int {
		return cmp.Compare(math.Abs(a.To-a.From), math.Abs(b.To-b.From))
	})
	return out, nil
}
