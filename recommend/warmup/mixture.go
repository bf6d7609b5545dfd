package warmup

import (
	"math"
	"sync"
)

// The table of the Student t distribution function: 500 times as fast as the function, and linear in
// between to 3e-5.
const (
	tableEnd  = 8.0
	tableStep = 1.0 / 32
)

// tables are the tables made so far, by degrees of freedom: most series of a bench
// are of a few lengths, and a table costs as much as the rest of a short one.
var tables sync.Map // float64 -> []float64, never written to

// fillTable integrates the density by Simpson's rule, scaled to meet the exact function at the end.
func (m *mixture) fillTable() {
	nu := m.tail.Nu
	if known, ok := tables.Load(nu); ok {
		m.cdf = known.([]float64)
		return
	}
	density := func(x float64) float64 { return math.Exp(-(nu + 1) / 2 * math.Log1p(x*x/nu)) }
	n := int(tableEnd / tableStep)
	m.cdf = make([]float64, n+1)
	left := density(0)
	for i := 0; i < n; i++ {
		right := density(float64(i+1) * tableStep)
		m.cdf[i+1] = m.cdf[i] + left + 4*density((float64(i)+0.5)*tableStep) + right
		left = right
	}
	scale := (m.tail.CDF(tableEnd) - 0.5) / m.cdf[n]
	for i := range m.cdf {
		m.cdf[i] = 0.5 + scale*m.cdf[i]
	}
	if nu == math.Trunc(nu) && nu <= mostTables || nu == normalNu {
		tables.Store(nu, m.cdf)
	}
}

// mostTables bounds the memory that tables take: 2 kB each.
const mostTables = 200

// student is the distribution function; beyond the table it falls off as the density's power does.
func (m *mixture) student(x float64) float64 {
	u := math.Abs(x) / tableStep
	i := int(math.Min(u, 1e6))
	var p float64
	if i+1 < len(m.cdf) {
		p = m.cdf[i] + (u-float64(i))*(m.cdf[i+1]-m.cdf[i])
	} else {
		p = 1
		if left := 1 - m.cdf[len(m.cdf)-1]; left > 1e-5 {
			p -= left * math.Pow(tableEnd/math.Abs(x), m.tail.Nu)
		}
	}
	if x < 0 {
		return 1 - p
	}
	return p
}

// estimate is the median and the 95 % band at a time; false where the light would be nothing or the
// band knows no bound, as long before the first reading.
func (m *mixture) estimate(minutes float64) (Estimate, bool) {
	q := m.quantiles(minutes, 0.5, 0.025, 0.975)
	return Estimate{q[0], math.Max(q[1], 0), q[2]}, q[0] > 0 && q[2] < boundless*m.level
}

// boundless is the band, in levels of the readings, that says nothing any more.
const boundless = 10

// light is the weights of the coefficients in the illuminance at a time after the first reading.
func (c *component) light(after float64) [3]float64 {
	x := [3]float64{0: 1}
	for j := 0; j < c.terms; j++ {
		x[j+1] = math.Exp(math.Min(-after/c.tau[j], 50)) // before the first reading it grows without bound
	}
	return x
}

// locationAndScale are those of the combination x of the coefficients.
func (c *component) locationAndScale(x [3]float64) (location, scale float64) {
	v := forward(&c.factor, x, c.terms+1)
	for u := 0; u <= c.terms; u++ {
		location += x[u] * c.beta[u]
		scale += v[u] * v[u]
	}
	return location, math.Sqrt(scale * c.scale2)
}

// quantiles gives the illuminances at a time below which the shares p of the belief lie, in lux. The rounding of
// the display does not average away when the scatter is smaller than its step, so it is added to
// the spread whole.
func (m *mixture) quantiles(minutes float64, p ...float64) []float64 {
	location, scale := make([]float64, len(m.components)), make([]float64, len(m.components))
	for i := range m.components {
		l, s := m.components[i].locationAndScale(m.components[i].light(minutes - m.start))
		location[i], scale[i] = l, math.Hypot(s, m.rounding)
	}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range location {
		low = math.Min(low, location[i]-tableEnd*scale[i])
		high = math.Max(high, location[i]+tableEnd*scale[i])
	}
	result := make([]float64, len(p))
	for k := range p {
		result[k] = m.level * root(low, high, 1e-6*math.Abs(location[0]), func(x float64) float64 {
			below := -p[k]
			for i := range m.components {
				below += m.components[i].weight * m.student((x-location[i])/scale[i])
			}
			return below
		})
	}
	return result
}

// root finds where a function that rises from below nothing at a to above nothing at b is nothing:
// inverse quadratic steps where they can be trusted, else halving (Chandrupatla, Adv. Eng. Software
// 28, 1997, 145).
func root(a, b, tolerance float64, f func(float64) float64) float64 {
	fa, fb := f(a), f(b)
	if fa >= 0 {
		return a
	}
	if fb <= 0 {
		return b
	}
	c, fc := a, fa
	t := 0.5
	for round := 0; round < 100; round++ {
		x := a + t*(b-a)
		fx := f(x)
		if (fx < 0) == (fa < 0) {
			c, fc = a, fa
		} else {
			c, fc, b, fb = b, fb, a, fa
		}
		a, fa = x, fx
		if fx == 0 || math.Abs(b-a) < tolerance {
			break
		}
		t = 0.5
		xi, phi := (a-b)/(c-b), (fa-fb)/(fc-fb)
		if phi*phi < xi && (1-phi)*(1-phi) < 1-xi {
			t = fa/(fb-fa)*fc/(fb-fc) + (c-a)/(b-a)*fa/(fc-fa)*fb/(fc-fb)
		}
		edge := 0.5 * tolerance / math.Abs(b-a)
		t = math.Min(math.Max(t, edge), 1-edge)
	}
	return a
}
