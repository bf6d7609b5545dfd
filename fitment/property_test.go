package fitment

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func rounds(full int) int {
	if testing.Short() {
		return full / 10
	}
	return full
}

// never is what no fix may tell anybody to do.
var never = regexp.MustCompile(`(?i)\b(trim\w*|file|filing|grind\w*|forc\w*|press hard|cut|cuts|cutting|drill\w*|glue\w*|bend\w*|sand|shave\w*|cap off|without (the|a) cap|leave the cap|open lamp)\b`)

func TestNeverCatchesWhatItShould(t *testing.T) {
	for _, bad := range []string{"trim the tab", "Trimming the tabs", "use force", "file it down", "drive with the cap off", "cut a hole"} {
		if !never.MatchString(bad) {
			t.Errorf("%q passes", bad)
		}
	}
	if never.MatchString("Compare the cutoff with the profile; enforced") {
		t.Error("a harmless sentence is caught")
	}
}

// holds is what every report must keep, whatever the input.
func holds(t *testing.T, report Report, b Bulb) {
	t.Helper()
	worst, hardUnknown := Fits, false
	unknowns := []string{}
	for _, f := range report.Checks {
		switch f.Verdict {
		case Fits:
		case NeedsWork, DoesNotFit:
			if f.Fix == nil {
				t.Errorf("%s: %s without a fix", f.Check, f.Verdict)
			}
		case Unknown:
			unknowns = append(unknowns, f.Check)
			hardUnknown = hardUnknown || !f.Soft
			if f.Measure == nil || f.Owner == OwnerNone {
				t.Errorf("%s: unknown without measure (%q) or owner", f.Check, say(f.Measure))
			}
		default:
			t.Errorf("%s: verdict %q", f.Check, f.Verdict)
		}
		if f.Why == "" || f.Group == "" || strings.TrimSpace(f.Why) != f.Why {
			t.Errorf("%s: why %q, group %q", f.Check, f.Why, f.Group)
		}
		if f.Verdict != NeedsWork && f.Part != "" || f.Verdict != Unknown && (f.Owner != OwnerNone || f.Soft) {
			t.Errorf("%s: %s with part %q owner %q soft %v", f.Check, f.Verdict, f.Part, f.Owner, f.Soft)
		}
		if never.MatchString(say(f.Fix)) {
			t.Errorf("%s: the fix %q is none", f.Check, say(f.Fix))
		}
		for _, text := range []string{f.Why, say(f.Fix), say(f.Measure), say(f.Have), say(f.Need)} {
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "!") || strings.Contains(text, "  ") {
				t.Errorf("%s: text %q", f.Check, text)
			}
		}
		if f.Verdict.severity() > worst.severity() {
			worst = f.Verdict
		}
	}
	if worst == Fits && hardUnknown {
		worst = Unknown
	}
	if report.Overall != worst || !slices.Equal(report.Unknowns, unknowns) {
		t.Errorf("overall %s, want %s; unknowns %v, want %v", report.Overall, worst, report.Unknowns, unknowns)
	}
	if (report.Overall == DoesNotFit) != (len(report.After) == 0) {
		t.Errorf("overall %s with %d lines after", report.Overall, len(report.After))
	}
	names := map[string]bool{}
	for _, item := range report.ToMeasure {
		if item.What == "" || item.How == "" || item.Check == "" || names[item.What] {
			t.Errorf("to measure: %+v, or twice", item)
		}
		names[item.What] = true
	}
	if report.Checks == nil || report.Unknowns == nil || report.After == nil || report.ToMeasure == nil {
		t.Error("a list is nil")
	}
	if b.Kind == data.KindHalogen && len(report.Checks) > 3 {
		t.Errorf("a halogen is asked %d things", len(report.Checks))
	}
	if _, err := json.Marshal(report); err != nil {
		t.Error(err)
	}
}

