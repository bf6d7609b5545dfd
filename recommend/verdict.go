package recommend

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// ballot is what the verdict is made from: the ranked bulbs, what a comparison of
// any two gives, and the weights. Every verb, and every question of what would
// change the answer, asks the same ballot.
type ballot struct {
	ranked  []Ranked
	field   *sure.Field  // the stock first, then the ranked bulbs in the order of their place
	values  [][3]float64 // expected, by place in the field
	weights [3]float64
	rules   data.ChoiceRules
	allowed func(*Ranked) bool // by the law of the place
}

// stockPlace is the fitted halogen's place in a field.
const stockPlace = 0

// better is the probability that a bulb is better than another, or than keeping the
// fitted halogen.
func (b *ballot) better(x *Ranked, than int) float64 {
	return b.field.Beats(x.judged.place, than, b.weights)
}

// worthBuying says whether a bulb beats keeping the fitted halogen in the stated
// share of the draws.
func (b *ballot) worthBuying(x *Ranked) bool {
	return b.field.AtLeast(x.judged.place, stockPlace, b.weights, b.rules.Worth.Value)
}

// inOrder lists the ranked bulbs that may be looked at, the highest expected score
// first, at the ballot's weights. The tiers of the printed list play no part: they
// go by a band, and a band that narrows must take no recommendation away.
func (b *ballot) inOrder(may func(*Ranked) bool) []*Ranked {
	type scored struct {
		of    *Ranked
		score float64
	}
	list := make([]scored, 0, len(b.ranked))
	for i := range b.ranked {
		if r := &b.ranked[i]; may(r) {
			list = append(list, scored{r, weigh(b.weights, b.values[r.judged.place])})
		}
	}
	slices.SortStableFunc(list, func(x, y scored) int {
		return -cmp.Compare(x.score, y.score)
	})
	order := make([]*Ranked, len(list))
	for i, s := range list {
		order[i] = s.of
	}
	return order
}

// choose is the verdict by measurement: of the bulbs worth buying the best, and
// those that it does not beat in the stated share of the draws, the cheapest
// first. Nothing: the fitted halogens stay.
func (b *ballot) choose(may func(*Ranked) bool) []*Ranked {
	chosen := b.among(may, func([]*Ranked, *Ranked) bool { return true })
	if len(chosen) > 1 {
		price := pricesLike(chosen[0])
		slices.SortStableFunc(chosen, func(x, y *Ranked) int { return cmp.Compare(price(x), price(y)) })
	}
	return chosen
}

// first is the first of choose, for what asks for no more: the draws that find out
// who else ties are spared where it would not be cheaper.
func (b *ballot) first(may func(*Ranked) bool) *Ranked {
	chosen := b.among(may, func(chosen []*Ranked, r *Ranked) bool {
		price := pricesLike(chosen[0])
		return price(r) < price(chosen[len(chosen)-1])
	})
	if len(chosen) == 0 {
		return nil
	}
	return chosen[len(chosen)-1]
}

// among lists the best of the bulbs worth buying, then those that tie with it and
// that are wanted beside those listed before, by falling score.
func (b *ballot) among(may func(*Ranked) bool, wanted func(chosen []*Ranked, r *Ranked) bool) []*Ranked {
	var chosen []*Ranked
	for _, r := range b.inOrder(may) {
		switch {
		case len(chosen) == 0:
			if b.field.FarBehind(r.judged.place, stockPlace, b.weights) {
				return nil // and so are all the others
			}
			if b.worthBuying(r) {
				chosen = append(chosen, r)
			}
		case b.field.FarBehind(r.judged.place, chosen[0].judged.place, b.weights):
			return chosen
		case wanted(chosen, r) && !b.field.AtLeast(chosen[0].judged.place, r.judged.place, b.weights, b.rules.TieProbability.Value) && b.worthBuying(r):
			chosen = append(chosen, r)
		}
	}
	return chosen
}

// pricesLike gives the prices by which bulbs that cannot be told apart are ordered;
// currencies are not converted, and a price in another one than the best bulb's comes
// last.
func pricesLike(best *Ranked) func(*Ranked) float64 {
	currency := ""
	if best.Price != nil {
		currency = best.Price.Currency
	}
	return func(r *Ranked) float64 {
		if r.Price != nil && r.Price.Currency != currency {
			return priceKey(nil)
		}
		return priceKey(r.Price)
	}
}

func anyBulb(*Ranked) bool { return true }

func weigh(w, v [3]float64) float64 { return w[0]*v[0] + w[1]*v[1] + w[2]*v[2] }

// forbids says whether the law of the place keeps a bulb off the road: an LED where
// it is not permitted or fails the inspection, and where it takes an approval for
// the lamp, one without it. Who drives off the road only is told the law, no more.
func (d *decision) forbids(law LawLine, r *Ranked) bool {
	if r.Kind != data.KindLED || d.offRoadOnly() {
		return false
	}
	switch law.Verdict {
	case data.VerdictNotPermitted, data.VerdictInspection:
		return true
	case data.VerdictListed:
		return !approvedAt(r.judged.bulb, string(law.Where), law.Beam)
	}
	return false
}

