package road

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func aimRules(t testing.TB) []data.AimRule {
	t.Helper()
	var rules data.AimRules
	known(t, "aim.yaml", &rules)
	if err := rules.Validate(); err != nil {
		t.Fatal(err)
	}
	return rules.Rules
}

func aim(t *testing.T, in AimInput) AimPlan {
	t.Helper()
	if in.HeightMM == 0 {
		in.HeightMM = 650
	}
	if in.DistanceMM == 0 {
		in.DistanceMM = 10000
	}
	if in.Rules == nil {
		in.Rules = aimRules(t)
	}
	plan, err := Aim(in)
	if err != nil {
		t.Fatal(err)
	}
	return plan
}

const feet25 = 7620.0 // mm

func TestAimMarking(t *testing.T) {
	vol := aim(t, AimInput{DistanceMM: feet25, Marking: MarkingVOL})
	// A vehicle service specification prints 53.2 mm (2.1 in) +- 50.5 mm at 7.62 m (read).
	near(t, "VOL", *vol.TargetMM, 53.2, 0.05)
	near(t, "VOL in inches", *vol.TargetMM/25.4, 2.1, 0.01)
	near(t, "tolerance", *vol.ToleranceMM, 50.5, 0.1)
	if vol.From != FromMarking || vol.DropMM.Least != *vol.TargetMM || vol.DropMM.Most != *vol.TargetMM || !strings.Contains(vol.Rule, "VOL") {
		t.Errorf("%+v", vol)
	}
	vor := aim(t, AimInput{DistanceMM: feet25, Marking: MarkingVOR})
	if *vor.TargetMM != 0 || *vor.DropMM != (Drop{}) || len(vor.Notes) != 0 {
		t.Errorf("VOR is level: %+v", vor)
	}
	if high := aim(t, AimInput{HeightMM: 1000, DistanceMM: feet25, Marking: MarkingVOR}); *high.TargetMM != 0 || !containsText(high.Notes, "J599") {
		t.Errorf("a high VOR lamp carries a note: %+v", high)
	}
	// UN R48 from memory: 1.0 to 1.5 percent, above 1,000 mm 1.5 to 2.0.
	un := aim(t, AimInput{Marking: MarkingUN})
	near(t, "UN", *un.TargetMM, 100, 1e-9)
	near(t, "UN least", un.DropMM.Least, 100, 1e-9)
	near(t, "UN most", un.DropMM.Most, 150, 1e-9)
	if !containsText(un.Notes, "memory") || !containsText(un.Notes, "lower edge") {
		t.Errorf("what is from memory is said: %q", un.Notes)
	}
	high := aim(t, AimInput{HeightMM: 1100, Marking: MarkingUN})
	near(t, "UN high", *high.TargetMM, 150, 1e-9)
	near(t, "UN high most", high.DropMM.Most, 200, 1e-9)
}

func TestAimPlate(t *testing.T) {
	plan := aim(t, AimInput{Plate: &Dip{1.2, DipPercent}, Marking: MarkingVOL, Where: "GB"})
	near(t, "plate", *plan.TargetMM, 120, 1e-9)
	if plan.From != FromPlate || plan.DropMM.Least != *plan.TargetMM || plan.DropMM.Most != *plan.TargetMM {
		t.Errorf("the plate goes before marking and place: %+v", plan)
	}
	near(t, "quarter degree at 10 m", *plan.ToleranceMM, 43.6, 0.1)
	near(t, "inspection", plan.InspectionMM.Most, 275, 1e-9)
	if !containsText(plan.Steps, "Mark the drop") || containsText(plan.Steps, "limits") {
		t.Errorf("the plate gives a mark: %q", plan.Steps)
	}
	if !containsText(plan.Notes, "inside") {
		t.Errorf("12 cm is inside what GB lets pass: %q", plan.Notes)
	}
	degree := aim(t, AimInput{Plate: &Dip{0.4, DipDegree}, DistanceMM: feet25})
	near(t, "in degrees", *degree.TargetMM, 53.2, 0.05)
	if high := aim(t, AimInput{Plate: &Dip{1.2, DipPercent}, Beam: "high"}); high.From != FromNone || high.DropMM != nil {
		t.Errorf("a plate speaks of the low beam: %+v", high)
	}
}

