package fitment

import "stillbright/data"

// The cup of an H4: facts/fitment.md section 4b (encyclopedia, from memory). An
// H13 or HB5 halogen has none.

// two makes the sample lamp one with two beams that takes the sample bulb.
func two(l *Lamp) {
	l.Size, l.Of.Aliases, l.Beam, l.Of.Filaments, l.Of.LowCup = "H4", []string{"H11"}, data.BeamBoth, p(2), p(true)
}

func cupExamples() []example {
	return []example{
		{name: "one beam", change: same, want: absent},
		{name: "both beams by a shutter, one filament", change: func(b *Bulb, l *Lamp) { l.Beam = data.BeamBoth }, want: absent},
		{name: "cup", change: func(b *Bulb, l *Lamp) { two(l) }, want: Fits},
		{name: "no cup", change: func(b *Bulb, l *Lamp) { two(l); b.Build.Cup = p(false) }, want: DoesNotFit, says: "dazzles"},
		{name: "no cup, beam measured", change: func(b *Bulb, l *Lamp) { two(l); b.Build.Cup = p(false); seen(b) }, want: DoesNotFit},
		{name: "no cup, size without", change: func(b *Bulb, l *Lamp) { two(l); b.Build.Cup, l.Of.LowCup = p(false), p(false) }, want: Fits},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) { two(l); b.Build.Cup = nil }, want: Unknown, owner: OwnerBulb},
		{name: "no cup, size not known", change: func(b *Bulb, l *Lamp) { two(l); b.Build.Cup, l.Of.LowCup = p(false), nil }, want: Unknown, owner: OwnerCar},
		{name: "filaments not known", change: func(b *Bulb, l *Lamp) { two(l); l.Of.Filaments = nil }, want: Fits},
	}
}

func highBeamExamples() []example {
	return []example{
		{name: "one beam", change: same, want: absent},
		{name: "alone", change: func(b *Bulb, l *Lamp) { two(l) }, want: Fits},
		{name: "low stays lit", change: func(b *Bulb, l *Lamp) { two(l); b.Build.HighAlone = p(false) }, want: NeedsWork, says: "doubles"},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) { two(l); b.Build.HighAlone = nil }, want: Unknown, owner: OwnerBulb, soft: true},
	}
}
