package recommend_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/data/quantity"
	"stillbright/recommend"
)

// Verdicts that no expert would give, each with its catalog written out. The bulbs
// are invented; the lamps are H11 projectors.

// bench is a made-up bench: rigs a, b, c, d of one kind, and a stock of 1000 lux.
func bench(housing string, bulbs ...data.Bulb) data.Catalog {
	c := data.Catalog{Name: "cases", Invented: true, Bulbs: bulbs}
	for _, id := range []string{"a", "b", "c", "d"} {
		c.Rigs = append(c.Rigs, data.Rig{ID: id, Name: id, Size: "H11", Beam: "low", Housing: housing, Distance: ptr(7.62), Meter: "B", Point: "searched", Source: "made up"})
	}
	return c
}

// tested is a bulb with one test for each rig and light given, all else well
// recorded and good.
func tested(id, kind string, price float64, lights map[string]float64) data.Bulb {
	b := data.Bulb{Format: 1, ID: id, Name: "Bulb " + id, Kind: kind, Size: "H11", Source: "made up",
		Price: &quantity.Money{Amount: price, Currency: "USD"}, Per: "pair"}
	if kind == data.KindLED {
		b.Build = data.Build{Rear: ptr(40.0), Emitter: ptr(25.0)}
		b.Supply = data.Supply{Driver: "internal", VoltsMin: ptr(9.0), VoltsMax: ptr(16.0), BulbOut: "built_in"}
	}
	lot := data.Lot{Name: "A", Bought: "2026-01-10"}
	for _, rig := range []string{"a", "b", "c", "d"} {
		times, ok := lights[rig]
		if !ok {
			continue
		}
		test := data.Test{
			Rig: rig, Date: "2026-02-01", Volts: ptr(13.2), Stock: data.StockReading{First: ptr(1000.0), Last: ptr(1000.0), Volts: ptr(13.2)},
			Readings: []data.Reading{{At: 0, Lux: 1000 * times / 0.93}, {At: 30, Lux: 1000 * times}}, Cap: "on", Ambient: ptr(22.0),
			Body: ptr(55.0), Surface: "taped", FoldBack: "none", Watts: ptr(20.0), Seatings: 4, Spread: ptr(3.0), Samples: 2,
		}
		if kind == data.KindLED {
			test.Pattern = &data.PatternRecord{Method: "grid", StrayVsStock: ptr(1.1), G: ptr(0.25), Parts: &data.Parts{Sharpness: ptr(0.95), HotSpot: ptr(0.95), Dark: ptr(0.95), Width: ptr(0.95)}}
		}
		lot.Tests = append(lot.Tests, test)
	}
	b.Lots = []data.Lot{lot}
	return b
}

func rural(change func(*recommend.Need)) recommend.Need {
	n := recommend.Need{Size: "H11", Beam: "low", Housing: "projector", Driving: []string{"rural"}, RearClearanceMM: ptr(60.0), Canbus: ptr(false), Polarity: "normal"}
	if change != nil {
		change(&n)
	}
	return n
}

func named(p recommend.Pick) string {
	if p.Answer.Bulb == "" {
		return p.Answer.Kind
	}
	return string(p.Answer.Bulb)
}

