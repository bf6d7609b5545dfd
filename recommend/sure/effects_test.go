package sure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// bcg are the thirteen trials of a vaccine against tuberculosis: cases and others
// among the vaccinated, cases and others among the rest (Colditz and others 1994,
// JAMA 271, 698, table 1; the data set dat.bcg of the R package metadat).
var bcg = [][4]float64{
	{4, 119, 11, 128}, {6, 300, 29, 274}, {3, 228, 11, 209}, {62, 13536, 248, 12619}, {33, 5036, 47, 5761},
	{180, 1361, 372, 1079}, {8, 2537, 10, 619}, {505, 87886, 499, 87892}, {29, 7470, 45, 7232},
	{17, 1699, 65, 1600}, {186, 50448, 141, 27197}, {5, 2493, 3, 2338}, {27, 16886, 29, 17825},
}

// TestBetweenPublished holds the method to the digits that the R package metafor
// prints for this table (log risk ratios, method "DL"): between 0.3088, mean -0.7141,
// its standard error 0.1787, Q 152.2330 with 12 degrees of freedom.
func TestBetweenPublished(t *testing.T) {
	var r Repeated
	for _, c := range bcg {
		treated, control := c[0]+c[1], c[2]+c[3]
		r.Values = append(r.Values, math.Log(c[0]/treated)-math.Log(c[2]/control))
		r.Variances = append(r.Variances, 1/c[0]-1/treated+1/c[2]-1/control)
	}
	e, err := Between([]Repeated{r}, 0, 0)
	if err != nil {
		t.Fatal(err)
	}
	sum, mean := 0.0, 0.0
	for i, v := range r.Variances {
		sum, mean = sum+1/(v+e.Between), mean+r.Values[i]/(v+e.Between)
	}
	for _, c := range []struct {
		name       string
		got, want  float64
		halfADigit float64
	}{
		{"between", e.Between, 0.3088, 5e-5}, {"mean", mean / sum, -0.7141, 5e-5},
		{"standard error", 1 / math.Sqrt(sum), 0.1787, 5e-5}, {"Q", e.Q * 13 / 2, 152.2330, 5e-5}, // thirteen places count like two
	} {
		if !(math.Abs(c.got-c.want) <= c.halfADigit) {
			t.Errorf("%s: %.6f, published %g", c.name, c.got, c.want)
		}
	}
}

// made are things read in several places, with errors that some of them share.
func made(r *rand.Rand, things, places int, between, own, shared float64) []Repeated {
	var list []Repeated
	errors := make([]float64, places)
	for k := range errors {
		errors[k] = shared * r.NormFloat64()
	}
	for range things {
		var one Repeated
		mean := r.NormFloat64()
		for k := range places {
			one.Values = append(one.Values, mean+between*r.NormFloat64()+own*r.NormFloat64()+errors[k])
			one.Variances = append(one.Variances, own*own)
			one.Keys = append(one.Keys, fmt.Sprint(k))
		}
		list = append(list, one)
	}
	return list
}

// TestBetweenAgainstDenseMatrices computes the same from V, one row a reading.
func TestBetweenAgainstDenseMatrices(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 1))
	for range 50 {
		list := made(r, 1+r.IntN(4), 2+r.IntN(3), 0.1, 0.05, 0.2)
		for i := range list { // not every reading shares its error
			for k := range list[i].Keys {
				list[i].Variances[k] *= 0.5 + r.Float64()
				if r.IntN(4) == 0 {
					list[i].Keys[k] = ""
				}
			}
		}
		const shared, guess = 0.04, 0.007
		got, err := Between(list, shared, guess)
		if err != nil {
			t.Fatal(err)
		}
		q, between, freedom := denseBetween(list, shared, guess)
		if !near(got.Q, q, 1e-8*(1+q)) || !near(got.Between, between, 1e-8) || !near(got.Freedom, freedom, 1e-8) {
			t.Fatalf("%+v, dense %g %g %g", got, between, q, freedom)
		}
	}
}

func denseBetween(list []Repeated, shared, guess float64) (q, between, freedom float64) {
	type row struct {
		thing          int
		value, own, by float64
		key            string
	}
	var rows []row
	used := map[string]int{}
	for i, thing := range list {
		for k, v := range thing.Values {
			rows = append(rows, row{i, v, thing.Variances[k], float64(len(thing.Values)) / 2, thing.Keys[k]})
			used[thing.Keys[k]]++
		}
	}
	n := len(rows)
	v, x, y := mat.NewSymDense(n, nil), mat.NewDense(n, len(list), nil), mat.NewVecDense(n, nil)
	for i := range rows {
		a := &rows[i]
		if a.key != "" && used[a.key] == 1 {
			a.own += shared
		}
		x.Set(i, a.thing, 1)
		y.SetVec(i, a.value)
	}
	for i, a := range rows {
		for j := i; j < n; j++ {
			b, c := rows[j], 0.0
			if i == j {
				c = (a.own + guess) * a.by
			}
			if a.key != "" && a.key == b.key && used[a.key] > 1 {
				c += shared
			}
			v.SetSym(i, j, c)
		}
	}
	var inverse, hat, vx, normal, back, last mat.Dense
	_ = inverse.Inverse(v)
	vx.Mul(&inverse, x)
	normal.Mul(x.T(), &vx)
	_ = back.Inverse(&normal)
	hat.Mul(&vx, &back)
	last.Mul(&hat, vx.T())
	var p mat.Dense
	p.Sub(&inverse, &last)
	q = mat.Inner(y, &p, y)
	excess, trace := q-float64(n-len(list)), 0.0
	for i, a := range rows {
		trace += p.At(i, i)
		excess += p.At(i, i) * ((a.own+guess)*a.by - a.own)
		freedom += p.At(i, i) * (a.own + guess)
	}
	return q, excess / trace, freedom
}

