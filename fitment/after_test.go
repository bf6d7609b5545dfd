package fitment

import (
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func says(list []string, part string) bool {
	return slices.ContainsFunc(list, func(s string) bool { return strings.Contains(s, part) })
}

// What to look at while the bulb can still be sent back, and when each line is
// there and when it is not.
func TestAfterFollowsTheCase(t *testing.T) {
	rules := shipped(t)
	for _, c := range []struct {
		name      string
		part      string
		with, not func(b *Bulb, l *Lamp) // not nil: a case without the line
	}{
		{"tape first", "Before the halogen comes out", same, nil},
		{"cutoff taped", "Tape the cutoff", same, func(b *Bulb, l *Lamp) { l.Beam = data.BeamHigh }},
		{"hot spot taped", "Tape the centre of both hot spots", func(b *Bulb, l *Lamp) { l.Beam = data.BeamHigh }, same},
		{"cutoff before against after", "Cutoff against the tape, before any screw is turned", same, func(b *Bulb, l *Lamp) { l.Beam = data.BeamHigh }},
		{"both lit", "Both lamps light", same, nil},
		{"both beams", "on low and on high", func(b *Bulb, l *Lamp) { two(l) }, same},
		{"warnings", "No bulb-out warning", func(b *Bulb, l *Lamp) { l.Car.Canbus = nil }, same},
		{"radio", "Radio", same, nil},
		{"clocking", "3 and 9 o'clock", same, func(b *Bulb, l *Lamp) { *b = halogen("H11") }},
		{"daytime flicker", "240 pictures", func(b *Bulb, l *Lamp) { l.Feed = "" }, same},
		{"hot again", "hot, after 30 minutes", same, nil},
		{"cap", "The cap closes", same, func(b *Bulb, l *Lamp) { l.Cap = CapNone }},
		{"driver", "driver sits tight", func(b *Bulb, l *Lamp) { b.Supply.Driver = DriverExternal }, same},
		{"bars", "full lock", func(b *Bulb, l *Lamp) { l.Car.Cycle = true }, same},
		{"a week", "After a week: collar", same, nil},
		{"snow", "does not warm the lens", func(b *Bulb, l *Lamp) { l.Car.Climate = ClimateCold }, same},
		{"keep the halogens", "Keep the halogens in the car", same, nil},
		{"glass", "Do not touch the glass", func(b *Bulb, l *Lamp) { *b = halogen("H11") }, same},
	} {
		b, l := sample()
		c.with(&b, &l)
		report := Check(b, l, rules)
		if !says(report.After, c.part) {
			t.Errorf("%s: %q is missing in %q", c.name, c.part, report.After)
		}
		if c.not == nil {
			continue
		}
		b, l = sample()
		c.not(&b, &l)
		if says(Check(b, l, rules).After, c.part) {
			t.Errorf("%s: %q is there when it should not be", c.name, c.part)
		}
	}
}

// The tape goes up before the halogen comes out, and the aim comes last of what
// is done at the wall.
func TestAfterOrder(t *testing.T) {
	b, l := sample()
	list := Check(b, l, shipped(t)).After
	if !strings.HasPrefix(list[0], "Before the halogen comes out") || !strings.HasPrefix(list[len(list)-1], "Keep the halogens") {
		t.Errorf("first %q, last %q", list[0], list[len(list)-1])
	}
}

// Nobody is told what to look at after fitting what does not fit.
func TestAfterIsEmptyWhenItDoesNotFit(t *testing.T) {
	b, l := sample()
	b.Size = "H7"
	if report := Check(b, l, shipped(t)); report.After == nil || len(report.After) != 0 {
		t.Errorf("after: %v", report.After)
	}
}
