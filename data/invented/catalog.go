package invented

import (
	"fmt"
	"math"
	"math/rand/v2"

	"stillbright/data"
	"stillbright/data/quantity"
)

// TestsEach is the number of tests of each bulb.
const TestsEach = 10

// The size, housing and trip that the benchmark asks for.
const (
	AskedSize    = "H11"
	AskedHousing = data.Projector
	AskedTripMin = 30
)

// sizes in turn, each with the beam that its lamps make here.
var sizes = []struct{ size, beam string }{
	{"H11", data.BeamLow}, {"H7", data.BeamLow}, {"HB4", data.BeamLow}, {"HB3", data.BeamHigh},
	{"H1", data.BeamHigh}, {"H9", data.BeamHigh}, {"H8", data.BeamFog}, {"H16", data.BeamFog},
}

// minutes at which a full series is read.
var minutes = []float64{0, 1, 2, 3, 5, 7, 10, 14, 18, 22, 30}

// Catalog makes bulbs with TestsEach tests each, and two projectors and two
// reflectors for every size.
func Catalog(bulbs int) data.Catalog {
	c := data.Catalog{Name: "invented bench", Invented: true}
	for _, s := range sizes {
		for _, housing := range []string{data.Projector, data.Reflector} {
			for n := 1; n <= 2; n++ {
				c.Rigs = append(c.Rigs, data.Rig{
					Format: 1, ID: rigID(s.size, housing, n), Name: fmt.Sprintf("%s %s %d", s.size, housing, n), Size: s.size, Beam: s.beam, Housing: housing,
					Distance: p(7.62), Meter: "B", Point: "fixed", Source: source,
					Stock: &data.PatternRecord{Method: "photo", Parts: &data.Parts{Sharpness: p(0.9), HotSpot: p(0.9), Stray: p(1.0), Dark: p(0.88), Width: p(0.85)}},
				})
			}
		}
	}
	r := rand.New(rand.NewPCG(uint64(bulbs), 22))
	best := Best(bulbs)
	for i := range bulbs {
		c.Bulbs = append(c.Bulbs, bulb(r, i, best))
	}
	return c
}

// Best is the place of the bulb of AskedSize that leads in light, beam and heat
// among those that do not dazzle, in a catalog of so many bulbs; at least 8 are
// needed for one of every size.
func Best(bulbs int) int { return bulbs * 5 / 8 / len(sizes) * len(sizes) }

const source = "invented; nothing was measured"

func rigID(size, housing string, n int) string {
	return fmt.Sprintf("%s-%s-%d", lower(size), housing, n)
}

func lower(size string) string {
	text := []byte(size)
	for i, c := range text {
		if 'A' <= c && c <= 'Z' {
			text[i] = c + 'a' - 'A'
		}
	}
	return string(text)
}

func p[T any](value T) *T { return &value }

var (
	fronts = []string{"Bram", "Corv", "Dunt", "Fesk", "Gril", "Hask", "Jorm", "Kesk", "Narv", "Ovel", "Prun", "Quil", "Rask", "Skel", "Tarn", "Vask", "Wend", "Yarl", "Zeld"}
	backs  = []string{"ock", "ander", "mere", "stow", "wick", "hollow", "beck", "dale", "moor", "holt"}
)

// traits are what a bulb is like; its tests scatter about them.
type traits struct {
	ratio, kept, tau float64 // hot vs stock, part of the light kept, minutes
	parts            [4]float64
	stray, body      float64
	watts            float64
}