// Case 1: several tests of one bulb.
func TestCaseSeveralLamps(t *testing.T) {
	k := knowntest.Knowledge()
	verdict := func(lights map[string]float64) recommend.Pick {
		c := bench("projector", tested("x", data.KindLED, 60, lights))
		return decide(t, &k, &c, rural(nil))
	}
	one, three := verdict(map[string]float64{"a": 1.40}), verdict(map[string]float64{"a": 1.40, "b": 1.55, "c": 1.33})
	if named(one) != "x" || named(three) != "x" {
		t.Errorf("one lamp at 1.40: %s; with 1.55 and 1.33: %s; want x twice", named(one), named(three))
	}
	r1, r3 := one.Ranked[0].Hot, three.Ranked[0].Hot
	if want := math.Cbrt(1.40 * 1.55 * 1.33); math.Abs(*r3.VsStock-want) > 1e-9 {
		t.Errorf("three lamps: %.4f times stock, want the geometric mean %.4f", *r3.VsStock, want)
	}
	if *r3.VsStockHigh / *r3.VsStockLow >= *r1.VsStockHigh / *r1.VsStockLow {
		t.Errorf("three lamps: band %.3f to %.3f, one: %.3f to %.3f; want it narrower", *r3.VsStockLow, *r3.VsStockHigh, *r1.VsStockLow, *r1.VsStockHigh)
	}
	// The spelling of a rig's id names no bulb.
	c := bench("projector", tested("x", data.KindLED, 60, map[string]float64{"a": 1.2, "b": 1.7}))
	other := bench("projector", tested("x", data.KindLED, 60, map[string]float64{"a": 1.7, "b": 1.2}))
	if a, b := decide(t, &k, &c, rural(nil)), decide(t, &k, &other, rural(nil)); a.Ranked[0].Score != b.Ranked[0].Score || named(a) != named(b) {
		t.Errorf("rigs the other way round: %g and %g", a.Ranked[0].Score, b.Ranked[0].Score)
	}
	// A dazzler stays one beside a second, dimmer and clean test.
	dazzles := tested("x", data.KindLED, 60, map[string]float64{"a": 1.5, "b": 1.3})
	dazzles.Lots[0].Tests[0].Pattern.StrayVsStock = ptr(2.4)
	c = bench("projector", dazzles)
	if p := decide(t, &k, &c, rural(nil)); len(p.SetAside) != 1 || p.SetAside[0].Because[0].Check != "glare" {
		t.Errorf("2.4 times the stray light in one of two lamps: %+v", p.Answer)
	}
}

// Case 2: halogens pass the gates, too.
func TestCaseHalogenGates(t *testing.T) {
	k := knowntest.Knowledge()
	for name, change := range map[string]func(*data.Bulb){
		"glare": func(b *data.Bulb) {
			b.Lots[0].Tests[0].Pattern = &data.PatternRecord{Method: "grid", StrayVsStock: ptr(5.0), OverLimit: ptr(true), Parts: &data.Parts{}}
		},
		"power":     func(b *data.Bulb) { b.Lots[0].Tests[0].Watts = ptr(100.0) },
		"body_heat": func(b *data.Bulb) { b.Lots[0].Tests[0].Body = ptr(180.0) },
	} {
		b := tested("hot", data.KindHalogen, 20, map[string]float64{"a": 1.6})
		change(&b)
		c := bench("projector", b)
		p := decide(t, &k, &c, rural(nil))
		if len(p.SetAside) != 1 || !slices.ContainsFunc(p.SetAside[0].Because, func(r recommend.Reason) bool { return r.Check == name }) || p.Answer.Bulb != "" {
			t.Errorf("%s: %+v, set aside %+v", name, p.Answer, p.SetAside)
		}
	}
}

// Case 3: no cutoff, by eye and by its sharpness.
func TestCaseNoCutoff(t *testing.T) {
	k := knowntest.Knowledge()
	for name, pattern := range map[string]*data.PatternRecord{
		"mark 0": {Method: "grade", StrayVsStock: ptr(1.1), Marks: &data.Marks{Cutoff: ptr(0), HotSpot: ptr(3), Dark: ptr(3), Width: ptr(3)}},
		"G 0.02": {Method: "grid", StrayVsStock: ptr(1.1), G: ptr(0.02), Parts: &data.Parts{Sharpness: ptr(0.0), HotSpot: ptr(1.0), Dark: ptr(1.0), Width: ptr(1.0)}},
	} {
		b := tested("x", data.KindLED, 60, map[string]float64{"a": 1.9})
		b.Lots[0].Tests[0].Pattern = pattern
		c := bench("projector", b)
		if p := decide(t, &k, &c, rural(nil)); p.Answer.Bulb != "" || len(p.SetAside) != 1 || p.SetAside[0].Because[0].Check != "cutoff" {
			t.Errorf("%s: %+v, set aside %+v", name, p.Answer, p.SetAside)
		}
	}
}

