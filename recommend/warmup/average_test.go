package warmup

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// TestStudentTable holds the table against gonum's distribution function.
func TestStudentTable(t *testing.T) {
	for _, nu := range []float64{2, 3, 5.5, 13, 28, 1800, normalNu} {
		m := &mixture{tail: distuv.StudentsT{Mu: 0, Sigma: 1, Nu: nu}}
		m.fillTable()
		for x := -30.0; x <= 30; x += 0.173 {
			if got, want := m.student(x), m.tail.CDF(x); math.Abs(got-want) > 5e-5 {
				t.Errorf("nu %g: P(t < %g) is %.6f, want %.6f", nu, x, got, want)
			}
		}
	}
}

// TestPriorMass holds the closed form of the prior's mass against a sum.
func TestPriorMass(t *testing.T) {
	s := span{2, 15}
	for _, ends := range [][2]float64{{0.08, 375}, {0.5, 1.5}, {3, 9}, {1, 40}, {20, 60}} {
		sum := 0.0
		const n = 20000
		h := math.Log(ends[1]/ends[0]) / n
		for i := 0; i < n; i++ {
			sum += h * math.Exp(s.logDensity(ends[0]*math.Exp((float64(i)+0.5)*h)))
		}
		if got := s.mass(ends[0], ends[1]); math.Abs(got-sum) > 1e-5 {
			t.Errorf("mass from %g to %g is %.6f, want %.6f", ends[0], ends[1], got, sum)
		}
	}
}

func TestRoot(t *testing.T) {
	for _, f := range []func(float64) float64{
		func(x float64) float64 { return x - 3 },
		func(x float64) float64 { return math.Atan(50 * (x - 3)) },
		func(x float64) float64 { return math.Pow(x-3, 5) },
	} {
		if got := root(-100, 1000, 1e-6, f); math.Abs(got-3) > 1e-2 || math.Abs(f(got)) > 1e-4 {
			t.Errorf("root at %g, f %g, want 3", got, f(got))
		}
	}
	if root(5, 9, 1e-6, func(x float64) float64 { return x }) != 5 || root(-9, -5, 1e-6, func(x float64) float64 { return x }) != -5 {
		t.Error("a root outside is not the nearer end")
	}
}

// TestBandOfKnownShape holds the band inside many readings against the ordinary Student t interval
// of least squares (linearised covariance), which it must come near where the readings say all.
func TestBandOfKnownShape(t *testing.T) {
	c := truth{level: 2000, drop: [2]float64{0.25}, tau: [2]float64{5}}
	var readings []Reading
	for i := 0; i <= 240; i++ {
		m := float64(i) / 8
		wave := []float64{1.1, -0.4, -1.3, 0.6, 0.9, -0.9, 0.2, -0.2}[i*5%8]
		readings = append(readings, Reading{m, c.at(m) * (1 + 0.005*wave)})
	}
	f, err := Reduce(readings, 20, Options{ResolutionLux: 0.001})
	if err != nil || f.Shape != ShapeOne {
		t.Fatal(f.Shape, err)
	}
	s := newSample(readings, make([]int, len(readings)))
	x, y := make([]float64, len(readings)), make([]float64, len(readings))
	for i, r := range readings {
		x[i], y[i] = r.Min, r.Lux/s.level
	}
	best, err := solve(warmUp(3), x, y, s.unit, []float64{0.8, 0.2, 1}, fromAfar())
	if err != nil {
		t.Fatal(err)
	}
	g := make([]float64, 3)
	light := warmUp(3).value(best.b, 20, g)
	variance := 0.0
	for j := range g {
		for k := range g {
			variance += g[j] * g[k] * best.covariance.At(j, k)
		}
	}
	half := distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(best.dof)}.Quantile(0.975) * math.Sqrt(variance) * s.level
	near(t, "light", f.Lux, light*s.level, 0.2*half)
	if got := (*f.LuxHigh - *f.LuxLow) / 2; got < 0.9*half || got > 1.5*half {
		t.Errorf("half of the band is %.3f lux, least squares alone %.3f", got, half)
	}
	near(t, "tau", f.TauMin, math.Exp(best.b[2]), 1e-4)
	if len(f.Parameters) != 3 || math.Abs(f.Parameters[2].Sigma-f.Parameters[2].Value*best.sd[2]) > 1e-4 {
		t.Errorf("%+v, standard deviation of ln tau %g", f.Parameters, best.sd[2])
	}
}