// GB inspection limits at 10 m: 50 to 275 mm to 85 cm (read), 125 to 275 above (second hand).
func TestAimPlace(t *testing.T) {
	for _, c := range []struct{ height, least, most float64 }{{650, 50, 275}, {850, 50, 275}, {851, 125, 275}, {900, 125, 275}} {
		plan := aim(t, AimInput{HeightMM: c.height, Where: "GB"})
		near(t, "least", plan.DropMM.Least, c.least, 1e-9)
		near(t, "most", plan.DropMM.Most, c.most, 1e-9)
		if plan.From != FromPlace || plan.TargetMM != nil || !containsText(plan.Notes, "limits of a test") {
			t.Errorf("limits are no target: %+v", plan)
		}
		near(t, "inspection least", plan.InspectionMM.Least, c.least, 1e-9)
		near(t, "inspection most", plan.InspectionMM.Most, c.most, 1e-9)
		if !containsText(plan.Steps, "Mark the two limits") || !containsText(plan.Steps, "onto its tape") {
			t.Errorf("the tape says where, between the limits: %q", plan.Steps)
		}
	}
	if plan := aim(t, AimInput{Where: "DE-BY"}); plan.From != FromPlace || *plan.TargetMM != 100 {
		t.Errorf("a region takes its country's rule: %+v", plan)
	} else if !containsText(plan.Notes, "No rule of DE-BY itself") {
		t.Errorf("and says so: %q", plan.Notes)
	}
	if plan := aim(t, AimInput{Where: "de"}); containsText(plan.Notes, "No rule of") {
		t.Errorf("a place with its own rule: %q", plan.Notes)
	}
	if plan := aim(t, AimInput{Where: "GB", Marking: MarkingVOR}); !containsText(plan.Notes, "outside") {
		t.Errorf("a level cutoff fails in GB: %q", plan.Notes)
	}
	// 67 Pa. Code 175.80: 4 in either way at 25 ft (second hand). No place to set.
	pa := aim(t, AimInput{Where: "us-pa", DistanceMM: feet25, Marking: MarkingVOL})
	near(t, "4 in below", pa.InspectionMM.Most-*pa.TargetMM, 101.6, 0.1)
	near(t, "4 in above", *pa.TargetMM-pa.InspectionMM.Least, 101.6, 0.1)
	if plan := aim(t, AimInput{Where: "US-PA"}); plan.From != FromNone || plan.DropMM != nil || plan.InspectionMM != nil {
		t.Errorf("a tolerance alone gives no drop: %+v", plan)
	}
	fog := aim(t, AimInput{Where: "US-CA", Beam: "fog", HeightMM: 400, DistanceMM: feet25})
	near(t, "fog, 4 in", *fog.TargetMM, 101.6, 0.01)
}

// Nothing known: the tape method and no drop.
func TestAimNothingKnown(t *testing.T) {
	for _, in := range []AimInput{{}, {Where: "ZZ"}, {Beam: "fog", Marking: MarkingUN}, {Marking: MarkingVO}} {
		plan := aim(t, in)
		if plan.From != FromNone || plan.DropMM != nil || plan.TargetMM != nil || plan.Source != "" {
			t.Errorf("%+v", plan)
		}
		if containsText(plan.Steps, "Mark the") {
			t.Errorf("there is no drop to mark: %q", plan.Steps)
		}
		if !containsText(plan.Before, "tape the stock cutoff") || !containsText(plan.Steps, "onto its tape") {
			t.Errorf("the tape is the method: %q %q", plan.Before, plan.Steps)
		}
	}
}

