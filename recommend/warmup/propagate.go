package warmup

import "math"

// propagate is the law of propagation of uncertainty for a result with the sensitivities c to inputs
// of standard uncertainty u (GUM 5.2.2, equation 13):
//
//	u^2 = SUM_i SUM_j c_i c_j u_i u_j r(i,j)
//
// r is the correlation of two different inputs; nil means independent inputs (equation 10). For a
// product of powers the relative uncertainties take the place of u and the powers that of c
// (equation 12).
func propagate(c, u []float64, r func(i, j int) float64) float64 {
	sum := 0.0
	for i := range c {
		sum += c[i] * c[i] * u[i] * u[i]
		if r == nil {
			continue
		}
		for j := i + 1; j < len(c); j++ {
			sum += 2 * c[i] * c[j] * u[i] * u[j] * r(i, j)
		}
	}
	return math.Sqrt(math.Max(sum, 0))
}

// alike is the correlation of what one instrument does to two readings.
func alike(i, j int) float64 { return 1 }

// limit is the standard uncertainty of a value known only to lie within the limits either way, all
// alike likely: limit / sqrt 3 (GUM 4.3.7).
func limit(half float64) float64 { return half / math.Sqrt(3) }