func TestRandomReportsHold(t *testing.T) {
	rules := shipped(t)
	random := rand.New(rand.NewPCG(1, 2))
	reached := map[string]map[Verdict]bool{}
	overall := map[Verdict]int{}
	for range rounds(6000) {
		b, l := randomPair(random)
		report := Check(b, l, rules)
		holds(t, report, b)
		if again := Check(b, l, rules); !reflect.DeepEqual(report, again) {
			t.Fatal("the same question gives two answers")
		}
		overall[report.Overall]++
		for _, f := range report.Checks {
			if reached[f.Check] == nil {
				reached[f.Check] = map[Verdict]bool{}
			}
			reached[f.Check][f.Verdict] = true
		}
		if t.Failed() {
			t.Fatalf("%+v\n%+v", b, l)
		}
	}
	for _, v := range []Verdict{Fits, NeedsWork, DoesNotFit, Unknown} {
		if overall[v] < rounds(6000)/200 {
			t.Errorf("overall %s came up %d times only: the random input is too one-sided", v, overall[v])
		}
	}
	// Whatever a check can say stands in its table of examples.
	tables := examples()
	for _, entry := range table {
		for v := range reached[entry.id] {
			if !slices.ContainsFunc(tables[entry.id], func(e example) bool { return e.want == v }) {
				t.Errorf("%s can say %s, and no example shows it", entry.id, v)
			}
		}
		if len(tables[entry.id]) == 0 || len(reached[entry.id]) < 2 {
			t.Errorf("%s: %d examples, %d verdicts reached", entry.id, len(tables[entry.id]), len(reached[entry.id]))
		}
		delete(tables, entry.id)
	}
	for id := range tables {
		t.Errorf("examples for %q, which is not in the table", id)
	}
}

// notFacts are fields whose absence means something: a wish, a list that only
// adds, or a default that the comment in input.go states.
var notFacts = map[string]bool{
	"Bulb.Kind": true, "Lamp.Beam": true, "Lamp.AllowedDriver": true, "Lamp.BulbOutA": true, "Lamp.Plug": true, "Supply.Plug": true,
	"Size.Filaments": true,
}

// A known fact replaced by unknown never makes a check fit that did not. The
// overall verdict becomes fits only if every check that stood against it is now
// a soft unknown.
func TestForgettingNeverFits(t *testing.T) {
	rules := shipped(t)
	random := rand.New(rand.NewPCG(3, 4))
	for range rounds(800) {
		b, l := randomPair(random)
		before := Check(b, l, rules)
		factsOf(&b, &l, func(name string, _ reflect.StructTag, field reflect.Value) {
			if kind := field.Kind(); field.IsZero() || notFacts[name] || kind != reflect.Pointer && kind != reflect.String {
				return
			}
			kept := reflect.New(field.Type()).Elem()
			kept.Set(field)
			field.SetZero()
			after := Check(b, l, rules)
			field.Set(kept)
			for _, now := range after.Checks {
				was, there := find1(before, now.Check)
				if now.Check == "plug_and_play" && after.Overall == DoesNotFit {
					continue // what does not go in at all needs no part either
				}
				if there && now.Verdict == Fits && was.Verdict != Fits {
					t.Fatalf("forgetting %s turns %s from %s into fits: %s\n%+v\n%+v", name, now.Check, was.Verdict, now.Why, b, l)
				}
			}
			if after.Overall != Fits || before.Overall == Fits {
				return
			}
			for _, was := range before.Checks {
				now, there := find1(after, was.Check)
				if was.Verdict != Fits && !(was.Verdict == Unknown && was.Soft) && !(there && now.Verdict == Unknown && now.Soft) {
					t.Fatalf("forgetting %s turns overall from %s into fits past %s: %s\n%+v\n%+v", name, before.Overall, was.Check, was.Why, b, l)
				}
			}
		})
	}
}

