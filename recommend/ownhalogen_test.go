package recommend_test

import (
	"math"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// TestOwnersOldHalogen: against halogens that have aged an LED's gain is larger, and so
// is a new halogen's; the band is wider. Not saying how old they are changes nothing,
// nor does saying that they are new.
func TestOwnersOldHalogen(t *testing.T) {
	k := knowntest.Knowledge()
	c := bench("projector", tested("led", data.KindLED, 60, map[string]float64{"a": 1.3}), tested("new-halogen", data.KindHalogen, 20, map[string]float64{"a": 1.1}))
	at := func(halogens recommend.Word) recommend.Pick {
		p, err := recommend.Order(&k, &c, rural(func(n *recommend.Need) { n.Halogens = halogens }))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	unsaid, fresh, old := at(""), at("new"), at("old")
	for _, id := range []string{"led", "new-halogen"} {
		a, _ := find(unsaid, id)
		b, _ := find(fresh, id)
		aged, _ := find(old, id)
		if a.Bulb == "" || *a.Hot.VsStock != *b.Hot.VsStock || *a.Hot.VsStockHigh != *b.Hot.VsStockHigh {
			t.Fatalf("%s: %v unsaid, %v new", id, a.Hot, b.Hot)
		}
		if got, want := *aged.Hot.VsStock / *a.Hot.VsStock, 1/math.Sqrt(0.95*0.80); math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %.4f times as bright against old halogens, want %.4f", id, got, want)
		}
		width := func(h recommend.Hot) float64 { return math.Log(*h.VsStockHigh / *h.VsStockLow) }
		if width(aged.Hot) <= width(a.Hot) {
			t.Errorf("%s: the band against old halogens is %.4f wide, against unsaid ones %.4f", id, width(aged.Hot), width(a.Hot))
		}
	}
}

// TestHazyLens: haze dims the halogen and the LED alike, so no figure changes; that it
// scatters more of a brighter bulb's light is said, and that the lens comes first.
func TestHazyLens(t *testing.T) {
	k := knowntest.Knowledge()
	c := bench("projector", tested("led", data.KindLED, 60, map[string]float64{"a": 1.8}))
	at := func(lens recommend.Word) (recommend.Ranked, recommend.Pick) {
		p, err := recommend.Decide(&k, &c, rural(func(n *recommend.Need) { n.Lens = lens }), recommend.Options{Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		r, _ := find(p, "led")
		return r, p
	}
	clear, _ := at("")
	hazy, p := at("hazy")
	if *clear.Hot.VsStock != *hazy.Hot.VsStock || clear.Score != hazy.Score {
		t.Errorf("haze moves the figures: %v, %v", clear.Hot, hazy.Hot)
	}
	if strings.Contains(strings.Join(clear.Cautions, " "), "hazy lens") || !strings.Contains(strings.Join(hazy.Cautions, " "), "hazy lens") {
		t.Errorf("cautions: %q, with a hazy lens %q", clear.Cautions, hazy.Cautions)
	}
	first := ""
	for _, b := range p.Before {
		if b.First {
			first = b.What
		}
	}
	if first != "lens" {
		t.Errorf("%q is to be put right first", first)
	}
}
