package warmup

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// features are what does not belong to a smooth curve: bad readings, and at most one step.
type features struct {
	bad      []bool
	count    int
	step     int     // the first reading after the step, -1 for none
	stepSize float64 // share of the level, below nothing for a fall
	score    float64 // corrected Akaike criterion of the curve with these features
}

const (
	leastForFeatures = 6    // with fewer readings a bad one cannot be told from the curve
	mostFeatures     = 15   // beyond this many it is not a matter of a few bad readings
	falseAlarm       = 0.01 // chance of a feature where there is none, for all places together
	lenient          = 8.0  // below this F a first feature cannot hide a second one of note
	benefit          = 6.0  // of the doubt, in score, for a curve that needs fewer features
	beforeStep       = 3    // readings needed before a step, or it is the fast start of a curve
	afterStep        = 2    // readings needed after a step, or it is a bad reading
)

// findFeatures looks for bad readings and a step, once around curves of one time constant and once
// around curves of two, and takes the explanation with the better score: a fast start is not a bad
// reading, and a step is not a curve.
func (s *sample) findFeatures() features {
	none := features{bad: make([]bool, len(s.readings)), step: -1}
	if len(s.readings) < leastForFeatures {
		return none
	}
	bases, a := s.oneBases()
	one := s.featuresAround(bases, 3)
	a.free()
	if one.size() == 0 {
		return none // nothing to explain
	}
	bases, a = s.twoBases()
	two := s.featuresAround(bases, 5)
	a.free()
	if two.score < one.score || two.size() < one.size() && two.score < one.score+benefit {
		return two
	}
	return one
}

// size is the number of features.
func (f features) size() int {
	if f.step >= 0 {
		return f.count + 1
	}
	return f.count
}

// featuresAround adds features one at a time, each where it takes most from the sum of squares, to
// the largest number asked for, and keeps the largest number whose last one is significant. Going
// on past the first that is not keeps one bad reading from hiding another (the generalised
// extreme Studentised deviate test: Rosner, Technometrics 25, 1983, 165, here with the time
// constants fitted anew each time and a step as a further candidate).
func (s *sample) featuresAround(bases [][][]float64, parameters int) features {
	n := len(s.readings)
	most := min(n/4, mostFeatures)
	f := features{bad: make([]bool, n), step: -1}
	best := f
	current := s.scan(bases, &f)
	noise := 1e-6 // a scatter of 0.1 % that keeps perfect readings from being found bad
	best.score = score(current.rss, noise, n, parameters)
	for k := 1; k <= most; k++ {
		free := float64(n - parameters - k)
		if free < 1 || math.IsInf(current.after, 1) {
			break
		}
		f.bad = slices.Clone(f.bad)
		if current.step >= 0 {
			f.step, f.stepSize = current.step, current.size
		} else {
			f.bad[current.bad] = true
			f.count++
		}
		rest := (current.after + noise) / (free + 1)
		ratio := (current.rss - current.after) / rest
		places := float64(2 * n)
		if k == 1 && ratio < lenient {
			break
		}
		if chance := (distuv.F{D1: 1, D2: free + 1}).Survival(ratio); chance*places < falseAlarm {
			best = f
			best.score = score(current.after, noise, n, parameters+2*k)
		}
		current = s.scan(bases, &f)
	}
	return best
}

func score(rss, noise float64, n, parameters int) float64 {
	k := float64(parameters + 1)
	spare := float64(n) - k - 1
	if spare < 1 {
		return math.Inf(1)
	}
	return float64(n)*math.Log((rss+noise)/float64(n)) + 2*k + 2*k*(k+1)/spare
}

var oneBaseAxes, twoBaseAxes = newAxes(), newAxes()

// oneBases and twoBases are the columns of coarse grids of curves: coarse is enough to see what
// sticks out of them.
func (s *sample) oneBases() (bases [][][]float64, a *axis) {
	a = s.axisOf(oneBaseAxes, 0.25, 90, 14)
	for _, x := range a.x {
		bases = append(bases, [][]float64{s.unit, x})
	}
	return bases, a
}

func (s *sample) twoBases() (bases [][][]float64, a *axis) {
	a = s.axisOf(twoBaseAxes, 0.25, 90, 8)
	for i := range a.x {
		for j := i + 1; j < len(a.x); j++ {
			bases = append(bases, [][]float64{s.unit, a.x[i], a.x[j]})
		}
	}
	return bases, a
}

