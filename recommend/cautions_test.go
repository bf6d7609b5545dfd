package recommend_test

import (
	"slices"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/sheets"
)

// saysCaution says whether the caution of an id is among the texts.
func saysCaution(t *testing.T, texts []string, id string) bool {
	t.Helper()
	for _, caution := range known.Cautions() {
		if caution.ID == id {
			return slices.Contains(texts, caution.Text)
		}
	}
	t.Fatalf("there is no caution %q", id)
	return false
}

// A caution is said when the owner's need, the law or the bulb gives cause for it,
// and not otherwise.
func TestCautionsApply(t *testing.T) {
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	led := recommend.Need{Size: "H11", Housing: "projector", Where: "AR"}
	with := func(change func(n *recommend.Need)) recommend.Need {
		n := led
		change(&n)
		return n
	}
	for _, c := range []struct {
		name     string
		need     recommend.Need
		said     []string
		unsaid   []string
		wantLead string
	}{
		{"an LED in a projector", led, []string{"glare", "re-aim", "not-permitted", "keep-halogens"},
			[]string{"glare-reflector", "snow", "bulb-out", "offroad-label", "motorcycle", "load", "halogen-glass", "discharge-voltage", "no-cutoff"}, "led"},
		{"snow", with(func(n *recommend.Need) {
			n.Driving = []string{"snow"}
			if err := n.SetWeights(recommend.Weights{Output: 1}); err != nil { // so that an LED leads
				t.Fatal(err)
			}
		}), []string{"snow"}, nil, "led"},
		{"a cold climate", with(func(n *recommend.Need) { n.Climate = "cold" }), []string{"snow"}, nil, "led"},
		{"off the road", with(func(n *recommend.Need) { n.Driving = []string{"offroad"} }), []string{"offroad-label"}, nil, "led"},
		{"a car that warns", with(func(n *recommend.Need) { n.Canbus = ptr(true) }), []string{"bulb-out"}, nil, "led"},
		{"a car that does not", with(func(n *recommend.Need) { n.Canbus = ptr(false) }), nil, []string{"bulb-out"}, "led"},
		{"a load", with(func(n *recommend.Need) { n.Load = "full" }), []string{"load"}, nil, "led"},
		{"a motorcycle", with(func(n *recommend.Need) { n.Cycle = true }), []string{"motorcycle"}, nil, "led"},
		{"halogens that stay", recommend.Need{Size: "H11", Housing: "reflector"}, []string{"re-aim", "halogen-glass"},
			[]string{"glare-reflector", "glare", "not-permitted", "insurance", "inspection"}, "keep"},
	} {
		pick := decide(t, &k, &demo, c.need)
		if led := slices.Contains([]string{"led", "any_of"}, pick.Answer.Kind); led != (c.wantLead == "led") {
			t.Errorf("%s: the answer is %s", c.name, pick.Answer.Kind)
			continue
		}
		for _, id := range c.said {
			if !saysCaution(t, pick.Safety, id) {
				t.Errorf("%s: %s is not said", c.name, id)
			}
		}
		for _, id := range c.unsaid {
			if saysCaution(t, pick.Safety, id) {
				t.Errorf("%s: %s is said without cause", c.name, id)
			}
		}
		if parts := strings.Split(pick.SafetyLine, "; "); len(parts) != 2 || len("Caution: "+pick.SafetyLine+".") > 80 {
			t.Errorf("%s: the line of the screen is %q", c.name, pick.SafetyLine)
		}
	}
}

// The heaviest comes first, whatever the need.
func TestCautionsAreInOrder(t *testing.T) {
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	weight, fitted := map[string]float64{}, 0
	for _, caution := range known.Cautions() {
		weight[caution.Text] = caution.Weight
	}
	for _, bulb := range demo.Bulbs {
		sheet, err := sheets.FitOf(&k, &demo, bulb, "", recommend.Need{Size: bulb.Size, Where: "DE", Driving: []string{"snow", "offroad"}, Canbus: ptr(true)}, recommend.Options{Today: "2026-11-25", Seed: 1})
		if err != nil {
			t.Errorf("%s: %v", bulb.ID, err)
			continue
		}
		if !slices.IsSortedFunc(sheet.Safety, func(a, b string) int { return int(weight[b] - weight[a]) }) {
			t.Errorf("%s: %q", bulb.ID, sheet.Safety)
		}
		if sheet.Overall == "does_not_fit" {
			if len(sheet.Safety) > 0 {
				t.Errorf("%s does not fit, and yet: %q", bulb.ID, sheet.Safety)
			}
			continue
		}
		fitted++
		if led := bulb.Kind == data.KindLED; led != saysCaution(t, sheet.Safety, "not-permitted") || led == saysCaution(t, sheet.Safety, "halogen-glass") {
			t.Errorf("%s, a %s bulb: %q", bulb.ID, bulb.Kind, sheet.Safety)
		}
		external := bulb.Kind == data.KindLED && bulb.Supply.Driver == "external"
		if external != saysCaution(t, sheet.Safety, "external-driver") {
			t.Errorf("%s: external driver %v", bulb.ID, external)
		}
	}
	if fitted < 20 {
		t.Errorf("only %d bulbs fit anywhere", fitted)
	}
}

// A car with a discharge lamp is warned of its voltage, before anything else.
func TestCautionOfADischargeLamp(t *testing.T) {
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	for _, car := range demo.Cars {
		for _, lamp := range car.Lamps {
			if lamp.Technology != "discharge" {
				continue
			}
			need, err := recommend.NeedOfCar(&k, car, "", lamp.Beam)
			if err != nil {
				continue
			}
			bulb, _ := demo.Bulb("ostermoor-s22-h11")
			sheet, err := sheets.FitOf(&k, &demo, bulb, car.ID, need, recommend.Options{Today: "2026-11-25", Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			if len(sheet.Safety) == 0 || !saysCaution(t, sheet.Safety[:1], "discharge-voltage") {
				t.Errorf("%s: %q", car.ID, sheet.Safety)
			}
			return
		}
	}
	t.Error("the demo has no car with a discharge lamp")
}
