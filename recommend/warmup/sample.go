package warmup

import (
	"math"
	"sync"
)

// sample holds readings ready for fitting: times from the first reading, and every reading divided
// by the local level, so that a scatter in percent weighs all of them alike.
type sample struct {
	readings []Reading
	index    []int     // place of each reading in the list given to Reduce
	level    float64   // mean illuminance; amplitudes are shares of it
	z        []float64 // reading / local level, about 1
	unit     []float64 // level / local level: the weighted column of a constant 1
	share    float64   // independent share of each reading, 1 unless neighbours go together

	one, right, square float64 // share times the sums of unit^2, unit z and z^2
}

func newSample(readings []Reading, index []int) *sample {
	n := len(readings)
	s := &sample{readings: readings, index: index, z: make([]float64, n), unit: make([]float64, n)}
	for _, r := range readings {
		s.level += r.Lux / float64(n)
	}
	for i, r := range readings {
		local := r.Lux
		if i > 0 && i < n-1 { // the median of three keeps a bad reading from weighing itself
			before, after := readings[i-1].Lux, readings[i+1].Lux
			local = math.Max(math.Min(before, after), math.Min(math.Max(before, after), r.Lux))
		}
		local = math.Min(math.Max(local, s.level/3), s.level*3)
		s.z[i] = r.Lux / local
		s.unit[i] = s.level / local
	}
	s.setShare(1)
	return s
}

func (s *sample) setShare(share float64) {
	s.share = share
	s.one, s.right, s.square = share*dot(s.unit, s.unit), share*dot(s.unit, s.z), share*dot(s.z, s.z)
}

func (s *sample) start() float64 { return s.readings[0].Min }
func (s *sample) last() float64  { return s.readings[len(s.readings)-1].Min }
func (s *sample) count() float64 { return float64(len(s.readings)) * s.share }

// without is the sample less the readings marked.
func (s *sample) without(dropped []bool) *sample {
	var readings []Reading
	var index []int
	for i, r := range s.readings {
		if !dropped[i] {
			readings = append(readings, r)
			index = append(index, s.index[i])
		}
	}
	return newSample(readings, index)
}

// axis is a grid of time constants, even in the logarithm, with their columns and what the normal
// equations need of them.
type axis struct {
	tau        []float64
	step       float64 // spacing in log tau
	low, high  float64
	x          [][]float64
	xx, x1, xz []float64

	numbers []float64 // what all the columns stand in
	after   []float64 // minutes of the readings after the first
	decay   []float64 // exp(-after/tau), by time constant
	home    *sync.Pool
}

// axes are grids that are done with: a fit makes a dozen, and their memory was
// most of what it took.
var axes = newAxes()

func newAxes() *sync.Pool { return &sync.Pool{New: func() any { return new(axis) }} }

// free gives the memory of a grid back; nothing of it may be used any more.
func (a *axis) free() { a.home.Put(a) }

// axis makes a grid of n time constants between two.
func (s *sample) axis(low, high float64, n int) *axis { return s.axisOf(axes, low, high, n) }

// axisOf is axis for a grid that is the same in every fit: the tests of a bench are
// mostly read at the same minutes, and the decays of the one before are then right.
func (s *sample) axisOf(home *sync.Pool, low, high float64, n int) *axis {
	rows := len(s.readings)
	a := home.Get().(*axis)
	a.home = home
	if !a.fits(s, low, high, n) {
		a.lay(s, low, high, n)
	}
	numbers := a.numbers[:n*rows]
	for i := range a.x {
		decay, x := a.decay[i*rows:][:rows], numbers[i*rows:][:rows:rows]
		for j, d := range decay {
			x[j] = s.unit[j] * d
		}
		a.x[i] = x
		a.xx[i] = dot(x, x) * s.share
		a.x1[i] = dot(x, s.unit) * s.share
		a.xz[i] = dot(x, s.z) * s.share
	}
	return a
}

// fits says whether the decays of a grid are those of the readings.
func (a *axis) fits(s *sample, low, high float64, n int) bool {
	if a.low != low || a.high != high || len(a.tau) != n || len(a.after) != len(s.readings) {
		return false
	}
	for j, r := range s.readings {
		if a.after[j] != r.Min-s.start() {
			return false
		}
	}
	return true
}

// lay fills what of a grid does not depend on the light.
func (a *axis) lay(s *sample, low, high float64, n int) {
	rows := len(s.readings)
	if need := n * (2*rows + 4); cap(a.numbers) < need+rows {
		a.numbers = make([]float64, need+rows)
	}
	numbers := a.numbers[n*rows : cap(a.numbers)]
	take := func(k int) []float64 {
		part := numbers[:k:k]
		numbers = numbers[k:]
		return part
	}
	a.step, a.low, a.high = math.Log(high/low)/float64(n), low, high
	a.tau, a.xx, a.x1, a.xz, a.decay, a.after = take(n), take(n), take(n), take(n), take(n*rows), take(rows)
	if cap(a.x) < n {
		a.x = make([][]float64, n)
	}
	a.x = a.x[:n]
	for j, r := range s.readings {
		a.after[j] = r.Min - s.start()
	}
	for i := range a.tau {
		a.tau[i] = low * math.Exp((float64(i)+0.5)*a.step)
		for j, after := range a.after {
			a.decay[i*rows+j] = math.Exp(-after / a.tau[i])
		}
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// factor is the Cholesky factor of a symmetric positive matrix of order p <= 3 and its determinant.
func factor(a [3][3]float64, p int) (l [3][3]float64, determinant float64, ok bool) {
	determinant = 1
	for i := 0; i < p; i++ {
		for j := 0; j <= i; j++ {
			sum := a[i][j]
			for k := 0; k < j; k++ {
				sum -= l[i][k] * l[j][k]
			}
			if i != j {
				l[i][j] = sum / l[j][j]
				continue
			}
			if !(sum > 1e-13*a[i][i]) {
				return l, 0, false
			}
			l[i][i] = math.Sqrt(sum)
			determinant *= sum
		}
	}
	return l, determinant, true
}

// forward gives v with L v = right.
func forward(l *[3][3]float64, right [3]float64, p int) (v [3]float64) {
	for i := 0; i < p; i++ {
		v[i] = right[i]
		for k := 0; k < i; k++ {
			v[i] -= l[i][k] * v[k]
		}
		v[i] /= l[i][i]
	}
	return v
}

// backward gives x with L'x = v.
func backward(l *[3][3]float64, v [3]float64, p int) (x [3]float64) {
	for i := p - 1; i >= 0; i-- {
		x[i] = v[i]
		for k := i + 1; k < p; k++ {
			x[i] -= l[k][i] * x[k]
		}
		x[i] /= l[i][i]
	}
	return x
}
