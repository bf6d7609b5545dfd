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
var normals = sync.OnceValue(func() *[directions]*[pointCount]float64 {
	var levels [pointCount]float64 // each line of the lattice holds them all
	for i := range levels {
		levels[i] = math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/pointCount-1)
	}
	var out [directions]*[pointCount]float64
	step := 1
	for k := range out {
		out[k] = new([pointCount]float64)
		for i := range out[k] {
			out[k][i] = levels[i*step%pointCount]
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
	about []moments
	// widest are the largest standard deviations of the field.
	widest *[3]float64
	// roots are what takes time, see roots; beside those of the far one of a pair
	// whose lights have errors in common. Fields made by With share them.
	roots  map[rootsKey]*[pointCount]float64
	beside map[[2]int]*[pointCount]float64
	pairs  map[[2]int]*differences // nil: asked for once
	once   *differences
	spare  *[pointCount]float64 // roots of a pair that is asked for once
}

type rootsKey struct {
	place int
	near  bool
}

// NewField checks the candidates; their fields are those of Noise.
func NewField(candidates []Candidate) (*Field, error) {
	for i, c := range candidates {
		if err := c.check(); err != nil {
			return nil, fmt.Errorf("candidate %d: %w", i+1, err)
		}
	}
	return &Field{list: candidates, about: make([]moments, len(candidates)), roots: map[rootsKey]*[pointCount]float64{}, beside: map[[2]int]*[pointCount]float64{}, pairs: map[[2]int]*differences{}, once: new(differences), spare: new([pointCount]float64)}, nil
}

// Candidate returns the candidate of a place.
func (f *Field) Candidate(i int) Candidate { return f.list[i] }

// With is the field with another ratio or another pattern of one candidate; the
// errors of its light stay as they are, and its fields have to be as NewField asks.
func (f *Field) With(i int, c Candidate) *Field {
	other := &Field{list: slices.Clone(f.list), about: slices.Clone(f.about), roots: f.roots, beside: f.beside, pairs: maps.Clone(f.pairs), once: f.once, spare: f.spare}
	maps.DeleteFunc(other.pairs, func(key [2]int, _ *differences) bool { return key[0] == i || key[1] == i })
	other.list[i], other.about[i] = c, moments{}
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
	switch order := compareFigures(&f.list[a], &f.list[b]); {
	case order == 0:
		return 0.5
	case order < 0:
		return 1 - f.won(b, a, weights)
	}
	return f.won(a, b, weights)
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
		*m = moments{[3]float64{c.expectedLight(), c.Pattern.expected(), c.Heat.expected()}, [3]float64{steepest * down, (c.Pattern.Mid - c.Pattern.Low) / bandWidth, (c.Heat.Mid - c.Heat.Low) / bandWidth}, true}
	}
	return m
}

// AtLeast says whether Beats(a, b) is at least p, 0.01 to 0.99. Where the two are
// far apart it need not draw.
func (f *Field) AtLeast(a, b int, weights [3]float64, p float64) bool {
	switch z := f.apart(a, b, weights); {
	case z > enough(p):
		return true
	case z < -enough(1-p):
		return false
	}
	return f.Beats(a, b, weights) >= p
}

// Apart says whether one of two, whichever it is, is better than the other with a
// probability of at least p, 0.5 to 0.99.
func (f *Field) Apart(a, b int, weights [3]float64, p float64) bool {
	if z := f.apart(a, b, weights); math.Abs(z) > enough(p) {
		return true
	}
	beats := f.Beats(a, b, weights)
	return max(beats, 1-beats) >= p
}

// enough is a distance in standard deviations, over-estimated, beyond which the
// probability is surely p, with a margin for the points, which stand for all draws. Of
// a difference with one hump whose mean is z above nothing no more than
// 4/(9(1+z^2)) lies below, from z^2 = 5/3; of any no more than 1/(1+z^2) (Vysochanskij
// and Petunin 1980, Cantelli 1928, both from memory). Differences of bulbs are near
// enough to normal that three are enough for 0.99.
func enough(p float64) float64 {
	z := math.Sqrt(p / (1 - p))
	if humped := math.Sqrt(max(5./3, 4/(9*(1-p))-1)); humped < z {
		z = humped
	}
	return min(3, z+0.2)
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

// won is the part of the points at which the near one of a pair is ahead.
func (f *Field) won(near, far int, w [3]float64) float64 {
	by := f.apartBy(near, far)
	won := 0
	for i := range pointCount {
		d := w[Output]*by[Output][i] + w[Pattern]*by[Pattern][i] + w[Heat]*by[Heat][i]
		ahead, level := 0, 0 // no branch: which way it goes cannot be guessed
		if d > levelScores {
			ahead = 1
		}
		if d >= -levelScores {
			level = 1
		}
		won += ahead + level
	}
	return float64(won) / (2 * pointCount)
}

// differences are the values of one of a pair less those of the other, by criterion,
// at every point.
type differences [3][pointCount]float64

// apartBy are the differences of a pair. They do not depend on the weights, so those
// of a pair that is asked for again are kept; most pairs are asked for once.
func (f *Field) apartBy(near, far int) *differences {
	key := [2]int{near, far}
	by, again := f.pairs[key]
	switch {
	case by != nil:
		return by
	case again:
		by = new(differences)
	default:
		by = f.once
	}
	a, b := &f.list[near], &f.list[far]
	z := normals()
	one, two := f.lightOf(near, f.near(near)), f.lightOf(far, f.far(near, far))
	subtract(&by[Output], &one, &two)
	if a.PatternKey != "" && a.PatternKey == b.PatternKey {
		by[Pattern] = [pointCount]float64{} // the same beam
	} else {
		one, two = a.Pattern.at(z[patternNear]), b.Pattern.at(z[patternFar])
		subtract(&by[Pattern], &one, &two)
	}
	one, two = a.Heat.at(z[heatNear]), b.Heat.at(z[heatFar])
	subtract(&by[Heat], &one, &two)
	if again {
		f.pairs[key] = by
	} else {
		f.pairs[key] = nil
	}
	return by
}

// levelScores is the difference of two scores, 0..1, that is rounding.
const levelScores = 1e-12

// values are those of one criterion at every point: by times what is listed, and
// from, held at 1 only.
type values struct {
	list     *[pointCount]float64
	by, from float64
}

func subtract(by *[pointCount]float64, one, two *values) {
	a, b := one.list, two.list
	for i := range by {
		by[i] = min(1, one.from+one.by*a[i]) - min(1, two.from+two.by*b[i])
	}
}

// at is a value with its error: as wide above as below.
func (b Band) at(z *[pointCount]float64) values {
	return values{z, (b.Mid - b.Low) / bandWidth, b.Mid}
}

// lightOf is the output value of a candidate, from the roots of its light.
func (f *Field) lightOf(i int, roots *[pointCount]float64) values {
	scale := f.list[i].Scale.root()
	return values{roots, scale.slope * math.Sqrt(f.list[i].Ratio), -scale.slope * scale.low}
}

// near are the roots of the light of the near one of a pair, far those of the other:
// where the two lights have errors in common, that part goes with the near one's.
// They do not depend on the weights, so they are kept.
func (f *Field) near(i int) *[pointCount]float64 {
	return f.alone(i, true)
}

func (f *Field) far(near, far int) *[pointCount]float64 {
	a, b := &f.list[near], &f.list[far]
	shared := covariance(a, b)
	if shared <= 0 {
		return f.alone(far, false)
	}
	key := [2]int{near, far}
	made, again := f.beside[key]
	if made != nil {
		return made
	}
	made = f.spare
	if again {
		made = new([pointCount]float64)
	}
	b.roots(min(1, shared/(a.Spread()*b.Spread())), false, made)
	if again {
		f.beside[key] = made
	} else {
		f.beside[key] = nil // most are asked for once
	}
	return made
}

func (f *Field) alone(i int, near bool) *[pointCount]float64 {
	key := rootsKey{i, near}
	made := f.roots[key]
	if made == nil {
		made = new([pointCount]float64)
		f.list[i].roots(0, near, made)
		f.roots[key] = made
	}
	return made
}

// roots fills in the square roots of the light at every point, over the root of the
// ratio read. Of the far side of a pair whose two lights have errors in common, the
// part given goes with the near side's.
func (c *Candidate) roots(correlation float64, near bool, out *[pointCount]float64) {
	z := normals()
	spread := c.Spread()
	down := math.Hypot(spread, c.Down)
	middle := -spread * spread / 2 // the mean of a log-normal ratio stays
	own := math.Sqrt(1 - correlation*correlation)
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
		out[i] = math.Exp((middle + x) / 2)
	}
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
func covariance(a, b *Candidate) float64 {
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
func compareFigures(a, b *Candidate) int {
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
