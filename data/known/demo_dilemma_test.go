package known_test

import (
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

// newest returns the tests of a bulb's newest lot, the last in the file.
func newest(b data.Bulb) []data.Test { return b.Lots[len(b.Lots)-1].Tests }

func cold(t data.Test) float64 { return t.Readings[0].Lux }
func hot(t data.Test) float64  { return t.Readings[len(t.Readings)-1].Lux }
func stock(t data.Test) float64 {
	return (*t.Stock.First + *t.Stock.Last) / 2
}
func retained(t data.Test) float64 { return hot(t) / cold(t) }
func stray(t data.Test) float64 {
	if t.Pattern == nil || t.Pattern.StrayVsStock == nil {
		return 0
	}
	return *t.Pattern.StrayVsStock
}

// TestDemoDilemmas holds each dilemma of the trade to one bulb: its notes say it
// and its figures carry it.
func TestDemoDilemmas(t *testing.T) {
	catalog, _ := demo(t)
	untested := func(b data.Bulb) bool { return len(newest(b)) == 0 }
	for _, row := range []struct {
		bulb, says string
		is         func(data.Bulb) bool
	}{
		{"vintrock-9k-h11", "bright cold and weak hot", func(b data.Bulb) bool {
			return cold(newest(b)[0]) > 1.5*stock(newest(b)[0]) && retained(newest(b)[0]) < 0.75
		}},
		{"hushwell-cool-h11", "cool body but dim", func(b data.Bulb) bool { return *newest(b)[0].Body < 45 && hot(newest(b)[0]) < 0.9*stock(newest(b)[0]) }},
		{"ostermoor-s22-h11", "superb in the projector and blotchy in the reflector", func(b data.Bulb) bool {
			return *newest(b)[0].Pattern.Parts.HotSpot > 0.9 && *newest(b)[1].Pattern.Parts.Dark < 0.4
		}},
		{"brenmark-solar-h11", "brilliant and dazzling", func(b data.Bulb) bool {
			return hot(newest(b)[1]) > 1.9*stock(newest(b)[1]) && stray(newest(b)[1]) >= 3
		}},
		{"immerset-tower-h11", "too long for a usual cap", func(b data.Bulb) bool { return *b.Build.Rear > 75 }},
		{"tolvane-arc-h7", "wrong polarity", func(b data.Bulb) bool { return b.Supply.Polarity == "normal" }},
		{"vintrock-9k-h7", "1.2 mm off", func(b data.Bulb) bool { return *b.Build.Emitter == 26.2 && b.Build.Collar == "fixed" }},
		{"marrowby-twin-h4", "without a cup", func(b data.Bulb) bool { return !*b.Build.Cup }},
		{"ostermoor-s22-h7", "tested in one housing only", func(b data.Bulb) bool { return len(newest(b)) == 1 }},
		{"pellarin-line-hb4", "tested only as a sibling size", untested},
		{"vintrock-9k-hir2", "tested only as a sibling size", untested},
		{"fennick-uno-h11", "measurements missing: nobody waited for a hot reading", func(b data.Bulb) bool { return len(newest(b)[0].Readings) == 1 }},
		{"skelgill-one-h7", "measurements missing: the stray light", func(b data.Bulb) bool { return stray(newest(b)[0]) == 0 }},
		{"wexcombe-box-hb3", "measurements missing: the volts", func(b data.Bulb) bool { return newest(b)[0].Stock.Volts == nil }},
		{"caldry-basic-h4", "measurements missing: the body temperature", func(b data.Bulb) bool { return newest(b)[0].Body == nil }},
		{"dorrage-thrift-h7", "beats stock only when cold", func(b data.Bulb) bool {
			return cold(newest(b)[0]) > 1.1*stock(newest(b)[0]) && hot(newest(b)[0]) < stock(newest(b)[0])
		}},
		{"dorrage-thrift-h11", "beats stock only at 12.8 V", func(b data.Bulb) bool {
			test := newest(b)[0] // 1.15 as read; the halogen at 13.5 V is 1.20 times as bright
			return *test.Stock.Volts == 12.8 && hot(test) > 1.14*stock(test) && hot(test) < 1.19*stock(test)
		}},
		{"quennel-max-h11", "a claim no LED can reach", func(b data.Bulb) bool { return *b.Claims.Lumens / *b.Claims.Watts > 370 }},
		{"tolvane-arc-h11", "an older lot under the same name", func(b data.Bulb) bool {
			return len(b.Lots) == 2 && b.Lots[0].Bought < b.Lots[1].Bought && hot(b.Lots[0].Tests[0]) > 1.3*hot(b.Lots[1].Tests[0])
		}},
		{"caldry-basic-h11", "cheap, honest, middling", func(b data.Bulb) bool { return b.Price.Amount < 30 && retained(newest(b)[0]) > 0.9 }},
		{"wexcombe-box-h7", "external driver", func(b data.Bulb) bool { return b.Supply.Driver == "external" }},
		{"keldane-rush-h7", "not for closed caps", func(b data.Bulb) bool { return b.Build.Cooling == "fan" && newest(b)[0].FoldBack == "seen" }},
		{"ostermoor-flex-h11", "braid straps for tight caps", func(b data.Bulb) bool { return b.Build.Cooling == "braid" && *b.Build.Rear < 30 }},
		{"ostermoor-s22-h7", "built-in answer to a bulb-out check", func(b data.Bulb) bool { return b.Supply.BulbOut == "built_in" }},
		{"caldry-basic-h7", "nothing against a bulb-out warning", func(b data.Bulb) bool { return b.Supply.BulbOut == "none" }},
		{"rowanby-24-h7", "12 to 24 V", func(b data.Bulb) bool { return *b.Supply.VoltsMin <= 9 && *b.Supply.VoltsMax == 32 }},
		{"rowanby-moto-h4", "alternating current", func(b data.Bulb) bool { return *b.Supply.AC }},
		{"hushwell-mist-h16", "its price was not found", func(b data.Bulb) bool { return b.Price == nil }},
	} {
		bulb, ok := catalog.Bulb(row.bulb)
		if !ok {
			t.Errorf("no bulb %s", row.bulb)
			continue
		}
		if text := strings.ToLower(strings.Join(bulb.Notes, " ")); !strings.Contains(text, strings.ToLower(row.says)) {
			t.Errorf("%s: the notes do not say %q: %s", row.bulb, row.says, text)
		}
		if !row.is(bulb) {
			t.Errorf("%s: the figures do not carry %q", row.bulb, row.says)
		}
	}
}

// TestDemoIsPlausible keeps the invented figures inside what a bench sees, and
// apart from the check values that only tests use.
func TestDemoIsPlausible(t *testing.T) {
	catalog, _ := demo(t)
	testsOnly := []float64{725, 910, 1001, 832, 1870, 1554}
	for _, b := range catalog.Bulbs {
		if w := b.Supply.Watts; b.Kind == data.KindLED && w != nil && (*w < 9 || *w > 45) {
			t.Errorf("%s: %g W", b.ID, *w)
		}
		if c := b.Claims; c.Lumens != nil && *c.Lumens == 3600 || b.Supply.Watts != nil && *b.Supply.Watts == 23.6 {
			t.Errorf("%s: a figure that belongs to the tests", b.ID)
		}
		for _, lot := range b.Lots {
			for _, test := range lot.Tests {
				low, high := 0.69, 1.04
				if b.Kind == data.KindHalogen {
					low, high = 0.97, 1.0
				}
				if r := retained(test); len(test.Readings) > 1 && (r < low || r > high) {
					t.Errorf("%s in %s: retained %.3f, want %g to %g", b.ID, test.Rig, r, low, high)
				}
				if drift := *test.Stock.Last / *test.Stock.First; drift < 0.97 || drift > 1.03 {
					t.Errorf("%s in %s: stock moved by %.3f", b.ID, test.Rig, drift)
				}
				figures := []float64{*test.Stock.First, *test.Stock.Last}
				for _, r := range test.Readings {
					figures = append(figures, r.Lux)
				}
				for _, figure := range figures {
					if slices.Contains(testsOnly, figure) {
						t.Errorf("%s in %s: %g lux belongs to the tests", b.ID, test.Rig, figure)
					}
				}
			}
		}
	}
}
