package beam

import "math"

// equations are the normal equations of a linear least-squares fit: n rows of n
// coefficients and a right side.
type equations [][]float64

func newEquations(n int) equations {
	m := make(equations, n)
	for i := range m {
		m[i] = make([]float64, n+1)
	}
	return m
}

// add counts one observation in.
func (m equations) add(row []float64, value, weight float64) {
	for a, x := range row {
		if x == 0 {
			continue
		}
		for b, y := range row {
			m[a][b] += weight * x * y
		}
		m[a][len(m)] += weight * x * value
	}
}

// solve eliminates with pivoting, in place; ok is false when the fit is undetermined.
func (m equations) solve() (c []float64, ok bool) {
	n := len(m)
	for k := range n {
		p := k
		for r := k + 1; r < n; r++ {
			if math.Abs(m[r][k]) > math.Abs(m[p][k]) {
				p = r
			}
		}
		if !(math.Abs(m[p][k]) > 1e-14) {
			return nil, false
		}
		m[k], m[p] = m[p], m[k]
		for r := k + 1; r < n; r++ {
			q := m[r][k] / m[k][k]
			if q == 0 {
				continue
			}
			for j := k; j <= n; j++ {
				m[r][j] -= q * m[k][j]
			}
		}
	}
	c = make([]float64, n)
	for k := n - 1; k >= 0; k-- {
		c[k] = m[k][n]
		for j := k + 1; j < n; j++ {
			c[k] -= m[k][j] * c[j]
		}
		c[k] /= m[k][k]
	}
	return c, true
}
