package fitment

// facts/fitment.md section 9: an adapter ring, a resistor or another cap is not
// plug and play.
func plugAndPlayExamples() []example {
	wish := func(change func(*Bulb, *Lamp)) func(*Bulb, *Lamp) {
		return func(b *Bulb, l *Lamp) {
			l.PlugAndPlay = true
			change(b, l)
		}
	}
	return []example{
		{name: "no wish", change: same, want: absent},
		{name: "nothing but the bulb", change: wish(same), want: Fits},
		{name: "work without a part", change: wish(func(b *Bulb, l *Lamp) { b.SpreadPct = p(20.0) }), want: Fits},
		{name: "ring", change: wish(func(b *Bulb, l *Lamp) { l.Retention, b.Build.Adapter = HeldByCarrier, p(false) }), want: DoesNotFit, says: "adapter ring"},
		{name: "resistor and cap", change: wish(func(b *Bulb, l *Lamp) { l.Car.Canbus, l.Rear = p(true), p(30.0) }), want: DoesNotFit, says: "a deeper cap, a load resistor"},
		{name: "car not known", change: wish(func(b *Bulb, l *Lamp) { l.Car.Canbus = nil }), want: Unknown, owner: OwnerCar},
		{name: "bulb not known", change: wish(func(b *Bulb, l *Lamp) { b.Build.Rear, l.Car.Canbus = nil, nil }), want: Unknown, owner: OwnerBulb},
		{name: "plug not recorded", change: wish(func(b *Bulb, l *Lamp) { b.Supply.Plug = "" }), want: Unknown, owner: OwnerBulb, soft: true},
	}
}
