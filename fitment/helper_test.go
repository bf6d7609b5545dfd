package fitment

import (
	"bytes"
	"os"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"stillbright/data"
)

// shipped reads the thresholds that ship with the program: what the tests show
// is what an owner gets.
func shipped(t testing.TB) data.FitRules {
	t.Helper()
	content, err := os.ReadFile("../data/known/yaml/fit.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var rules data.FitRules
	reader := yaml.NewDecoder(bytes.NewReader(content))
	reader.KnownFields(true)
	if err := reader.Decode(&rules); err != nil {
		t.Fatal(err)
	}
	return rules
}

func p[T any](v T) *T { return &v }

// sample is an H11 bulb and lamp in which every check fits, invented. The size
// facts are those of facts/light-sources.csv (H11: 25.0 mm from memory of UN
// R37; 55 W) and facts/fitment.md section 1 (4.5 mm filament, from memory).
func sample() (Bulb, Lamp) {
	b := Bulb{
		Kind: KindLED, Size: "H11",
		Collar: CollarFixed, Adjustable: p(false), ClockingDeg: p(0.0), CollarMM: p(2.5),
		FrontDiameterMM: p(14.0), BodyDiameterMM: p(40.0), TipMM: p(38.0),
		EmitterMM: p(25.0), StripMM: p(4.5), StripWidthMM: p(1.6), BoardMM: p(1.2), MismatchMM: p(0.0),
		Cup: p(true), HighAlone: p(true),
		RearMM: p(35.0), CableBendMM: p(10.0), CableMM: p(200.0), DriverMM: p(40.0),
		Plug: "H11", Driver: DriverInternal, AdapterIncluded: p(true),
		VoltsMin: p(9.0), VoltsMax: p(32.0), Polarity: PolarityAny, AC: p(true), Pulsed: p(true),
		Watts: p(25.0), InrushA: p(10.0), BulbOut: BulbOutNone,
		Cooling: CoolingFan, IngressWhole: "IP65", MassG: p(80.0), SeatingSpreadPct: p(4.0),
	}
	l := Lamp{
		Size: "H11", Beam: BeamLow, Housing: Projector, Technology: TechnologyHalogen,
		Filaments: 1, Filament: FilamentAxial, LightCentreMM: p(25.0), FilamentMM: p(4.5), CupInSize: p(false), HalogenWatts: p(55.0),
		HoleMM: p(20.0), FrontClearanceMM: p(50.0), RearClearanceMM: p(80.0), RearOpenMM: p(120.0), CapDiameterMM: p(60.0), Cap: CapBoot,
		Retention: HeldByTwist, FlangeMM: p(2.5), AdapterKnown: p(true), ForcedDeg: p(0.0), CablePathMM: p(100.0), DriverRoomMM: p(60.0),
		Volts: p(12.0), Polarity: PolarityNormal, Feed: FeedSteady, Canbus: p(false), Climate: ClimateMild,
	}
	return b, l
}

// example is the sample with something changed, and what one check must then say.
type example struct {
	name       string
	change     func(b *Bulb, l *Lamp)
	want       Verdict
	says       string // part of why
	have, need string // when not empty
	owner      Owner  // of an unknown
	soft       bool
	part       string // to buy
}

// examples are the tables of all checks, by id. A new check adds its own here.
func examples() map[string][]example {
	return map[string][]example{
		"base": baseExamples(), "bulb_lamp": bulbLampExamples(), "hole": holeExamples(), "front": frontExamples(),
		"emitter_depth": depthExamples(), "strip_length": stripLengthExamples(), "strip_width": stripWidthExamples(),
		"board": boardExamples(), "emitter_match": matchExamples(), "clocking": clockingExamples(),
		"cup": cupExamples(), "high_beam": highBeamExamples(), "collar": collarExamples(), "retention": retentionExamples(),
		"weight": weightExamples(), "seating": seatingExamples(), "rear": rearExamples(), "cap_diameter": capExamples(),
		"driver": driverExamples(), "cable": cableExamples(), "plug": plugExamples(), "volts": voltsExamples(), "ac": acExamples(),
		"polarity": polarityExamples(), "feed": feedExamples(), "monitoring": monitoringExamples(), "inrush": inrushExamples(),
		"heat": heatExamples(), "water": waterExamples(), "plug_and_play": plugAndPlayExamples(),
	}
}

func find1(r Report, id string) (Finding, bool) {
	for _, f := range r.Checks {
		if f.Check == id {
			return f, true
		}
	}
	return Finding{}, false
}

func say(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// absent is the want of an example in which the check must not appear.
const absent Verdict = ""

func TestExamples(t *testing.T) {
	rules := shipped(t)
	for id, list := range examples() {
		for _, e := range list {
			t.Run(id+"/"+e.name, func(t *testing.T) {
				b, l := sample()
				e.change(&b, &l)
				report := Check(b, l, rules)
				f, there := find1(report, id)
				if e.want == absent {
					if there {
						t.Fatalf("the check is there and says %s: %s", f.Verdict, f.Why)
					}
					return
				}
				if !there || f.Verdict != e.want {
					t.Fatalf("verdict %q, want %q: %s", f.Verdict, e.want, f.Why)
				}
				if !strings.Contains(f.Why, e.says) {
					t.Errorf("why %q lacks %q", f.Why, e.says)
				}
				if e.have != "" && say(f.Have) != e.have || e.need != "" && say(f.Need) != e.need {
					t.Errorf("have %q need %q, want %q and %q", say(f.Have), say(f.Need), e.have, e.need)
				}
				if f.Owner != e.owner || f.Soft != e.soft || f.Part != e.part {
					t.Errorf("owner %q soft %v part %q, want %q %v %q", f.Owner, f.Soft, f.Part, e.owner, e.soft, e.part)
				}
			})
		}
	}
}

func TestSampleFitsThroughout(t *testing.T) {
	b, l := sample()
	report := Check(b, l, shipped(t))
	for _, f := range report.Checks {
		if f.Verdict != Fits {
			t.Errorf("%s: %s: %s", f.Check, f.Verdict, f.Why)
		}
	}
	if report.Overall != Fits || len(report.Unknowns) != 0 || len(report.ToMeasure) != 0 {
		t.Errorf("overall %s, unknowns %v, to measure %v", report.Overall, report.Unknowns, report.ToMeasure)
	}
}

func same(*Bulb, *Lamp) {}
