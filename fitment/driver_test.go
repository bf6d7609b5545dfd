package fitment

// facts/fitment.md section 9 (common practice): path plus 30 mm of slack.

func driverExamples() []example {
	kind := func(k, wish string, size, room *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			b.Supply.Driver, l.AllowedDriver, b.Supply.DriverLen, l.DriverRoom = k, wish, size, room
		}
	}
	return []example{
		{name: "internal", change: same, want: Fits},
		{name: "inline with room", change: kind(DriverInline, DriverAny, p(40.0), p(40.0)), want: Fits, need: "<= 40"},
		{name: "inline without room", change: kind(DriverInline, "", p(40.0), p(39.0)), want: DoesNotFit},
		{name: "external with room", change: kind(DriverExternal, "", p(70.0), p(90.0)), want: NeedsWork, says: "mounted"},
		{name: "external without room", change: kind(DriverExternal, "", p(70.0), p(60.0)), want: DoesNotFit, says: "loose"},
		{name: "room not measured", change: kind(DriverExternal, "", p(70.0), nil), want: Unknown, owner: OwnerCar},
		{name: "driver not measured", change: kind(DriverInline, "", nil, p(90.0)), want: Unknown, owner: OwnerBulb},
		{name: "not the kind asked for", change: kind(DriverExternal, DriverInternal, p(70.0), p(90.0)), want: DoesNotFit, have: "external", need: "internal"},
		{name: "the kind asked for", change: kind(DriverInternal, DriverInternal, nil, nil), want: Fits},
		{name: "less than is allowed", change: kind(DriverInternal, DriverInline, nil, nil), want: Fits, need: "internal or inline"},
		{name: "more than is allowed", change: kind(DriverExternal, DriverInline, p(70.0), p(90.0)), want: DoesNotFit, need: "internal or inline"},
		{name: "not recorded", change: kind("", DriverInternal, nil, nil), want: Unknown, owner: OwnerBulb},
	}
}

func cableExamples() []example {
	length := func(have, path *float64) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) { b.Supply.Driver, b.Build.Cable, l.CableRoom = DriverInline, have, path }
	}
	return []example{
		{name: "no cable", change: same, want: absent},
		{name: "30 mm slack", change: length(p(130.0), p(100.0)), want: Fits, need: ">= 130"},
		{name: "29 mm slack", change: length(p(129.0), p(100.0)), want: NeedsWork, part: "an extension lead"},
		{name: "path not measured", change: length(p(129.0), nil), want: Unknown, owner: OwnerCar},
		{name: "cable not measured", change: length(nil, p(100.0)), want: Unknown, owner: OwnerBulb},
	}
}

func plugExamples() []example {
	return []example{
		{name: "own", change: same, want: Fits},
		{name: "sold for both", change: func(b *Bulb, l *Lamp) { b.Supply.Plug, b.Size, b.AlsoFits = "H8", "H8", []string{"H11"} }, want: Fits},
		{name: "another", change: func(b *Bulb, l *Lamp) { b.Supply.Plug = "H7" }, want: NeedsWork, part: "an adapter lead"},
		{name: "the car has another", change: func(b *Bulb, l *Lamp) { l.Plug = "H7" }, want: NeedsWork, part: "an adapter lead"},
		{name: "not recorded", change: func(b *Bulb, l *Lamp) { b.Supply.Plug = "" }, want: Unknown, owner: OwnerBulb, soft: true},
		{name: "no size known", change: func(b *Bulb, l *Lamp) { l.Size = "" }, want: Unknown, owner: OwnerCar, soft: true},
	}
}
