package recommend_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// winnerOf is the bulb that a decision names, or stock.
func winnerOf(pick recommend.Pick) string {
	if pick.Answer.Bulb == "" {
		return recommend.StockID
	}
	return string(pick.Answer.Bulb)
}

func flipOf(pick recommend.Pick, what string) (recommend.Flip, bool) {
	i := slices.IndexFunc(pick.Flips, func(f recommend.Flip) bool { return f.What == what })
	if i < 0 {
		return recommend.Flip{}, false
	}
	return pick.Flips[i], true
}

func winner(t *testing.T, k *recommend.Knowledge, c *data.Catalog, n recommend.Need) string {
	t.Helper()
	return winnerOf(decide(t, k, c, n))
}

// withWeight is a need with one weight moved and the others in proportion.
func withWeight(t *testing.T, n recommend.Need, w recommend.Weights, of string, to float64) recommend.Need {
	t.Helper()
	v := map[string]*float64{"output": &w.Output, "pattern": &w.Pattern, "heat": &w.Heat}
	rest := 1 - *v[of]
	for name, weight := range v {
		if name == of {
			*weight = to
		} else {
			*weight *= (1 - to) / rest
		}
	}
	if err := n.SetWeights(w); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestWeightFlip: just beyond it the winner is the one said; on this side of it,
// and as far the other way and along the other weights, nothing changes.
func TestWeightFlip(t *testing.T) {
	k := knowntest.Knowledge()
	found := 0
	for seed := range uint64(15) {
		r := rand.New(rand.NewPCG(seed, 31))
		c, n := generated(seed, 9), need(r)
		pick := decide(t, &k, &c, n)
		base := winnerOf(pick)
		flip, ok := flipOf(pick, recommend.FlipWeight)
		reach := 1.0
		if ok {
			found++
			reach = math.Abs(flip.To - *flip.From)
			past := math.Min(1, math.Max(0, flip.To+math.Copysign(1e-6, flip.To-*flip.From)))
			if got := winner(t, &k, &c, withWeight(t, n, pick.Need.Weights, flip.Of, past)); got != flip.Winner || got == base {
				t.Errorf("seed %d: beyond %q the winner is %s; base %s", seed, flip.Text, got, base)
			}
		}
		for of, from := range map[string]float64{"output": pick.Need.Weights.Output, "pattern": pick.Need.Weights.Pattern, "heat": pick.Need.Weights.Heat} {
			for _, side := range []float64{-0.99, -0.5, 0.5, 0.99} {
				to := from + side*reach
				if to <= 0 || to >= 1 {
					continue
				}
				if got := winner(t, &k, &c, withWeight(t, n, pick.Need.Weights, of, to)); got != base {
					t.Errorf("seed %d: the %s weight %g gives %s already, the flip said is %+v", seed, of, to, got, flip)
				}
			}
		}
	}
	if found < 5 {
		t.Errorf("only %d flips were seen", found)
	}
}

// TestBudgetFlip: as TestWeightFlip, for the budget.
func TestBudgetFlip(t *testing.T) {
	k := knowntest.Knowledge()
	up, down := 0, 0
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 32))
		c, n := generated(seed, 9), need(r)
		if seed%3 > 0 {
			n.Budget = &recommend.Budget{Amount: 20 + 100*r.Float64(), Currency: "USD", Per: []string{"pair", "each", "all"}[r.IntN(3)]}
		}
		pick := decide(t, &k, &c, n)
		base := winnerOf(pick)
		flip, ok := flipOf(pick, recommend.FlipBudget)
		if !ok {
			continue
		}
		at := func(amount float64) string {
			per := "pair"
			if n.Budget != nil {
				per = n.Budget.Per
			}
			other := n
			other.Budget = &recommend.Budget{Amount: amount, Currency: "USD", Per: per}
			return winner(t, &k, &c, other)
		}
		here, there := flip.To, flip.To-0.001
		if flip.From != nil && flip.To > *flip.From {
			here, there = there, here
			up++
		} else {
			down++
		}
		if got := at(there); got != flip.Winner || got == base {
			t.Errorf("seed %d: %q, but at %g the winner is %s; base %s", seed, flip.Text, there, got, base)
		}
		if got := at(here); got != base {
			t.Errorf("seed %d: %q, but at %g the winner is %s already; base %s", seed, flip.Text, here, got, base)
		}
	}
	if up < 3 || down < 3 {
		t.Errorf("%d flips upwards, %d downwards: too few to test", up, down)
	}
}

// changed is the catalog with one bulb's tests changed.
func changed(c data.Catalog, id string, change func(*data.Test)) data.Catalog {
	c.Bulbs = slices.Clone(c.Bulbs)
	for i, b := range c.Bulbs {
		if b.ID != id {
			continue
		}
		b.Lots = slices.Clone(b.Lots)
		for j := range b.Lots {
			b.Lots[j].Tests = slices.Clone(b.Lots[j].Tests)
			for m := range b.Lots[j].Tests {
				change(&b.Lots[j].Tests[m])
			}
		}
		c.Bulbs[i] = b
	}
	return c
}

