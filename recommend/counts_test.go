package recommend_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"stillbright/data/known/knowntest"
	"stillbright/data/quantity"
	"stillbright/recommend"
)

// TestTheNamedIsTheLikeliest counts, over 500 catalogs whose truth is drawn: how often
// the bulb named is not the likeliest of the bulbs worth buying, outside a tie, and how
// often another of them, or keeping the halogen, beats it in more than 80 of 100 draws.
// Both have to be none.
func TestTheNamedIsTheLikeliest(t *testing.T) {
	k := knowntest.Knowledge()
	r := rand.New(rand.NewPCG(14, 2026))
	catalogs := repeats(500)
	if testing.Short() {
		catalogs = 60
	}
	named, alike, notLikeliest, beaten := 0, 0, 0, 0
	for range catalogs {
		w := truth{bulbs: 1 + r.IntN(9), lamps: 1 + r.IntN(3), rigs: 1 + r.IntN(4), between: []float64{0.05, 0.08, 0.15}[r.IntN(3)], spread: []float64{0.05, 0.15, 0.25}[r.IntN(3)], tail: r.IntN(4) == 0}
		c, n, _, _ := w.draw(r)
		for i := range c.Bulbs {
			b := &c.Bulbs[i]
			b.Price = &quantity.Money{Amount: float64(20 + 10*r.IntN(12)), Currency: "USD"}
			for j := range b.Lots[0].Tests { // some were looked at less closely than others
				switch test := &b.Lots[0].Tests[j]; r.IntN(6) {
				case 0:
					test.Pattern.Method = "photo"
				case 1:
					test.Cap = ""
				case 2:
					test.Stock.Volts = nil
				}
			}
		}
		n.Driving = [][]string{nil, {"rural"}, {"city", "rain"}, {"highway"}}[r.IntN(4)]
		p, better, err := recommend.Duels(&k, &c, n)
		if err != nil {
			t.Fatal(err)
		}
		if p.Answer.Bulb == "" {
			continue
		}
		named++
		if p.Answer.Kind == recommend.AnswerAnyOf {
			alike++
		}
		id := string(p.Answer.Bulb)
		own, _ := find(p, id)
		likeliest := own
		for _, x := range p.Ranked {
			if x.Bulb != id && better(x.Bulb, id) > 0.8 {
				beaten++
				t.Logf("%s beats %s in %.3f; any of %v", x.Bulb, id, better(x.Bulb, id), p.Answer.AnyOf)
			}
			if x.WorthBuying && *x.Firm.Noise > *likeliest.Firm.Noise {
				likeliest = x
			}
		}
		if better(recommend.StockID, id) > 0.8 {
			beaten++
		}
		if !isNamed(p, likeliest.Bulb) && !slices.Contains(own.TieWith, likeliest.Bulb) {
			notLikeliest++
			t.Logf("%s (%.3f) is named, %s (%.3f) is likelier and no tie; any of %v", id, *own.Firm.Noise, likeliest.Bulb, *likeliest.Firm.Noise, p.Answer.AnyOf)
		}
	}
	t.Logf("%d catalogs, a bulb named in %d, one of several in %d of them: not the likeliest outside a tie %d, beaten in more than 80 of 100 draws %d", catalogs, named, alike, notLikeliest, beaten)
	if notLikeliest > 0 || beaten > 0 {
		t.Errorf("not the likeliest outside a tie: %d, beaten in more than 80 of 100 draws: %d, of %d", notLikeliest, beaten, named)
	}
	if named < catalogs/5 || alike < catalogs/20 {
		t.Errorf("of %d catalogs only %d name a bulb, %d one of several: they show too little", catalogs, named, alike)
	}
}