// finding is the best next feature: the sum of squares without it and with it.
type finding struct {
	rss, after float64
	bad, step  int
	size       float64
}

// scan fits every base to the readings left and tries a bad reading at every place and, if there is
// none yet, a step at every place. With the columns made orthonormal (Q) and the residual r, a
// further column f takes (f'r)^2 / (f'f - |Q'f|^2) from the sum of squares.
func (s *sample) scan(bases [][][]float64, f *features) finding {
	n := len(s.readings)
	best := finding{rss: math.Inf(1), after: math.Inf(1), bad: -1, step: -1}
	r := make([]float64, n)
	var q [4][]float64
	for k := range q {
		q[k] = make([]float64, n)
	}
	for _, base := range bases {
		columns := base
		if f.step >= 0 {
			step := make([]float64, n)
			copy(step[f.step:], s.unit[f.step:])
			columns = append(slices.Clone(base), step)
		}
		falls, rss := s.residual(columns, f.bad, q[:], r, len(base))
		if !falls {
			continue
		}
		best.rss = math.Min(best.rss, rss)
		p := len(columns)
		for i := range r {
			if f.bad[i] || i == 0 && r[i] > 0 { // a high first reading is the fast start of the drop
				continue
			}
			left := 1.0
			for k := 0; k < p; k++ {
				left -= q[k][i] * q[k][i]
			}
			if after := rss - r[i]*r[i]/left; left > 1e-6 && after < best.after {
				best.after, best.bad, best.step = after, i, -1
			}
		}
		if f.step < 0 {
			s.scanSteps(q[:p], r, f.bad, rss, &best)
		}
	}
	best.after = math.Max(best.after, 0)
	return best
}

func (s *sample) scanSteps(q [][]float64, r []float64, bad []bool, rss float64, best *finding) {
	var along [4]float64
	with, self, after := 0.0, 0.0, 0
	total := 0
	for _, b := range bad {
		if !b {
			total++
		}
	}
	for i := len(r) - 1; i > 0; i-- {
		if bad[i] {
			continue
		}
		after++
		for k := range q {
			along[k] += q[k][i] * s.unit[i]
		}
		with += r[i] * s.unit[i]
		self += s.unit[i] * s.unit[i]
		if after < afterStep || total-after < beforeStep {
			continue
		}
		left := self
		for k := range q {
			left -= along[k] * along[k]
		}
		if rest := rss - with*with/left; left > 1e-6*self && rest < best.after {
			best.after, best.step, best.bad, best.size = rest, i, -1, with/left
		}
	}
}

// residual makes the columns orthonormal over the readings not bad (modified Gram-Schmidt), leaves
// the residual of z in r and returns its sum of squares. falls is false where two terms of one base
// have opposite signs: a curve that dips and comes back would explain a bad reading away.
func (s *sample) residual(columns [][]float64, bad []bool, q [][]float64, r []float64, terms int) (falls bool, rss float64) {
	var up [4][4]float64
	var along [4]float64
	for k, c := range columns {
		for i := range c {
			q[k][i] = c[i]
			if bad[i] {
				q[k][i] = 0
			}
		}
		before := dot(q[k], q[k])
		for j := 0; j < k; j++ {
			up[j][k] = dot(q[j], q[k])
			for i := range q[k] {
				q[k][i] -= up[j][k] * q[j][i]
			}
		}
		norm := dot(q[k], q[k])
		if norm <= 1e-12*before {
			return false, 0
		}
		up[k][k] = math.Sqrt(norm)
		for i := range q[k] {
			q[k][i] /= up[k][k]
		}
	}
	for i := range r {
		r[i] = s.z[i]
		if bad[i] {
			r[i] = 0
		}
	}
	for k := range columns {
		along[k] = dot(q[k], r)
		for i := range r {
			r[i] -= along[k] * q[k][i]
		}
	}
	if terms == 3 {
		var b [4]float64
		for k := len(columns) - 1; k >= 0; k-- {
			b[k] = along[k]
			for j := k + 1; j < len(columns); j++ {
				b[k] -= up[k][j] * b[j]
			}
			b[k] /= up[k][k]
		}
		if b[1]*b[2] < 0 {
			return false, 0
		}
	}
	return true, dot(r, r)
}
