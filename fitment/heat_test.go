package fitment

import (
	"testing"

	"stillbright/data"
)

// facts/fitment.md 4f, 7, 11 (common practice): fog lamps 15 to 20 W at most,
// bare fins 10 to 20 W, braid spread out, original power not passed.

func heatExamples() []example {
	on := func(watts float64, cooling, cap, climate string) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			b.Supply.Watts, b.Build.Cooling, l.Cap, l.Car.Climate = &watts, cooling, cap, climate
		}
	}
	return []example{
		{name: "fan, boot", change: same, want: Fits, need: "<= 55"},
		{name: "more than the halogen", change: on(56, CoolingFan, CapVented, ClimateMild), want: DoesNotFit},
		{name: "fog, 21 W", change: func(b *Bulb, l *Lamp) { b.Supply.Watts, l.Beam = p(21.0), data.BeamFog }, want: NeedsWork, says: "fog lamp"},
		{name: "fog, 20 W", change: func(b *Bulb, l *Lamp) { b.Supply.Watts, l.Beam = p(20.0), data.BeamFog }, want: Fits, need: "<= 20"},
		{name: "braid, closed", change: on(15, CoolingBraid, CapHard, ClimateCold), want: NeedsWork, says: "spread"},
		{name: "braid, open", change: on(15, CoolingBraid, CapVented, ClimateCold), want: Fits},
		{name: "fins 20 W, closed", change: on(20, CoolingFins, CapHard, ClimateMild), want: Fits},
		{name: "fins 21 W, closed", change: on(21, CoolingFins, CapHard, ClimateMild), want: NeedsWork, says: "bare fins", need: "<= 20"},
		{name: "fan 35 W, closed, hot", change: on(35, CoolingFan, CapHard, ClimateHot), want: NeedsWork, says: "hot climate", need: "<= 30"},
		{name: "fan 35 W, closed, mild", change: on(35, CoolingFan, CapHard, ClimateMild), want: Fits},
		{name: "fan 35 W, open, hot", change: on(35, CoolingFan, CapNone, ClimateHot), want: Fits},
		{name: "cooling not recorded", change: on(15, "", CapHard, ClimateMild), want: Unknown, owner: OwnerBulb},
		{name: "cooling not recorded, vented", change: on(15, "", CapVented, ClimateMild), want: Fits},
		{name: "cap not known", change: on(35, CoolingFins, "", ClimateMild), want: Unknown, owner: OwnerCar},
		{name: "climate not known", change: on(35, CoolingFan, CapHard, ""), want: Unknown, owner: OwnerCar},
		{name: "climate not known, little power", change: on(15, CoolingFan, "", ""), want: Fits},
		{name: "power not measured", change: func(b *Bulb, l *Lamp) { b.Supply.Watts = nil }, want: Unknown, owner: OwnerBulb},
		{name: "halogen not known", change: func(b *Bulb, l *Lamp) { l.Of.Functions = nil }, want: Unknown, owner: OwnerCar},
	}
}

func waterExamples() []example {
	on := func(whole, cap string) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.Build.IngressBody, l.Cap = whole, cap }
	}
	return []example{
		{name: "inside the lamp", change: on("", CapHard), want: Fits, says: "cap stays on"},
		{name: "open, IP65", change: on("IP65", CapNone), want: Fits, need: "IP55"},
		{name: "open, IP67", change: on("ip67", CapNone), want: Fits, says: "pressure washer"},
		{name: "open, IP6K9K", change: on("IP6K9K", CapNone), want: Fits},
		{name: "open, IP54", change: on("IP54", CapNone), want: NeedsWork, part: "a sealed boot"},
		{name: "open, dust not tested", change: on("IPX7", CapNone), want: NeedsWork, part: "a sealed boot"},
		{name: "open, no such code", change: on("waterproof", CapNone), want: Unknown, owner: OwnerBulb},
		{name: "cap not known", change: on("IP54", ""), want: Unknown, owner: OwnerCar},
		{name: "cap not known, bears spray", change: on("IP65", ""), want: Fits},
	}
}

func TestIngressCodes(t *testing.T) {
	for _, c := range []struct {
		code        string
		dust, water int
		ok          bool
	}{
		{"IP67", 6, 7, true}, {" ip 54", 5, 4, true}, {"IPX4", 0, 4, true}, {"IP5X", 5, 0, true}, {"IP6K9K", 6, 9, true},
		{"", 0, 0, false}, {"67", 0, 0, false}, {"IP6", 0, 0, false}, {"IP678", 0, 0, false}, {"IPAB", 0, 0, false},
	} {
		if dust, water, ok := ingress(c.code); ok != c.ok || ok && (dust != c.dust || water != c.water) {
			t.Errorf("%q: %d %d %v, want %d %d %v", c.code, dust, water, ok, c.dust, c.water, c.ok)
		}
	}
}
