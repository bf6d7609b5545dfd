package fitment

import (
	"math"
	"testing"
)

// facts/fitment.md section 4a: 5 degrees or less is usually invisible, 5 to 15
// tilts or blurs the cutoff, more does not fit (common practice).

func clockingExamples() []example {
	turn := func(own, forced float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.Build.ClockingOff, l.ForcedOff = &own, &forced }
	}
	free := func(b *Bulb) { b.Build.Clocking, b.Build.ClockingOff = ClockingAdjustable, nil }
	return []example{
		{name: "right", change: same, want: Fits, have: "0", need: "<= 5"},
		{name: "5 off", change: turn(5, 0), want: Fits},
		{name: "6 off", change: turn(6, 0), want: NeedsWork},
		{name: "15 off", change: turn(0, 15), want: NeedsWork},
		{name: "16 off", change: turn(16, 0), want: DoesNotFit},
		{name: "6 and 12 may add up", change: turn(6, 12), want: DoesNotFit, have: "18"},
		{name: "12 and 6 o'clock", change: turn(90, 0), want: DoesNotFit, have: "90"},
		{name: "can be turned", change: func(b *Bulb, l *Lamp) { free(b) }, want: NeedsWork, says: "has to be set"},
		{name: "can be turned, whatever the holder does", change: func(b *Bulb, l *Lamp) { free(b); l.ForcedOff = nil }, want: NeedsWork},
		{name: "friction collar turns", change: func(b *Bulb, l *Lamp) { b.Build.Clocking, b.Build.Collar = "", CollarFriction }, want: NeedsWork},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) {
			b.Build.Clocking, b.Build.Collar, b.Build.ClockingOff = "", CollarRemovable, nil
		}, want: Unknown, owner: OwnerBulb},
		{name: "fixed, angle not recorded", change: func(b *Bulb, l *Lamp) { b.Build.ClockingOff = nil }, want: Unknown, owner: OwnerBulb},
		{name: "fixed, angle not recorded, beam measured", change: func(b *Bulb, l *Lamp) { b.Build.ClockingOff = nil; seen(b) }, want: Unknown, owner: OwnerBulb, soft: true},
		{name: "fixed, holder not looked at", change: func(b *Bulb, l *Lamp) { l.ForcedOff = nil }, want: Unknown, owner: OwnerCar},
		{name: "fixed and wrong by itself, holder not looked at", change: func(b *Bulb, l *Lamp) { b.Build.ClockingOff, l.ForcedOff = p(40.0), nil }, want: DoesNotFit},
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
