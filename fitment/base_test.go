package fitment

import "testing"

// H9 in H11: 65 W against 55 W and about 2100 lm against 1350 lm at 13.2 V
// (facts/light-sources.csv, ratio-checked; 2000 against 1250 lm at 12.8 V read in
// the table of Docket NHTSA-98-3397).
const h9InH11 = "An H9 gives some 2100 lm where the lamp was made for 1350, and has no black tip: it dazzles."

func baseExamples() []example {
	return []example{
		{name: "own size", change: same, want: Fits, have: "H11", need: "H11"},
		{name: "same base under another name", change: func(b *Bulb, l *Lamp) { b.Size, l.SameBase = "H11B", []string{"H11B"} }, want: Fits, says: "another name"},
		{name: "sold for both", change: func(b *Bulb, l *Lamp) { b.Size, b.AlsoFits = "H8", []string{"H9", "H11"} }, want: Fits, says: "sold for this size too"},
		{name: "other size", change: func(b *Bulb, l *Lamp) { b.Size = "H7" }, want: DoesNotFit, have: "H7", need: "H11"},
		{name: "halogen of a near size", change: func(b *Bulb, l *Lamp) {
			*b = Bulb{Kind: KindHalogen, Size: "H9", AlsoFits: []string{"H11"}}
			l.NearMisses = []NearMiss{{Size: "H9", Why: h9InH11}}
		}, want: DoesNotFit, says: h9InH11 + " Another category is not approved"},
		{name: "LED of a near size", change: func(b *Bulb, l *Lamp) {
			b.Size = "H9"
			l.NearMisses = []NearMiss{{Size: "H9", Why: h9InH11}}
		}, want: DoesNotFit, says: h9InH11},
		{name: "halogen of the size", change: func(b *Bulb, l *Lamp) { *b = Bulb{Kind: KindHalogen, Size: "h11"} }, want: Fits},
		{name: "lamp size not known", change: func(b *Bulb, l *Lamp) { l.Size = "" }, want: Unknown, owner: OwnerCar},
		{name: "bulb size not recorded", change: func(b *Bulb, l *Lamp) { b.Size = "" }, want: Unknown, owner: OwnerBulb},
	}
}

func bulbLampExamples() []example {
	return []example{
		{name: "halogen", change: same, want: Fits},
		{name: "discharge", change: func(b *Bulb, l *Lamp) { l.Technology = TechnologyDischarge }, want: DoesNotFit, says: "20 kV"},
		{name: "modules", change: func(b *Bulb, l *Lamp) { l.Technology = TechnologyModule }, want: DoesNotFit, says: "no flange"},
		{name: "not known", change: func(b *Bulb, l *Lamp) { l.Technology = "" }, want: Unknown, owner: OwnerCar},
	}
}

// A halogen of the right size fits a halogen lamp by definition: no dimension
// is asked of it.
func TestHalogenFitsByDefinition(t *testing.T) {
	rules := shipped(t)
	_, l := sample()
	for _, c := range []struct {
		name string
		bulb Bulb
		lamp func(l *Lamp)
		want Verdict
	}{
		{"own size, nothing else known", Bulb{Kind: KindHalogen, Size: "H11"}, func(*Lamp) {}, Fits},
		{"nothing known of the car but its halogen lamp", Bulb{Kind: KindHalogen, Size: "H11"}, func(l *Lamp) {
			*l = Lamp{Size: "H11", Beam: BeamLow, Technology: TechnologyHalogen}
		}, Fits},
		{"other size", Bulb{Kind: KindHalogen, Size: "H7"}, func(*Lamp) {}, DoesNotFit},
		{"discharge lamp", Bulb{Kind: KindHalogen, Size: "H11"}, func(l *Lamp) { l.Technology = TechnologyDischarge }, DoesNotFit},
		{"12 V type in a lorry", Bulb{Kind: KindHalogen, Size: "H11"}, func(l *Lamp) { l.Volts = p(24.0) }, DoesNotFit},
		{"24 V type in a lorry", Bulb{Kind: KindHalogen, Size: "H11", VoltsMin: p(24.0), VoltsMax: p(24.0)}, func(l *Lamp) { l.Volts = p(28.1) }, Fits},
	} {
		lamp := l
		c.lamp(&lamp)
		if report := Check(c.bulb, lamp, rules); report.Overall != c.want {
			t.Errorf("%s: %s, want %s", c.name, report.Overall, c.want)
		} else if c.want == Fits && len(report.After) == 0 {
			t.Errorf("%s: nothing to look at after fitting", c.name)
		}
	}
}