func TestAimHighBeam(t *testing.T) {
	plain := aim(t, AimInput{Beam: "high", Where: "GB"})
	if plain.DropMM != nil || plain.Feature != "hot_spot" || !containsText(plain.Before, "hot spot") || containsText(plain.Steps, "flat part") {
		t.Errorf("%+v", plain)
	}
	vo := aim(t, AimInput{Beam: "high", Marking: MarkingVO})
	if vo.From != FromMarking || *vo.TargetMM != 0 || vo.Confidence != "read_secondary" || !containsText([]string{vo.Rule}, "the aim of the low beam is kept") || vo.Feature != "hot_spot" {
		t.Errorf("%+v", vo)
	}
}

// What a swap needs is in every plan: floor, tyres, a person, the tape before the
// halogen comes out, the locked exposure, the hot check. No list is nil.
func TestAimWords(t *testing.T) {
	for _, in := range []AimInput{{}, {Marking: MarkingVOL}, {Where: "GB"}, {Plate: &Dip{1, DipPercent}, Load: "full"}, {Beam: "high"}} {
		plan := aim(t, in)
		for _, words := range []string{"level floor", "tyre", "person in the driver's seat", "tape", "old halogens still in", "exposure"} {
			if !containsText(plan.Before, words) {
				t.Errorf("before the swap nothing is said of %q: %q", words, plan.Before)
			}
		}
		if !containsText(plan.After, "hot") || plan.Notes == nil {
			t.Errorf("%q %q", plan.After, plan.Notes)
		}
		document, err := json.Marshal(plan)
		if err != nil {
			t.Fatal(err)
		}
		for _, list := range []string{"before", "steps", "after", "notes"} {
			if strings.Contains(string(document), `"`+list+`":null`) {
				t.Errorf("list %s is null in %s", list, document)
			}
		}
		if (plan.DropMM == nil) != strings.Contains(string(document), `"drop_mm":null`) {
			t.Errorf("drop_mm: %s", document)
		}
		if loaded := in.Load == "full"; containsText(plan.Notes, "luggage") != loaded {
			t.Errorf("load %q: notes %q", in.Load, plan.Notes)
		}
	}
}

// Left-hand traffic is right-hand traffic with the sides exchanged.
func TestAimMirror(t *testing.T) {
	right := aim(t, AimInput{Traffic: RightHand})
	left := aim(t, AimInput{Traffic: LeftHand})
	swap := strings.NewReplacer("the left", "the right", "the right", "the left")
	for i, lists := range [][2][]string{{right.Before, left.Before}, {right.Steps, left.Steps}, {right.After, left.After}} {
		for j, text := range lists[0] {
			if swap.Replace(text) != lists[1][j] {
				t.Errorf("list %d: %q against %q", i, text, lists[1][j])
			}
		}
	}
	if !containsText(right.Before, "rises toward the right") || !containsText(right.Steps, "on the left of the beam") {
		t.Errorf("the step rises to the kerb: %q %q", right.Before, right.Steps)
	}
	for marking, side := range map[string]string{MarkingVOR: "on the right of", MarkingVOL: "on the left of", MarkingUN: "on the side of oncoming traffic of"} {
		for _, plate := range []*Dip{nil, {1, DipPercent}} {
			if plan := aim(t, AimInput{Marking: marking, Plate: plate}); !containsText(plan.Steps, side+" the beam") {
				t.Errorf("%s is aimed by the cutoff %s the beam: %q", marking, side, plan.Steps)
			}
		}
	}
}

// A place with a rule of setting and one of inspection: the first gives the drop, the
// second the limits, in any order.
func TestAimSettingBeforeInspection(t *testing.T) {
	set := data.AimRule{ID: "a", Kind: "set", Beam: "low", Feature: "cutoff", Places: []string{"ZZ"}, Target: ptr(1.3)}
	test := data.AimRule{ID: "b", Kind: "inspection", Beam: "low", Feature: "cutoff", Places: []string{"ZZ"}, Least: ptr(1), Most: ptr(2)}
	later := set
	later.ID, later.Target = "c", ptr(1.9)
	for _, rules := range [][]data.AimRule{{set, test, later}, {later, test, set}, {test, later, set}} {
		plan := aim(t, AimInput{Where: "ZZ", Rules: rules})
		if plan.TargetMM == nil || plan.InspectionMM == nil {
			t.Fatalf("%+v", plan)
		}
		near(t, "set", *plan.TargetMM, 130, 1e-9)
		near(t, "limits", plan.InspectionMM.Most, 200, 1e-9)
	}
}

