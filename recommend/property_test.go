package recommend_test

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

func decide(t *testing.T, k *recommend.Knowledge, c *data.Catalog, n recommend.Need) recommend.Pick {
	t.Helper()
	pick, err := recommend.Decide(k, c, n, recommend.Options{Today: "2026-11-25", Seed: 1})
	if err != nil {
		t.Fatalf("Decide: %v", err)
	}
	return pick
}

func text(t *testing.T, pick any) string {
	t.Helper()
	out, err := json.Marshal(pick)
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

// TestOrderOfFilesChangesNothing: the whole document is the same when bulbs,
// rigs, lots and tests stand in another order.
func TestOrderOfFilesChangesNothing(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(8) {
		r := rand.New(rand.NewPCG(seed, 1))
		c := generated(seed, 25)
		n := need(r)
		want := text(t, decide(t, &k, &c, n))
		shuffled := c
		shuffled.Bulbs = slices.Clone(c.Bulbs)
		shuffled.Rigs = slices.Clone(c.Rigs)
		r.Shuffle(len(shuffled.Bulbs), func(i, j int) { shuffled.Bulbs[i], shuffled.Bulbs[j] = shuffled.Bulbs[j], shuffled.Bulbs[i] })
		slices.Reverse(shuffled.Rigs)
		for i := range shuffled.Bulbs {
			lots := slices.Clone(shuffled.Bulbs[i].Lots)
			tests := slices.Clone(lots[0].Tests)
			slices.Reverse(tests)
			lots[0].Tests = tests
			shuffled.Bulbs[i].Lots = lots
		}
		if got := text(t, decide(t, &k, &shuffled, n)); got != want {
			t.Fatalf("seed %d: another order of records gives another document", seed)
		}
	}
}

// TestEveryBulbInOneList: every known bulb of the size is in exactly one list.
func TestEveryBulbInOneList(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(20) {
		c := generated(seed, 30)
		pick := decide(t, &k, &c, need(rand.New(rand.NewPCG(seed, 2))))
		count := map[string]int{}
		for _, r := range append(slices.Clone(pick.Ranked), pick.MeasureFirst...) {
			count[r.Bulb]++
		}
		for _, s := range pick.SetAside {
			count[s.Bulb]++
			if len(s.Because) == 0 {
				t.Errorf("%s is set aside without a reason", s.Bulb)
			}
		}
		for _, b := range c.Bulbs {
			if count[b.ID] != 1 {
				t.Errorf("seed %d: %s stands in %d lists", seed, b.ID, count[b.ID])
			}
		}
	}
}

// order is the ids of the ranked bulbs.
func order(t *testing.T, k *recommend.Knowledge, c *data.Catalog, n recommend.Need) []string {
	t.Helper()
	pick, err := recommend.Order(k, c, n)
	if err != nil {
		t.Fatalf("Verdict: %v", err)
	}
	ids := []string{}
	for _, r := range pick.Ranked {
		ids = append(ids, r.Bulb)
	}
	return ids
}

// unranked is the place of a bulb that is not in the ranking: worse than any.
const unranked = 1 << 20

func place(ids []string, id string) int {
	if i := slices.Index(ids, id); i >= 0 {
		return i
	}
	return unranked
}

// forget lists ways to delete one measurement of a test.
var forget = map[string]func(*data.Test){
	"volts":          func(t *data.Test) { t.Volts = nil },
	"stock first":    func(t *data.Test) { t.Stock.First = nil },
	"stock last":     func(t *data.Test) { t.Stock.Last = nil },
	"stock volts":    func(t *data.Test) { t.Stock.Volts = nil },
	"hot reading":    func(t *data.Test) { t.Readings = t.Readings[:1] },
	"cold reading":   func(t *data.Test) { t.Readings = t.Readings[1:] },
	"readings":       func(t *data.Test) { t.Readings = nil },
	"point":          func(t *data.Test) { t.Point = "" },
	"cap":            func(t *data.Test) { t.Cap = "" },
	"air":            func(t *data.Test) { t.Ambient = nil },
	"body":           func(t *data.Test) { t.Body = nil },
	"surface":        func(t *data.Test) { t.Surface = "" },
	"fold-back":      func(t *data.Test) { t.FoldBack = "" },
	"seatings":       func(t *data.Test) { t.Seatings = 0 },
	"seating spread": func(t *data.Test) { t.Spread = nil },
	"samples":        func(t *data.Test) { t.Samples = 0 },
	"pattern":        func(t *data.Test) { t.Pattern = nil },
	"stray":          pattern(func(p *data.PatternRecord) { p.StrayVsStock = nil }),
	"sharpness":      pattern(func(p *data.PatternRecord) { p.Parts.Sharpness = nil }),
	"hot spot":       pattern(func(p *data.PatternRecord) { p.Parts.HotSpot = nil }),
	"dark":           pattern(func(p *data.PatternRecord) { p.Parts.Dark = nil }),
	"width":          pattern(func(p *data.PatternRecord) { p.Parts.Width = nil }),
}

func pattern(change func(*data.PatternRecord)) func(*data.Test) {
	return func(t *data.Test) {
		if t.Pattern == nil {
			return
		}
		record := *t.Pattern
		if record.Parts != nil {
			parts := *record.Parts
			record.Parts = &parts
		}
		change(&record)
		t.Pattern = &record
	}
}

// TestForgettingNeverHelps: deleting any measurement of a bulb never improves
// its place. The two readings of these records are one measurement each.
func TestForgettingNeverHelps(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(12) {
		c := generated(seed, 12)
		n := need(rand.New(rand.NewPCG(seed, 3)))
		before := order(t, &k, &c, n)
		for i := range c.Bulbs {
			for name, drop := range forget {
				changed := c
				changed.Bulbs = slices.Clone(c.Bulbs)
				bulb := changed.Bulbs[i]
				lots := slices.Clone(bulb.Lots)
				lots[0].Tests = slices.Clone(lots[0].Tests)
				for j := range lots[0].Tests {
					drop(&lots[0].Tests[j])
				}
				bulb.Lots = lots
				if name == "volts" || name == "stock volts" {
					bulb.Supply.Watts = nil // a guess that nobody measured must not come back by the side door
				}
				changed.Bulbs[i] = bulb
				after := order(t, &k, &changed, n)
				if was, is := place(before, bulb.ID), place(after, bulb.ID); is < was {
					t.Errorf("seed %d: without its %s, %s rises from place %d to %d", seed, name, bulb.ID, was, is)
				}
			}
		}
	}
}

// TestWorseNeverPassesBetter: a bulb worse in everything never stands above a
// better one, whether or not its values are clamped.
func TestWorseNeverPassesBetter(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 4))
		c := generated(seed, 10)
		n := need(r)
		better := c.Bulbs[0]
		better.ID, better.Name = "better", "Better"
		worse := better
		worse.ID, worse.Name = "aaa-worse", "Worse" // its id comes first, so the order must come from the figures
		lots := slices.Clone(worse.Lots)
		lots[0].Tests = slices.Clone(lots[0].Tests)
		dim := []float64{0.999, 0.9, 0.5}[r.IntN(3)]
		for j, test := range lots[0].Tests {
			readings := slices.Clone(test.Readings)
			for i := range readings {
				readings[i].Lux *= dim
			}
			test.Readings = readings
			test.Body = ptr(*test.Body + 1)
			test.Pattern = &data.PatternRecord{Method: "grid", StrayVsStock: ptr(*test.Pattern.StrayVsStock * 1.01), Parts: &data.Parts{
				Sharpness: ptr(*test.Pattern.Parts.Sharpness * 0.99), HotSpot: ptr(*test.Pattern.Parts.HotSpot * 0.99),
				Dark: ptr(*test.Pattern.Parts.Dark * 0.99), Width: ptr(*test.Pattern.Parts.Width * 0.99)}}
			lots[0].Tests[j] = test
		}
		worse.Lots = lots
		c.Bulbs = append(c.Bulbs, worse, better)
		ids := order(t, &k, &c, n)
		if a, b := place(ids, "better"), place(ids, "aaa-worse"); b < a {
			t.Errorf("seed %d: the worse bulb stands at %d, the better one at %d", seed, b, a)
		}
	}
}