func bulb(r *rand.Rand, i, best int) data.Bulb {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	s := sizes[i%len(sizes)]
	product := i / len(sizes)
	maker := fronts[product%len(fronts)] + backs[product/len(fronts)%len(backs)]
	id := fmt.Sprintf("%s-%05d-%s", lower(maker), product, lower(s.size))
	b := data.Bulb{
		Format: 1, ID: id, Name: fmt.Sprintf("%s %05d (%s)", maker, product, s.size), Model: fmt.Sprintf("%s-%05d", lower(maker), product),
		Kind: data.KindLED, Size: s.size, Price: &quantity.Money{Amount: float64(18 + r.IntN(110)), Currency: "USD"}, Per: "pair", Source: source,
		Claims: data.Claims{Lumens: p(100 * math.Round(between(20, 90))), Watts: p(math.Round(between(30, 80))), CCT: p(6000.0), Per: "pair"},
		Build: data.Build{
			Collar: "set_screw", Clocking: "adjustable", FrontDia: p(14.0), BodyDia: p(round(between(28, 40), 1)), Tip: p(40.0), Emitter: p(25.1),
			Strip: p(4.6), StripWidth: p(1.5), Board: p(1.4), Mismatch: p(0.05), Rear: p(round(between(30, 46), 1)), CableBend: p(12.0),
			Cooling: "fan", IngressBody: "IP54", Mass: p(math.Round(between(60, 110))),
		},
		Supply: data.Supply{Driver: "internal", Plug: s.size, VoltsMin: p(9.0), VoltsMax: p(16.0), Polarity: "any", Pulsed: p(true),
			Watts: p(round(between(14, 34), 1)), Amps: p(round(between(1, 2.6), 2)), Inrush: p(12.0), BulbOut: "built_in"},
	}
	t := traits{
		ratio: between(0.6, 2), kept: between(0.72, 0.95), tau: between(2, 9), stray: between(0.7, 2.6), body: between(50, 90), watts: *b.Supply.Watts,
		parts: [4]float64{between(0.3, 0.9), between(0.4, 0.9), between(0.4, 0.85), between(0.5, 0.9)},
	}
	old := t
	switch {
	case i == best:
		t.ratio, t.kept, t.stray, t.body, t.parts = 2.4, 0.96, 0.9, 48, [4]float64{0.97, 0.97, 0.95, 0.95}
		b.Supply.Watts, t.watts = p(18.0), 18
	case i/len(sizes)%7 == 3: // more light than any other, and most of it in the eyes of others
		t.ratio, t.stray = between(2.5, 3), between(2.8, 3.6)
	case i/len(sizes)%11 == 5: // was good once; what is sold now is not
		old.ratio, old.stray = 2.6, 0.9
		t.ratio = between(0.6, 1)
	case i/len(sizes)%9 == 8:
		b.Kind, b.Claims, b.Build, b.Supply = data.KindHalogen, data.Claims{}, data.Build{}, data.Supply{}
		t.ratio, t.kept, t.stray = between(0.95, 1.25), 0.99, 1
		old = t
	}
	// One product in ten was never in a projector in its newest lot.
	onlyReflector := i/len(sizes)%10 == 4 && i != best
	b.Lots = []data.Lot{
		{Name: "2024-05", Bought: "2024-05-06", Tests: tests(r, b, s.size, old, "2024-06", false)[:4]},
		{Name: "2026-01", Bought: "2026-01-12", Tests: tests(r, b, s.size, t, "2026-02", onlyReflector)},
	}
	return b
}

// tests are those of one lot: once in each lamp and again in the first of each
// housing.
func tests(r *rand.Rand, b data.Bulb, size string, t traits, month string, onlyReflector bool) []data.Test {
	var list []data.Test
	for k, lamp := range []struct {
		housing string
		number  int
	}{{data.Projector, 1}, {data.Projector, 2}, {data.Reflector, 1}, {data.Reflector, 2}, {data.Projector, 1}, {data.Reflector, 1}} {
		housing := lamp.housing
		if onlyReflector {
			housing = data.Reflector
		}
		stock := math.Round(600 + 300*r.Float64())
		test := data.Test{
			Rig: rigID(size, housing, lamp.number), Date: data.Date(fmt.Sprintf("%s-%02d", month, 3+k)), Volts: p(13.5),
			Stock: data.StockReading{First: p(stock), Last: p(stock - float64(r.IntN(4))), Volts: p(13.5)}, Point: "fixed", Cap: "on",
			Ambient: p(float64(18 + r.IntN(8))), FoldBack: "none", Seatings: 5, Spread: p(round(2+4*r.Float64(), 1)), Samples: 2,
		}
		test.Readings = readings(r, stock*t.ratio*(1+0.02*r.NormFloat64()), t, k)
		if b.Kind == data.KindLED {
			test.Body, test.Surface, test.Watts = p(math.Round(t.body)), "taped", p(t.watts)
			less := 0.0
			if housing == data.Reflector {
				less = 0.25
			}
			part := func(n int) *float64 { return p(round(max(0, t.parts[n]-less-0.02*r.Float64()), 2)) }
			test.Pattern = &data.PatternRecord{Method: "photo", StrayVsStock: p(round(t.stray, 2)),
				Parts: &data.Parts{Sharpness: part(0), HotSpot: part(1), Dark: part(2), Width: part(3)}}
		}
		list = append(list, test)
	}
	return list
}

// readings fall to hot lux, in a full series, a shorter one or two readings.
func readings(r *rand.Rand, hot float64, t traits, k int) []data.Reading {
	at := minutes
	switch k % 3 {
	case 1:
		at = []float64{0, 2, 5, 10, 18, 30}
	case 2:
		at = []float64{0, 30}
	}
	var list []data.Reading
	end := hot / (1 + (1/t.kept-1)*math.Exp(-30/t.tau))
	for _, minute := range at {
		lux := end * (1 + (1/t.kept-1)*math.Exp(-minute/t.tau)) * (1 + 0.003*r.NormFloat64())
		list = append(list, data.Reading{At: minute, Lux: math.Round(lux)})
	}
	return list
}

// round to a number of decimals.
func round(value float64, decimals int) float64 {
	unit := math.Pow10(decimals)
	return math.Round(value*unit) / unit
}
