package recommend_test

import (
	"fmt"
	"math/rand/v2"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend"
)

// knowledge is what the program ships with.
func ptr[T any](value T) *T { return &value }

// generated makes a catalog of H11 bulbs with every fact on record, in two
// rigs of each housing kind; the facts are drawn from a seeded source.
func generated(seed uint64, bulbs int) data.Catalog {
	r := rand.New(rand.NewPCG(seed, 11))
	c := data.Catalog{Name: "generated", Invented: true, Rigs: []data.Rig{
		{ID: "rig-p", Name: "projector", Size: "H11", Beam: "low", Housing: "projector", Distance: ptr(7.62), Meter: "B", Point: "fixed", Source: "generated"},
		{ID: "rig-r", Name: "reflector", Size: "H11", Beam: "low", Housing: "reflector", Distance: ptr(7.62), Meter: "B", Point: "fixed", Source: "generated"},
	}}
	for i := range bulbs {
		c.Bulbs = append(c.Bulbs, generatedBulb(r, i))
	}
	return c
}

func generatedBulb(r *rand.Rand, i int) data.Bulb {
	between := func(low, high float64) float64 { return low + (high-low)*r.Float64() }
	b := data.Bulb{
		Format: 1, ID: fmt.Sprintf("bulb-%03d", i), Name: fmt.Sprintf("Bulb %03d", i), Model: fmt.Sprintf("model-%03d", i),
		Kind: data.KindLED, Size: "H11", Price: &quantity.Money{Amount: float64(10 + r.IntN(150)), Currency: "USD"}, Per: "pair", Source: "generated",
		Build: data.Build{
			Collar: "set_screw", Clocking: "adjustable", FrontDia: ptr(between(10, 16)), BodyDia: ptr(between(25, 45)), Tip: ptr(between(35, 45)),
			Emitter: ptr(between(23.6, 26.4)), Strip: ptr(between(3.5, 7)), StripWidth: ptr(between(1, 2.4)), Board: ptr(between(1, 2.4)),
			Mismatch: ptr(between(0, 0.4)), Rear: ptr(between(25, 65)), CableBend: ptr(12.0), Cable: ptr(150.0), Cooling: "fins", IngressBody: "IP65", Mass: ptr(between(60, 160)),
			CollarThick: ptr(2.0),
		},
		Supply: data.Supply{Driver: "internal", Plug: "H11", VoltsMin: ptr(9.0), VoltsMax: ptr(16.0), Polarity: "any", AC: ptr(false), Pulsed: ptr(true),
			Watts: ptr(between(12, 45)), Amps: ptr(between(1, 3.5)), Inrush: ptr(5.0), BulbOut: "built_in"},
	}
	if i%7 == 6 {
		b.Kind = data.KindHalogen
		b.Build, b.Supply = data.Build{}, data.Supply{}
	}
	lot := data.Lot{Name: "A", Bought: "2026-01-10"}
	for _, rig := range []string{"rig-p", "rig-r"} {
		stock := between(600, 900)
		cold := stock * between(0.8, 2.2)
		kept := between(0.72, 0.98)
		test := data.Test{
			Rig: rig, Date: "2026-02-01", Volts: ptr(13.2), Stock: data.StockReading{First: ptr(stock), Last: ptr(stock * 0.998), Volts: ptr(13.2)},
			Readings: []data.Reading{{At: 0, Lux: cold}, {At: 30, Lux: cold * kept}}, Point: "fixed", Cap: "on", Ambient: ptr(between(15, 28)),
			Body: ptr(between(45, 95)), Surface: "taped", FoldBack: "none", Watts: b.Supply.Watts, Seatings: 4, Spread: ptr(between(1, 8)), Samples: 2,
		}
		if b.Kind == data.KindLED {
			test.Pattern = &data.PatternRecord{Method: "grid", StrayVsStock: ptr(between(0.6, 3)), Parts: &data.Parts{
				Sharpness: ptr(r.Float64()), HotSpot: ptr(r.Float64()), Dark: ptr(r.Float64()), Width: ptr(r.Float64())}}
		}
		lot.Tests = append(lot.Tests, test)
	}
	b.Lots = []data.Lot{lot}
	return b
}

// need is an owner of an H11 projector who knows all of the car.
func need(r *rand.Rand) recommend.Need {
	n := recommend.Need{
		Size: "H11", Beam: "low", Housing: []recommend.Word{"projector", "reflector"}[r.IntN(2)], TripMin: []float64{10, 30, 50}[r.IntN(3)],
		Driving: [][]string{nil, {"rural"}, {"city", "rain"}, {"highway"}, {"snow", "offroad"}}[r.IntN(5)],
		Climate: []recommend.Word{"", "hot", "mild", "cold"}[r.IntN(4)], Canbus: ptr(false), Polarity: "normal",
		RearClearanceMM: ptr(60.0), FrontClearanceMM: ptr(55.0), Volts: ptr(13.4),
		Lamp: &data.Lamp{Size: "H11", Beam: "low", Technology: "halogen", Hole: ptr(20.0), CapDia: ptr(80.0), Cap: "hard", Retention: "twist", Feed: "steady"},
	}
	if r.IntN(2) == 0 {
		n.Budget = &recommend.Budget{Amount: 80, Currency: "USD", Per: "pair"}
	}
	return n
}
