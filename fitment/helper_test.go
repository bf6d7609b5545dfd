package fitment

import (
	"bytes"
	"os"
	"reflect"
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
	b := Bulb{SpreadPct: p(4.0), Bulb: data.Bulb{
		Kind: data.KindLED, Size: "H11",
		Build: data.Build{
			Collar: CollarFixed, Clocking: ClockingFixed, ClockingOff: p(0.0), CollarThick: p(2.5),
			FrontDia: p(14.0), BodyDia: p(40.0), Tip: p(38.0),
			Emitter: p(25.0), Strip: p(4.5), StripWidth: p(1.6), Board: p(1.2), Mismatch: p(0.0), Cup: p(true), HighAlone: p(true),
			Rear: p(35.0), CableBend: p(10.0), Cable: p(200.0), Adapter: p(true),
			Cooling: CoolingFan, IngressBody: "IP65", Mass: p(80.0),
		},
		Supply: data.Supply{
			DriverLen: p(40.0), Plug: "H11", Driver: DriverInternal,
			VoltsMin: p(9.0), VoltsMax: p(32.0), Polarity: PolarityAny, AC: p(true), Pulsed: p(true),
			Watts: p(25.0), Inrush: p(10.0), BulbOut: BulbOutNone,
		},
	}}
	l := Lamp{
		Lamp: data.Lamp{
			Size: "H11", Beam: data.BeamLow, Housing: data.Projector, Technology: TechnologyHalogen,
			Hole: p(20.0), Front: p(50.0), Rear: p(80.0), RearOpen: p(120.0), CapDia: p(60.0), Cap: CapBoot,
			Retention: HeldByTwist, Flange: p(2.5), AdapterOK: p(true), ForcedOff: p(0.0), CableRoom: p(100.0), DriverRoom: p(60.0),
			Polarity: PolarityNormal, Feed: FeedSteady,
		},
		Of: data.Size{
			Filaments: p(1), Filament: FilamentAxial, LightCentreMM: p(25.0), FilamentMM: p(4.5), LowCup: p(false),
			Functions: []data.Function{{Beam: "any", RatedW: p(55.0)}},
		},
		Car: data.Car{Volts: p(12.0), Canbus: p(false), Climate: ClimateMild},
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

// halogen is the record of a halogen of which nothing but the size is known.
func halogen(size string) Bulb { return Bulb{Bulb: data.Bulb{Kind: data.KindHalogen, Size: size}} }

// visitor is shown the facts of a record: record and field, the tags, the value.
type visitor func(name string, tag reflect.StructTag, field reflect.Value)

// leaves visits the facts of a record, with the name of the part they stand in.
func leaves(record reflect.Value, visit visitor) {
	for i := range record.NumField() {
		field, of := record.Field(i), record.Type().Field(i)
		switch {
		case field.Kind() == reflect.Struct:
			leaves(field, visit)
		case field.Kind() == reflect.Slice && field.Type().Elem().Kind() == reflect.Struct:
			for j := range field.Len() {
				leaves(field.Index(j), visit)
			}
		default:
			visit(record.Type().Name()+"."+of.Name, of.Tag, field)
		}
	}
}

// factsOf visits the facts of a bulb and of a lamp.
func factsOf(b *Bulb, l *Lamp, visit visitor) {
	leaves(reflect.ValueOf(b).Elem(), visit)
	leaves(reflect.ValueOf(l).Elem(), visit)
}