// TestMeasurementFlip: a catalog with that one figure just beyond the flip has
// the winner said; just short of it, the old one. All readings of a bulb times a
// factor change its light by that factor and nothing else; all parts of a pattern
// alike make a score of 100 times the part.
func TestMeasurementFlip(t *testing.T) {
	k := knowntest.Knowledge()
	seen := map[string]int{}
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 33))
		c, n := generated(seed, 7), need(r)
		if seed%2 == 0 { // graded by eye, and nearly all that counts
			for _, b := range c.Bulbs {
				c = changed(c, b.ID, func(test *data.Test) {
					if test.Pattern != nil {
						pattern := *test.Pattern
						pattern.Method, test.Pattern = "grade", &pattern
					}
				})
			}
			if err := n.SetWeights(recommend.Weights{Output: 0.02, Pattern: 0.96, Heat: 0.02}); err != nil {
				t.Fatal(err)
			}
		}
		pick := decide(t, &k, &c, n)
		flip, ok := flipOf(pick, recommend.FlipMeasurement)
		if !ok || flip.Bulb == recommend.StockID || flip.Of == "heat" {
			continue
		}
		with := func(value float64) string {
			other := changed(c, string(flip.Bulb), func(test *data.Test) {
				if flip.Of == "pattern" {
					part := value / 100
					pattern := *test.Pattern
					pattern.Parts = &data.Parts{Sharpness: &part, HotSpot: &part, Stray: &part, Dark: &part, Width: &part}
					test.Pattern = &pattern
					return
				}
				test.Readings = slices.Clone(test.Readings)
				for i := range test.Readings {
					test.Readings[i].Lux *= value / *flip.From
				}
			})
			return winner(t, &k, &other, n)
		}
		seen[flip.Of]++
		step := math.Copysign(math.Max(2e-5, 1e-4*math.Abs(flip.To-*flip.From)), flip.To-*flip.From)
		if flip.Of == "pattern" { // parts alike have another band than the parts they replace
			if step = math.Copysign(4, flip.To-*flip.From); flip.To+step > 96 || math.Abs(flip.To-*flip.From) < 8 {
				continue
			}
		}
		if got := with(flip.To + step); got != flip.Winner {
			t.Errorf("seed %d: %q, but beyond it the winner is %s", seed, flip.Text, got)
		}
		if got, base := with(flip.To-step), winnerOf(pick); got != base {
			t.Errorf("seed %d: %q, but short of it the winner is %s, not %s", seed, flip.Text, got, base)
		}
	}
	if seen["vs_stock"] < 5 || seen["pattern"] < 3 {
		t.Errorf("flips seen: %v, too few to test", seen)
	}
}

// TestFlipsDemo: the demo has each kind, in fixed order and worded.
func TestFlipsDemo(t *testing.T) {
	k, c := knowntest.Knowledge(), knowntest.Demo()
	pick := decide(t, &k, &c, recommend.Need{Size: "H11", Beam: "low", Housing: "projector", TripMin: 30})
	var whats []string
	for _, f := range pick.Flips {
		whats = append(whats, f.What)
		if f.Text == "" || f.Winner == winnerOf(pick) {
			t.Errorf("flip %+v", f)
		}
	}
	if !slices.Equal(whats, []string{recommend.FlipWeight, recommend.FlipBudget, recommend.FlipMeasurement}) {
		t.Errorf("flips of the demo: %v", whats)
	}
}

// TestQuestions: the worth of a question is the gain that deciding under its
// answers shows, computed here from whole decisions.
func TestQuestions(t *testing.T) {
	k, c := knowntest.Knowledge(), knowntest.Demo()
	n := recommend.Need{Size: "H11", Beam: "low", Housing: "projector"}
	list := recommend.Questions(&k, &c, n)
	if len(list) == 0 {
		t.Fatal("no question is worth asking of an owner who said nearly nothing")
	}
	for i, q := range list {
		if q.Question == "" || q.Worth <= 0 || i > 0 && q.Worth > list[i-1].Worth {
			t.Errorf("question %d: %+v", i, q)
		}
		if alone := recommend.Worth(&k, &c, n, q.Slot); alone != q.Worth {
			t.Errorf("%s is worth %g in the list and %g alone", q.Slot, q.Worth, alone)
		}
	}
	now := winner(t, &k, &c, n)
	gain, changes := 0.0, 0.0
	// The plausible rooms behind a lamp and how plausible each is taken to be.
	rooms := map[float64]float64{35: 0.2, 45: 0.3, 55: 0.3, 70: 0.2}
	for room, plausible := range rooms {
		other := n
		other.RearClearanceMM = &room
		pick := decide(t, &k, &c, other)
		score := func(id string) float64 {
			if id == recommend.StockID {
				return pick.Stock.Score
			}
			for _, r := range pick.Ranked {
				if r.Bulb == id {
					return r.Score
				}
			}
			return 0
		}
		if best := winnerOf(pick); best != now {
			changes += plausible
			gain += plausible * math.Max(0, score(best)-score(now))
		}
	}
	want := math.Max(gain, changes)
	if got := recommend.Worth(&k, &c, n, "rear_clearance_mm"); math.Abs(got-want) > 1e-9 {
		t.Errorf("worth of the room behind the lamp: %g, want %g", got, want)
	}
	n.RearClearanceMM = ptr(60.0)
	if got := recommend.Worth(&k, &c, n, "rear_clearance_mm"); got != 0 {
		t.Errorf("a filled slot is worth %g", got)
	}
	pick, err := recommend.Decide(&k, &c, n, recommend.Options{Seed: 1, Ask: true})
	if err != nil || pick.NextQuestion == nil || *pick.NextQuestion != recommend.Questions(&k, &c, n)[0] {
		t.Errorf("the next question of a decision is %v, %v", pick.NextQuestion, err)
	}
}
