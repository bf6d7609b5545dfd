package sure

import (
	"math"
	"math/rand/v2"
	"slices"
)

// reading is one measured figure of one candidate on a scale on which errors
// add: the log of the vs-stock ratio, or a pattern or heat value.
type reading struct {
	value  float64
	own    float64 // variance of the errors nobody shares
	shared []load  // errors shared with other candidates
	ahead  float64 // variance of what the owner's lamp adds, not shared
	awaits []load  // what the owner's lamp adds, shared
	kind   int     // population the candidate belongs to
	bend   bend
}

// load says how strongly an error shared under one key enters a reading, as a
// standard uncertainty.
type load struct {
	key  int
	size float64
}

// bend is the shape of an error whose band reaches further on one side: a
// standard normal z becomes (side z - mean)/sd with its own side below and
// above, which has mean 0 and variance 1 again. The zero bend is no bend.
type bend struct{ below, above, mean float64 }

func (b bend) apply(z float64) float64 {
	switch {
	case b.below == b.above:
		return z
	case z < 0:
		return b.below*z - b.mean
	}
	return b.above*z - b.mean
}

// population is the model from which true values are drawn. A true value is
// the centre of its kind plus a normal difference of standard deviation spread;
// a reading is a true value plus its errors. The centres are unknown without a
// prior opinion. The spread is unknown too: it runs over a list of steps, each
// weighted by how well it explains all readings together and by a prior density
// proportional to exp(-x^2/2)/sqrt(x) in x = spread / usual spread, a choice
// that favours small spreads and rules none out. Where the readings scatter no more than their errors
// explain, small spreads weigh most, and true values are drawn close to the
// centre: a bulb that leads by luck of the reading is pulled back. (Hierarchical
// normal model; the shrinkage of one reading is that of Stein and of empirical
// Bayes, with the spread averaged over instead of fixed.)
type population struct {
	readings []reading
	kinds    int
	columns  int // kinds, then shared keys
	keys     int // number of shared keys that await the owner
	steps    []step
	mixed    []float64 // scratch: drawn centres and shared errors
	awaited  []float64 // scratch: drawn shared differences of the owner's lamp
}

type step struct {
	spread float64
	upTo   float64   // cumulative weight
	mean   []float64 // posterior mean of centres and shared errors
	root   []float64 // lower triangle L of their precision, L L' = precision
	mix    []float64 // inverse of L', by columns: turns standard normals into their errors
	keep   []float64 // part of a candidate's distance from the centre that is kept
	sd     []float64 // what stays uncertain of it
}

const (
	spreadSteps = 24
	leastSpread = 1. / 50 // of the usual spread
	mostSpread  = 5.
)

// newPopulation weighs the spreads. usual is the spread to be expected before
// any reading; columns counts kinds and shared keys, keys the awaiting ones.
func newPopulation(readings []reading, kinds, columns, keys int, usual float64) *population {
	p := &population{
		readings: readings, kinds: kinds, columns: columns, keys: keys,
		mixed: make([]float64, columns), awaited: make([]float64, keys),
	}
	var logs []float64
	counts := p.counts()
	for k := range spreadSteps {
		ratio := leastSpread * math.Pow(mostSpread/leastSpread, float64(k)/(spreadSteps-1))
		// prior density times the width of a step of a geometric list
		prior := math.Log(ratio)/2 - ratio*ratio/2
		level, evidence := p.explain(ratio * usual)
		p.steps, logs = append(p.steps, level), append(logs, evidence+prior+math.Log(1-2*leanPrior))
		if !slices.ContainsFunc(counts, func(n int) bool { return n >= leanFrom }) {
			continue
		}
		for _, by := range [...]float64{lean, 1 / lean} {
			s, evidence := p.explainLeaning(level, by, counts)
			p.steps, logs = append(p.steps, s), append(logs, evidence+prior+math.Log(leanPrior))
		}
	}
	best := logs[0]
	for _, l := range logs {
		best = max(best, l)
	}
	sum := 0.0
	for k, l := range logs {
		sum += math.Exp(l - best)
		p.steps[k].upTo = sum
	}
	for k := range p.steps {
		p.steps[k].upTo /= sum
	}
	return p
}

// A population may lean: its spread below the centre is lean times, above it
// 1/lean times the stated one, or the other way round. Before any reading each of
// the two has the weight leanPrior against no lean (judgement): few readings
// cannot tell the shapes apart, many can. Without this, a tail of bad bulbs makes
// the good ones look as far apart as the bad ones are.
const (
	lean       = 3.
	leanPrior  = 0.2
	leanFrom   = 5 // bulbs of a kind from which its lean is looked at: fewer say nothing of it
	leanRounds = 2 // how often it is asked anew which readings lie below the centre
)

// counts is the number of readings of each kind.
func (p *population) counts() []int {
	n := make([]int, p.kinds)
	for _, r := range p.readings {
		n[r.kind]++
	}
	return n
}

