package warmup

import (
	"math"
	"math/rand/v2"
	"sort"
	"testing"
)

// The simulated truth, chosen broadly. Light at switch-on 300 to 2,500 lux, even.
//
//	one   droop 3 to 35 %, even; time constant 2 to 15 min, even in the logarithm
//	two   droop 8 to 35 %, even, 30 to 70 % of it fast; 0.5 to 2.5 min and 6 to 18 min, even in the
//	      logarithm
//	step  one, and a sudden fall of 6 to 40 % at 5 to 22 min, even
//
// Readings have normal noise in percent of the light, 0.3 to 2 % even in the logarithm unless said
// otherwise, and are rounded to 1 lux. A spoiled series has each reading wrong by 5 to 40 % either
// way with probability 7 %.
type truth struct {
	level           float64
	drop, tau       [2]float64
	stepAt, stepBy  float64
	swing, swingMin float64
}

func (c truth) at(t float64) float64 {
	v := 1 - c.drop[0] - c.drop[1]
	for k, d := range c.drop {
		if d != 0 {
			v += d * math.Exp(-t/c.tau[k])
		}
	}
	if c.stepBy != 0 && t >= c.stepAt {
		v *= 1 - c.stepBy
	}
	if c.swing != 0 {
		v *= 1 + c.swing*math.Sin(2*math.Pi*t/c.swingMin)
	}
	return c.level * v
}

func uniform(r *rand.Rand, a, b float64) float64 { return a + (b-a)*r.Float64() }

func logUniform(r *rand.Rand, a, b float64) float64 {
	return math.Exp(uniform(r, math.Log(a), math.Log(b)))
}

func oneTruth(r *rand.Rand) truth {
	return truth{level: uniform(r, 300, 2500), drop: [2]float64{uniform(r, 0.03, 0.35)}, tau: [2]float64{logUniform(r, 2, 15)}}
}

func twoTruth(r *rand.Rand) truth {
	d, fast := uniform(r, 0.08, 0.35), uniform(r, 0.3, 0.7)
	return truth{level: uniform(r, 300, 2500), drop: [2]float64{d * fast, d * (1 - fast)}, tau: [2]float64{logUniform(r, 0.5, 2.5), logUniform(r, 6, 18)}}
}

func stepTruth(r *rand.Rand) truth {
	c := oneTruth(r)
	c.stepAt, c.stepBy = uniform(r, 5, 22), uniform(r, 0.06, 0.4)
	return c
}

func fixedNoise(v float64) func(*rand.Rand) float64 { return func(*rand.Rand) float64 { return v } }
func anyNoise(r *rand.Rand) float64                 { return logUniform(r, 0.003, 0.02) }

// minutes are 0, 1, 2 and so on to the last.
func minutes(last int) (t []float64) {
	for i := 0; i <= last; i++ {
		t = append(t, float64(i))
	}
	return t
}

func spoil(r *rand.Rand, readings []Reading) {
	for i := range readings {
		if r.Float64() < 0.07 {
			by := uniform(r, 0.05, 0.4)
			if r.IntN(2) == 0 {
				by = -by
			}
			readings[i].Lux *= 1 + by
		}
	}
}

// kind is one kind of simulated run.
type kind struct {
	name    string
	truth   func(*rand.Rand) truth
	times   []float64
	at      float64
	noise   func(*rand.Rand) float64
	spoiled bool
	runs    int // 0 for simulatedRuns
	judge   func(t *testing.T, y *outcome)
}

// outcome holds what became of the runs of a kind.
type outcome struct {
	runs   []run
	shapes map[Shape]int
}

type run struct {
	truth   truth
	want    float64 // the true light at the time asked for
	figures Figures
	middle  Estimate
	given   bool
}

func (k kind) simulate(t testing.TB, runs int, seed uint64) *outcome {
	r := rand.New(rand.NewPCG(seed, 27))
	y := &outcome{shapes: map[Shape]int{}}
	for i := 0; i < runs; i++ {
		c, noise := k.truth(r), k.noise(r)
		readings := make([]Reading, len(k.times))
		for j, m := range k.times {
			readings[j] = Reading{m, c.at(m) * (1 + noise*r.NormFloat64())}
		}
		if k.spoiled {
			spoil(r, readings)
		}
		for j := range readings {
			readings[j].Lux = math.Max(math.Round(readings[j].Lux), 1)
		}
		f, err := Reduce(readings, k.at, Options{})
		if err != nil {
			t.Fatal(err)
		}
		y.shapes[f.Shape]++
		one := run{truth: c, want: c.at(k.at), figures: f}
		if f.LuxLow != nil {
			one.middle, one.given = f.Curve.At(k.at)
		}
		y.runs = append(y.runs, one)
	}
	return y
}

// given is the share of runs with a band.
func (y *outcome) given() float64 {
	n := 0
	for _, r := range y.runs {
		if r.given {
			n++
		}
	}
	return float64(n) / float64(len(y.runs))
}

// coverage counts the bands, stretched by a factor about their middle, that hold the truth.
func (y *outcome) coverage(stretch float64) (held, bands int) {
	for _, r := range y.runs {
		if !r.given {
			continue
		}
		bands++
		e := r.middle
		if r.want >= e.Lux-stretch*(e.Lux-e.Low) && r.want <= e.Lux+stretch*(e.High-e.Lux) {
			held++
		}
	}
	return held, bands
}

// width is the mean width of the bands in percent of the truth, stretched by a factor.
func (y *outcome) width(stretch float64) float64 {
	sum, n := 0.0, 0
	for _, r := range y.runs {
		if r.given {
			sum += 100 * stretch * (r.middle.High - r.middle.Low) / r.want
			n++
		}
	}
	return sum / float64(n)
}

// error90 is the 90th percentile of the error in percent of the truth.
func (y *outcome) error90() float64 {
	var errors []float64
	for _, r := range y.runs {
		if r.given {
			errors = append(errors, 100*math.Abs(r.middle.Lux-r.want)/r.want)
		}
	}
	sort.Float64s(errors)
	return errors[len(errors)*9/10]
}

func (y *outcome) share(s Shape) float64 { return float64(y.shapes[s]) / float64(len(y.runs)) }

// wilson is the 95 % interval of a share, in percent (Wilson, J. Am. Stat. Assoc. 22, 1927, 209).
func wilson(hits, n int) (low, high float64) {
	const z = normal95
	p, m := float64(hits)/float64(n), float64(n)
	middle := (p + z*z/(2*m)) / (1 + z*z/m)
	half := z / (1 + z*z/m) * math.Sqrt(p*(1-p)/m+z*z/(4*m*m))
	return 100 * (middle - half), 100 * (middle + half)
}

// coverageFault says whether the whole binomial interval of the coverage lies within the gate.
func (y *outcome) coverageFault(stretch, low, high float64) bool {
	held, bands := y.coverage(stretch)
	a, b := wilson(held, bands)
	return a < low || b > high
}
