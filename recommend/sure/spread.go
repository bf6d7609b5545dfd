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
type bend struct {
	sides [2]float64 // above, below: by the sign bit, for which way it goes cannot be guessed
	mean  float64
}

func (b *bend) apply(z float64) float64 {
	return b.sides[math.Float64bits(z)>>63]*z - b.mean
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
	upTo     []float64         // cumulative weight of the steps
	guide    [guideParts]uint8 // where in upTo to begin to look
}

// scratch is what one draw at a time writes to.
type scratch struct {
	mixed   []float64 // centres and shared errors
	awaited []float64 // shared differences of the owner's lamp
}

func (p *population) scratch() scratch {
	return scratch{make([]float64, p.columns), make([]float64, p.keys)}
}

type step struct {
	spread float64
	weight float64   // of all steps together 1
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
	}
	for i := range readings {
		if b := &readings[i].bend; *b == (bend{}) {
			b.sides = [2]float64{1, 1}
		}
	}
	steps, logs := make([]step, 0, 3*spreadSteps), make([]float64, 0, 3*spreadSteps)
	counts := p.counts()
	for k := range spreadSteps {
		ratio := leastSpread * math.Pow(mostSpread/leastSpread, float64(k)/(spreadSteps-1))
		// prior density times the width of a step of a geometric list
		prior := math.Log(ratio)/2 - ratio*ratio/2
		level, evidence := p.explain(ratio * usual)
		steps, logs = append(steps, level), append(logs, evidence+prior+math.Log(1-2*leanPrior))
		if !slices.ContainsFunc(counts, func(n int) bool { return n >= leanFrom }) {
			continue
		}
		for _, by := range [...]float64{lean, 1 / lean} {
			s, evidence := p.explainLeaning(level, by, counts)
			steps, logs = append(steps, s), append(logs, evidence+prior+math.Log(leanPrior))
		}
	}
	best := slices.Max(logs)
	for k, l := range logs {
		steps[k].weight = math.Exp(l - best)
	}
	p.steps = slices.DeleteFunc(steps, func(s step) bool { return s.weight < leastWeight })
	p.settle()
	return p
}

const (
	leastWeight = 1e-9 // against the likeliest spread; no draw would meet one below
	guideParts  = 64
)

// settle makes the steps ready to be drawn from.
func (p *population) settle() {
	sum := 0.0
	for k := range p.steps {
		sum += p.steps[k].weight
	}
	upTo := 0.0
	p.upTo = make([]float64, len(p.steps))
	for k := range p.steps {
		s := &p.steps[k]
		s.weight /= sum
		s.mixing()
		upTo += s.weight
		p.upTo[k] = upTo
	}
	p.upTo[len(p.upTo)-1] = 1
	at := 0
	for part := range p.guide {
		for p.upTo[at]*guideParts < float64(part) {
			at++
		}
		p.guide[part] = uint8(at)
	}
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
	room := p.room()
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
		s, sum = p.explainSides(sides, room)
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
	s, sum := p.explainSides(sides, p.room())
	s.spread = spread
	return s, sum
}

// room is what explainSides writes to.
func (p *population) room() []float64 {
	return make([]float64, p.columns+p.columns*p.columns+2*len(p.readings))
}

// explainSides fits centres and shared errors for the spread of each reading's
// side by weighted least squares and returns the log of the probability of the
// readings under them, less a constant. What it returns lies in the room given.
func (p *population) explainSides(spreads, room []float64) (step, float64) {
	n, c := len(p.readings), p.columns
	clear(room)
	s := step{mean: room[:c:c], root: room[c:][: c*c : c*c], keep: room[c+c*c:][:n:n], sd: room[c+c*c+n:]}
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
	return s, sum / 2
}

// mixing fills mix.
func (s *step) mixing() {
	c := len(s.mean)
	s.mix = make([]float64, c*c)
	for j := range c {
		column := s.mix[j*c:][:c]
		column[j] = 1
		s.back(column)
	}
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
func (p *population) draw(r *rand.Rand, by scratch, which []int, out []float64) {
	u := r.Float64()
	at := int(p.guide[int(u*guideParts)])
	for p.upTo[at] < u {
		at++
	}
	s, mixed := &p.steps[at], by.mixed
	copy(mixed, s.mean)
	for j := range mixed {
		z := r.NormFloat64()
		column := s.mix[j*len(mixed):][:j+1]
		for i, m := range column {
			mixed[i] += m * z
		}
	}
	for k := range by.awaited {
		by.awaited[k] = r.NormFloat64()
	}
	keep, sd := s.keep[:len(out)], s.sd[:len(out)]
	for _, i := range which {
		d := &p.readings[i]
		centre := mixed[d.kind]
		distance := d.value - centre
		for _, l := range d.shared {
			distance -= l.size * mixed[l.key]
		}
		x := centre + keep[i]*distance
		if sd[i] > 0 {
			x += sd[i] * d.bend.apply(r.NormFloat64())
		}
		for _, l := range d.awaits {
			x += l.size * by.awaited[l.key]
		}
		out[i] = x
	}
}

// kept returns the part of the candidates' distances from their centre that is
// kept, averaged over candidates and spreads, and the mean spread.
func (p *population) kept() (kept, spread float64) {
	for _, s := range p.steps {
		spread += s.weight * s.spread
		for _, k := range s.keep {
			kept += s.weight * k / float64(len(s.keep))
		}
	}
	return min(kept, 1), spread // the sum of the weights may be off by a rounding
}
