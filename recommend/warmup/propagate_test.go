package warmup

import (
	"math"
	"testing"
)

// TestEURACHEM holds the product form against EURACHEM QUAM example A1, c = 1000 m P / V: u(c)/c =
// 0.0009, c = 1002.7, u = 0.9 (http://www.measurementuncertainty.org/guide/app_a_example1.html);
// the further digits are computed in photometry.md section 10.
func TestEURACHEM(t *testing.T) {
	m, p, v := 100.28, 0.9999, 100.0
	c := 1000 * m * p / v
	relative := propagate([]float64{1, 1, -1}, []float64{0.05 / m, 0.000058 / p, 0.07 / v}, nil)
	for _, x := range []struct {
		what            string
		got, want, near float64
	}{{"c", c, 1002.69972, 5e-6}, {"relative", relative, 0.00086138, 5e-9}, {"u", c * relative, 0.86370, 5e-6}} {
		if math.Abs(x.got-x.want) > x.near {
			t.Errorf("%s is %.8g, EURACHEM A1 %g", x.what, x.got, x.want)
		}
	}
}

// TestGUMH2 holds correlated propagation against GUM H.2: resistance, reactance and impedance from
// V, I and phi (inputs read; results to more digits computed in photometry.md section 10).
func TestGUMH2(t *testing.T) {
	v, i, phi := 4.999, 0.019661, 1.04446
	u := []float64{0.0032, 9.5e-6, 7.5e-4}
	correlation := func(a, b int) float64 {
		return map[[2]int]float64{{0, 1}: -0.36, {0, 2}: 0.86, {1, 2}: -0.65}[[2]int{a, b}]
	}
	r, x, z := v/i*math.Cos(phi), v/i*math.Sin(phi), v/i
	for _, test := range []struct {
		name              string
		value, wantValue  float64
		c                 []float64
		wantU, valueMatch float64
	}{
		{"R", r, 127.73217, []float64{r / v, -r / i, -x}, 0.069979, 5e-6},
		{"X", x, 219.84651, []float64{x / v, -x / i, r}, 0.295717, 5e-6},
		{"Z", z, 254.25970, []float64{z / v, -z / i, 0}, 0.236603, 5e-6},
	} {
		if math.Abs(test.value-test.wantValue) > test.valueMatch {
			t.Errorf("%s is %.8g, GUM H.2 %g", test.name, test.value, test.wantValue)
		}
		if got := propagate(test.c, u, correlation); math.Abs(got-test.wantU) > 1e-6 {
			t.Errorf("u(%s) is %.7g, GUM H.2 %g", test.name, got, test.wantU)
		}
	}
	if got := propagate([]float64{z / v, -z / i, 0}, u, nil); math.Abs(got-0.203921) > 1e-6 {
		t.Errorf("u(Z) without correlation is %.7g, want 0.203921", got)
	}
}

// TestHotOverCold is the worked ratio of photometry.md section 10: 1180 (24) / 1310 (26).
func TestHotOverCold(t *testing.T) {
	ratio := 1180.0 / 1310
	u := []float64{24.0 / 1180, 26.0 / 1310}
	for rho, want := range map[float64]float64{0: 0.025598, 0.8: 0.011455} {
		got := ratio * propagate([]float64{1, -1}, u, func(int, int) float64 { return rho })
		if math.Abs(got-want) > 1e-6 {
			t.Errorf("u at correlation %g is %.7g, want %g", rho, got, want)
		}
	}
	if got := propagate([]float64{1, -1}, []float64{0.1, 0.1}, alike); got != 0 {
		t.Errorf("what is alike leaves %g in a ratio", got)
	}
}
