package fitment

import (
	"testing"

	"stillbright/data"
)

// H9 in H11: 65 W against 55 W and about 2100 lm against 1350 lm at 13.2 V
// (facts/light-sources.csv, ratio-checked; 2000 against 1250 lm at 12.8 V read in
// the table of Docket NHTSA-98-3397).
const h9InH11 = "An H9 gives some 2100 lm where the lamp was made for 1350, and has no black tip: it dazzles."

func baseExamples() []example {
	return []example{
		{name: "own size", change: same, want: Fits, have: "H11", need: "H11"},
		{name: "same base under another name", change: func(b *Bulb, l *Lamp) { b.Size, l.Of.Aliases = "H11B", []string{"H11B"} }, want: Fits, says: "another name"},
		{name: "sold for both", change: func(b *Bulb, l *Lamp) { b.Size, b.AlsoFits = "H8", []string{"H9", "H11"} }, want: Fits, says: "sold for this size too"},
		{name: "other size", change: func(b *Bulb, l *Lamp) { b.Size = "H7" }, want: DoesNotFit, have: "H7", need: "H11"},
		{name: "halogen of a near size", change: func(b *Bulb, l *Lamp) {
			*b = halogen("H9")
			b.AlsoFits = []string{"H11"}
			l.Of.SimilarNotSame = []data.Similar{{Size: "H9", Why: h9InH11}}
		}, want: DoesNotFit, says: h9InH11 + " Another category is not approved"},
		{name: "LED of a near size", change: func(b *Bulb, l *Lamp) {
			b.Size = "H9"
			l.Of.SimilarNotSame = []data.Similar{{Size: "H9", Why: h9InH11}}
		}, want: DoesNotFit, says: h9InH11},
		{name: "halogen of the size", change: func(b *Bulb, l *Lamp) { *b = halogen("h11") }, want: Fits},
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
	lorry := halogen("H11")
	lorry.Supply.VoltsMin, lorry.Supply.VoltsMax = p(24.0), p(24.0)
	for _, c := range []struct {
		name string
		bulb Bulb
		lamp func(l *Lamp)
		want Verdict
	}{
		{"own size, nothing else known", halogen("H11"), func(*Lamp) {}, Fits},
		{"nothing known of the car but its halogen lamp", halogen("H11"), func(l *Lamp) {
			*l = Lamp{Lamp: data.Lamp{Size: "H11", Beam: data.BeamLow, Technology: TechnologyHalogen}}
		}, Fits},
		{"other size", halogen("H7"), func(*Lamp) {}, DoesNotFit},
		{"discharge lamp", halogen("H11"), func(l *Lamp) { l.Technology = TechnologyDischarge }, DoesNotFit},
		{"12 V type in a lorry", halogen("H11"), func(l *Lamp) { l.Car.Volts = p(24.0) }, DoesNotFit},
		{"24 V type in a lorry", lorry, func(l *Lamp) { l.Car.Volts = p(28.1) }, Fits},
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