func (d *decision) offRoadOnly() bool {
	return len(d.need.Driving) > 0 && !slices.ContainsFunc(d.need.Driving, func(s string) bool { return s != "offroad" })
}

// approvedAt says whether an approval of a place, or of its country, stands on the
// record of a bulb for a beam.
func approvedAt(bulb *data.Bulb, where, beam string) bool {
	country, _, _ := strings.Cut(where, "-")
	return slices.ContainsFunc(bulb.Approval, func(a data.Approval) bool {
		return (a.Place == where || a.Place == country) && a.Beam == beam
	})
}

// answer is what to tell the owner: buy this bulb, or any of these, or keep the
// fitted halogens. Where the law forbids what the measurements would choose, the
// best bulb that it allows, or keeping; what the measurements alone would choose
// stands beside it.
func (d *decision) answer(pick *Pick, b *ballot) Answer {
	a := Answer{Kind: AnswerKeep, AnyOf: []string{}}
	for _, r := range pick.Ranked {
		if r.Kind == data.KindHalogen {
			a.Halogen = Word(r.Bulb)
			break
		}
	}
	if pick.NoLED() {
		a.Kind = AnswerNone
	}
	free, chosen := b.choose(anyBulb), b.choose(b.allowed)
	if len(free) > 0 && !b.allowed(free[0]) {
		a.ByLight = Word(free[0].Bulb)
	}
	if len(chosen) > 0 {
		a.Kind, a.Bulb = chosen[0].Kind, Word(chosen[0].Bulb)
		for _, r := range chosen {
			a.AnyOf = append(a.AnyOf, r.Bulb)
		}
		if len(chosen) > 1 && a.ByLight == "" {
			a.Kind = AnswerAnyOf
		}
	}
	a.Sure = sureOf(pick, b, chosen, a.ByLight != "")
	return a
}

// NoLED says that no LED bulb is ranked: none goes in, or of each a measurement is
// missing.
func (p *Pick) NoLED() bool {
	return !slices.ContainsFunc(p.Ranked, func(r Ranked) bool { return r.Kind == data.KindLED })
}

// sureOf says in one sentence how sure the answer is. The word follows the number
// that is printed.
func sureOf(pick *Pick, b *ballot, chosen []*Ranked, byLaw bool) string {
	if len(pick.Ranked) == 0 {
		if len(pick.MeasureFirst) > 0 {
			return "No confidence can be given: every candidate lacks a measurement."
		}
		return "No confidence can be given: there is nothing to compare."
	}
	if len(chosen) == 0 {
		list := b.inOrder(b.allowed)
		if len(list) == 0 {
			return "Your halogens stay because of the law, not because of the measurements."
		}
		slices.SortStableFunc(list, func(x, y *Ranked) int { return -cmp.Compare(b.better(x, stockPlace), b.better(y, stockPlace)) })
		n := 100 - int(100*b.better(list[0], stockPlace)) // cut, not rounded: what is needed is not reached
		return fmt.Sprintf("%s: keeping is better than the closest, %s, in %d of 100 trials; a bulb has to win %d.",
			sureWord(n), list[0].Name, n, percentOf(b.rules.Worth.Value))
	}
	first := 0.0
	for _, r := range chosen {
		if r.Firm.Noise == nil {
			return ""
		}
		first += *r.Firm.Noise
	}
	n := percentOf(b.better(chosen[0], stockPlace))
	if byLaw { // it is first of those that the law allows, not of all
		return fmt.Sprintf("%s: %s is better than your halogens in %d of 100 trials that vary every figure within its error.", sureWord(n), chosen[0].Name, n)
	}
	if len(chosen) > 1 {
		return fmt.Sprintf("%s: one of these is first in %d of 100 trials and beats halogens in %d.",
			sureWord(percentOf(first)), percentOf(first), n)
	}
	near := ""
	if chosen[0].Firm.Near != nil {
		near = ", " + nearWords(*chosen[0].Firm.Near)
	}
	return fmt.Sprintf("%s: %s comes first in %d of 100 trials that vary every figure within its error%s; it beats your halogens in %d.",
		sureWord(percentOf(first)), chosen[0].Name, percentOf(first), near, n)
}

// CountWord is a small number in letters.
func CountWord(n int) string {
	if words := []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"}; n >= 0 && n < len(words) {
		return words[n]
	}
	return strconv.Itoa(n)
}

// percentOf is a probability as it is printed.
func percentOf(p float64) int { return int(100*p + 0.5) }

// sureWord is the word for a probability in hundredths.
func sureWord(n int) string {
	switch {
	case n >= 95:
		return "Very sure"
	case n >= 80:
		return "Fairly sure"
	case n >= 60:
		return "Probably"
	}
	return "Unsure"
}

// nearWords words a share of weights; it is not a probability.
func nearWords(near float64) string {
	switch {
	case near >= 0.995:
		return "with any similar priorities"
	case near <= 0.005:
		return "but with no priorities quite like yours by the expected figures"
	}
	return fmt.Sprintf("with %.0f%% of similar priorities", 100*near)
}
