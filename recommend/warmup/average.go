package warmup

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/distuv"
)

// component is the curve for fixed time constants. There the problem is linear, and what is known
// of a combination x of its coefficients after the readings is a Student t with the location
// x'beta and the scale sqrt(scale2) |v| with L v = x.
type component struct {
	weight float64
	terms  int
	tau    [2]float64
	beta   [3]float64    // constant and amplitudes at the first reading, share of the level
	factor [3][3]float64 // Cholesky factor L of the normal equations; the covariance is scale2 (L L')^-1
	scale2 float64
}

// mixture is the average of the curves over the time constants, each weighted by how well it
// explains the readings (Hoeting et al., Statistical Science 14, 1999, 382). A band from the single
// best curve would be too narrow: it would forget that the time constants, and whether there are
// one or two, were themselves read off the data.
type mixture struct {
	components []component
	start      float64 // minutes of the first reading
	level      float64 // lux
	rounding   float64 // standard uncertainty of the display, share of the level
	cdf        []float64
	tail       distuv.StudentsT
}

const (
	oneNodes = 24
	twoNodes = 10
	rounds   = 6 // of narrowing a grid to where the weight is

	negligible = 3e-4 // weight left out, against the 0.025 outside the band on either side
)

// average weighs the one-term and two-term curves over grids of time constants. For each node:
// flat prior on the constant, normal priors on the amplitudes, scaled inverse chi-squared prior with
// one degree of freedom on the variance (Gelman et al., Bayesian Data Analysis, 3rd ed., 14.2 and
// 14.8); the weight is its marginal likelihood.
func (s *sample) average(o Options) *mixture {
	p := newPrior(o)
	n := s.count()
	repeat := o.RepeatPct / 100
	// The stated repeatability counts as one reading, the less the more readings there are.
	priorSum := 2 * repeat * repeat / (n + 1)
	nu := n
	least := math.Inf(1)
	a := s.axisOf(reachAxes, p.one.reach().low, p.one.reach().high, oneNodes)
	for i := range oneNodes {
		if _, rest, _, ok := s.oneTerm(a, i, 1e-9); ok {
			least = math.Min(least, rest)
		}
	}
	variance := (least + priorSum) / math.Max(1, n-2)
	b := builder{s: s, p: p, nu: nu, priorSum: priorSum, ridge1: variance / (p.amplitude * p.amplitude), ridge2: variance / (partChange * partChange)}
	all := nodesPool.Get().(*nodesMemory)
	defer nodesPool.Put(all)
	all.list = b.twoTermGrid(b.oneTermGrid(a, all.list[:0]))
	m := &mixture{start: s.start(), level: s.level, rounding: o.ResolutionLux / math.Sqrt(12) / s.level}
	m.tail = distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}
	m.components = normalise(all.list)
	m.fillTable()
	return m
}

// The grids of the whole reach, the same in every fit with the same options.
var reachAxes, fastAxes, slowAxes = newAxes(), newAxes(), newAxes()

// nodesMemory is memory for the nodes of one series, used again for the next.
type nodesMemory struct{ list []component }

var nodesPool = sync.Pool{New: func() any { return &nodesMemory{make([]component, 0, oneNodes+twoNodes*twoNodes)} }}

type builder struct {
	s              *sample
	p              prior
	nu, priorSum   float64
	ridge1, ridge2 float64
}

// weigh turns the pieces of a node into its log weight and scale.
func (b *builder) weigh(c *component, determinant, rest, ridges, logPrior float64) {
	sum := math.Max(rest, 0) + b.priorSum
	c.scale2 = sum / b.nu
	c.weight = 0.5*math.Log(ridges/determinant) - b.nu/2*math.Log(sum) + logPrior
}

// oneTermGrid appends the nodes of one time constant, from the axis of its whole
// reach, which it frees.
func (b *builder) oneTermGrid(a *axis, nodes []component) []component {
	low, high := a.low, a.high
	norm := math.Log((1 - b.p.two) / b.p.one.mass(low, high))
	first := len(nodes)
	for round := 0; round < rounds; round++ {
		if round > 0 {
			a = b.s.axis(low, high, oneNodes)
		}
		nodes = nodes[:first]
		for i := range a.tau {
			c, rest, determinant, ok := b.s.oneTerm(a, i, b.ridge1)
			if ok {
				b.weigh(&c, determinant, rest, b.ridge1, b.p.one.logDensity(c.tau[0])+math.Log(a.step)+norm)
				nodes = append(nodes, c)
			}
		}
		from, to := occupied(nodes[first:], 0, a, 12)
		a.free()
		if math.Log(to/from) > 0.6*math.Log(high/low) {
			break
		}
		low, high = from, to
	}
	return nodes
}

