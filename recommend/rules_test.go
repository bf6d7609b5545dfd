package recommend_test

import (
	"math"
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/data/quantity"
	"stillbright/recommend"
)

// one is the practice bulb at the reference voltage, changed.
func one(change func(*data.Bulb, *data.Test)) data.Catalog {
	c := practiceCatalog(13.2)
	if change != nil {
		change(&c.Bulbs[0], &c.Bulbs[0].Lots[0].Tests[0])
	}
	return c
}

func projector(change func(*recommend.Need)) recommend.Need {
	n := recommend.Need{Size: "H11", Beam: "low", Housing: "projector", TripMin: 30, RearClearanceMM: ptr(60.0)}
	if change != nil {
		change(&n)
	}
	return n
}

// TestEveryRule shows for each rule that sets a bulb aside, keeps it waiting or
// costs it points a case in which it does and one in which it does not.
func TestEveryRule(t *testing.T) {
	k := knowntest.Knowledge()
	gate := k.Rules.Gate.StrayLow.Value
	for _, c := range []struct {
		name        string
		with        func(*data.Bulb, *data.Test)
		need        func(*recommend.Need)
		aside       string // check that sets it aside
		waits       bool   // it stands under measure_first
		tier        string
		cheaperThan func(*data.Bulb, *data.Test) // its score is below that of this case
	}{
		{name: "nothing against it", tier: "ahead"},
		{name: "stray light over the gate", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock = ptr(gate * 1.01) }, aside: "glare"},
		{name: "stray light at the gate", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock = ptr(gate) }, waits: true},
		{name: "stray light surely under the gate", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock = ptr(gate / 1.11) }},
		{name: "by photo near the gate", with: func(_ *data.Bulb, t *data.Test) {
			t.Pattern = &data.PatternRecord{Method: "photo", StrayVsStock: ptr(1.99), Parts: &data.Parts{}}
		}, waits: true},
		{name: "clearly lighter by eye", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock, t.Pattern.Marks.Stray = nil, ptr(1) }, waits: true},
		{name: "no cutoff by eye", with: marks(0), aside: "cutoff"},
		{name: "no cutoff by its sharpness", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.G = ptr(0.02) }, aside: "cutoff"},
		{name: "sharpness too near the least", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.G = ptr(0.135) }, waits: true},
		{name: "a cutoff by its sharpness", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.G = ptr(0.16) }},
		{name: "more watts than the size", with: func(_ *data.Bulb, t *data.Test) { t.Watts = ptr(63.0) }, aside: "power"},
		{name: "a body beyond what the lamp bears", with: body(130), aside: "body_heat"},
		{name: "a body perhaps beyond it", with: func(_ *data.Bulb, t *data.Test) { t.Body, t.Surface, t.Cap, t.Ambient = ptr(100.0), "", "", nil }, waits: true},
		{name: "stock volts missing", with: func(_ *data.Bulb, t *data.Test) { t.Stock.Volts = nil }},
		{name: "over a published limit", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.OverLimit = ptr(true) }, aside: "glare"},
		{name: "within the published limits", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.OverLimit = ptr(false) }},
		{name: "dazzles by eye", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock, t.Pattern.Marks.Stray = nil, ptr(0) }, aside: "glare"},
		{name: "clean by eye", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock, t.Pattern.Marks.Stray = nil, ptr(2) }},
		{name: "glare never measured", with: func(_ *data.Bulb, t *data.Test) { t.Pattern.StrayVsStock = nil }, waits: true},
		{name: "too dear", with: price(100, "USD", "pair"), need: budget(90, "USD", "pair"), aside: "budget"},
		{name: "dear for one, said for each", with: price(50, "USD", "each"), need: budget(90, "USD", "pair"), aside: "budget"},
		{name: "within the budget", with: price(90, "USD", "pair"), need: budget(90, "USD", "pair")},
		{name: "within the budget, each", with: price(90, "USD", "pair"), need: budget(45, "USD", "each")},
		{name: "price in another currency", with: price(50, "EUR", "pair"), need: budget(90, "USD", "pair"), waits: true},
		{name: "price not recorded", need: budget(90, "USD", "pair"), waits: true},
		{name: "budget without a currency", with: price(50, "EUR", "pair"), need: budget(90, "", "pair")},
		{name: "too long for the cap", with: func(b *data.Bulb, _ *data.Test) { b.Build.Rear = ptr(70.0) }, need: room(60, 62), aside: "rear"},
		{name: "just short enough", with: func(b *data.Bulb, _ *data.Test) { b.Build.Rear = ptr(30.0) }, need: room(60, 62)},
		{name: "needs an unusual room, not measured", with: func(b *data.Bulb, _ *data.Test) { b.Build.Rear = ptr(90.0) }, need: func(n *recommend.Need) { n.RearClearanceMM = nil }, waits: true},
		{name: "usual room, not measured", need: func(n *recommend.Need) { n.RearClearanceMM = nil }},
		{name: "rear length not recorded", with: func(b *data.Bulb, _ *data.Test) { b.Build.Rear = nil }, waits: true},
		{name: "hot reading missing", with: func(_ *data.Bulb, t *data.Test) { t.Readings = t.Readings[:1] }, waits: true},
		{name: "stock reading missing", with: func(_ *data.Bulb, t *data.Test) { t.Stock = data.StockReading{Volts: ptr(13.2)} }, waits: true},
		{name: "its whole band below stock", with: lux(600, 430), tier: "dimmer"},
		{name: "its band holds stock", with: lux(850, 720), tier: "ahead"},
		{name: "a newer lot not tested", with: func(b *data.Bulb, _ *data.Test) { b.Lots = append(b.Lots, data.Lot{Name: "B", Bought: "2026-06-01"}) }, waits: true},
		{name: "less light", with: lux(1001, 800), cheaperThan: lux(1001, 900)},
		{name: "worse cutoff", with: marks(1), cheaperThan: marks(3)},
		{name: "fold-back seen", with: func(_ *data.Bulb, t *data.Test) { t.FoldBack = "seen" }, cheaperThan: func(_ *data.Bulb, t *data.Test) { t.FoldBack = "none" }},
		{name: "hotter body", with: body(110), cheaperThan: body(90)},
		{name: "more watts", with: func(_ *data.Bulb, t *data.Test) { t.Watts = ptr(45.0) }, cheaperThan: func(_ *data.Bulb, t *data.Test) { t.Watts = ptr(20.0) }},
		{name: "cap off", with: func(_ *data.Bulb, t *data.Test) { t.Cap, t.Body = "off", ptr(80.0) }, cheaperThan: body(80)},
		{name: "bare metal", with: func(_ *data.Bulb, t *data.Test) { t.Surface, t.Body = "bare_metal", ptr(90.0) }, cheaperThan: body(90)},
	} {
		t.Run(c.name, func(t *testing.T) {
			catalog := one(c.with)
			pick := decide(t, &k, &catalog, projector(c.need))
			switch {
			case c.aside != "":
				if len(pick.SetAside) != 1 || !slices.ContainsFunc(pick.SetAside[0].Because, func(r recommend.Reason) bool { return r.Check == c.aside }) {
					t.Fatalf("set aside %+v, want by %s", pick.SetAside, c.aside)
				}
				return
			case c.waits:
				if len(pick.MeasureFirst) != 1 || len(pick.MeasureFirst[0].Missing) == 0 {
					t.Fatalf("measure first %+v, ranked %d: want it to wait with a reason", pick.MeasureFirst, len(pick.Ranked))
				}
				return
			case len(pick.Ranked) != 1:
				t.Fatalf("not ranked: aside %+v, waiting %+v", pick.SetAside, pick.MeasureFirst)
			}
			if c.tier != "" && pick.Ranked[0].Tier != c.tier {
				t.Errorf("tier %q, want %q", pick.Ranked[0].Tier, c.tier)
			}
			if c.cheaperThan != nil {
				other := one(c.cheaperThan)
				if better := decide(t, &k, &other, projector(nil)).Ranked[0].Score; pick.Ranked[0].Score >= better {
					t.Errorf("score %.2f, want below %.2f", pick.Ranked[0].Score, better)
				}
			}
		})
	}
}