// worse reports whether a verdict is worse than another. From unknown, only
// does_not_fit is worse for certain.
func worse(now, was Verdict) bool {
	switch was {
	case Fits:
		return now != Fits
	case Unknown:
		return now == DoesNotFit
	case NeedsWork:
		return now == DoesNotFit || now == Unknown
	}
	return false
}

// More room in the car, or less of a bulb, never makes any check worse.
func TestMoreRoomNeverHurts(t *testing.T) {
	rules := shipped(t)
	random := rand.New(rand.NewPCG(5, 6))
	grow := func(f *float64, by float64) *float64 {
		if f == nil {
			return nil
		}
		return p(math.Max(0, *f+by))
	}
	changes := map[string]func(b *Bulb, l *Lamp, by float64){
		"hole":            func(b *Bulb, l *Lamp, by float64) { l.Hole = grow(l.Hole, by) },
		"front clearance": func(b *Bulb, l *Lamp, by float64) { l.Front = grow(l.Front, by) },
		"rear clearance": func(b *Bulb, l *Lamp, by float64) {
			l.Rear, l.RearOpen = grow(l.Rear, by), grow(l.RearOpen, by)
		},
		"rear open":      func(b *Bulb, l *Lamp, by float64) { l.RearOpen = grow(l.RearOpen, by) },
		"cap diameter":   func(b *Bulb, l *Lamp, by float64) { l.CapDia = grow(l.CapDia, by) },
		"flange":         func(b *Bulb, l *Lamp, by float64) { l.Flange = grow(l.Flange, by/10) },
		"driver room":    func(b *Bulb, l *Lamp, by float64) { l.DriverRoom = grow(l.DriverRoom, by) },
		"cable path":     func(b *Bulb, l *Lamp, by float64) { l.CableRoom = grow(l.CableRoom, -by) },
		"bulb-out limit": func(b *Bulb, l *Lamp, by float64) { l.BulbOutA = grow(l.BulbOutA, -by/10) },
		"cable":          func(b *Bulb, l *Lamp, by float64) { b.Build.Cable = grow(b.Build.Cable, by) },
		"front diameter": func(b *Bulb, l *Lamp, by float64) { b.Build.FrontDia = grow(b.Build.FrontDia, -by) },
		"body diameter":  func(b *Bulb, l *Lamp, by float64) { b.Build.BodyDia = grow(b.Build.BodyDia, -by) },
		"tip":            func(b *Bulb, l *Lamp, by float64) { b.Build.Tip = grow(b.Build.Tip, -by) },
		"rear length":    func(b *Bulb, l *Lamp, by float64) { b.Build.Rear = grow(b.Build.Rear, -by) },
		"cable bend":     func(b *Bulb, l *Lamp, by float64) { b.Build.CableBend = grow(b.Build.CableBend, -by) },
		"driver size":    func(b *Bulb, l *Lamp, by float64) { b.Supply.DriverLen = grow(b.Supply.DriverLen, -by) },
		"collar":         func(b *Bulb, l *Lamp, by float64) { b.Build.CollarThick = grow(b.Build.CollarThick, -by/10) },
		"mass":           func(b *Bulb, l *Lamp, by float64) { b.Build.Mass = grow(b.Build.Mass, -by) },
		"inrush":         func(b *Bulb, l *Lamp, by float64) { b.Supply.Inrush = grow(b.Supply.Inrush, -by) },
		"spread":         func(b *Bulb, l *Lamp, by float64) { b.SpreadPct = grow(b.SpreadPct, -by) },
		"board":          func(b *Bulb, l *Lamp, by float64) { b.Build.Board = grow(b.Build.Board, -by/20) },
		"strip width":    func(b *Bulb, l *Lamp, by float64) { b.Build.StripWidth = grow(b.Build.StripWidth, -by/20) },
		"mismatch":       func(b *Bulb, l *Lamp, by float64) { b.Build.Mismatch = grow(b.Build.Mismatch, -by/50) },
		"lowest volts":   func(b *Bulb, l *Lamp, by float64) { b.Supply.VoltsMin = grow(b.Supply.VoltsMin, -by/10) },
		"highest volts":  func(b *Bulb, l *Lamp, by float64) { b.Supply.VoltsMax = grow(b.Supply.VoltsMax, by) },
	}
	moved := map[string]int{}
	for range rounds(800) {
		b, l := randomPair(random)
		before := Check(b, l, rules)
		for name, change := range changes {
			b2, l2 := b, l
			change(&b2, &l2, random.Float64()*25)
			for _, now := range Check(b2, l2, rules).Checks {
				was, there := find1(before, now.Check)
				if now.Check == "plug_and_play" && before.Overall == DoesNotFit {
					continue // what did not go in at all needed no part either
				}
				if there && worse(now.Verdict, was.Verdict) {
					t.Fatalf("%s: %s goes from %s to %s\n%+v\n%+v", name, now.Check, was.Verdict, now.Verdict, b2, l2)
				}
				if there && now.Verdict != was.Verdict {
					moved[name]++
				}
			}
		}
	}
	for name := range changes {
		if moved[name] == 0 && !testing.Short() {
			t.Errorf("%s never changed a verdict: the test shows nothing", name)
		}
	}
}

