package recommend_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// choice is what an owner acts on: the bulbs in order with all their figures.
func choice(t *testing.T, p recommend.Pick) string {
	t.Helper()
	return text(t, p.Ranked) + text(t, p.MeasureFirst) + text(t, p.Stock) + text(t, p.ToMeasure) + text(t, p.Flips)
}

// TestOtherSizesChangeNothing: bulbs of another size, of other models and in
// another lamp, change no figure of an H11 owner.
func TestOtherSizesChangeNothing(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(12) {
		c := generated(seed, 12)
		n := need(rand.New(rand.NewPCG(seed, 71)))
		want := choice(t, decide(t, &k, &c, n))
		more := c
		more.Rigs = append(append([]data.Rig{}, c.Rigs...), data.Rig{ID: "rig-h7", Name: "other", Size: "H7", Beam: "low", Housing: "projector",
			Distance: ptr(7.62), Meter: "C", Point: "fixed", Source: "generated"})
		r := rand.New(rand.NewPCG(seed, 72))
		more.Bulbs = append([]data.Bulb{}, c.Bulbs...)
		for i := range 6 {
			b := generatedBulb(r, 100+i)
			b.ID, b.Name, b.Model, b.Size = fmt.Sprintf("aaa-%d", i), "Other", fmt.Sprintf("other-%d", i), "H7"
			b.Lots[0].Tests = b.Lots[0].Tests[:1]
			b.Lots[0].Tests[0].Rig = "rig-h7"
			more.Bulbs = append(more.Bulbs, b)
		}
		if got := choice(t, decide(t, &k, &more, n)); got != want {
			t.Errorf("seed %d: bulbs of another size change the answer\n%s\n%s", seed, want, got)
		}
	}
}

// TestSameBudgetInOtherWords: 80 a pair is 40 each.
func TestSameBudgetInOtherWords(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(12) {
		c, n := generated(seed, 20), need(rand.New(rand.NewPCG(seed, 73)))
		amount := float64(20 + 10*seed)
		n.Budget = &recommend.Budget{Amount: amount, Currency: "USD", Per: "pair"}
		pair := decide(t, &k, &c, n)
		n.Budget = &recommend.Budget{Amount: amount / 2, Currency: "USD", Per: "each"}
		each := decide(t, &k, &c, n)
		for _, p := range []recommend.Pick{pair, each} { // prices are shown in the asker's words
			for i := range p.Ranked {
				p.Ranked[i].Price = nil
			}
			for i := range p.MeasureFirst {
				p.MeasureFirst[i].Price = nil
			}
		}
		if text(t, pair.Ranked) != text(t, each.Ranked) || text(t, pair.MeasureFirst) != text(t, each.MeasureFirst) || len(pair.SetAside) != len(each.SetAside) {
			t.Errorf("seed %d: %g a pair and %g each give different lists", seed, amount, amount/2)
		}
	}
}

// TestMeasuringDecides: the room the owner is asked to measure is not asked for
// once it is answered, and a roomy lamp and a cramped one get different answers.
func TestMeasuringDecides(t *testing.T) {
	k := knowntest.Knowledge()
	seen := map[string]int{}
	for seed := range uint64(60) {
		c, n := generated(seed, 14), need(rand.New(rand.NewPCG(seed, 74)))
		n.RearClearanceMM, n.FrontClearanceMM, n.Canbus, n.Polarity = nil, nil, nil, ""
		n.Lamp = nil
		asked := decide(t, &k, &c, n)
		for _, item := range asked.ToMeasure {
			good, bad := n, n
			switch {
			case item.Check == "rear" && item.AtLeast != nil:
				good.RearClearanceMM, bad.RearClearanceMM = ptr(*item.AtLeast+60), ptr(15.0)
			case item.Check == "front" && item.AtLeast != nil:
				good.FrontClearanceMM, bad.FrontClearanceMM = ptr(*item.AtLeast+60), ptr(5.0)
			default:
				continue
			}
			seen[item.Check]++
			well, badly := decide(t, &k, &c, good), decide(t, &k, &c, bad)
			for _, after := range []recommend.Pick{well, badly} {
				for _, still := range after.ToMeasure {
					if still.What == item.What {
						t.Errorf("seed %d: %q is answered and still asked", seed, item.What)
					}
				}
			}
			if choice(t, well)+text(t, well.SetAside) == choice(t, badly)+text(t, badly.SetAside) {
				t.Errorf("seed %d: %q answered well or badly changes nothing", seed, item.What)
			}
		}
	}
	if seen["rear"] < 5 || seen["front"] < 5 {
		t.Errorf("asked for the room behind %d and in front %d times: too few to test", seen["rear"], seen["front"])
	}
}
