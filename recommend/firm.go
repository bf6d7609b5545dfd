package recommend

import (
	"fmt"
	"math"
	"slices"

	"stillbright/data"
	"stillbright/recommend/road"
	"stillbright/recommend/sure"
)

// lampSpreads is the lamp-to-lamp spread by housing, in percent: the pooled
// standard deviation of the hot-to-stock ratio where one bulb was tested in
// several lamps of a kind, else the stated default. Fewer than three degrees of
// freedom say too little.
func lampSpreads(c *data.Catalog, x *index, rules data.BenchRules) map[string]float64 {
	spreads := map[string]float64{data.Projector: rules.LampProjector.Value, data.Reflector: rules.LampReflector.Value}
	squares, freedom := map[string][]float64{}, map[string]int{}
	for i := range c.Bulbs {
		bulb := &c.Bulbs[i]
		if bulb.Kind != data.KindLED {
			continue // a halogen hardly differs from lamp to lamp
		}
		newest, _ := newestLot(bulb)
		like := keep(x.testsOf(bulb), func(t tried) bool { return t.lot.Name == newest && t.rig.Size == bulb.Size })
		for housing := range spreads {
			s, f := spreadOf(keep(like, func(t tried) bool { return t.rig.Housing == housing }))
			squares[housing], freedom[housing] = append(squares[housing], s...), freedom[housing]+f
		}
	}
	for housing, f := range freedom {
		if f >= 3 {
			spreads[housing] = 100 * math.Sqrt(mean(squares[housing])*float64(len(squares[housing]))/float64(f))
		}
	}
	return spreads
}

// spreadOf is the squares of the log ratios of one bulb's tests about their mean
// over lamps of one kind, and their degrees of freedom.
func spreadOf(like []tried) (squares []float64, freedom int) {
	groups := map[string][]float64{}
	for _, t := range newestInRig(like) {
		stock := known(t.test.Stock.First, t.test.Stock.Last)
		if len(stock) == 0 || len(t.test.Readings) < 2 || t.test.Stock.Volts == nil {
			continue
		}
		hot := t.test.Readings[len(t.test.Readings)-1].Lux
		ratio := hot / (mean(stock) * math.Pow(13.2 / *t.test.Stock.Volts, road.HalogenExponent))
		groups[t.beam()] = append(groups[t.beam()], math.Log(ratio))
	}
	for _, logs := range groups {
		if len(logs) < 2 {
			continue
		}
		middle := mean(logs)
		for _, value := range logs {
			squares = append(squares, (value-middle)*(value-middle))
		}
		freedom += len(logs) - 1
	}
	return squares, freedom
}

func (d *decision) lampSpread(housing string) float64 { return d.spread[housing] }

// noiseError is the standard error of a stated probability by the number of
// draws: one in a hundred is as fine as the sentence that prints it.
const noiseError = 0.01

// nearReach is how far each weight may move in "the weights near the owner's".
const nearReach = 0.1

// firm fills how sure the order is: the probability of being first given the
// doubt of the measurements, and the shares of weights. The fitted halogen is a
// candidate like any other. Both are left null where they cannot be computed.
func (d *decision) firm(pick *Pick, seed uint64) {
	candidates := []sure.Candidate{d.stockCandidate(pick.Stock)}
	values := [][3]float64{pick.Stock.Parts.vector()}
	for _, r := range pick.Ranked {
		candidates = append(candidates, d.candidate(r))
		values = append(values, r.Parts.vector())
	}
	weights := d.need.Weights.Vector()
	noise, err := sure.Noise(candidates, weights, d.noiseOptions(seed))
	if err != nil {
		return
	}
	near, errNear := sure.Near(weights, nearReach)
	nearShares, errShares := sure.Shares(values, near)
	allShares, errAll := sure.Shares(values, sure.Region{})
	if errNear != nil || errShares != nil || errAll != nil {
		return
	}
	firmOf := func(i int) Firm { return Firm{&noise.First[i], &nearShares[i].First, &allShares[i].First} }
	pick.Stock.Firm = firmOf(0)
	for i := range pick.Ranked {
		pick.Ranked[i].Firm = firmOf(i + 1)
		for _, other := range noise.Ties(i + 1) {
			if other > 0 {
				pick.Ranked[i].TieWith = append(pick.Ranked[i].TieWith, pick.Ranked[other-1].Bulb)
			}
		}
	}
}

