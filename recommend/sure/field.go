package sure

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"sync"
)

// pointCount is the number of draws behind expected values and comparisons, a
// prime, so that every line of the lattice holds all its levels once. The error of
// a probability was at most 0.003 where the answer is known (field_test.go).
const pointCount = 1021

// The directions of the lattice. A comparison has two sides, each with its own
// errors of light, pattern and heat.
const (
	lightNear = iota
	patternNear
	heatNear
	lightFar
	patternFar
	heatFar
	directions
)

// latticeStep makes the lattice: point i has the coordinate i step^k mod 1021 in
// direction k (Korobov 1959, from memory). Taken without a search; the test holds
// what it gives against known answers.
const latticeStep = 331

// normals are the points as standard normals: the same for every candidate, so
// that a better figure never fares worse by the luck of a draw, and nothing
// depends on names, on order or on who else is in the field.
var normals = sync.OnceValue(func() *[directions][]float64 {
	var out [directions][]float64
	step := 1
	for k := range out {
		out[k] = make([]float64, pointCount)
		for i := range out[k] {
			u := (float64(i*step%pointCount) + 0.5) / pointCount
			out[k][i] = math.Sqrt2 * math.Erfinv(2*u-1)
		}
		step = step * latticeStep % pointCount
	}
	return &out
})

// Field is a set of candidates whose expected values and comparisons are asked
// for. What it gives of two candidates depends on those two alone.
//
// The values of a candidate at the points are those of its figures with their
// errors. The mean of the ratio is kept, whatever its error, and no value is held
// up at 0 when the light or the beam is worse than the scale reaches: so an error
// never makes a candidate look better. Sides of a band beyond the middle enter
// only on the lower side, since what is not known never counts for a bulb.
//
// A Field is not safe for use by several goroutines at a time.
type Field struct {
	list  []Candidate
	near  []sides
	far   []sides
	about []moments
	// widest are the largest standard deviations of the field.
	widest *[3]float64
	pairs  map[[2]int]*[3][]float64
}

// sides are the values of one candidate at every point, by criterion.
type sides [3][]float64

// NewField checks the candidates; their fields are those of Noise.
func NewField(candidates []Candidate) (*Field, error) {
	for i, c := range candidates {
		if err := c.check(); err != nil {
			return nil, fmt.Errorf("candidate %d: %w", i+1, err)
		}
	}
	return &Field{list: candidates, near: make([]sides, len(candidates)), far: make([]sides, len(candidates)), about: make([]moments, len(candidates)), pairs: map[[2]int]*[3][]float64{}}, nil
}

// Candidate returns the candidate of a place.
func (f *Field) Candidate(i int) Candidate { return f.list[i] }

// With is the field with one figure of one candidate changed, Output for its light
// or Pattern; its fields have to be as NewField asks.
func (f *Field) With(i int, c Candidate, figure int) *Field {
	other := &Field{list: slices.Clone(f.list), near: slices.Clone(f.near), far: slices.Clone(f.far), about: slices.Clone(f.about), pairs: maps.Clone(f.pairs)}
	other.list[i], other.about[i] = c, moments{}
	other.near[i][figure], other.far[i][figure] = nil, nil
	for key, pair := range f.pairs {
		if key[0] == i || key[1] == i {
			changed := *pair
			changed[figure] = nil
			other.pairs[key] = &changed
		}
	}
	return other
}

// Expected returns the expected values of a candidate, 0..1, of which a score is the
// sum by weights: what the means over ever more draws come to. With the light
// x = ln ratio normal about m, its standard uncertainty d below and u above,
//
//	E = slope [ g(d, -inf, min(0, a)) + g(u, 0, max(0, a)) - sqrt(Q0) P(z < a) ] + P(z > a)
//	g(s, from, to) = exp(m/2 + s^2/8) [ N(to - s/2) - N(from - s/2) ]
//
// where a is the place of Q1 in standard uncertainties and N the normal
// distribution; pattern and heat are held at 1 in the same way.
func (c Candidate) Expected() [3]float64 {
	return [3]float64{unit(c.expectedLight()), unit(c.Pattern.expected()), unit(c.Heat.expected())}
}

