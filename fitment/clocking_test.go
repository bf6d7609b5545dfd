package fitment

import (
	"math"
	"testing"
)

// facts/fitment.md section 4a: 5 degrees or less is usually invisible, 5 to 15
// tilts or blurs the cutoff, more does not fit (common practice).

func clockingExamples() []example {
	turn := func(own, forced float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.ClockingDeg, l.ForcedDeg = &own, &forced }
	}
	free := func(b *Bulb) { b.Adjustable, b.ClockingDeg, b.CollarStepDeg = p(true), nil, nil }
	steps := func(step, own float64, forced *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			b.Adjustable, b.CollarStepDeg, b.ClockingDeg, l.ForcedDeg = p(true), &step, &own, forced
		}
	}
	return []example{
		{name: "right", change: same, want: Fits, have: "0", need: "<= 5"},
		{name: "5 off", change: turn(5, 0), want: Fits},
		{name: "6 off", change: turn(6, 0), want: NeedsWork},
		{name: "15 off", change: turn(0, 15), want: NeedsWork},
		{name: "16 off", change: turn(16, 0), want: DoesNotFit},
		{name: "6 and 12 may add up", change: turn(6, 12), want: DoesNotFit, have: "18"},
		{name: "12 and 6 o'clock", change: turn(90, 0), want: DoesNotFit, have: "90"},
		{name: "can be turned", change: func(b *Bulb, l *Lamp) { free(b) }, want: NeedsWork, says: "has to be set"},
		{name: "can be turned, whatever the holder does", change: func(b *Bulb, l *Lamp) { free(b); l.ForcedDeg = nil }, want: NeedsWork},
		{name: "friction collar turns", change: func(b *Bulb, l *Lamp) { b.Adjustable, b.Collar = nil, CollarFriction }, want: NeedsWork},
		{name: "steps of 10", change: steps(10, 0, nil), want: NeedsWork},
		{name: "steps of 60, on one", change: steps(60, 0, p(0.0)), want: NeedsWork, have: "0"},
		{name: "steps of 60, between two", change: steps(60, 30, p(0.0)), want: DoesNotFit, have: "30"},
		{name: "steps of 60, holder not measured", change: steps(60, 0, nil), want: Unknown, owner: OwnerCar},
		{name: "steps of 60, positions not recorded", change: func(b *Bulb, l *Lamp) {
			b.Adjustable, b.CollarStepDeg, b.ClockingDeg = p(true), p(60.0), nil
		}, want: Unknown, owner: OwnerBulb},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) { b.Adjustable, b.Collar, b.ClockingDeg = nil, CollarRemovable, nil }, want: Unknown, owner: OwnerBulb},
		{name: "fixed, angle not recorded", change: func(b *Bulb, l *Lamp) { b.ClockingDeg = nil }, want: Unknown, owner: OwnerBulb},
		{name: "fixed, angle not recorded, beam measured", change: func(b *Bulb, l *Lamp) { b.ClockingDeg = nil; seen(b) }, want: Unknown, owner: OwnerBulb, soft: true},
		{name: "fixed, holder not looked at", change: func(b *Bulb, l *Lamp) { l.ForcedDeg = nil }, want: Unknown, owner: OwnerCar},
		{name: "fixed and wrong by itself, holder not looked at", change: func(b *Bulb, l *Lamp) { b.ClockingDeg, l.ForcedDeg = p(40.0), nil }, want: DoesNotFit},
	}
}

// Two emitters back to back look the same after half a turn, and left and right
// are alike.
func TestFoldIdentities(t *testing.T) {
	for deg := -720.0; deg <= 720; deg += 7.5 {
		got := fold(deg)
		if got < 0 || got > 90 || math.Abs(got-fold(deg+180)) > 1e-9 || math.Abs(got-fold(-deg)) > 1e-9 {
			t.Errorf("fold(%g) = %g, fold(+180) = %g, fold(-) = %g", deg, got, fold(deg+180), fold(-deg))
		}
	}
}