// twoTermGrid appends the nodes of two time constants.
func (b *builder) twoTermGrid(nodes []component) []component {
	fast, slow := b.p.fast.reach(), b.p.slow.reach()
	norm := math.Log(b.p.two / (b.p.fast.mass(fast.low, fast.high) * b.p.slow.mass(slow.low, slow.high)))
	first := len(nodes)
	for round := 0; round < rounds; round++ {
		homeF, homeG := axes, axes
		if round == 0 {
			homeF, homeG = fastAxes, slowAxes
		}
		f, g := b.s.axisOf(homeF, fast.low, fast.high, twoNodes), b.s.axisOf(homeG, slow.low, slow.high, twoNodes)
		nodes = nodes[:first]
		for i := range f.tau {
			for j := range g.tau {
				if g.tau[j] < leastRatio*f.tau[i] {
					continue
				}
				c, rest, determinant, ok := b.s.twoTerms(f, g, i, j, b.ridge2)
				if ok {
					density := b.p.fast.logDensity(f.tau[i]) + b.p.slow.logDensity(g.tau[j])
					b.weigh(&c, determinant, rest, b.ridge2*b.ridge2, density+math.Log(f.step*g.step)+norm)
					nodes = append(nodes, c)
				}
			}
		}
		f0, f1 := occupied(nodes[first:], 0, f, 9)
		g0, g1 := occupied(nodes[first:], 1, g, 9)
		f.free()
		g.free()
		if math.Log(f1/f0)*math.Log(g1/g0) > 0.5*math.Log(fast.high/fast.low)*math.Log(slow.high/slow.low) {
			break
		}
		fast, slow = span{f0, f1}, span{g0, g1}
	}
	return nodes
}

// occupied is the stretch of the axis whose nodes lie within drop of the best log weight.
func occupied(nodes []component, term int, a *axis, drop float64) (low, high float64) {
	best := math.Inf(-1)
	for _, c := range nodes {
		best = math.Max(best, c.weight)
	}
	low, high = a.high, a.low
	half := math.Exp(a.step)
	for _, c := range nodes {
		if c.weight > best-drop {
			low = math.Min(low, c.tau[term]/half)
			high = math.Max(high, c.tau[term]*half)
		}
	}
	return math.Max(low, a.low), math.Min(high, a.high)
}

// oneTerm solves the node i of the axis with a ridge on the amplitude; rest is the sum of squares
// left, the ridge included.
func (s *sample) oneTerm(a *axis, i int, ridge float64) (c component, rest, determinant float64, ok bool) {
	normal := [3][3]float64{{s.one}, {a.x1[i], a.xx[i] + ridge}}
	right := [3]float64{s.right, a.xz[i]}
	return s.node(normal, right, 1, [2]float64{a.tau[i]})
}

func (s *sample) twoTerms(f, g *axis, i, j int, ridge float64) (c component, rest, determinant float64, ok bool) {
	normal := [3][3]float64{{s.one}, {f.x1[i], f.xx[i] + ridge}, {g.x1[j], dot(f.x[i], g.x[j]) * s.share, g.xx[j] + ridge}}
	right := [3]float64{s.right, f.xz[i], g.xz[j]}
	return s.node(normal, right, 2, [2]float64{f.tau[i], g.tau[j]})
}

func (s *sample) node(normal [3][3]float64, right [3]float64, terms int, tau [2]float64) (c component, rest, determinant float64, ok bool) {
	l, determinant, ok := factor(normal, terms+1)
	if !ok {
		return c, 0, 0, false
	}
	c = component{terms: terms, tau: tau, factor: l}
	v := forward(&l, right, terms+1)
	c.beta = backward(&l, v, terms+1)
	return c, s.square - v[0]*v[0] - v[1]*v[1] - v[2]*v[2], determinant, true
}

// normalise makes weights of log weights, heaviest first, and leaves out the last of them that
// together do not count.
func normalise(nodes []component) []component {
	best, sum := math.Inf(-1), 0.0
	for _, c := range nodes {
		best = math.Max(best, c.weight)
	}
	for i := range nodes {
		nodes[i].weight = math.Exp(nodes[i].weight - best)
		sum += nodes[i].weight
	}
	order := make([]int16, len(nodes))
	for i := range order {
		order[i] = int16(i)
	}
	slices.SortFunc(order, func(a, b int16) int { return cmp.Compare(nodes[b].weight, nodes[a].weight) })
	kept := 0
	for total := 0.0; kept < len(nodes) && total < (1-negligible)*sum; kept++ {
		total += nodes[order[kept]].weight
	}
	heaviest := make([]component, kept)
	for i := range heaviest {
		heaviest[i] = nodes[order[i]]
	}
	nodes = heaviest
	total := 0.0
	for _, c := range nodes {
		total += c.weight
	}
	for i := range nodes {
		nodes[i].weight /= total
	}
	return nodes
}
