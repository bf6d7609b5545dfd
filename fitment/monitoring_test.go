package fitment

import (
	"math"
	"strings"
	"testing"

	"stillbright/data"
)

// facts/fitment.md 10c: 55 W class halogen 4.2 to 4.4 A at 13.5 V; many cars
// report a bulb out somewhere under 50 to 70 % of nominal, so 25 W is doubtful
// and 45 W often passes.

func monitoringExamples() []example {
	on := func(watts float64, aid string, limit *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			l.Car.Canbus, b.Supply.Watts, b.Supply.BulbOut, l.BulbOutA = p(true), &watts, aid, limit
		}
	}
	return []example{
		{name: "not watched", change: same, want: Fits},
		{name: "45 W", change: on(45, BulbOutNone, nil), want: Fits, says: "most cars"},
		{name: "35 W", change: on(35, BulbOutNone, nil), want: NeedsWork, says: "doubtful", part: "a load resistor"},
		{name: "25 W", change: on(25, BulbOutNone, nil), want: NeedsWork, says: "under half", part: "a load resistor"},
		{name: "25 W, stated to satisfy", change: on(25, BulbOutBuiltIn, nil), want: Fits, says: "stated"},
		{name: "25 W, resistor in the box", change: on(25, BulbOutResistor, nil), want: NeedsWork, part: "the load resistor from the box"},
		{name: "25 W, limit known and met", change: on(25, BulbOutNone, p(1.5)), want: Fits, need: ">= 1.5"},
		{name: "25 W, limit known and missed", change: on(25, BulbOutBuiltIn, p(2.5)), want: NeedsWork, says: "under 2.5 A", part: "a load resistor"},
		{name: "1 W, one resistor is not enough", change: on(1, BulbOutNone, nil), want: NeedsWork, says: "not enough", part: "a decoder"},
		{name: "measured amps count", change: func(b *Bulb, l *Lamp) { on(25, BulbOutNone, nil)(b, l); b.Supply.Amps = p(3.4) }, want: Fits, have: "3.4"},
		{name: "not measured", change: func(b *Bulb, l *Lamp) { on(25, BulbOutNone, nil)(b, l); b.Supply.Watts = nil }, want: Unknown, owner: OwnerBulb},
		{name: "halogen not known", change: func(b *Bulb, l *Lamp) { on(25, BulbOutNone, nil)(b, l); l.Of.Functions = nil }, want: Unknown, owner: OwnerCar},
		{name: "car not known", change: func(b *Bulb, l *Lamp) { on(25, BulbOutNone, nil)(b, l); l.Car.Canbus = nil }, want: Unknown, owner: OwnerCar},
		{name: "car not known, passes anyway", change: func(b *Bulb, l *Lamp) { on(45, BulbOutNone, nil)(b, l); l.Car.Canbus = nil }, want: Fits},
	}
}

func inrushExamples() []example {
	on := func(peak *float64, watched *bool) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			b.Supply.Inrush, l.Car.Canbus, b.Supply.BulbOut = peak, watched, BulbOutBuiltIn
		}
	}
	return []example{
		{name: "not watched", change: on(p(60.0), p(false)), want: absent},
		{name: "30 A", change: on(p(30.0), p(true)), want: Fits},
		{name: "60 A", change: on(p(60.0), p(true)), want: NeedsWork, says: "electronic fuse"},
		{name: "not measured", change: on(nil, p(true)), want: Unknown, owner: OwnerBulb, soft: true},
		{name: "not measured, car not known", change: on(nil, nil), want: absent},
		{name: "60 A, car not known", change: on(p(60.0), nil), want: Unknown, owner: OwnerCar, soft: true},
		{name: "30 A, car not known", change: on(p(30.0), nil), want: Fits},
		{name: "halogen not known", change: func(b *Bulb, l *Lamp) { on(p(30.0), p(true))(b, l); l.Of.Functions = nil }, want: Unknown, owner: OwnerCar, soft: true},
	}
}

func TestCurrentsOfTheFacts(t *testing.T) {
	for watts, want := range map[float64]float64{55: 4.2, 57: 4.4} {
		if got := halogenAmps(watts); math.Abs(got-want) > 0.05 {
			t.Errorf("halogen of %g W: %g A, want %g A", watts, got, want)
		}
	}
	for watts, want := range map[float64]float64{15: 1.1, 25: 1.9, 35: 2.6, 45: 3.3} {
		if got := *(&Bulb{Bulb: data.Bulb{Supply: data.Supply{Watts: &watts}}}).amps(); math.Abs(got-want) > 0.051 {
			t.Errorf("LED of %g W: %g A, want %g A", watts, got, want)
		}
	}
}

// Load resistor heat, facts/fitment.md 10c: 6 ohms 2.25 A, 30 W at 13.5 V and
// 35 W at 14.4 V; 8 ohms 23 W.
func TestLoadResistorHeatIsSaid(t *testing.T) {
	rules := shipped(t)
	for _, c := range []struct {
		watts float64
		limit float64
		says  []string
	}{
		{25, 4.0, []string{"6 ohms", "2.25 A", "30.4 W", "34.6 W"}},
		{25, 3.0, []string{"8 ohms", "1.69 A", "22.8 W", "25.9 W"}},
	} {
		b, l := sample()
		b.Supply.Watts, l.Car.Canbus, l.BulbOutA = &c.watts, p(true), &c.limit
		f, _ := find1(Check(b, l, rules), "monitoring")
		for _, part := range c.says {
			if !strings.Contains(f.Why, part) {
				t.Errorf("limit %g A: %q lacks %q", c.limit, f.Why, part)
			}
		}
		if !strings.Contains(say(f.Fix), "never inside the lamp") {
			t.Errorf("fix %q does not warn of the heat", say(f.Fix))
		}
	}
}