// TestBetweenSharedErrors: things read in the same two places with the same stock
// readings are compared with one another, not with those readings, whose error is the
// same for all: the estimate is right on average and scatters as little as that of
// things with no error in common.
func TestBetweenSharedErrors(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	const between, own, shared, catalogs = 0.08, 0.041, 0.07, 4000
	var sum, squares, blind float64
	for range catalogs {
		list := made(r, 6, 2, between, own, shared)
		e, err := Between(list, shared*shared, between*between)
		if err != nil {
			t.Fatal(err)
		}
		sum, squares = sum+e.Between, squares+e.Between*e.Between
		for i := range list { // as if every reading had a stock reading for itself
			list[i].Keys = nil
			for k := range list[i].Variances {
				list[i].Variances[k] += shared * shared
			}
		}
		e, err = Between(list, 0, between*between)
		if err != nil {
			t.Fatal(err)
		}
		blind += (e.Between - between*between) * (e.Between - between*between)
	}
	mean := sum / catalogs
	sd := math.Sqrt(squares/catalogs - mean*mean)
	free := (between*between + own*own) * math.Sqrt(2./5) // five differences of six, the shared one lost
	if !near(mean, between*between, 4*sd/math.Sqrt(catalogs)) || sd > 1.1*free {
		t.Errorf("between %.5f with sd %.5f, want %.5f with %.5f", mean, sd, between*between, free)
	}
	if blind := math.Sqrt(blind / catalogs); blind < 1.3*sd {
		t.Errorf("not knowing what is shared costs nothing: %.5f against %.5f", blind, sd)
	}
}

// TestBetweenIdentities: one reading says nothing; equal readings show less than
// their errors; a shift moves nothing; a scale moves all as it should; the order of
// things and places does not show.
func TestBetweenIdentities(t *testing.T) {
	one, _ := Between([]Repeated{{Values: []float64{0.3}, Variances: []float64{0.01}}}, 0, 0)
	if one.Between != 0 || one.Freedom != 0 {
		t.Errorf("one reading: %+v", one)
	}
	equal, _ := Between([]Repeated{{Values: []float64{1, 1, 1}, Variances: []float64{0.01, 0.01, 0.01}}}, 0, 0)
	if !near(equal.Between, -0.01, 1e-9) {
		t.Errorf("equal readings: %+v", equal)
	}
	r := rand.New(rand.NewPCG(1, 1))
	for range 200 {
		list := made(r, 1+r.IntN(5), 2+r.IntN(4), 1, 0.5, 1)
		var shifted, scaled, turned []Repeated
		for _, a := range list {
			b, c, d := a, a, a
			b.Values, c.Values, c.Variances = slices.Clone(a.Values), slices.Clone(a.Values), slices.Clone(a.Variances)
			d.Values, d.Keys = slices.Clone(a.Values), slices.Clone(a.Keys)
			slices.Reverse(d.Values)
			slices.Reverse(d.Keys)
			for i := range a.Values {
				b.Values[i] += 5
				c.Values[i], c.Variances[i] = 3*a.Values[i], 9*a.Variances[i]
			}
			shifted, scaled, turned = append(shifted, b), append(scaled, c), slices.Insert(turned, 0, d)
		}
		a, _ := Between(list, 1, 1)
		b, _ := Between(shifted, 1, 1)
		c, _ := Between(scaled, 9, 9)
		d, _ := Between(turned, 1, 1)
		if !near(b.Between, a.Between, 1e-8) || !near(c.Between, 9*a.Between, 1e-8) || d.Between != a.Between {
			t.Fatalf("%v: %+v, shifted %+v, scaled %+v, turned %+v", list, a, b, c, d)
		}
	}
	for _, bad := range []Repeated{{}, {[]float64{1}, []float64{0}, nil}, {[]float64{1}, []float64{1, 2}, nil}, {[]float64{math.NaN()}, []float64{1}, nil}, {[]float64{1}, []float64{math.Inf(1)}, nil}, {[]float64{1}, []float64{1}, []string{"a", "b"}}} {
		if _, err := Between([]Repeated{bad}, 0, 0); err == nil {
			t.Errorf("%v: no error", bad)
		}
	}
}
