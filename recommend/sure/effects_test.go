package sure

import (
	"math"
	"math/rand/v2"
	"testing"
)

// bcg are the thirteen trials of a vaccine against tuberculosis: cases and others
// among the vaccinated, cases and others among the rest (Colditz and others 1994,
// JAMA 271, 698, table 1; the data set dat.bcg of the R package metadat).
var bcg = [][4]float64{
	{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761},
	{180, 1361, 372, 1079}, {8, 2537, 10, 619}, {505, 87886, 499, 87892}, {29, 7470, 45, 7232},
	{17, 1699, 65, 1600}, {186, 50448, 141, 27197}, {5, 2493, 3, 2338}, {27, 16886, 29, 17825},
}

// TestRandomEffectsPublished holds the method to the digits that the R package
// metafor prints for this table (log risk ratios, method "DL"): between 0.3088,
// mean -0.7141, its standard error 0.1787, Q 152.2330 with 12 degrees of freedom.
func TestRandomEffectsPublished(t *testing.T) {
	var y, v []float64
	for _, r := range bcg {
		treated, control := r[0]+r[1], r[2]+r[3]
		y = append(y, math.Log(r[0]/treated)-math.Log(r[2]/control))
		v = append(v, 1/r[0]-1/treated+1/r[2]-1/control)
	}
	e, err := RandomEffects(y, v)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name       string
		got, want  float64
		halfADigit float64
	}{
		{"between", e.Between, 0.3088, 5e-5}, {"mean", e.Mean, -0.7141, 5e-5},
		{"standard error", math.Sqrt(e.Variance), 0.1787, 5e-5}, {"Q", e.Q, 152.2330, 5e-5}, {"freedom", float64(e.Freedom), 12, 0},
	} {
		if !(math.Abs(c.got-c.want) <= c.halfADigit) {
			t.Errorf("%s: %.6f, published %g", c.name, c.got, c.want)
		}
	}
}

// TestRandomEffectsIdentities: one reading speaks for itself; equal readings show
// nothing between places; a shift moves the mean and nothing else; a scale moves
// all as it should.
func TestRandomEffectsIdentities(t *testing.T) {
	one, _ := RandomEffects([]float64{0.3}, []float64{0.01})
	if one.Mean != 0.3 || math.Abs(one.Variance-0.01) > 1e-15 || one.Between != 0 {
		t.Errorf("one reading: %+v", one)
	}
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		n := 2 + r.IntN(6)
		y, shifted, scaled, v, v9 := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range n {
			y[i], v[i] = r.NormFloat64(), 0.01+r.Float64()
			shifted[i], scaled[i], v9[i] = y[i]+5, 3*y[i], 9*v[i]
		}
		a, _ := RandomEffects(y, v)
		b, _ := RandomEffects(shifted, v)
		c, _ := RandomEffects(scaled, v9)
		if math.Abs(b.Mean-a.Mean-5) > 1e-9 || math.Abs(b.Between-a.Between) > 1e-9 || math.Abs(c.Between-9*a.Between) > 1e-9 || math.Abs(c.Mean-3*a.Mean) > 1e-9 {
			t.Fatalf("%v %v: %+v, shifted %+v, scaled %+v", y, v, a, b, c)
		}
	}
	for _, bad := range [][2][]float64{{nil, nil}, {{1}, {0}}, {{1}, {1, 2}}, {{math.NaN()}, {1}}, {{1}, {math.Inf(1)}}} {
		if _, err := RandomEffects(bad[0], bad[1]); err == nil {
			t.Errorf("%v: no error", bad)
		}
	}
}
