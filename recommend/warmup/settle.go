package warmup

import "math"

// Criterion says when light counts as settled: from then on it varies less than Pct percent of the
// smaller value within any window of WindowMin minutes.
type Criterion struct {
	WindowMin float64 // minutes, 0.1..600
	Pct       float64 // percent, 0.01..50
}

// SettleUN is the criterion of UN Regulations 112 and 149 for LED lamps: less than 3 % within any
// 15 min (from memory of the documents).
func SettleUN() Criterion { return Criterion{WindowMin: 15, Pct: 3} }

func (c Criterion) check() error {
	if err := within("settle window", c.WindowMin, 0.1, 600); err != nil {
		return err
	}
	return within("settle percent", c.Pct, 0.01, 50)
}

const longestSettle = 600 // minutes after the first reading; what takes longer is not said

// settled is the probability that the light has met the criterion by the time given: that neither
// L(t) - (1+q) L(t+window) nor L(t+window) - (1+q) L(t) is above nothing.
func (m *mixture) settled(at float64, c Criterion) float64 {
	p := 1.0
	q := c.Pct / 100
	for i := range m.components {
		k := &m.components[i]
		now := k.light(at - m.start)
		fall, rise := [3]float64{0: -q}, [3]float64{0: -q}
		for j := 1; j <= k.terms; j++ {
			then := now[j] * math.Exp(-c.WindowMin/k.tau[j-1])
			fall[j], rise[j] = now[j]-(1+q)*then, then-(1+q)*now[j]
		}
		p -= k.weight * (m.aboveNothing(k, fall) + m.aboveNothing(k, rise))
	}
	return p
}

func (m *mixture) aboveNothing(c *component, x [3]float64) float64 {
	location, scale := c.locationAndScale(x)
	return m.student(location / (scale + 1e-12))
}

// settledAt is the time from which on the criterion is as likely met as not. For one time constant
// and readings without scatter it is tau ln(d (1 - e - q e)/q), e = exp(-window/tau), q = Pct/100,
// d the droop (L0 - Linf)/Linf.
func (m *mixture) settledAt(c Criterion) (float64, bool) {
	if m.settled(m.start+longestSettle, c) < 0.5 {
		return 0, false
	}
	return root(m.start, m.start+longestSettle, 1e-3, func(t float64) float64 { return m.settled(t, c) - 0.5 }), true
}
