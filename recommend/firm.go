package recommend

import (
	"math"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// noiseError is the standard error of a stated probability by the number of
// draws: one in a hundred is as fine as the sentence that prints it.
const noiseError = 0.01

// nearReach is how far each weight may move in "the weights near the owner's".
const nearReach = 0.1

// leading is the number of bulbs, from the first, of which it is said with whom
// they tie; nobody looks further down.
const leading = 12

// candidates are the stock and the ranked bulbs as the draws take them; each ranked
// bulb learns its place.
func (d *decision) candidates(pick *Pick) []sure.Candidate {
	list := []sure.Candidate{d.stockCandidate(pick.Stock)}
	for i := range pick.Ranked {
		pick.Ranked[i].judged.place = len(list)
		list = append(list, d.candidate(pick.Ranked[i]))
	}
	return list
}

// ballotOf makes the ballot of a decision.
func (d *decision) ballotOf(pick *Pick) (*ballot, []sure.Candidate) {
	candidates := d.candidates(pick)
	field, err := sure.NewField(candidates)
	if err != nil { // a record beyond what the draws take: nothing can be compared
		pick.Ranked, candidates = []Ranked{}, candidates[:1]
		field, _ = sure.NewField(nil)
	}
	values := [][3]float64{pick.Stock.Parts.vector()}
	for i := range pick.Ranked {
		values = append(values, pick.Ranked[i].Parts.vector())
	}
	return &ballot{ranked: pick.Ranked, field: field, values: values, weights: d.need.Weights.Vector(), rules: d.know.Rules.Choice,
		allowed: func(r *Ranked) bool { return !d.forbids(pick.Law, r) }}, candidates
}

// firm fills how sure the order is: the probability of being first given the
// doubt of the measurements, that of beating the fitted halogen, the shares of
// weights, and who cannot be told apart. The fitted halogen is a candidate like any
// other.
func (d *decision) firm(pick *Pick, b *ballot, candidates []sure.Candidate, seed uint64) {
	noise, err := sure.Noise(candidates, b.weights, sure.Options{Seed: seed, StandardError: noiseError, Lead: leading + 1})
	if err != nil {
		return
	}
	near, errNear := sure.Near(b.weights, nearReach)
	nearShares, errShares := sure.Shares(b.values, near)
	allShares, errAll := sure.Shares(b.values, sure.Region{})
	if errNear != nil || errShares != nil || errAll != nil {
		return
	}
	firmOf := func(i int) Firm {
		return Firm{Noise: &noise.First[i], Near: &nearShares[i].First, All: &allShares[i].First}
	}
	pick.Stock.Firm = firmOf(stockPlace)
	for i := range pick.Ranked {
		r := &pick.Ranked[i]
		r.Firm = firmOf(i + 1)
		over := b.better(r, stockPlace)
		r.Firm.OverStock = &over
		r.WorthBuying = over >= b.rules.Worth.Value
	}
	for i := range min(leading, len(pick.Ranked)) {
		for j := range i {
			// Told apart is what both say: the two figures by themselves, and drawn
			// toward the others of their kind.
			least, one, two := b.rules.TieProbability.Value, pick.Ranked[j].judged.place, pick.Ranked[i].judged.place
			drawn := noise.Beats[j+1][i+1]
			if max(drawn, 1-drawn) < least || !b.field.Apart(one, two, b.weights, least) {
				pick.Ranked[i].TieWith = append(pick.Ranked[i].TieWith, pick.Ranked[j].Bulb)
				pick.Ranked[j].TieWith = append(pick.Ranked[j].TieWith, pick.Ranked[i].Bulb)
			}
		}
	}
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
	return sure.Candidate{Kind: "stock", Ratio: 1, Scale: d.scale, Pattern: d.atMostStock(scoreBand(s.Pattern)), PatternKey: StockID, Heat: sure.Band{Low: 1, Mid: 1, High: 1}}
}

// atMostStock holds the stock beam at what is assumed where none was measured, and
// its doubt at no less: another lamp's beam is not the owner's, and not measuring it
// must help no bulb.
func (d *decision) atMostStock(b sure.Band) sure.Band {
	most := d.know.Rules.Bench.HalogenStockPattern.Value / 100
	mid := min(b.Mid, most)
	half := max(b.Mid-b.Low, assumedStockDoubt/100)
	return sure.Band{Low: max(0, mid-half), Mid: mid, High: min(1, mid+half)}
}

// candidate hands a bulb and its doubts to the draws.
func (d *decision) candidate(r Ranked) sure.Candidate {
	c := sure.Candidate{
		Kind: r.Kind, Ratio: r.judged.mid * r.judged.towardRoad, Down: r.judged.down, Scale: d.scale, Pattern: scoreBand(r.Pattern), PatternKey: r.judged.patternKey,
		Heat: sure.Band{Low: math.Max(0, r.judged.heat-heatDoubt), Mid: r.judged.heat, High: math.Min(1, r.judged.heat+heatDoubt)},
	}
	if r.Kind == data.KindHalogen {
		c.Heat = sure.Band{Low: 1, Mid: 1, High: 1}
	}
	if r.judged.patternKey != "" {
		c.Pattern = d.atMostStock(c.Pattern)
	}
	// What was not measured counts at its worst; how much better it may be is no
	// reason to take the bulb for better.
	c.Pattern.High = math.Min(1, 2*c.Pattern.Mid-c.Pattern.Low)
	for _, part := range r.judged.errors {
		c.Parts = append(c.Parts, sure.Part{Name: part.Name, Rel: math.Min(part.RelU, 2), Key: part.Shared, Owner: part.Owner})
	}
	return c
}

// heatDoubt is the half-width of the heat value: about ten kelvin of body
// temperature (judgement).
const heatDoubt = 0.1

// expected fills values and score: the means over the draws.
func (d *decision) expected(r *Ranked) {
	r.Parts = Values{Pattern: orZero(r.Pattern.Score) / 100, Heat: r.judged.heat}
	if r.judged.mid > 0 {
		v := d.candidate(*r).Expected()
		r.Parts = Values{Output: v[sure.Output], Pattern: v[sure.Pattern], Heat: v[sure.Heat]}
	}
	r.Score = scoreOf(r.Parts, d.need.Weights)
}

func orZero(v *float64) float64 {
	if v == nil {
		return 0
	}
	return *v
}

func scoreBand(b Band) sure.Band {
	if b.Score == nil {
		return sure.Band{}
	}
	return sure.Band{Low: *b.Low / 100, Mid: *b.Score / 100, High: *b.High / 100}
}
