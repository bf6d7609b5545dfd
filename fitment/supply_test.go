package fitment

import "testing"

// LED sources under UN rules work over 9 to 16 V and 16 to 32 V (UN GRE-81-04,
// as in facts/fitment.md 10a); 12 V cars run at 13.5 to 14.7 V.

func voltsExamples() []example {
	on := func(low, high, car *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.Supply.VoltsMin, b.Supply.VoltsMax, l.Car.Volts = low, high, car }
	}
	return []example{
		{name: "9 to 16 on 12", change: on(p(9.0), p(16.0), p(12.0)), want: Fits, have: "9 to 16", need: "13.5 to 14.7"},
		{name: "9 to 32 on 24", change: on(p(9.0), p(32.0), p(24.0)), want: Fits, need: "27 to 29.4"},
		{name: "marked 12 on 13.4 at the plug", change: on(p(12.0), p(12.0), p(13.4)), want: Fits, have: "9 to 16"},
		{name: "marked 24 on 28 at the plug", change: on(p(24.0), p(24.0), p(28.0)), want: Fits, have: "16 to 32"},
		{name: "marked 12 to 24 on 24", change: on(p(12.0), p(24.0), p(24.0)), want: Fits, have: "9 to 32"},
		{name: "12 only on 24", change: on(p(9.0), p(16.0), p(24.0)), want: DoesNotFit, says: "destroyed"},
		{name: "12 only on 24, one end recorded", change: on(nil, p(16.0), p(24.0)), want: DoesNotFit},
		{name: "up to 14", change: on(p(9.0), p(14.0), p(12.0)), want: DoesNotFit, says: "overloaded"},
		{name: "24 only on 12", change: on(p(24.0), p(24.0), p(12.0)), want: DoesNotFit, says: "stay dark"},
		{name: "12 only on 6", change: on(p(9.0), p(16.0), p(6.0)), want: DoesNotFit},
		{name: "from 11", change: on(p(11.0), p(16.0), p(12.0)), want: Fits, says: "starter"},
		{name: "unmarked", change: on(nil, nil, p(12.0)), want: Unknown, owner: OwnerBulb},
		{name: "half marked", change: on(p(9.0), nil, p(12.0)), want: Unknown, owner: OwnerBulb},
		{name: "car not known", change: on(p(9.0), p(32.0), nil), want: Unknown, owner: OwnerCar},
	}
}

func acExamples() []example {
	on := func(bulb *bool, wired string, motorcycle bool) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.Supply.AC, l.Polarity, l.Car.Cycle = bulb, wired, motorcycle }
	}
	return []example{
		{name: "a car", change: on(nil, "", false), want: absent},
		{name: "motorcycle, wiring known", change: on(p(false), PolarityNormal, true), want: Fits},
		{name: "alternating, bears it", change: on(p(true), PolarityAC, true), want: Fits},
		{name: "alternating, does not", change: on(p(false), PolarityAC, true), want: DoesNotFit},
		{name: "alternating, not recorded", change: on(nil, PolarityAC, true), want: Unknown, owner: OwnerBulb},
		{name: "motorcycle, not known", change: on(p(false), "", true), want: Unknown, owner: OwnerCar},
		{name: "motorcycle, not known, bears both", change: on(p(true), "", true), want: Fits},
	}
}

func polarityExamples() []example {
	on := func(bulb, car string, dual bool) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			b.Supply.Polarity, l.Polarity = bulb, car
			if dual {
				two(l)
			}
		}
	}
	return []example{
		{name: "either way", change: on(PolarityAny, PolarityReversed, false), want: Fits},
		{name: "either way, two beams, ground-switched", change: on(PolarityAny, PolarityGround, true), want: Fits},
		{name: "either way, car not known", change: on(PolarityAny, "", false), want: Fits},
		{name: "normal", change: on(PolarityNormal, PolarityNormal, false), want: Fits},
		{name: "reversed", change: on(PolarityNormal, PolarityReversed, false), want: NeedsWork, part: "a swapping lead"},
		{name: "ground-switched, one beam", change: on(PolarityNormal, PolarityGround, false), want: Fits, says: "does not matter"},
		{name: "ground-switched, two beams", change: on(PolarityNormal, PolarityGround, true), want: NeedsWork, part: "a negative-switching lead"},
		{name: "alternating", change: on(PolarityNormal, PolarityAC, false), want: absent},
		{name: "car not known", change: on(PolarityNormal, "", false), want: Unknown, owner: OwnerCar},
		{name: "not recorded", change: on("", PolarityNormal, false), want: Unknown, owner: OwnerBulb},
		{name: "neither known", change: on("", "", true), want: Unknown, owner: OwnerBulb},
	}
}

// When neither is known, the owner is asked about the wiring all the same.
func TestPolarityAsksTheOwnerToo(t *testing.T) {
	b, l := sample()
	b.Supply.Polarity, l.Polarity = "", ""
	report := Check(b, l, shipped(t))
	if len(report.ToMeasure) != 1 || report.ToMeasure[0].Check != "polarity" {
		t.Errorf("to measure: %v", report.ToMeasure)
	}
	if len(report.Missing(OwnerBulb)) != 1 || len(report.Missing(OwnerCar)) != 0 {
		t.Errorf("missing: bulb %v, car %v", report.Missing(OwnerBulb), report.Missing(OwnerCar))
	}
}

func feedExamples() []example {
	on := func(feed string, pulsed *bool, from *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { l.Feed, b.Supply.Pulsed, b.Supply.VoltsMin = feed, pulsed, from }
	}
	return []example{
		{name: "steady", change: on(FeedSteady, nil, nil), want: Fits},
		{name: "pulsed, steady on it", change: on(FeedPulsed, p(true), nil), want: Fits},
		{name: "pulsed, flickers", change: on(FeedPulsed, p(false), p(9.0)), want: NeedsWork, says: "resistor alone", part: "a decoder"},
		{name: "pulsed, not recorded", change: on(FeedPulsed, nil, p(9.0)), want: Unknown, owner: OwnerBulb},
		{name: "reduced, lights from 6", change: on(FeedReduced, p(false), p(6.0)), want: Fits},
		{name: "reduced, lights from 9", change: on(FeedReduced, p(true), p(9.0)), want: NeedsWork, says: "needs 9 V", part: "a decoder"},
		{name: "reduced, not recorded", change: on(FeedReduced, p(true), nil), want: Unknown, owner: OwnerBulb},
		{name: "not known", change: on("", p(true), p(9.0)), want: Unknown, owner: OwnerCar},
		{name: "not known, bears all", change: on("", p(true), p(6.0)), want: Fits},
	}
}