func (d *decision) noiseOptions(seed uint64) sure.Options {
	return sure.Options{Seed: seed, Tie: d.know.Rules.Choice.TieProbability.Value, StandardError: noiseError}
}

// markStockTies names stock among the ties of every bulb whose light cannot be
// told from it.
func markStockTies(pick *Pick) {
	for _, list := range [][]Ranked{pick.Ranked, pick.MeasureFirst} {
		for i := range list {
			if tiesStock(list[i].Hot) {
				list[i].TieWith = append(list[i].TieWith, StockID)
			}
		}
	}
}

// tiesStock says whether a bulb's light cannot be told from the halogen's: its
// whole band, lamp-to-lamp spread included, holds 1.
func tiesStock(h Hot) bool {
	return h.VsStockLow != nil && *h.VsStockLow <= 1 && *h.VsStockHigh >= 1
}

func (d *decision) stockCandidate(s Stock) sure.Candidate {
	return sure.Candidate{Kind: "stock", Ratio: 1, Scale: d.scale, Pattern: scoreBand(s.Pattern), Heat: sure.Band{Low: 1, Mid: 1, High: 1}}
}

// candidate hands a bulb and its doubts to the draws.
func (d *decision) candidate(r Ranked) sure.Candidate {
	c := sure.Candidate{
		Kind: r.Kind, Ratio: r.judged.mid * math.Max(1, r.judged.towardRoad), Scale: d.scale, Pattern: scoreBand(r.Pattern),
		Heat: sure.Band{Low: math.Max(0, r.Parts.Heat-heatDoubt), Mid: r.Parts.Heat, High: math.Min(1, r.Parts.Heat+heatDoubt)},
	}
	if r.Kind == data.KindHalogen {
		c.Heat = sure.Band{Low: 1, Mid: 1, High: 1}
	}
	for _, part := range r.judged.errors {
		if part.Name != lampPart {
			c.Parts = append(c.Parts, sure.Part{Name: part.Name, Rel: part.RelU, Key: part.Shared})
			continue
		}
		// The spread is that between two lamps. Half its variance is the bench's
		// lamp, an error of the reading; half waits in the owner's.
		half := part.RelU / math.Sqrt2
		c.Parts = append(c.Parts, sure.Part{Name: "lamp of the bench", Rel: half}, sure.Part{Name: "lamp of the owner", Rel: half, Owner: true})
	}
	return c
}

const (
	heatDoubt = 0.1            // half-width of the heat value: about ten kelvin of body temperature (judgement)
	lampPart  = "lamp to lamp" // name of the part for the spread between two lamps of a kind
)

func scoreBand(b Band) sure.Band {
	if b.Score == nil {
		return sure.Band{}
	}
	return sure.Band{Low: *b.Low / 100, Mid: *b.Score / 100, High: *b.High / 100}
}

// sureSentence says in everyday words how sure the leader is, backed by the
// number.
func sureSentence(leader string, noise, near *float64) string {
	if noise == nil || near == nil {
		return ""
	}
	return fmt.Sprintf("%s: %s comes first in %.0f of 100 draws of the measuring doubt, %s.", sureWord(*noise), leader, 100**noise, nearWords(*near))
}

func sureWord(p float64) string {
	switch {
	case p >= 0.95:
		return "Very sure"
	case p >= 0.8:
		return "Fairly sure"
	case p >= 0.6:
		return "More likely than not"
	}
	return "A toss-up"
}

// nearWords words a share of weights; it is not a probability.
func nearWords(near float64) string {
	switch {
	case near >= 0.995:
		return "and at all weights near yours"
	case near <= 0.005:
		return "but at none of the weights near yours by cautious figures"
	}
	return fmt.Sprintf("and at %.0f %% of the weights near yours", 100*near)
}

// keepSentence says how near the best bulb comes to the fitted halogens.
func keepSentence(pick *Pick) string {
	leader := pick.Ranked[0]
	if leader.Firm.Noise == nil {
		return ""
	}
	why := "by the cautious end of its bands it is no better"
	switch {
	case leader.Tier == TierDimmer:
		why = "it is dimmer"
	case slices.Contains(leader.TieWith, StockID):
		why = "its light cannot be told from your halogen's"
	}
	return fmt.Sprintf("The nearest, %s, comes first in %.0f of 100 draws of the measuring doubt, but %s.", leader.Name, 100**leader.Firm.Noise, why)
}