func (c Candidate) expectedLight() float64 {
	scale, up := c.Scale.root(), c.Spread()
	down, middle := math.Hypot(up, c.Down), math.Log(c.Ratio)-up*up/2
	if down == 0 {
		return scale.open(middle)
	}
	part := func(s, from, to float64) float64 {
		return math.Exp(middle/2+s*s/8) * (below(to-s/2) - below(from-s/2))
	}
	sum, limit := 0.0, math.Inf(1)
	if middle >= scale.to {
		limit = (scale.to - middle) / down
		sum = part(down, math.Inf(-1), limit)
	} else {
		if up > 0 {
			limit = (scale.to - middle) / up
		}
		sum = part(down, math.Inf(-1), 0) + part(up, 0, limit)
	}
	return scale.slope*(sum-scale.low*below(limit)) + 1 - below(limit)
}

func (b Band) expected() float64 {
	s := (b.Mid - b.Low) / bandWidth
	if s == 0 {
		return b.Mid
	}
	limit := (1 - b.Mid) / s
	return b.Mid*below(limit) - s*math.Exp(-limit*limit/2)/math.Sqrt(2*math.Pi) + 1 - below(limit)
}

// below is the normal distribution function.
func below(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Beats returns the probability that candidate a is better than b at the weights
// given: the part of the draws in which its score is higher, level ones half.
// Beats(a, b) + Beats(b, a) is 1. Two candidates with the same figures and no
// error of their own are level.
func (f *Field) Beats(a, b int, weights [3]float64) float64 {
	if a == b {
		return 0.5
	}
	if z := f.apart(a, b, weights); math.Abs(z) > farApart {
		return below(z)
	}
	switch order := compareFigures(f.list[a], f.list[b]); {
	case order == 0:
		return 0.5
	case order < 0:
		return 1 - f.won(f.pair(b, a), weights)
	}
	return f.won(f.pair(a, b), weights)
}

// farApart is a distance in standard deviations, over-estimated, at which no draw
// has the worse candidate ahead.
const farApart = 7

// apart is the distance of two candidates in standard deviations, those taken at
// their largest.
func (f *Field) apart(a, b int, w [3]float64) float64 {
	difference, variance := 0.0, 0.0
	for _, side := range []struct {
		i    int
		sign float64
	}{{a, 1}, {b, -1}} {
		m := f.moments(side.i)
		for k := range w {
			difference += side.sign * w[k] * m.mean[k]
			variance += w[k] * w[k] * m.sd[k] * m.sd[k]
		}
	}
	if variance == 0 {
		return 0
	}
	return difference / math.Sqrt(variance)
}

// moments are expected values and standard deviations, these over-estimated.
type moments struct {
	mean, sd [3]float64
	known    bool
}

func (f *Field) moments(i int) *moments {
	m := &f.about[i]
	if !m.known {
		c := f.list[i]
		down, root := math.Hypot(c.Spread(), c.Down), c.Scale.root()
		steepest := root.slope / 2 * math.Exp(math.Min(root.to, math.Log(c.Ratio)+2*down)/2)
		*m = moments{c.Expected(), [3]float64{steepest * down, (c.Pattern.Mid - c.Pattern.Low) / bandWidth, (c.Heat.Mid - c.Heat.Low) / bandWidth}, true}
	}
	return m
}

// AtLeast says whether Beats(a, b) is at least p, 0.01 to 0.99. Where the two are
// far apart it need not draw.
func (f *Field) AtLeast(a, b int, weights [3]float64, p float64) bool {
	const surely = 3 // standard deviations, over-estimated: beyond 0.99 on either side
	if z := f.apart(a, b, weights); math.Abs(z) > surely {
		return z > 0
	}
	return f.Beats(a, b, weights) >= p
}

// FarBehind says whether candidate a trails b by so much that neither it nor any
// candidate with a lower score can come level: by more standard deviations than any
// candidate of the field has.
func (f *Field) FarBehind(a, b int, w [3]float64) bool {
	if f.widest == nil {
		f.widest = new([3]float64)
		for i := range f.list {
			for k, sd := range f.moments(i).sd {
				f.widest[k] = max(f.widest[k], sd)
			}
		}
	}
	gap, variance := 0.0, 0.0
	for k := range w {
		gap += w[k] * (f.moments(b).mean[k] - f.moments(a).mean[k])
		variance += w[k] * w[k] * (f.widest[k]*f.widest[k] + f.moments(b).sd[k]*f.moments(b).sd[k])
	}
	return gap > 3*math.Sqrt(variance)
}

func (f *Field) won(differences *[3][]float64, w [3]float64) float64 {
	won := 0
	light, pattern, heat := differences[Output], differences[Pattern], differences[Heat]
	for i := range light {
		switch d := w[Output]*light[i] + w[Pattern]*pattern[i] + w[Heat]*heat[i]; {
		case d > level:
			won += 2
		case d >= -level:
			won++
		}
	}
	return float64(won) / (2 * pointCount)
}

// level is the difference of two scores, 0..1, that is rounding.
const level = 1e-12

// pair are the differences of near less far at every point. They do not depend on
// the weights, so they are kept.
func (f *Field) pair(near, far int) *[3][]float64 {
	key := [2]int{near, far}
	out := f.pairs[key]
	if out == nil {
		out = new([3][]float64)
		f.pairs[key] = out
	}
	for k := range out {
		if out[k] != nil {
			continue
		}
		a, b := f.side(near, true, k), f.other(near, far, k)
		out[k] = make([]float64, pointCount)
		for i := range out[k] {
			out[k][i] = a[i] - b[i]
		}
	}
	return out
}

// other is a value of the far one of a pair: what it has in common with the near
// one goes with that.
func (f *Field) other(near, far, k int) []float64 {
	a, b := f.list[near], f.list[far]
	switch {
	case k == Pattern && a.PatternKey != "" && a.PatternKey == b.PatternKey:
		return f.side(near, true, k)
	case k == Output:
		if shared := covariance(a, b); shared > 0 {
			return b.light(min(1, shared/(a.Spread()*b.Spread())), false)
		}
	}
	return f.side(far, false, k)
}

// side gives one value of a candidate as the near or the far one of a pair.
func (f *Field) side(i int, near bool, k int) []float64 {
	kept, pattern, heat := &f.far[i][k], patternFar, heatFar
	if near {
		kept, pattern, heat = &f.near[i][k], patternNear, heatNear
	}
	if *kept == nil {
		switch c := f.list[i]; k {
		case Output:
			*kept = c.light(0, near)
		case Pattern:
			*kept = c.Pattern.at(normals()[pattern])
		default:
			*kept = c.Heat.at(normals()[heat])
		}
	}
	return *kept
}

// light is the output value at every point. Of the far side of a pair whose two
// lights have errors in common, the part given goes with the near side's.
func (c Candidate) light(correlation float64, near bool) []float64 {
	z, scale := normals(), c.Scale.root()
	spread := c.Spread()
	down := math.Hypot(spread, c.Down)
	middle := math.Log(c.Ratio) - spread*spread/2 // the mean of a log-normal ratio stays
	own := math.Sqrt(1 - correlation*correlation)
	out := make([]float64, pointCount)
	for i := range out {
		x := z[lightNear][i]
		if !near {
			x = correlation*x + own*z[lightFar][i]
		}
		if x < 0 {
			x *= down
		} else {
			x *= spread
		}
		out[i] = scale.open(middle + x)
	}
	return out
}

// at is a value with its error at every point: as wide above as below, and held at
// 1 only.
func (b Band) at(z []float64) []float64 {
	out, spread := make([]float64, pointCount), (b.Mid-b.Low)/bandWidth
	for i := range out {
		out[i] = min(1, b.Mid+spread*z[i])
	}
	return out
}

// Spread is the standard uncertainty of the log of the ratio in the owner's lamp.
func (c Candidate) Spread() float64 {
	sum := 0.0
	for _, p := range c.Parts {
		sum += p.Rel * p.Rel
	}
	return math.Sqrt(sum)
}

// covariance of the logs of two ratios, by the errors they have in common.
func covariance(a, b Candidate) float64 {
	sum := 0.0
	for _, p := range a.Parts {
		if p.Key == "" {
			continue
		}
		for _, q := range b.Parts {
			if q.Key == p.Key && q.Owner == p.Owner {
				sum += p.Rel * q.Rel
			}
		}
	}
	return sum
}

// compareFigures is an order of candidates that depends on their figures alone.
func compareFigures(a, b Candidate) int {
	for _, pair := range [][2]float64{
		{a.Ratio, b.Ratio}, {a.Pattern.Mid, b.Pattern.Mid}, {a.Heat.Mid, b.Heat.Mid}, {b.Spread(), a.Spread()},
		{b.Down, a.Down}, {a.Pattern.Low, b.Pattern.Low}, {a.Heat.Low, b.Heat.Low},
	} {
		if pair[0] != pair[1] {
			if pair[0] < pair[1] {
				return -1
			}
			return 1
		}
	}
	return 0
}
