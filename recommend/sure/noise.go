package sure

import (
	"fmt"
	"math"
)

// Part is one random error of a vs-stock ratio.
type Part struct {
	Name string  // for messages
	Rel  float64 // relative standard uncertainty, 0..2; taken as that of the log
	// Key names the error. Candidates whose parts have the same key share one
	// error: the stock reading of one rig, the colour error of one meter, the
	// owner's lamp. Empty: the candidate's own.
	Key string
	// Owner marks what is no error of the reading but awaits in the owner's own
	// lamp, such as how that lamp differs from the average lamp of its kind. It
	// widens the result; it is no reason to doubt the reading. How the bench's
	// lamp differs from the average one is an error of the reading: a second
	// part without this mark.
	Owner bool
}

// Band is a value 0..1 with its 95 % band. Mid is the median: low, mid and high
// are the points below which the value lies with probability 0.025, 0.5, 0.975.
type Band struct{ Low, Mid, High float64 }

// Candidate is what is known of one bulb and how wrong it may be.
type Candidate struct {
	// Kind separates populations that should not be pulled towards one another,
	// such as "led" and "halogen".
	Kind  string
	Ratio float64 // best estimate of hot vs stock, above 0
	Parts []Part
	// Down is the log of a one-sided limit: by so much less the light may be for a
	// reason that can only lower it, such as a cap left off on the bench.
	Down    float64
	Scale   Scale // ratio to output value
	Pattern Band
	// PatternKey names the beam where several candidates have the very same one,
	// such as two halogens in one lamp; empty: the candidate's own.
	PatternKey string
	Heat       Band
}

// Options of Noise. The zero value is the default of every field.
type Options struct {
	Seed uint64
	// StandardError is the largest standard error wanted of any probability
	// given, by the number of draws. Default 0.005: 10,000 draws.
	StandardError float64
	// Tie is the probability of beating the other that makes a lead; when neither
	// of two has it, they are a tie. Above 0.5, below 1, default 0.9.
	Tie float64
	// Lead is the number of candidates, from the start of the list, for which
	// pairs are given. Default 12.
	Lead int
	// Usual is the spread to be expected among bulbs before any reading: of the
	// log of the ratio, of the pattern value, of the heat value. It matters
	// where there are few candidates. Zero: 0.25, 0.15, 0.15.
	Usual [3]float64
}

// NoiseResult says how sure the ranking is in spite of the errors of the
// measurements, at the weights given. These are probabilities, given the errors
// stated and the model of the population; they say nothing about other weights.
type NoiseResult struct {
	Draws         int
	StandardError float64 // largest standard error of a probability, by the draws
	// First is the probability of being the best of all.
	First []float64
	// Beats[a][b] is the probability that candidate a is better than b, for the
	// first Lead candidates; 0.5 for a itself.
	Beats [][]float64
	// Kept is the part of the differences read that is taken for real, by
	// criterion, 0..1. Near 1 the errors are small against the spread of the
	// candidates; near 0 the readings are mostly noise.
	Kept [3]float64
	// Spread is the estimated standard deviation of the true values among
	// candidates of a kind: log of the ratio, pattern value, heat value.
	Spread [3]float64
	tie    float64
}

// Ties returns the candidates of the first Lead that cannot be told from
// candidate a, in the order of the list.
func (n NoiseResult) Ties(a int) []int {
	var out []int
	if a < 0 || a >= len(n.Beats) {
		return nil
	}
	for b, p := range n.Beats[a] {
		if b != a && p < n.tie && 1-p < n.tie {
			out = append(out, b)
		}
	}
	return out
}

// bandWidth is the distance from the middle to the end of a 95 % band, in
// standard uncertainties.
const bandWidth = 1.959964

// Noise draws what the true values of the candidates may be, given what was
// read, and counts who is best. Give the candidates in ranked order. The same
// input and seed give the same result.
func Noise(candidates []Candidate, weights [3]float64, opt Options) (NoiseResult, error) {
	opt, err := opt.filled()
	if err != nil {
		return NoiseResult{}, err
	}
	if err := checkWeights(weights); err != nil {
		return NoiseResult{}, err
	}
	populations, err := populationsOf(candidates, opt.Usual)
	if err != nil {
		return NoiseResult{}, err
	}
	draws := int(math.Ceil(0.25 / (opt.StandardError * opt.StandardError) * (1 - 1e-12)))
	out := NoiseResult{Draws: draws, StandardError: 0.5 / math.Sqrt(float64(draws)), tie: opt.Tie}
	if len(candidates) == 0 {
		return out, nil
	}
	d := drawing{lead: min(opt.Lead, len(candidates)), weights: weights, populations: populations}
	for _, c := range candidates {
		d.scales = append(d.scales, c.Scale.root())
	}
	out.First, out.Beats = d.run(opt.Seed, draws).shares()
	for k, p := range populations {
		out.Kept[k], out.Spread[k] = p.kept()
	}
	return out, nil
}

func (o Options) filled() (Options, error) {
	if o.StandardError == 0 {
		o.StandardError = 0.005
	}
	if o.Tie == 0 {
		o.Tie = 0.9
	}
	if o.Lead == 0 {
		o.Lead = 12
	}
	for k, usual := range [3]float64{0.25, 0.15, 0.15} {
		if o.Usual[k] == 0 {
			o.Usual[k] = usual
		}
		if !(o.Usual[k] >= 1e-3 && o.Usual[k] <= 10) {
			return o, fmt.Errorf("usual spread %d: %g, legal: 0.001 to 10", k+1, o.Usual[k])
		}
	}
	switch {
	case !(o.StandardError >= 5e-4 && o.StandardError <= 0.05):
		return o, fmt.Errorf("wanted standard error of a probability: %g, legal: 0.0005 to 0.05", o.StandardError)
	case !(o.Tie > 0.5 && o.Tie < 1):
		return o, fmt.Errorf("probability that makes a lead: %g, legal: above 0.5, below 1", o.Tie)
	case o.Lead < 1:
		return o, fmt.Errorf("number of leading candidates: %d, legal: 1 or more", o.Lead)
	}
	return o, nil
}