// Case 4: every row is asked whether it is worth buying. Bulb b alone is bought; a
// dim and clean bulb beside it, at whatever light, turns that to another bulb at the
// most, never to nothing.
func TestCaseEveryRowIsAsked(t *testing.T) {
	k := knowntest.Knowledge()
	b := tested("b", data.KindLED, 60, map[string]float64{"a": 1.4})
	for i := range b.Lots[0].Tests {
		b.Lots[0].Tests[i].Pattern.Parts = &data.Parts{Sharpness: ptr(0.85), HotSpot: ptr(0.85), Dark: ptr(0.85), Width: ptr(0.85)}
	}
	alone := bench("projector", b)
	if got := named(decide(t, &k, &alone, rural(nil))); got != "b" {
		t.Fatalf("b alone: %s", got)
	}
	for lux := 700.0; lux <= 1500; lux += 10 {
		a := tested("a", data.KindLED, 60, map[string]float64{"a": lux / 1000})
		a.Lots[0].Tests[0].Pattern.Parts = &data.Parts{Sharpness: ptr(1.0), HotSpot: ptr(1.0), Dark: ptr(1.0), Width: ptr(1.0)}
		a.Lots[0].Tests[0].Body = ptr(40.0)
		c := bench("projector", b, a)
		if got := decide(t, &k, &c, rural(nil)); got.Answer.Bulb == "" {
			t.Errorf("a at %g lux: %+v", lux, got.Answer)
		}
	}
}

// Case 5: a good halogen is named whether or not an LED is ranked.
func TestCaseHalogenAlone(t *testing.T) {
	k := knowntest.Knowledge()
	c := bench("projector", tested("h", data.KindHalogen, 30, map[string]float64{"a": 1.45}))
	for _, n := range []recommend.Need{rural(nil), rural(func(n *recommend.Need) { n.Budget = &recommend.Budget{Amount: 40, Currency: "USD", Per: "pair"} })} {
		if p := decide(t, &k, &c, n); p.Answer.Kind != data.KindHalogen || named(p) != "h" {
			t.Errorf("a halogen at 1.45 times, 30 USD, budget %+v: %+v", n.Budget, p.Answer)
		}
	}
}

// Case 6: the owner's volts move the owner's halogen, not the LED. The exponent is
// that of the program's own law.
func TestCaseOwnersVolts(t *testing.T) {
	k := knowntest.Knowledge()
	c := bench("projector", tested("x", data.KindLED, 60, map[string]float64{"a": 1.4}), tested("h", data.KindHalogen, 30, map[string]float64{"a": 1.2}))
	at := func(volts float64, id string) float64 {
		p := decide(t, &k, &c, rural(func(n *recommend.Need) { n.Volts = &volts }))
		r, _ := find(p, id)
		return *r.Hot.VsStock
	}
	if got, want := at(13.2, "x")/at(14.4, "x"), math.Pow(14.4/13.2, 3.4); math.Abs(got-want) > 1e-9 {
		t.Errorf("14.4 V against 13.2 V: %.4f, want %.4f", got, want)
	}
	if a, b := at(13.2, "h"), at(14.4, "h"); math.Abs(a-b) > 1e-9 {
		t.Errorf("a halogen against a halogen at the same volts: %.4f and %.4f", a, b)
	}
}