// explainLeaning is explain for a population with two spreads, below and above
// its centre (split normal distribution; Fechner 1897, from memory). Which
// readings lie below is found by turns with the centre, from that of the level
// population; the density is that of the split normal with a reading's own errors
// added to both sides.
func (p *population) explainLeaning(level step, by float64, counts []int) (step, float64) {
	s, sum := level, 0.0
	below, above := level.spread*by, level.spread/by
	sides := make([]float64, len(p.readings))
	for range leanRounds {
		scale := 0.0
		for i, r := range p.readings {
			sides[i] = level.spread
			if counts[r.kind] < leanFrom {
				continue
			}
			from := r.value - s.mean[r.kind]
			for _, l := range r.shared {
				from -= l.size * s.mean[l.key]
			}
			low, high := math.Sqrt(below*below+r.own), math.Sqrt(above*above+r.own)
			side := high
			sides[i] = above
			if from < 0 {
				side, sides[i] = low, below
			}
			scale += math.Log(side) - math.Log((low+high)/2)
		}
		s, sum = p.explainSides(sides)
		sum += scale
	}
	s.spread = level.spread
	return s, sum
}

// explain is explainSides for one spread on both sides.
func (p *population) explain(spread float64) (step, float64) {
	sides := make([]float64, len(p.readings))
	for i := range sides {
		sides[i] = spread
	}
	s, sum := p.explainSides(sides)
	s.spread = spread
	return s, sum
}

// explainSides fits centres and shared errors for the spread of each reading's
// side by weighted least squares and returns the log of the probability of the
// readings under them, less a constant.
func (p *population) explainSides(spreads []float64) (step, float64) {
	n, c := len(p.readings), p.columns
	s := step{mean: make([]float64, c), root: make([]float64, c*c), keep: make([]float64, n), sd: make([]float64, n)}
	sum := 0.0
	for k := p.kinds; k < c; k++ {
		s.root[k*c+k] = 1 // a shared error is standard normal before any reading
	}
	for i, r := range p.readings {
		spread := spreads[i]
		variance := spread*spread + r.own
		w := 1 / variance
		s.keep[i] = spread * spread * w
		s.sd[i] = math.Sqrt(s.keep[i]*r.own + r.ahead)
		sum -= math.Log(variance) + w*r.value*r.value
		s.root[r.kind*c+r.kind] += w
		s.mean[r.kind] += w * r.value
		for a, l := range r.shared {
			s.root[l.key*c+r.kind] += w * l.size
			s.mean[l.key] += w * l.size * r.value
			for _, m := range r.shared[:a+1] {
				s.root[max(l.key, m.key)*c+min(l.key, m.key)] += w * l.size * m.size
			}
		}
	}
	for j := range c { // Cholesky, lower triangle in place
		for i := j; i < c; i++ {
			x := s.root[i*c+j]
			for k := range j {
				x -= s.root[i*c+k] * s.root[j*c+k]
			}
			if i == j {
				s.root[j*c+j] = math.Sqrt(x)
				sum -= 2 * math.Log(s.root[j*c+j])
			} else {
				s.root[i*c+j] = x / s.root[j*c+j]
			}
		}
	}
	for i := range c {
		for k := range i {
			s.mean[i] -= s.root[i*c+k] * s.mean[k]
		}
		s.mean[i] /= s.root[i*c+i]
		sum += s.mean[i] * s.mean[i]
	}
	s.back(s.mean)
	s.mix = make([]float64, c*c)
	column := make([]float64, c)
	for j := range c {
		clear(column)
		column[j] = 1
		s.back(column)
		for i := range c {
			s.mix[j*c+i] = column[i]
		}
	}
	return s, sum / 2
}

// back solves L' x = b in place.
func (s *step) back(b []float64) {
	c := len(b)
	for i := c - 1; i >= 0; i-- {
		for k := i + 1; k < c; k++ {
			b[i] -= s.root[k*c+i] * b[k]
		}
		b[i] /= s.root[i*c+i]
	}
}

// draw writes one set of true values, in the owner's lamp, for the candidates
// listed.
func (p *population) draw(r *rand.Rand, which []int, out []float64) {
	u, at := r.Float64(), 0
	for at < len(p.steps)-1 && p.steps[at].upTo < u {
		at++
	}
	s := &p.steps[at]
	copy(p.mixed, s.mean)
	for j := range p.mixed {
		z := r.NormFloat64()
		for i := range p.mixed[:j+1] {
			p.mixed[i] += s.mix[j*len(p.mixed)+i] * z
		}
	}
	for k := range p.awaited {
		p.awaited[k] = r.NormFloat64()
	}
	for _, i := range which {
		d := &p.readings[i]
		centre := p.mixed[d.kind]
		distance := d.value - centre
		for _, l := range d.shared {
			distance -= l.size * p.mixed[l.key]
		}
		x := centre + s.keep[i]*distance
		if s.sd[i] > 0 {
			x += s.sd[i] * d.bend.apply(r.NormFloat64())
		}
		for _, l := range d.awaits {
			x += l.size * p.awaited[l.key]
		}
		out[i] = x
	}
}

// kept returns the part of the candidates' distances from their centre that is
// kept, averaged over candidates and spreads, and the mean spread.
func (p *population) kept() (kept, spread float64) {
	before := 0.0
	for _, s := range p.steps {
		w := s.upTo - before
		before = s.upTo
		spread += w * s.spread
		for _, k := range s.keep {
			kept += w * k / float64(len(s.keep))
		}
	}
	return min(kept, 1), spread // the sum of the weights may be off by a rounding
}