func price(amount float64, currency, per string) func(*data.Bulb, *data.Test) {
	return func(b *data.Bulb, _ *data.Test) {
		b.Price, b.Per = &quantity.Money{Amount: amount, Currency: currency}, per
	}
}

func budget(amount float64, currency recommend.Word, per string) func(*recommend.Need) {
	return func(n *recommend.Need) { n.Budget = &recommend.Budget{Amount: amount, Currency: currency, Per: per} }
}

func room(closed, open float64) func(*recommend.Need) {
	return func(n *recommend.Need) {
		n.RearClearanceMM, n.Lamp = &closed, &data.Lamp{Size: "H11", Beam: "low", RearOpen: &open}
	}
}

func lux(cold, hot float64) func(*data.Bulb, *data.Test) {
	return func(_ *data.Bulb, t *data.Test) { t.Readings = []data.Reading{{At: 0, Lux: cold}, {At: 30, Lux: hot}} }
}

func marks(cutoff int) func(*data.Bulb, *data.Test) {
	return func(_ *data.Bulb, t *data.Test) { t.Pattern.Marks.Cutoff = &cutoff }
}

func body(celsius float64) func(*data.Bulb, *data.Test) {
	return func(_ *data.Bulb, t *data.Test) { t.Body = &celsius }
}

