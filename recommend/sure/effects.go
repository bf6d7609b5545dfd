package sure

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Repeated is one thing read in several places. Values are on a scale on which
// differences add, such as a logarithm.
type Repeated struct {
	Values    []float64
	Variances []float64 // of the errors each reading has for itself, above 0
	// Keys name an error that readings share, such as the stock reading of one lamp
	// and day, in which several things were read; empty: none. May be left out.
	Keys []string
}

// Effects is how far places differ.
type Effects struct {
	// Between is the variance between places as it comes out: below 0 where the
	// readings differ by less than their errors.
	Between float64
	Q       float64 // Cochran's Q, the shared errors taken out
	// Freedom is what the readings say of it: as much as that many differences.
	Freedom float64
}

// Between estimates the variance between places of all things together. A reading
// is the mean of its thing, plus a difference of its place, plus its own error, plus
// the shared one, whose variance is given. By the method of moments (DerSimonian and
// Laird 1986, Controlled Clinical Trials 7, 177 to 188; with any weights: DerSimonian
// and Kacker 2007, Contemporary Clinical Trials 28, 105 to 114, from memory):
//
//	D = diag(v + guess)/c;  V = D + shared Z Z';  P = V^-1 - V^-1 X (X' V^-1 X)^-1 X' V^-1
//	Q = y' P y;  E(Q) = sum P_ii (v + between - D_ii) + readings - things
//
// X says which thing a reading is of, Z which shared error it has. guess is what is
// expected of the variance between places; it weighs and does not enter otherwise.
// A thing counts by c = 2/(places), so that one read in many does not speak for all.
// One thing, no shared error and guess 0 is the method of 1986.
func Between(list []Repeated, shared, guess float64) (Effects, error) {
	used := map[string]int{} // how many readings of things read in several places have an error
	for _, r := range list {
		if err := r.check(); err != nil {
			return Effects{}, err
		}
		if len(r.Values) > 1 {
			for _, key := range r.Keys {
				used[key]++
			}
		}
	}
	var things []within
	var known keys
	for _, r := range list {
		if len(r.Values) < 2 {
			continue
		}
		t := within{values: r.Values, own: slices.Clone(r.Variances)}
		count := 2 / float64(len(r.Values))
		for i := range r.Values {
			t.keys = append(t.keys, -1)
			switch {
			case r.Keys == nil || r.Keys[i] == "" || shared == 0:
			case used[r.Keys[i]] == 1:
				t.own[i] += shared
			default:
				t.keys[i] = known.number(r.Keys[i])
			}
			t.weights = append(t.weights, count/(t.own[i]+guess))
			t.sum += t.weights[i]
		}
		things = append(things, t)
	}
	return effectsOf(things, len(known.known), shared, guess), nil
}

// effectsOf works with Z' W Z, one row a shared error, instead of V, one row a
// reading: V^-1 without the means is W - W Z (I/shared + Z' W Z)^-1 Z' W.
func effectsOf(things []within, columns int, shared, guess float64) (e Effects) {
	var inverse mat.SymDense
	if columns > 0 {
		normal := mat.NewSymDense(columns, nil)
		for k := range columns {
			normal.SetSym(k, k, 1/shared)
		}
		for _, t := range things {
			for i, k := range t.keys {
				for j, m := range t.keys {
					if 0 <= k && k <= m {
						normal.SetSym(k, m, normal.At(k, m)+t.times(i, j))
					}
				}
			}
		}
		var root mat.Cholesky
		root.Factorize(normal) // a diagonal above 0 and a sum of squares
		if err := root.InverseTo(&inverse); err != nil {
			return Effects{}
		}
	}
	together := make([]float64, columns) // Z' W y
	excess, trace := 0.0, 0.0
	for _, t := range things {
		for i, y := range t.values {
			for j, k := range t.keys {
				if k >= 0 {
					together[k] += t.times(i, j) * y
				}
				e.Q += t.times(i, j) * y * t.values[j]
			}
			p := t.times(i, i)
			for j, k := range t.keys {
				for l, m := range t.keys {
					if k >= 0 && m >= 0 {
						p -= t.times(i, j) * t.times(i, l) * inverse.At(k, m)
					}
				}
			}
			trace += p
			excess += p * (1/t.weights[i] - t.own[i])
			e.Freedom += p * (t.own[i] + guess)
		}
		excess -= float64(len(t.values) - 1)
	}
	for k := range together {
		for m := range together {
			e.Q -= together[k] * together[m] * inverse.At(k, m)
		}
	}
	if trace > 0 {
		// rounded, so that the order of the readings does not show in the last digit
		e.Between = math.Round((e.Q+excess)/trace*1e10) / 1e10
	}
	return e
}

func (r Repeated) check() error {
	if len(r.Values) == 0 || len(r.Values) != len(r.Variances) || r.Keys != nil && len(r.Keys) != len(r.Values) {
		return fmt.Errorf("%d values with %d variances and %d keys, legal: one or more, as many of each; keys may be left out", len(r.Values), len(r.Variances), len(r.Keys))
	}
	for i, v := range r.Variances {
		if !(v > 0) || math.IsInf(v, 0) || math.IsNaN(r.Values[i]) || math.IsInf(r.Values[i], 0) {
			return fmt.Errorf("value %d: %g with variance %g, legal: finite, variance above 0", i+1, r.Values[i], v)
		}
	}
	return nil
}

// within is a thing's part of X and D: the weighted differences from its own mean.
type within struct {
	values, own, weights []float64
	sum                  float64 // of the weights
	keys                 []int   // -1: none
}

// times is row i of W = D^-1 - D^-1 X (X' D^-1 X)^-1 X' D^-1, at column j.
func (t *within) times(i, j int) float64 {
	w := -t.weights[i] * t.weights[j] / t.sum
	if i == j {
		w += t.weights[i]
	}
	return w
}
