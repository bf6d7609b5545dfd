package sure

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat/distuv"
)

// world is a population of catalogs with known truth.
type world struct {
	name  string
	shape func(r *rand.Rand) float64 // a difference of one bulb from the rest, in spreads
	least [3]float64                 // smallest spread of log ratio, pattern, heat
	most  [3]float64                 // largest
	noise float64                    // factor on all errors
	few   int                        // most bulbs of a catalog, 0: 10
	many  int                        // least bulbs of a catalog, 0: 2
}

func normal(r *rand.Rand) float64 { return r.NormFloat64() }

// simulated is a catalog as read, and the truth in the owner's lamp.
type simulated struct {
	candidates []Candidate
	weights    [3]float64
	scores     []float64 // true
}

var simScale = Scale{Q0: 0.7, Q1: 2.2}

// simulate draws a catalog: 2 to 10 bulbs measured in 1 to 3 rigs. The stock
// reading and most of the colour error are shared in a rig. The truth is that of
// the owner's lamp, which differs from the bench's lamp for each bulb.
func (w world) simulate(r *rand.Rand) simulated {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	least, most := max(2, w.many), max(10, w.many+10)
	if w.few > 0 {
		most = w.few
	}
	n, rigs := least+r.IntN(most-least+1), 1+r.IntN(3)
	var spread [3]float64
	for k := range spread {
		spread[k] = between(w.least[k], w.most[k])
	}
	centre := [3]float64{math.Log(1.2) + 0.2*r.NormFloat64(), 0.45 + 0.35*r.Float64(), 0.45 + 0.35*r.Float64()}
	stock, colour := w.noise*between(0.03, 0.08), w.noise*0.04
	ownColour, lamp, lampShared := w.noise*0.015, w.noise*between(0.04, 0.12), w.noise*0.05
	stockError, colourError := make([]float64, rigs), make([]float64, rigs)
	for g := range rigs {
		stockError[g], colourError[g] = stock*r.NormFloat64(), colour*r.NormFloat64()
	}
	ownersLamp := lampShared * r.NormFloat64()
	s := simulated{weights: uniformWeights(r)}
	for range n {
		g := r.IntN(rigs)
		repeat := w.noise * between(0.02, 0.08)
		bulb := centre[0] + spread[0]*w.shape(r)
		read := bulb + lamp*r.NormFloat64() + repeat*r.NormFloat64() + ownColour*r.NormFloat64() + stockError[g] + colourError[g]
		truth := [3]float64{bulb + lamp*r.NormFloat64() + ownersLamp}
		c := Candidate{Kind: "led", Ratio: math.Exp(read), Scale: simScale, Parts: []Part{
			{Name: "repeat", Rel: repeat},
			{Name: "own colour", Rel: ownColour},
			{Name: "bench lamp", Rel: lamp},
			{Name: "owner's lamp", Rel: lamp, Owner: true},
			{Name: "owner's lamp for all", Rel: lampShared, Key: "lamp", Owner: true},
			{Name: "stock", Rel: stock, Key: fmt.Sprint("stock", g)},
			{Name: "colour", Rel: colour, Key: fmt.Sprint("colour", g)},
		}}
		for k, band := range []*Band{&c.Pattern, &c.Heat} {
			sd := w.noise * between(0.02, 0.12)
			truth[k+1] = unit(centre[k+1] + spread[k+1]*w.shape(r))
			x := truth[k+1] + sd*r.NormFloat64()
			*band = Band{unit(x - bandWidth*sd), unit(x), unit(x + bandWidth*sd)}
		}
		s.candidates = append(s.candidates, c)
		s.scores = append(s.scores, s.weights[0]*simScale.Value(math.Exp(truth[0]))+s.weights[1]*truth[1]+s.weights[2]*truth[2])
	}
	return s
}

// named returns the bulb a program would name for its figures alone.
func (s simulated) named() int {
	best, at := math.Inf(-1), 0
	for i, c := range s.candidates {
		v := s.weights[0]*c.Scale.Value(c.Ratio) + s.weights[1]*c.Pattern.Mid + s.weights[2]*c.Heat.Mid
		if v > best {
			best, at = v, i
		}
	}
	return at
}

// won says how much of the first place is truly the candidate's: 1, or 0, or a
// part where the truth is a tie.
func (s simulated) won(candidate int) float64 {
	level := 0.0
	for _, v := range s.scores {
		if v > s.scores[candidate] {
			return 0
		}
		if v == s.scores[candidate] {
			level++
		}
	}
	return 1 / level
}

// table collects what was said and what came true, by tenths of what was said.
type table struct {
	count, said, true [10]float64
}

func (t *table) add(said, won float64) {
	k := min(9, int(said*10))
	t.count[k]++
	t.said[k] += said
	t.true[k] += won
}

// judge says for each tenth from 0.5 up whether what came true lies within the
// binomial 99 % interval of what was said.
func (t *table) judge() (ok bool, text string) {
	var b strings.Builder
	fmt.Fprintf(&b, "%-9s %8s %7s %7s   %s\n", "said", "catalogs", "mean", "true", "99 % interval")
	tenths := 0
	ok = true
	for k := 5; k < 10; k++ {
		if t.count[k] == 0 {
			continue
		}
		tenths++
		n := t.count[k]
		mean := t.said[k] / n
		d := distuv.Binomial{N: n, P: mean}
		low, high := 0.0, n
		for low < n && d.CDF(low) < 0.005 {
			low++
		}
		for high > 0 && 1-d.CDF(high-1) < 0.005 {
			high--
		}
		verdict := ""
		if t.true[k] < low || t.true[k] > high {
			ok, verdict = false, "  outside"
		}
		fmt.Fprintf(&b, "%.1f to %.1f %7.0f %7.3f %7.3f   %.3f to %.3f%s\n", float64(k)/10, float64(k+1)/10, n, mean, t.true[k]/n, low/n, high/n, verdict)
	}
	return ok && tenths > 0, b.String() // who says nothing is not right
}

