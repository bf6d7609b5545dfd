package fitment

import (
	"strings"
	"testing"
)

// spare = clearance − (rear length + bend), facts/fitment.md section 6: 10 mm
// and more fits, 0 to 10 needs work, less than 0 needs a deeper cap, and less
// than 0 with the cap off does not fit. The sample bulb needs 35 + 10 = 45 mm.

func rearExamples() []example {
	room := func(closed, open *float64, cap string) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { l.Rear, l.RearOpen, l.Cap = closed, open, cap }
	}
	return []example{
		{name: "10 mm spare", change: room(p(55.0), nil, CapHard), want: Fits, have: "45", need: "<= 45"},
		{name: "9.9 mm spare, fan", change: room(p(54.9), nil, CapHard), want: NeedsWork, says: "fan"},
		{name: "9.9 mm spare, fins", change: func(b *Bulb, l *Lamp) { room(p(54.9), nil, CapHard)(b, l); b.Build.Cooling = CoolingFins }, want: NeedsWork, says: "heatsink"},
		{name: "0 mm spare", change: room(p(45.0), nil, CapHard), want: NeedsWork},
		{name: "deeper cap", change: room(p(44.9), p(45.0), CapHard), want: NeedsWork, says: "space behind", part: "a deeper cap"},
		{name: "no space for a deeper cap", change: room(p(40.0), p(44.9), CapHard), want: DoesNotFit, says: "Even with a deeper cap"},
		{name: "cap too near, space not measured", change: room(p(40.0), nil, CapHard), want: Unknown, owner: OwnerCar},
		{name: "nothing measured", change: room(nil, nil, CapHard), want: Unknown, owner: OwnerCar, have: "45"},
		{name: "only the space measured, and too small", change: room(nil, p(40.0), ""), want: DoesNotFit},
		{name: "only the space measured, and large", change: room(nil, p(90.0), ""), want: Unknown, owner: OwnerCar},
		{name: "lamp without cap", change: room(nil, p(55.0), CapNone), want: Fits},
		{name: "lamp without cap, tight", change: room(nil, p(50.0), CapNone), want: NeedsWork, says: "fan"},
		{name: "lamp without cap, too long", change: room(p(40.0), nil, CapNone), want: DoesNotFit, says: "flange. There are only 40 mm"},
		{name: "lamp without cap, not measured", change: room(nil, nil, CapNone), want: Unknown, owner: OwnerCar},
		{name: "straight plug, bend not measured", change: func(b *Bulb, l *Lamp) { b.Build.CableBend, l.Rear = nil, p(60.0) }, want: Fits, have: "50"},
		{name: "right-angle plug, bend not measured", change: func(b *Bulb, l *Lamp) { b.Build.CableBend, b.Build.PlugAngle = nil, PlugRight }, want: Fits, have: "45"},
		{name: "bulb not measured", change: func(b *Bulb, l *Lamp) { b.Build.Rear = nil }, want: Unknown, owner: OwnerBulb},
	}
}

func capExamples() []example {
	return []example{
		{name: "room", change: same, want: Fits, need: "<= 58"},
		{name: "2 mm", change: func(b *Bulb, l *Lamp) { l.CapDia = p(42.0) }, want: Fits},
		{name: "1 mm", change: func(b *Bulb, l *Lamp) { l.CapDia = p(41.0) }, want: NeedsWork},
		{name: "too wide", change: func(b *Bulb, l *Lamp) { l.CapDia = p(39.0) }, want: DoesNotFit},
		{name: "no cap", change: func(b *Bulb, l *Lamp) { l.Cap = CapNone }, want: absent},
		{name: "opening not measured", change: func(b *Bulb, l *Lamp) { l.CapDia = nil }, want: Unknown, owner: OwnerCar},
		{name: "body not measured", change: func(b *Bulb, l *Lamp) { b.Build.BodyDia = nil }, want: Unknown, owner: OwnerBulb},
	}
}

// What the owner is told to measure is what makes the bulb fit.
func TestMeasuredNeedIsEnough(t *testing.T) {
	rules := shipped(t)
	b, l := sample()
	l.Rear, l.RearOpen, l.Front, l.Hole, l.CapDia = nil, nil, nil, nil, nil
	report := Check(b, l, rules)
	want := map[string]string{"rear": ">= 55", "front": ">= 41", "hole": ">= 14.5", "retention": ">= 42"}
	if len(report.ToMeasure) != len(want) {
		t.Errorf("%d things to measure, want %d: the opening is asked for once", len(report.ToMeasure), len(want))
	}
	for _, item := range report.ToMeasure {
		if say(item.Need) != want[item.Check] || say(item.Unit) != "mm" || item.How == "" {
			t.Errorf("%s: need %q %q, want %q", item.Check, say(item.Need), say(item.Unit), want[item.Check])
		}
		switch item.Check {
		case "rear":
			l.Rear = item.AtLeast
		case "front":
			l.Front = item.AtLeast
		case "hole":
			l.Hole = item.AtLeast
		case "retention":
			l.CapDia = item.AtLeast
		}
	}
	if report := Check(b, l, rules); report.Overall != Fits {
		t.Errorf("with every need just met: %s %v", report.Overall, report.Unknowns)
	}
}

// A deeper cap is a fix; a lamp left open never is.
func TestRearNeverOpensTheLamp(t *testing.T) {
	b, l := sample()
	l.Rear = p(30.0)
	f, _ := find1(Check(b, l, shipped(t)), "rear")
	if !strings.Contains(say(f.Fix), "must stay closed") {
		t.Errorf("fix %q does not say that the lamp stays closed", say(f.Fix))
	}
}
