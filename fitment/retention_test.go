package fitment

// Collar kinds of facts/fitment.md section 3, holders of section 8, mass of
// section 13, reseating of section 17 (all common practice).

func collarExamples() []example {
	kind := func(k string) func(*Bulb, *Lamp) { return func(b *Bulb, l *Lamp) { b.Build.Collar = k } }
	return []example{
		{name: "fixed", change: same, want: Fits},
		{name: "removable", change: kind(CollarRemovable), want: Fits, says: "comes off"},
		{name: "set screw", change: kind(CollarSetScrew), want: Fits, says: "thread lock"},
		{name: "friction", change: kind(CollarFriction), want: NeedsWork, says: "drift"},
		{name: "not recorded", change: kind(""), want: Unknown, owner: OwnerBulb},
	}
}

func retentionExamples() []example {
	clip := func(thick, flange *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { l.Retention, b.Build.CollarThick, l.Flange = HeldByClip, thick, flange }
	}
	carrier := func(included, known *bool) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			l.Retention, b.Build.Adapter, l.AdapterOK = HeldByCarrier, included, known
		}
	}
	const ring = "the adapter ring for this lamp's carrier"
	return []example{
		{name: "quarter turn", change: same, want: Fits, need: "<= 58"},
		{name: "quarter turn, loose collar", change: func(b *Bulb, l *Lamp) { b.Build.Collar, l.CapDia = CollarRemovable, p(30.0) }, want: Fits},
		{name: "quarter turn, body too wide", change: func(b *Bulb, l *Lamp) { l.CapDia = p(41.0) }, want: DoesNotFit},
		{name: "quarter turn, body not measured", change: func(b *Bulb, l *Lamp) { b.Build.BodyDia = nil }, want: Unknown, owner: OwnerBulb},
		{name: "quarter turn, opening not measured", change: func(b *Bulb, l *Lamp) { l.CapDia = nil }, want: Unknown, owner: OwnerCar},
		{name: "quarter turn, collar not recorded, narrow", change: func(b *Bulb, l *Lamp) { b.Build.Collar, l.CapDia = "", p(41.0) }, want: Unknown, owner: OwnerBulb},
		{name: "quarter turn, collar not recorded, wide", change: func(b *Bulb, l *Lamp) { b.Build.Collar = "" }, want: Fits},
		{name: "clip, same thickness", change: clip(p(2.5), p(2.5)), want: Fits, need: "<= 3"},
		{name: "clip, 0.5 thicker", change: clip(p(3.0), p(2.5)), want: Fits},
		{name: "clip, 1 thicker", change: clip(p(3.5), p(2.5)), want: NeedsWork, says: "1 mm thicker"},
		{name: "clip, 2 thicker", change: clip(p(4.5), p(2.5)), want: DoesNotFit, says: "does not latch"},
		{name: "clip, collar not measured", change: clip(nil, p(2.5)), want: Unknown, owner: OwnerBulb},
		{name: "clip, flange not measured", change: clip(p(2.5), nil), want: Unknown, owner: OwnerCar},
		{name: "spring, 2 thicker", change: func(b *Bulb, l *Lamp) { l.Retention, b.Build.CollarThick = HeldBySpring, p(4.5) }, want: DoesNotFit},
		{name: "carrier, right ring", change: carrier(p(true), p(true)), want: Fits},
		{name: "carrier, some ring", change: carrier(p(true), nil), want: NeedsWork, says: "carriers differ"},
		{name: "carrier, no ring", change: carrier(p(false), p(true)), want: NeedsWork, part: ring},
		{name: "carrier, not recorded", change: carrier(nil, nil), want: Unknown, owner: OwnerBulb},
		{name: "holder not known", change: func(b *Bulb, l *Lamp) { l.Retention = "" }, want: Unknown, owner: OwnerCar},
	}
}

func weightExamples() []example {
	on := func(mass *float64, held string, motorcycle bool) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.Build.Mass, l.Retention, l.Car.Cycle = mass, held, motorcycle }
	}
	return []example{
		{name: "car, quarter turn", change: on(p(180.0), HeldByTwist, false), want: absent},
		{name: "clip, 100 g", change: on(p(100.0), HeldByClip, false), want: Fits},
		{name: "clip, 101 g", change: on(p(101.0), HeldByClip, false), want: NeedsWork, says: "droops"},
		{name: "motorcycle, 150 g", change: on(p(150.0), HeldByTwist, true), want: NeedsWork, says: "motorcycle"},
		{name: "clip, not weighed", change: on(nil, HeldByClip, false), want: Unknown, owner: OwnerBulb, soft: true},
	}
}

func seatingExamples() []example {
	spread := func(v *float64) func(*Bulb, *Lamp) { return func(b *Bulb, l *Lamp) { b.SpreadPct = v } }
	return []example{
		{name: "10 %", change: spread(p(10.0)), want: Fits},
		{name: "11 %", change: spread(p(11.0)), want: NeedsWork, says: "11 %"},
		{name: "not measured", change: spread(nil), want: Unknown, owner: OwnerBulb, soft: true},
	}
}