// Case 8: the owner's heat moves the light.
func TestCaseOwnersHeat(t *testing.T) {
	k := knowntest.Knowledge()
	steady, losing := tested("s", data.KindLED, 60, map[string]float64{"a": 1.4}), tested("l", data.KindLED, 60, map[string]float64{"a": 1.4})
	steady.Lots[0].Tests[0].Readings[0].Lux, losing.Lots[0].Tests[0].Readings[0].Lux = 1400/0.99, 1400/0.8
	c := bench("projector", steady, losing)
	light := func(climate recommend.Word, id string) float64 {
		r, _ := find(decide(t, &k, &c, rural(func(n *recommend.Need) { n.Climate = climate })), id)
		return *r.Hot.VsStock
	}
	for _, id := range []string{"s", "l"} {
		if hot, mild, cold := light("hot", id), light("mild", id), light("cold", id); !(hot < mild && mild < cold) {
			t.Errorf("%s: hot %.4f, mild %.4f, cold %.4f", id, hot, mild, cold)
		}
	}
	if light("hot", "l")/light("mild", "l") >= light("hot", "s")/light("mild", "s") {
		t.Error("the bulb that loses more on the bench does not lose more in the heat")
	}
}

// Case 9: bulbs that cannot be told apart are named together, the cheapest first.
func TestCaseCheapestOfAlike(t *testing.T) {
	k := knowntest.Knowledge()
	var bulbs []data.Bulb
	for i, price := range []float64{118, 79, 58, 92} {
		bulbs = append(bulbs, tested(fmt.Sprint("x", i), data.KindLED, price, map[string]float64{"a": 1.7 + 0.01*float64(i)}))
	}
	c := bench("projector", bulbs...)
	p := decide(t, &k, &c, rural(nil))
	if p.Answer.Kind != recommend.AnswerAnyOf || strings.Join(p.Answer.AnyOf, " ") != "x2 x1 x3 x0" || named(p) != "x2" {
		t.Errorf("%+v, want any of the four, x2 at 58 USD first", p.Answer)
	}
}

// Case 10: errors that are not one thing add as variances; a band is the root of the
// sum of the squares of its parts.
func TestCaseErrorsAddAsVariances(t *testing.T) {
	k := knowntest.Knowledge()
	c := bench("projector", tested("x", data.KindLED, 60, map[string]float64{"a": 1.4}))
	r := decide(t, &k, &c, rural(nil)).Ranked[0]
	sum := 0.0
	names := map[string]int{}
	for _, part := range r.Errors {
		sum += part.RelU * part.RelU
		names[part.Shared]++
	}
	for shared, n := range names {
		if shared != "" && n > 1 {
			t.Errorf("%d different errors share the key %q", n, shared)
		}
	}
	if got, want := math.Log(*r.Hot.VsStockHigh / *r.Hot.VsStock), 1.959964*math.Sqrt(sum); math.Abs(got/want-1) > 0.02 {
		t.Errorf("upper half of the band %.4f, root of the sum of squares %.4f", got, want)
	}
}

// Case 11: small things turn no answer.
func TestCaseSmallThings(t *testing.T) {
	k := knowntest.Knowledge()
	x := tested("x", data.KindLED, 60, map[string]float64{"a": 1.4})
	c := bench("projector", x)
	if named(decide(t, &k, &c, rural(nil))) != "x" {
		t.Fatal("x is not named")
	}
	// A dim bulb in four lamps that differ wildly.
	c = bench("projector", x, tested("y", data.KindLED, 60, map[string]float64{"a": 0.5, "b": 0.8, "c": 0.6, "d": 0.9}))
	if got := named(decide(t, &k, &c, rural(nil))); got != "x" {
		t.Errorf("beside a bulb that does not matter: %s", got)
	}
	// Measuring the stock beam, whatever it scores, helps no LED by being left out.
	score := func(stock *data.PatternRecord) float64 {
		c := bench("projector", x)
		c.Rigs[0].Stock = stock
		p := decide(t, &k, &c, rural(nil))
		return p.Ranked[0].Score - p.Stock.Score
	}
	none := score(nil)
	for _, v := range []float64{0.5, 0.8, 0.95, 1} {
		if with := score(&data.PatternRecord{Method: "grid", StrayVsStock: ptr(1.0), Parts: &data.Parts{Sharpness: &v, HotSpot: &v, Stray: &v, Dark: &v, Width: &v}}); with < none-1e-9 {
			t.Errorf("stock beam of %g: lead %.3f, not measured %.3f", v, with, none)
		}
	}
	// Two kelvin of the body are no step, and never the wrong way.
	last := math.Inf(1)
	for body := 30.0; body <= 90; body += 2 {
		b := tested("x", data.KindLED, 60, map[string]float64{"a": 1.4})
		b.Lots[0].Tests[0].Body = &body
		b.Lots[0].Tests[0].Readings[0].Lux = 1400 / 0.75
		c := bench("projector", b)
		s := decide(t, &k, &c, rural(nil)).Ranked[0].Score
		if s > last+1e-9 || last-s > 1.5 && !math.IsInf(last, 1) {
			t.Errorf("body %g C: score %.2f after %.2f", body, s, last)
		}
		last = s
	}
	// Nothing to compare is not "very sure".
	empty := bench("projector")
	if p := decide(t, &k, &empty, rural(nil)); strings.Contains(p.Answer.Sure, "sure:") || p.Answer.Kind != recommend.AnswerNone {
		t.Errorf("an empty catalog: %+v", p.Answer)
	}
}

