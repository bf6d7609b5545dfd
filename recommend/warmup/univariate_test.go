package warmup

import (
	"testing"

	"gonum.org/v1/gonum/stat"
)

// TestNISTUnivariate holds the statistics used here, gonum's mean and standard deviation and the
// package's lag-1 coefficient, against the NIST univariate sets. Certified values: heads of the
// files in testdata/nist; those of Michelso and Mavro to 15 digits.
func TestNISTUnivariate(t *testing.T) {
	column := func(rows [][]float64) (x []float64) {
		for _, r := range rows {
			x = append(x, r[0])
		}
		return x
	}
	alternating := func(first, a, b float64) []float64 {
		x := []float64{first}
		for i := 0; i < 500; i++ {
			x = append(x, a, b)
		}
		return x
	}
	for _, test := range []struct {
		name                           string
		x                              []float64
		mean, sd, lag                  float64
		meanDigits, sdDigits, lagDigit float64
	}{
		{"Michelso", column(readNIST(t, "nist-michelso.txt")), 299.8524, 0.0790105478190518, 0.535199668621283, 14, 12, 11},
		{"Mavro", column(readNIST(t, "nist-mavro.txt")), 2.001856, 0.000429123454003053, 0.937989183438248, 14, 12, 11},
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, -0.5, 14, 14, 14},
		// The NumAcc sets show the limit: 1e7 + 0.1 leaves 9 digits for the 0.1, and the standard
		// deviation cannot have more. Their lag-1 of -0.999 is from memory.
		{"NumAcc2", alternating(1.2, 1.1, 1.3), 1.2, 0.1, -0.999, 14, 12, 12},
		{"NumAcc3", alternating(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, -0.999, 14, 8, 8},
		{"NumAcc4", alternating(10000000.2, 10000000.1, 10000000.3), 10000000.2, 0.1, -0.999, 14, 7, 7},
	} {
		mean, sd := stat.MeanStdDev(test.x, nil)
		for _, v := range []struct {
			what                 string
			got, want, leastDigs float64
		}{
			{"mean", mean, test.mean, test.meanDigits},
			{"sd", sd, test.sd, test.sdDigits},
			{"lag-1", lagOne(test.x), test.lag, test.lagDigit},
		} {
			if d := digits(v.got, v.want); d < v.leastDigs {
				t.Errorf("%s %s: %.16g, certified %.16g: %.1f digits, want %.0f", test.name, v.what, v.got, v.want, d, v.leastDigs)
			}
		}
	}
	if lagOne(nil) != 0 || lagOne([]float64{1}) != 0 || lagOne([]float64{2, 2, 2}) != 0 {
		t.Error("lag-1 of nothing, of one value and of equal values must be 0")
	}
}