// TestWideningRemovesNothing: a larger budget or more room never loses a bulb.
func TestWideningRemovesNothing(t *testing.T) {
	k := knowntest.Knowledge()
	for seed := range uint64(20) {
		c := generated(seed, 30)
		n := need(rand.New(rand.NewPCG(seed, 5)))
		n.Budget = &recommend.Budget{Amount: 40, Currency: "USD", Per: "pair"}
		n.RearClearanceMM = ptr(40.0)
		before := order(t, &k, &c, n)
		for _, wider := range []recommend.Need{
			func() recommend.Need {
				w := n
				w.Budget = &recommend.Budget{Amount: 90, Currency: "USD", Per: "pair"}
				return w
			}(),
			func() recommend.Need { w := n; w.RearClearanceMM = ptr(70.0); return w }(),
			func() recommend.Need { w := n; w.FrontClearanceMM = ptr(80.0); return w }(),
		} {
			after := order(t, &k, &c, wider)
			for _, id := range before {
				if place(after, id) == unranked {
					t.Errorf("seed %d: %s was ranked and is lost when the limit widens", seed, id)
				}
			}
		}
	}
}

// TestNoWeightsCrownADazzler: under random weights no bulb beyond the glare
// gate is ranked.
func TestNoWeightsCrownADazzler(t *testing.T) {
	k := knowntest.Knowledge()
	r := rand.New(rand.NewPCG(1, 6))
	c := generated(1, 30)
	gate := k.Rules.Gate.StrayLow.Value
	dazzlers := map[string]bool{}
	n := need(r)
	for _, b := range c.Bulbs {
		for _, test := range b.Lots[0].Tests {
			rig, _ := c.Rig(test.Rig)
			if test.Pattern != nil && *test.Pattern.StrayVsStock > gate && rig.Housing == string(n.Housing) {
				dazzlers[b.ID] = true
			}
		}
	}
	if len(dazzlers) < 3 {
		t.Fatal("the generated catalog has too few dazzling bulbs to test with")
	}
	for range 1000 {
		if err := n.SetWeights(recommend.Weights{Output: r.Float64(), Pattern: r.Float64(), Heat: r.Float64()}); err != nil {
			t.Fatal(err)
		}
		for _, id := range order(t, &k, &c, n) {
			if dazzlers[id] {
				t.Fatalf("%s dazzles and is ranked at weights %v", id, n.Weights)
			}
		}
	}
}

// TestSameNeedSameAnswer: a decision depends on its arguments only.
func TestSameNeedSameAnswer(t *testing.T) {
	k := knowntest.Knowledge()
	c := generated(3, 20)
	n := need(rand.New(rand.NewPCG(3, 7)))
	if a, b := decide(t, &k, &c, n), decide(t, &k, &c, n); !reflect.DeepEqual(a, b) {
		t.Error("the same need gives two answers")
	}
}