// The order of the rules changes nothing.
func TestAimRuleOrder(t *testing.T) {
	reversed := append([]data.AimRule(nil), aimRules(t)...)
	slices.Reverse(reversed)
	for _, in := range []AimInput{{Where: "GB"}, {Where: "FR"}, {Marking: MarkingUN}, {Marking: MarkingVOL, Where: "US-PA"}} {
		a := aim(t, in)
		in.Rules = reversed
		if b := aim(t, in); a.Rule != b.Rule || *a.DropMM != *b.DropMM {
			t.Errorf("%q against %q", a.Rule, b.Rule)
		}
	}
}

func TestAimErrors(t *testing.T) {
	ok := AimInput{HeightMM: 650, DistanceMM: 10000}
	for what, spoil := range map[string]func(*AimInput){
		"lamp height":   func(in *AimInput) { in.HeightMM = 5000 },
		"wall distance": func(in *AimInput) { in.DistanceMM = math.NaN() },
		"dip":           func(in *AimInput) { in.Plate = &Dip{12, DipPercent} },
	} {
		in := ok
		spoil(&in)
		_, err := Aim(in)
		outOfRange(t, err, what)
	}
	// The legal range of the wall ends where the cutoff meets the floor, 650 mm / 1.5 %.
	far := ok
	far.DistanceMM, far.Plate = 50000, &Dip{1.5, DipPercent}
	_, err := Aim(far)
	outOfRange(t, err, Distance)
	if err == nil || !strings.Contains(err.Error(), "the beam meets the wall and not the floor first 50000 mm: must be 2000 to 43333 mm") {
		t.Errorf("error %v", err)
	}
	for name, spoil := range map[string]func(*AimInput){
		"marking": func(in *AimInput) { in.Marking = "vol" }, "beam": func(in *AimInput) { in.Beam = "drl" },
		"load": func(in *AimInput) { in.Load = "heavy" }, "traffic": func(in *AimInput) { in.Traffic = "x" },
		"unit": func(in *AimInput) { in.Plate = &Dip{1, ""} },
		"rule": func(in *AimInput) { in.Rules = []data.AimRule{{ID: "empty"}} },
	} {
		in := ok
		spoil(&in)
		if _, err := Aim(in); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestParseMarking(t *testing.T) {
	for text, want := range map[string]string{"vol": "VOL", " VOR ": "VOR", "V.O.": "VO", "UN": "UN", "HC/R": "UN", "hcr": "UN", "DC": "UN"} {
		if got, err := ParseMarking(text); got != want || err != nil {
			t.Errorf("%q: %q %v, want %q", text, got, err, want)
		}
	}
	for _, text := range []string{"", "HR", "VOLL", "DOT"} {
		if _, err := ParseMarking(text); err == nil || !strings.Contains(err.Error(), "VOL, VOR, VO or UN") {
			t.Errorf("%q: error %v must name the legal values", text, err)
		}
	}
}

func FuzzParseMarking(f *testing.F) {
	f.Add("VOL")
	f.Add("h c / r")
	f.Fuzz(func(t *testing.T, text string) {
		marking, err := ParseMarking(text)
		if err != nil {
			return
		}
		if again, err := ParseMarking(marking); again != marking || err != nil {
			t.Errorf("%q -> %q -> %q, %v", text, marking, again, err)
		}
	})
}

func containsText(list []string, part string) bool {
	return slices.ContainsFunc(list, func(s string) bool { return strings.Contains(s, part) })
}