// TestCoolBodyThatLosesLight: a body that stays cool while a fifth of the light
// goes has a bad heat path, and that costs it points.
func TestCoolBodyThatLosesLight(t *testing.T) {
	k := knowntest.Knowledge()
	cool := func(hot float64) recommend.Ranked {
		c := one(func(_ *data.Bulb, t *data.Test) {
			t.Body, t.Ambient = ptr(40.0), ptr(21.0) // 19 K of rise
			t.Readings = []data.Reading{{At: 0, Lux: 1300}, {At: 30, Lux: hot}}
		})
		return decide(t, &k, &c, projector(nil)).Ranked[0]
	}
	losing, keeping := cool(975), cool(1170) // 75 % and 90 % kept
	if losing.Parts.Heat >= keeping.Parts.Heat {
		t.Errorf("heat %.2f while losing a quarter, %.2f while keeping nine tenths", losing.Parts.Heat, keeping.Parts.Heat)
	}
	says := func(r recommend.Ranked) bool {
		return slices.Contains(r.Cautions, "Its body stays cool while the light drops: the heat does not reach the body.")
	}
	if !says(losing) || says(keeping) {
		t.Errorf("caution said %v and %v, want true and false", says(losing), says(keeping))
	}
}

// TestOutputScale: the output value is the mean of the root scale, 0 at q0 and 1 at
// q1, over the draws of hot vs stock. The mean is worked out here by adding up the
// density in small steps.
func TestOutputScale(t *testing.T) {
	k := knowntest.Knowledge()
	rural, _ := func() (data.Profile, bool) {
		for _, p := range k.Rules.Driving {
			if p.Name == "rural" {
				return p, true
			}
		}
		return data.Profile{}, false
	}()
	c := one(lux(1400, 1300))
	pick := decide(t, &k, &c, projector(func(n *recommend.Need) { n.Driving = []string{"rural"} }))
	hot, q0, q1 := pick.Ranked[0].Hot, rural.Dim.Value, rural.Enough.Value
	sd := math.Log(*hot.VsStock / *hot.VsStockLow) / 1.959964
	middle := math.Log(*hot.VsStock*k.Rules.Choice.ShapeUnknown.Value) - sd*sd/2
	want, step := 0.0, 1e-4
	for z := -8.0; z < 8; z += step {
		v := (math.Exp((middle+sd*z)/2) - math.Sqrt(q0)) / (math.Sqrt(q1) - math.Sqrt(q0))
		want += math.Min(1, v) * math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) * step
	}
	if got := pick.Ranked[0].Parts.Output; math.Abs(got-want) > 1e-3 || want <= 0 || want >= 1 {
		t.Errorf("output value %.6f, want %.6f between 0 and 1", got, want)
	}
	w := pick.Need.Weights
	parts := pick.Ranked[0].Parts
	if score := 100 * (w.Output*parts.Output + w.Pattern*parts.Pattern + w.Heat*parts.Heat); math.Abs(score-pick.Ranked[0].Score) > 1e-9 {
		t.Errorf("score %.6f, want the weighted sum %.6f", pick.Ranked[0].Score, score)
	}
	if sum := w.Output + w.Pattern + w.Heat; math.Abs(sum-1) > 1e-12 {
		t.Errorf("weights sum to %.12f", sum)
	}
}
