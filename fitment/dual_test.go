package fitment

// The cup of an H4: facts/fitment.md section 4b (encyclopedia, from memory). An
// H13 or HB5 halogen has none.

// two makes the sample lamp one with two beams that takes the sample bulb.
func two(l *Lamp) {
	l.Size, l.SameBase, l.Beam, l.Filaments, l.CupInSize = "H4", []string{"H11"}, BeamBoth, 2, p(true)
}

func cupExamples() []example {
	return []example{
		{name: "one beam", change: same, want: absent},
		{name: "both beams by a shutter, one filament", change: func(b *Bulb, l *Lamp) { l.Beam = BeamBoth }, want: absent},
		{name: "cup", change: func(b *Bulb, l *Lamp) { two(l) }, want: Fits},
		{name: "no cup", change: func(b *Bulb, l *Lamp) { two(l); b.Cup = p(false) }, want: DoesNotFit, says: "dazzles"},
		{name: "no cup, beam measured", change: func(b *Bulb, l *Lamp) { two(l); b.Cup = p(false); seen(b) }, want: DoesNotFit},
		{name: "no cup, size without", change: func(b *Bulb, l *Lamp) { two(l); b.Cup, l.CupInSize = p(false), p(false) }, want: Fits},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) { two(l); b.Cup = nil }, want: Unknown, owner: OwnerBulb},
		{name: "no cup, size not known", change: func(b *Bulb, l *Lamp) { two(l); b.Cup, l.CupInSize = p(false), nil }, want: Unknown, owner: OwnerCar},
		{name: "filaments not known", change: func(b *Bulb, l *Lamp) { two(l); l.Filaments = 0 }, want: Fits},
	}
}

func highBeamExamples() []example {
	return []example{
		{name: "one beam", change: same, want: absent},
		{name: "alone", change: func(b *Bulb, l *Lamp) { two(l) }, want: Fits},
		{name: "low stays lit", change: func(b *Bulb, l *Lamp) { two(l); b.HighAlone = p(false) }, want: NeedsWork, says: "doubles"},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) { two(l); b.HighAlone = nil }, want: Unknown, owner: OwnerBulb, soft: true},
	}
}