// Case 12: what flips say is what the answer at that place says; they never say that
// the halogens would stay where they stay already.
func TestCaseFlipsAskTheAnswer(t *testing.T) {
	k := knowntest.Knowledge()
	for _, light := range []float64{0.7, 0.95, 1.15, 1.3, 1.6} {
		c := bench("projector", tested("x", data.KindLED, 60, map[string]float64{"a": light}), tested("h", data.KindHalogen, 30, map[string]float64{"a": 1.1}))
		p := decide(t, &k, &c, rural(nil))
		was := string(p.Answer.Bulb)
		if was == "" {
			was = recommend.StockID
		}
		for _, f := range p.Flips {
			if f.Winner == was {
				t.Errorf("light %g: %q of an answer that is %s", light, f.Text, was)
			}
		}
	}
}

// Case 13: the law comes first. Off the road only, it is said and no more.
func TestCaseLawFirst(t *testing.T) {
	k := knowntest.Knowledge()
	x := tested("x", data.KindLED, 60, map[string]float64{"a": 1.8})
	approved := tested("ok", data.KindLED, 90, map[string]float64{"a": 1.6})
	approved.Approval = []data.Approval{{Place: "DE", Number: "1", Beam: "low", Source: "made up"}}
	h := tested("h", data.KindHalogen, 30, map[string]float64{"a": 1.25})
	for _, c := range []struct {
		name    string
		where   recommend.Word
		driving string
		bulbs   []data.Bulb
		kind    string
		bulb    string
		byLight string
	}{
		{"no place", "", "rural", []data.Bulb{x}, "led", "x", ""},
		{"not permitted, nothing else", "US-TX", "rural", []data.Bulb{x}, "keep", "", "x"},
		{"not permitted, a halogen", "US-TX", "rural", []data.Bulb{x, h}, "halogen", "h", "x"},
		{"not permitted, off the road only", "US-TX", "offroad", []data.Bulb{x}, "led", "x", ""},
		{"an inspection fails it", "GB", "rural", []data.Bulb{x}, "keep", "", "x"},
		{"an approval is needed, none", "DE", "rural", []data.Bulb{x}, "keep", "", "x"},
		{"an approval is on record", "DE", "rural", []data.Bulb{approved}, "led", "ok", ""},
	} {
		catalog := bench("projector", c.bulbs...)
		p := decide(t, &k, &catalog, rural(func(n *recommend.Need) { n.Where, n.Driving = c.where, []string{c.driving} }))
		if a := p.Answer; a.Kind != c.kind || string(a.Bulb) != c.bulb || string(a.ByLight) != c.byLight {
			t.Errorf("%s: %+v, want %s %q, by light %q", c.name, a, c.kind, c.bulb, c.byLight)
		}
		if len(p.Ranked) != len(c.bulbs) {
			t.Errorf("%s: %d of %d ranked: the list stands whole", c.name, len(p.Ranked), len(c.bulbs))
		}
	}
}
