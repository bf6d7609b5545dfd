package recommend

import (
	"slices"

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

// pairs compares every two bulbs, overall and in each value, by the draws that make
// the verdict of pick. For the single values the bulbs that pick does not rank take
// part, too.
func (d *decision) pairs(bulbs []Compared) []Pair {
	aspects := []struct {
		name    string
		weights [3]float64
		in      func(b Compared) bool
		only    func(*sure.Candidate) // what plays no part must not keep a bulb out
	}{
		{AspectOverall, d.need.Weights.Vector(), func(b Compared) bool { return b.Standing == StandingRanked }, func(*sure.Candidate) {}},
		{AspectLight, [3]float64{sure.Output: 1}, func(b Compared) bool { return b.judged.mid > 0 }, func(c *sure.Candidate) { c.Scale = everyLight }},
		{AspectPattern, [3]float64{sure.Pattern: 1}, func(b Compared) bool { return b.Pattern.Score != nil }, func(c *sure.Candidate) { c.Ratio, c.Parts = 1, nil }},
		{AspectHeat, [3]float64{sure.Heat: 1}, func(b Compared) bool { return b.judged.light.speaks != nil }, func(c *sure.Candidate) { c.Ratio, c.Parts, c.Pattern = 1, nil, sure.Band{} }},
	}
	tie := d.know.Rules.Choice.TieProbability.Value
	list := []Pair{}
	for i, a := range bulbs {
		for _, b := range bulbs[i+1:] {
			p := Pair{A: a.Bulb, B: b.Bulb, Same: []string{}}
			for _, aspect := range aspects {
				if !aspect.in(a) || !aspect.in(b) {
					continue
				}
				two := []sure.Candidate{d.candidate(a.Ranked), d.candidate(b.Ranked)}
				for k := range two {
					aspect.only(&two[k])
				}
				field, err := sure.NewField(two)
				if err != nil {
					continue
				}
				chance := field.Beats(0, 1, aspect.weights)
				switch aspect.name {
				case AspectOverall:
					p.Overall = &chance
				case AspectLight:
					p.Light = &chance
				case AspectPattern:
					p.Pattern = &chance
				case AspectHeat:
					p.Heat = &chance
				}
				within := max(chance, 1-chance) < tie
				if aspect.name == AspectOverall && min(*a.Place, *b.Place) <= leading && max(*a.Place, *b.Place) <= leading {
					within = slices.Contains(a.TieWith, b.Bulb) // as pick has it
				}
				if within {
					p.Same = append(p.Same, aspect.name)
				}
			}
			list = append(list, p)
		}
	}
	return list
}
