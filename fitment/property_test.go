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
	if b.Kind == KindHalogen && len(report.Checks) > 3 {
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
	"Kind": true, "Beam": true, "AllowedDriver": true, "BulbOutA": true, "Plug": true, "CollarStepDeg": true,
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
		for _, side := range []any{&b, &l} {
			value := reflect.ValueOf(side).Elem()
			for i := range value.NumField() {
				field, name := value.Field(i), value.Type().Field(i).Name
				if kind := field.Kind(); field.IsZero() || notFacts[name] || kind != reflect.Pointer && kind != reflect.String {
					continue
				}
				kept := reflect.New(field.Type()).Elem()
				kept.Set(field)
				field.SetZero()
				after := Check(b, l, rules)
				field.Set(kept)
				for _, now := range after.Checks {
					was, there := find1(before, now.Check)
					if there && now.Verdict == Fits && was.Verdict != Fits {
						t.Fatalf("forgetting %s turns %s from %s into fits: %s\n%+v\n%+v", name, now.Check, was.Verdict, now.Why, b, l)
					}
				}
				if after.Overall != Fits || before.Overall == Fits {
					continue
				}
				for _, was := range before.Checks {
					now, there := find1(after, was.Check)
					if was.Verdict != Fits && !(was.Verdict == Unknown && was.Soft) && !(there && now.Verdict == Unknown && now.Soft) {
						t.Fatalf("forgetting %s turns overall from %s into fits past %s: %s\n%+v\n%+v", name, before.Overall, was.Check, was.Why, b, l)
					}
				}
			}
		}
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
		"hole":            func(b *Bulb, l *Lamp, by float64) { l.HoleMM = grow(l.HoleMM, by) },
		"front clearance": func(b *Bulb, l *Lamp, by float64) { l.FrontClearanceMM = grow(l.FrontClearanceMM, by) },
		"rear clearance": func(b *Bulb, l *Lamp, by float64) {
			l.RearClearanceMM, l.RearOpenMM = grow(l.RearClearanceMM, by), grow(l.RearOpenMM, by)
		},
		"rear open":      func(b *Bulb, l *Lamp, by float64) { l.RearOpenMM = grow(l.RearOpenMM, by) },
		"cap diameter":   func(b *Bulb, l *Lamp, by float64) { l.CapDiameterMM = grow(l.CapDiameterMM, by) },
		"flange":         func(b *Bulb, l *Lamp, by float64) { l.FlangeMM = grow(l.FlangeMM, by/10) },
		"driver room":    func(b *Bulb, l *Lamp, by float64) { l.DriverRoomMM = grow(l.DriverRoomMM, by) },
		"cable path":     func(b *Bulb, l *Lamp, by float64) { l.CablePathMM = grow(l.CablePathMM, -by) },
		"bulb-out limit": func(b *Bulb, l *Lamp, by float64) { l.BulbOutA = grow(l.BulbOutA, -by/10) },
		"cable":          func(b *Bulb, l *Lamp, by float64) { b.CableMM = grow(b.CableMM, by) },
		"front diameter": func(b *Bulb, l *Lamp, by float64) { b.FrontDiameterMM = grow(b.FrontDiameterMM, -by) },
		"body diameter":  func(b *Bulb, l *Lamp, by float64) { b.BodyDiameterMM = grow(b.BodyDiameterMM, -by) },
		"tip":            func(b *Bulb, l *Lamp, by float64) { b.TipMM = grow(b.TipMM, -by) },
		"rear length":    func(b *Bulb, l *Lamp, by float64) { b.RearMM = grow(b.RearMM, -by) },
		"cable bend":     func(b *Bulb, l *Lamp, by float64) { b.CableBendMM = grow(b.CableBendMM, -by) },
		"driver size":    func(b *Bulb, l *Lamp, by float64) { b.DriverMM = grow(b.DriverMM, -by) },
		"collar":         func(b *Bulb, l *Lamp, by float64) { b.CollarMM = grow(b.CollarMM, -by/10) },
		"mass":           func(b *Bulb, l *Lamp, by float64) { b.MassG = grow(b.MassG, -by) },
		"inrush":         func(b *Bulb, l *Lamp, by float64) { b.InrushA = grow(b.InrushA, -by) },
		"spread":         func(b *Bulb, l *Lamp, by float64) { b.SeatingSpreadPct = grow(b.SeatingSpreadPct, -by) },
		"board":          func(b *Bulb, l *Lamp, by float64) { b.BoardMM = grow(b.BoardMM, -by/20) },
		"strip width":    func(b *Bulb, l *Lamp, by float64) { b.StripWidthMM = grow(b.StripWidthMM, -by/20) },
		"mismatch":       func(b *Bulb, l *Lamp, by float64) { b.MismatchMM = grow(b.MismatchMM, -by/50) },
		"lowest volts":   func(b *Bulb, l *Lamp, by float64) { b.VoltsMin = grow(b.VoltsMin, -by/10) },
		"highest volts":  func(b *Bulb, l *Lamp, by float64) { b.VoltsMax = grow(b.VoltsMax, by) },
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
		for _, side := range []any{&b, &l} {
			value := reflect.ValueOf(side).Elem()
			for i := range value.NumField() {
				if field := value.Field(i); field.Type() == reflect.TypeFor[*float64]() {
					field.Set(reflect.ValueOf(&bad))
				}
			}
		}
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
	b.TipMM = p(-3.0)
	copyB, copyL := b, l
	Check(b, l, shipped(t))
	if !reflect.DeepEqual(b, copyB) || !reflect.DeepEqual(l, copyL) || *b.TipMM != -3 {
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
		for _, side := range []any{&b, &l} {
			value := reflect.ValueOf(side).Elem()
			for i := range value.NumField() {
				field := value.Field(i)
				switch {
				case random.IntN(6) > 0:
				case field.Type() == reflect.TypeFor[*float64]():
					field.Set(reflect.ValueOf(&number))
				case field.Kind() == reflect.String && (len(word) < 40 && regexp.MustCompile(`^[A-Za-z0-9]*$`).MatchString(word)):
					field.SetString(word)
				}
			}
		}
		if regexp.MustCompile(`^[A-Za-z0-9]*$`).MatchString(code) && !strings.Contains(code, "NaN") && !strings.Contains(code, "Inf") {
			b.IngressWhole = code
		}
		holds(t, Check(b, l, rules), b)
		holds(t, Check(b, l, data.FitRules{}), b)
	})
}

func BenchmarkCheck(b *testing.B) {
	rules := shipped(b)
	bulb, lamp := sample()
	lamp.Canbus, lamp.RearClearanceMM = p(true), nil
	for b.Loop() {
		Check(bulb, lamp, rules)
	}
}
