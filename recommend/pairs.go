package recommend

import (
	"slices"
	"strings"

	"stillbright/recommend/sure"
)

// Pair says of two bulbs whether a difference is more than noise.
type Pair struct {
	A       string   `json:"a" doc:"id"`
	B       string   `json:"b" doc:"id"`
	Overall *float64 `json:"overall" min:"0" max:"1" doc:"probability that a is better than b at the owner's weights; null unless both are ranked"`
	Light   *float64 `json:"light" min:"0" max:"1" doc:"probability that a gives more light, hot"`
	Pattern *float64 `json:"pattern" min:"0" max:"1" doc:"probability that a has the better pattern"`
	Heat    *float64 `json:"heat" min:"0" max:"1" doc:"probability that a bears heat better"`
	Same    []string `json:"same" enum:"overall|light|pattern|heat" doc:"where the difference is within the noise: neither is surely enough the better"`
}

// Aspects of a pair.
const (
	AspectOverall = "overall"
	AspectLight   = "light"
	AspectPattern = "pattern"
	AspectHeat    = "heat"
)

// Chance is the probability that a is better than b in one aspect, nil where
// it cannot be said.
func (p Pair) Chance(aspect string) *float64 {
	switch aspect {
	case AspectOverall:
		return p.Overall
	case AspectLight:
		return p.Light
	case AspectPattern:
		return p.Pattern
	}
	return p.Heat
}

// everyLight is a scale that no bulb leaves, for asking who gives more light
// and not whose light is still of use.
var everyLight = sure.Scale{Q0: 0.001, Q1: 1000}

// contest is who beats whom in one aspect, by id.
type contest map[[2]string]float64

// pairs compares every two bulbs, overall and in each value. Overall is the
// comparison of pick: the same candidates, the same draws. For the single
// values the bulbs that pick does not rank take part, too.
func (d *decision) pairs(pick *Pick, bulbs []Compared, seed uint64) []Pair {
	everybody := slices.Clone(pick.Ranked)
	var extra []Ranked
	for _, b := range bulbs {
		if b.Standing != StandingRanked {
			extra = append(extra, b.Ranked)
		}
	}
	slices.SortFunc(extra, func(a, b Ranked) int { return strings.Compare(a.Bulb, b.Bulb) })
	everybody = append(everybody, extra...)

	plain := func(c sure.Candidate, _ *Ranked) (sure.Candidate, bool) { return c, true }
	overall := d.contest(pick, pick.Ranked, bulbs, d.need.Weights.Vector(), seed, plain)
	light := d.contest(pick, everybody, bulbs, [3]float64{sure.Output: 1}, seed, func(c sure.Candidate, r *Ranked) (sure.Candidate, bool) {
		c.Scale = everyLight
		return c, r == nil || r.judged.mid > 0
	})
	// A figure that plays no part must not keep a bulb out.
	shape := d.contest(pick, everybody, bulbs, [3]float64{sure.Pattern: 1}, seed, func(c sure.Candidate, r *Ranked) (sure.Candidate, bool) {
		c.Ratio, c.Parts = 1, nil
		return c, r == nil || r.Pattern.Score != nil
	})
	heat := d.contest(pick, everybody, bulbs, [3]float64{sure.Heat: 1}, seed, func(c sure.Candidate, r *Ranked) (sure.Candidate, bool) {
		c.Ratio, c.Parts, c.Pattern = 1, nil, sure.Band{}
		return c, r == nil || r.judged.light.speaks != nil
	})

	tie := d.know.Rules.Choice.TieProbability.Value
	list := []Pair{}
	for i, a := range bulbs {
		for _, b := range bulbs[i+1:] {
			p := Pair{A: a.Bulb, B: b.Bulb, Same: []string{}}
			for _, aspect := range []struct {
				name string
				won  contest
				to   **float64
			}{{AspectOverall, overall, &p.Overall}, {AspectLight, light, &p.Light}, {AspectPattern, shape, &p.Pattern}, {AspectHeat, heat, &p.Heat}} {
				chance, ok := aspect.won[[2]string{a.Bulb, b.Bulb}]
				if !ok {
					continue
				}
				*aspect.to = &chance
				if chance < tie && 1-chance < tie {
					p.Same = append(p.Same, aspect.name)
				}
			}
			list = append(list, p)
		}
	}
	return list
}

// contest draws who beats whom among the bulbs compared, with all the others in
// the field, since they say how far bulbs differ. The order of the field is that
// of pick, so that the draws are its draws; it never depends on the order in
// which the bulbs were named. prepare changes a candidate, of the stock for a
// nil bulb, or says that it takes no part.
func (d *decision) contest(pick *Pick, field []Ranked, bulbs []Compared, weights [3]float64, seed uint64,
	prepare func(sure.Candidate, *Ranked) (sure.Candidate, bool)) contest {
	const counted = 12 // places for which sure.Noise counts pairs unless told
	stock, _ := prepare(d.stockCandidate(pick.Stock), nil)
	candidates, ids := []sure.Candidate{stock}, []string{StockID}
	for _, r := range leadWith(field, bulbs, counted-1) {
		if c, ok := prepare(d.candidate(r), &r); ok {
			candidates, ids = append(candidates, c), append(ids, r.Bulb)
		}
	}
	noise, err := sure.Noise(candidates, weights, d.noiseOptions(seed))
	if err != nil {
		return nil
	}
	won := contest{}
	for a := range noise.Beats {
		for b := range noise.Beats[a] {
			won[[2]string{ids[a], ids[b]}] = noise.Beats[a][b]
		}
	}
	return won
}

// leadWith is the field with the bulbs compared among its first places, in the
// order of the field; as it is when they are there already.
func leadWith(field []Ranked, bulbs []Compared, places int) []Ranked {
	wanted := func(r Ranked) bool {
		return slices.ContainsFunc(bulbs, func(b Compared) bool { return b.Bulb == r.Bulb })
	}
	if len(field) <= places || !slices.ContainsFunc(field[places:], wanted) {
		return field
	}
	var first, rest []Ranked
	for _, r := range field {
		if wanted(r) {
			first = append(first, r)
		} else {
			rest = append(rest, r)
		}
	}
	return append(first, rest...)
}