// ordinary is the stated population: bulbs differ by 5 to 40 % in output and by
// 0.04 to 0.2 in pattern and heat (standard deviations); a reading of output
// errs by 6 to 16 %, of pattern and heat by 0.02 to 0.12.
var ordinary = world{"ordinary", normal, [3]float64{0.05, 0.04, 0.04}, [3]float64{0.4, 0.2, 0.2}, 1, 0, 0}

// TestCalibration is the promise of firm.noise: of the bulbs named with a
// probability of, say, 0.7 to 0.8, that part is truly best in the owner's lamp.
// The same test must catch a program that always says 90 % and one that takes
// every reading at its word.
func TestCalibration(t *testing.T) {
	catalogs := 5000
	if testing.Short() {
		catalogs = 1500
	}
	r := rand.New(rand.NewPCG(31, 1))
	var said, ninety, trusting table
	for c := range catalogs {
		s := ordinary.simulate(r)
		k := s.named()
		opt := Options{Seed: uint64(c), StandardError: 0.02, Lead: 1}
		won := s.won(k)
		said.add(mustNoise(t, s.candidates, s.weights, opt).First[k], won)
		ninety.add(0.9, won)
		if c < 1500 {
			opt.Usual, opt.StandardError = [3]float64{10, 10, 10}, 0.025 // spreads so large that nothing is shrunk
			trusting.add(mustNoise(t, s.candidates, s.weights, opt).First[k], won)
		}
	}
	ok, text := said.judge()
	t.Logf("%d simulated catalogs\n%s", catalogs, text)
	if !ok {
		t.Error("what was said is not what came true")
	}
	ok, text = ninety.judge()
	t.Logf("always 90 %%\n%s", text)
	if ok {
		t.Error("a program that always says 90 % passes")
	}
	ok, text = trusting.judge()
	t.Logf("without shrinkage\n%s", text)
	if ok {
		t.Error("a program that does not shrink passes")
	}
}

// TestCalibrationElsewhere looks at populations the model was not made for. It
// holds the largest error over all that was said from 0.5 up, and logs the rest.
func TestCalibrationElsewhere(t *testing.T) {
	if testing.Short() {
		t.Skip("long")
	}
	duds := func(r *rand.Rand) float64 { return 1 - r.ExpFloat64() }
	stars := func(r *rand.Rand) float64 { return r.ExpFloat64() - 1 }
	camps := func(r *rand.Rand) float64 { return float64(2*r.IntN(2)-1) + 0.2*r.NormFloat64() }
	worlds := []world{
		{"wide spread", normal, [3]float64{0.3, 0.15, 0.15}, [3]float64{0.6, 0.25, 0.25}, 1, 0, 0},
		{"half the noise", normal, ordinary.least, ordinary.most, 0.5, 0, 0},
		{"twice the noise", normal, ordinary.least, ordinary.most, 2, 0, 0},
		{"a tail of bad bulbs", duds, ordinary.least, ordinary.most, 1, 0, 0},
		{"a tail of good bulbs", stars, ordinary.least, ordinary.most, 1, 0, 0},
		{"two camps", camps, ordinary.least, ordinary.most, 1, 0, 0},
		{"nearly all the same", normal, [3]float64{0.01, 0.005, 0.005}, [3]float64{0.03, 0.02, 0.02}, 1, 0, 0},
		{"two or three bulbs", normal, ordinary.least, ordinary.most, 1, 3, 0},
		{"many bulbs, near-equal", normal, [3]float64{0.05, 0.04, 0.04}, [3]float64{0.1, 0.06, 0.06}, 1, 0, 20},
		{"two or three bulbs, a tail of bad ones", duds, ordinary.least, ordinary.most, 1, 3, 0},
		{"many bulbs, a tail of bad ones", duds, ordinary.least, ordinary.most, 1, 0, 20},
	}
	// Limits: a tenth; more where more was measured, with its own doubt of about two standard errors.
	// Nearly all the same: measured 0.18. With many bulbs and a tail of bad ones 34 and, drawn from
	// other numbers, 39 of 800 were said 0.5 or more: mean 0.61 and 0.59, true 0.44 and 0.46. Without
	// the lean of populations (spread.go) 84 were: mean 0.62, true 0.36.
	allowed := map[string]float64{"nearly all the same": 0.22, "many bulbs, a tail of bad ones": 0.22}
	for _, w := range worlds {
		r := rand.New(rand.NewPCG(32, 1))
		var said table
		for c := range 800 {
			s := w.simulate(r)
			k := s.named()
			said.add(mustNoise(t, s.candidates, s.weights, Options{Seed: uint64(c), StandardError: 0.02, Lead: 1}).First[k], s.won(k))
		}
		count, mean, won := 0.0, 0.0, 0.0
		for k := 5; k < 10; k++ {
			count, mean, won = count+said.count[k], mean+said.said[k], won+said.true[k]
		}
		_, text := said.judge()
		t.Logf("%s: %.0f said 0.5 or more, mean %.3f, true %.3f\n%s", w.name, count, mean/count, won/count, text)
		// A program that never says 0.5 shows nothing.
		if limit := max(0.1, allowed[w.name]); count < 30 || !(math.Abs(mean-won)/count <= limit) {
			t.Errorf("%s: said %.3f, true %.3f", w.name, mean/count, won/count)
		}
	}
}
