package sure

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The pooled estimate of the eight-schools data is 7.7 with standard error 4.1
// (Gelman and others, Bayesian Data Analysis, section 5.5; data and figures from
// memory). A spread of nearly nothing must give it as the centre.
func TestPooledEstimateOfEightSchools(t *testing.T) {
	effect := []float64{28, 8, -3, 7, -1, 1, 18, 12}
	standardError := []float64{15, 10, 16, 11, 9, 11, 10, 18}
	var r []reading
	for i := range effect {
		r = append(r, reading{value: effect[i], own: standardError[i] * standardError[i]})
	}
	s, _ := newPopulation(r, 1, 1, 0, 1).explain(1e-6)
	if got := math.Round(s.mean[0]*10) / 10; got != 7.7 {
		t.Errorf("pooled mean %.4f, want 7.7", s.mean[0])
	}
	if got := math.Round(10/s.root[0]) / 10; got != 4.1 {
		t.Errorf("its standard error %.4f, want 4.1", 1/s.root[0])
	}
	for i, k := range s.keep {
		if k > 1e-6 {
			t.Errorf("school %d keeps %g of its own effect", i, k)
		}
	}
}

// dense computes the same model the plain way, with full covariance matrices: a
// flat centre is a normal one of very large variance.
func dense(readings []reading, kinds, columns int, spread float64) (mean []float64, evidence float64) {
	const flat = 1e6
	n := len(readings)
	truth, read := mat.NewSymDense(n, nil), mat.NewSymDense(n, nil)
	for i, a := range readings {
		for j := i; j < n; j++ {
			b := readings[j]
			v := 0.0
			if a.kind == b.kind {
				v = flat
			}
			if i == j {
				v += spread * spread
			}
			truth.SetSym(i, j, v)
			if i == j {
				v += a.own
			}
			for _, l := range a.shared {
				for _, m := range b.shared {
					if l.key == m.key {
						v += l.size * m.size
					}
				}
			}
			read.SetSym(i, j, v)
		}
	}
	x := mat.NewVecDense(n, nil)
	for i, r := range readings {
		x.SetVec(i, r.value)
	}
	var chol mat.Cholesky
	if !chol.Factorize(read) {
		return nil, math.NaN()
	}
	var solved, m mat.VecDense
	if err := chol.SolveVecTo(&solved, x); err != nil {
		return nil, math.NaN()
	}
	m.MulVec(truth, &solved)
	return m.RawVector().Data, -0.5*chol.LogDet() - 0.5*mat.Dot(x, &solved)
}

func TestModelAgainstDenseMatrices(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	for range 50 {
		kinds, keys, n := 1+r.IntN(2), r.IntN(4), 4+r.IntN(5)
		readings := make([]reading, n)
		for i := range readings {
			d := reading{value: r.NormFloat64(), own: 0.01 + r.Float64(), kind: i % kinds}
			for k := range keys {
				if r.IntN(2) == 0 {
					d.shared = append(d.shared, load{kinds + k, r.Float64()})
				}
			}
			readings[i] = d
		}
		p := newPopulation(readings, kinds, kinds+keys, 0, 1)
		var differences [2]float64
		for k, spread := range []float64{0.2, 1.5} {
			s, evidence := p.explain(spread)
			want, denseEvidence := dense(readings, kinds, kinds+keys, spread)
			differences[k] = evidence - denseEvidence
			for i, d := range readings {
				centre := s.mean[d.kind]
				distance := d.value - centre
				for _, l := range d.shared {
					distance -= l.size * s.mean[l.key]
				}
				if got := centre + s.keep[i]*distance; !near(got, want[i], 1e-4) {
					t.Fatalf("spread %g: candidate %d is drawn around %.6f, dense %.6f", spread, i, got, want[i])
				}
			}
		}
		if !near(differences[0], differences[1], 1e-4) { // the flat prior adds one constant
			t.Fatalf("evidence differs from the dense one by %.6f and %.6f", differences[0], differences[1])
		}
	}
}

// A drawn set of true values has the mean and covariance of the dense model.
func TestDrawsHaveTheMomentsOfTheModel(t *testing.T) {
	readings := []reading{
		{value: 0.3, own: 0.02, shared: []load{{1, 0.2}}},
		{value: -0.1, own: 0.05, shared: []load{{1, 0.1}, {2, 0.2}}},
		{value: 0.5, own: 0.01, shared: []load{{2, 0.3}}, ahead: 0.04},
	}
	p := newPopulation(readings, 1, 3, 0, 0.3)
	s, _ := p.explain(0.3)
	s.weight = 1
	p.steps = []step{s}
	p.settle()
	want, _ := dense(readings, 1, 3, 0.3)
	r := rand.New(rand.NewPCG(22, 1))
	const draws = 200_000
	x, sum, squares := make([]float64, 3), [3]float64{}, [3]float64{}
	for range draws {
		p.draw(r, p.scratch(), []int{0, 1, 2}, x)
		for i, v := range x {
			sum[i] += v
			squares[i] += v * v
		}
	}
	for i := range sum {
		mean := sum[i] / draws
		sd := math.Sqrt(squares[i]/draws - mean*mean)
		if !near(mean, want[i], 4*sd/math.Sqrt(draws)+1e-4) {
			t.Errorf("candidate %d: drawn mean %.4f, want %.4f", i, mean, want[i])
		}
	}
	if sd := math.Sqrt(squares[2]/draws - math.Pow(sum[2]/draws, 2)); sd < 0.2 {
		t.Errorf("the owner's lamp adds 0.2, the drawn sd is only %.3f", sd)
	}
}

// The draws of a lopsided band must leave 2.5 % below, 50 % below the middle and
// 2.5 % above, and have the mean and variance used for shrinking.
func TestBandIsKept(t *testing.T) {
	band := Band{Low: 0.3, Mid: 0.6, High: 0.7}
	d := band.reading(0)
	r := rand.New(rand.NewPCG(23, 1))
	const draws = 400_000
	var below, under, over, sum, squares float64
	for range draws {
		x := d.value + math.Sqrt(d.own)*d.bend.apply(r.NormFloat64())
		sum += x
		squares += x * x
		switch {
		case x < band.Low:
			below++
			fallthrough
		case x < band.Mid:
			under++
		case x > band.High:
			over++
		}
	}
	mean := sum / draws
	for _, c := range []struct {
		what          string
		got, want, by float64
	}{
		{"below", below / draws, 0.025, 0.001},
		{"under the middle", under / draws, 0.5, 0.0032},
		{"over", over / draws, 0.025, 0.001},
		{"mean", mean, d.value, 0.0008},
		{"variance", squares/draws - mean*mean, d.own, 0.0001},
	} {
		if !near(c.got, c.want, c.by) {
			t.Errorf("%s: %.5f, want %.5f", c.what, c.got, c.want)
		}
	}
	cut := Band{Low: 0.8, Mid: 0.95, High: 1}.reading(0)
	if sd := math.Sqrt(cut.own); !near(sd, 0.15/bandWidth, 1e-12) || cut.value != 0.95 {
		t.Errorf("band cut at 1: %.4f with sd %.4f", cut.value, sd)
	}
	if exact := (Band{1, 1, 1}).reading(0); exact.own != 0 || exact.value != 1 {
		t.Errorf("value without error: %+v", exact)
	}
}