// Numbers that cannot be are missing, not used.
func TestImpossibleNumbersAreMissing(t *testing.T) {
	rules := shipped(t)
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, 1e300} {
		b, l := sample()
		l.Of.Functions = nil // the figures of a size are the program's own
		factsOf(&b, &l, func(_ string, _ reflect.StructTag, field reflect.Value) {
			if field.Type() == reflect.TypeFor[*float64]() {
				field.Set(reflect.ValueOf(&bad))
			}
		})
		report := Check(b, l, rules)
		holds(t, report, b)
		if report.Overall != Unknown {
			t.Errorf("%g everywhere: %s", bad, report.Overall)
		}
	}
}

// The caller's facts stay as they were.
func TestCheckChangesNothing(t *testing.T) {
	b, l := sample()
	b.Build.Tip = p(-3.0)
	copyB, copyL := b, l
	Check(b, l, shipped(t))
	if !reflect.DeepEqual(b, copyB) || !reflect.DeepEqual(l, copyL) || *b.Build.Tip != -3 {
		t.Error("the input was changed")
	}
}

func FuzzCheck(f *testing.F) {
	f.Add(uint64(1), uint64(2), 10.0, "H11", "IP67")
	f.Add(uint64(7), uint64(9), math.Inf(1), "", "IPX")
	f.Add(uint64(3), uint64(3), -1e308, "h4", "IP6K9K")
	rules := shipped(f)
	f.Fuzz(func(t *testing.T, one, two uint64, number float64, word, code string) {
		random := rand.New(rand.NewPCG(one, two))
		b, l := randomPair(random)
		l.Of.Functions = nil
		factsOf(&b, &l, func(_ string, _ reflect.StructTag, field reflect.Value) {
			switch {
			case random.IntN(6) > 0:
			case field.Type() == reflect.TypeFor[*float64]():
				field.Set(reflect.ValueOf(&number))
			case field.Kind() == reflect.String && (len(word) < 40 && regexp.MustCompile(`^[A-Za-z0-9]*$`).MatchString(word)):
				field.SetString(word)
			}
		})
		if regexp.MustCompile(`^[A-Za-z0-9]*$`).MatchString(code) && !strings.Contains(code, "NaN") && !strings.Contains(code, "Inf") {
			b.Build.IngressBody = code
		}
		holds(t, Check(b, l, rules), b)
		holds(t, Check(b, l, data.FitRules{}), b)
	})
}

func BenchmarkCheck(b *testing.B) {
	rules := shipped(b)
	bulb, lamp := sample()
	lamp.Car.Canbus, lamp.Rear = p(true), nil
	for b.Loop() {
		Check(bulb, lamp, rules)
	}
}
