package fitment

// Margins of facts/fitment.md section 5: 3 mm or more fits, 1 to 3 mm needs a
// trial by hand, less does not fit (common practice).

func holeExamples() []example {
	return []example{
		{name: "room", change: same, want: Fits, have: "14", need: "<= 19.5"},
		{name: "exactly the margin", change: func(b *Bulb, l *Lamp) { b.Build.FrontDia, l.Hole = p(15.1), p(15.6) }, want: Fits},
		{name: "tight", change: func(b *Bulb, l *Lamp) { l.Hole = p(14.4) }, want: NeedsWork},
		{name: "just", change: func(b *Bulb, l *Lamp) { l.Hole = p(14.0) }, want: NeedsWork},
		{name: "too wide", change: func(b *Bulb, l *Lamp) { l.Hole = p(13.9) }, want: DoesNotFit},
		{name: "hole not measured", change: func(b *Bulb, l *Lamp) { l.Hole = nil }, want: Unknown, owner: OwnerCar, have: "14"},
		{name: "bulb not measured", change: func(b *Bulb, l *Lamp) { b.Build.FrontDia = nil }, want: Unknown, owner: OwnerBulb},
	}
}

func frontExamples() []example {
	return []example{
		{name: "12 mm", change: same, want: Fits, have: "38", need: "<= 47"},
		{name: "3 mm", change: func(b *Bulb, l *Lamp) { b.Build.Tip, l.Front = p(32.3), p(35.3) }, want: Fits},
		{name: "2.9 mm", change: func(b *Bulb, l *Lamp) { l.Front = p(40.9) }, want: NeedsWork, says: "2.9 mm"},
		{name: "1 mm", change: func(b *Bulb, l *Lamp) { l.Front = p(39.0) }, want: NeedsWork},
		{name: "0.9 mm", change: func(b *Bulb, l *Lamp) { l.Front = p(38.9) }, want: DoesNotFit, says: "touches"},
		{name: "longer than the room", change: func(b *Bulb, l *Lamp) { l.Front = p(30.0) }, want: DoesNotFit},
		{name: "lamp not measured", change: func(b *Bulb, l *Lamp) { l.Front = nil }, want: Unknown, owner: OwnerCar},
		{name: "bulb not measured", change: func(b *Bulb, l *Lamp) { b.Build.Tip = nil }, want: Unknown, owner: OwnerBulb},
	}
}
