package sure

import (
	"fmt"
	"math"
)

// Effects is one quantity read in several places, as a random-effects model has
// it: each reading is the mean, plus a difference of its place, plus its error.
type Effects struct {
	Mean     float64 // weighted by 1/(variance + between)
	Variance float64 // of that mean
	Between  float64 // variance between places; 0 where the readings differ by no more than their errors
	Q        float64 // Cochran's Q: sum of squared differences from the fixed-effect mean, by their variances
	Freedom  int     // readings less one
	// Scale turns an excess of Q over its freedom into a variance between places:
	// sum w - sum w^2 / sum w, with w = 1/variance.
	Scale float64
}

// RandomEffects estimates mean and variance between places by the method of
// moments (DerSimonian and Laird 1986, Controlled Clinical Trials 7, 177 to 188):
//
//	w = 1/v;  m = sum w y / sum w;  Q = sum w (y - m)^2
//	between = max(0, (Q - (k - 1)) / (sum w - sum w^2 / sum w))
//	mean = sum y/(v + between) / sum 1/(v + between)
//
// Values are on a scale on which differences add, such as a logarithm;
// variances are above zero. No values, or values and variances that do not pair,
// are an error.
func RandomEffects(values, variances []float64) (Effects, error) {
	if len(values) == 0 || len(values) != len(variances) {
		return Effects{}, fmt.Errorf("%d values with %d variances, legal: one or more, as many of each", len(values), len(variances))
	}
	sum, squares, mean := 0.0, 0.0, 0.0
	for i, v := range variances {
		if !(v > 0) || math.IsInf(v, 0) || math.IsNaN(values[i]) || math.IsInf(values[i], 0) {
			return Effects{}, fmt.Errorf("value %d: %g with variance %g, legal: finite, variance above 0", i+1, values[i], v)
		}
		sum, squares, mean = sum+1/v, squares+1/(v*v), mean+values[i]/v
	}
	mean /= sum
	e := Effects{Freedom: len(values) - 1, Scale: sum - squares/sum}
	for i, v := range variances {
		e.Q += (values[i] - mean) * (values[i] - mean) / v
	}
	if e.Freedom > 0 {
		e.Between = math.Max(0, (e.Q-float64(e.Freedom))/e.Scale)
	}
	weights := 0.0
	for i, v := range variances {
		weights += 1 / (v + e.Between)
		e.Mean += values[i] / (v + e.Between)
	}
	e.Mean /= weights
	e.Variance = 1 / weights
	return e, nil
}
