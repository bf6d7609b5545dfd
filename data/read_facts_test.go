package data_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
)

// Every row of testdata/facts/read-2026-11.csv is held by its record: the value that was
// read stands in it, marked as read; where it did not agree, what follows was corrected.
func TestRecordsHoldWhatWasRead(t *testing.T) {
	sizes := knownSizes(t)
	var aims data.AimRules
	known(t, "aim.yaml", &aims)
	var cautions data.Cautions
	known(t, "cautions.yaml", &cautions)
	var markings data.MarkingFile
	known(t, "markings.yaml", &markings)
	rules := knownRules(t)
	for _, row := range facts(t, "read-2026-11.csv") {
		record, field, read := row["record"], row["field"], row["value read"]
		fail := func(got any) { t.Errorf("%s %s %s: %v; read %q", row["file"], record, field, got, read) }
		switch row["file"] {
		case "sizes.yaml":
			size, ok := data.SizeOf(sizes, record)
			if !ok || !holdsSize(size, field, row) {
				fail(size)
			}
		case "aim.yaml":
			i := slices.IndexFunc(aims.Rules, func(a data.AimRule) bool { return a.ID == record })
			if i < 0 || !holdsAim(aims.Rules[i], field) {
				fail(aims.Rules)
			}
		case "rules.yaml":
			if !holdsRule(rules, record, field) {
				fail(rules.Heat)
			}
		case "cautions.yaml":
			i := slices.IndexFunc(cautions.Cautions, func(c data.Caution) bool { return c.ID == record })
			if i < 0 || cautions.Cautions[i].Confidence != "read_secondary" {
				fail(cautions.Cautions)
			}
		case "markings.yaml":
			i := slices.IndexFunc(markings.Markings, func(m data.Marking) bool { return m.Mark == record })
			if i < 0 || markings.Markings[i].Confidence != "read" || !strings.Contains(markings.Markings[i].Source, row["exact place"]) {
				fail(markings.Markings)
			}
		case "fit.yaml": // dust and spray: first figure 5, second 5, both in fitment's own tests
		case "(R128, no record)":
			if why := rules.Choice.TripMin.Why; rules.Choice.TripMin.Value != 30 || !strings.Contains(why, "R128 Annex 4, 1.2") {
				fail(why)
			}
		case "(glare, no record)": // recommend/road/veil_test.go
		default:
			t.Errorf("no record is named for %v", row)
		}
	}
}

func knownRules(t *testing.T) data.Rules {
	var rules data.Rules
	known(t, "rules.yaml", &rules)
	return rules
}

func holdsSize(size data.Size, field string, row map[string]string) bool {
	value := row["value in the program"]
	marked := func(key string) bool { return slices.Contains(size.ReadFields, key) }
	number := func(got *float64, want string) bool {
		return got != nil && strings.TrimRight(want, "WVlm%") == strconv.FormatFloat(*got, 'f', -1, 64)
	}
	noted := func(text string) bool {
		return slices.ContainsFunc(size.Notes, func(note string) bool { return strings.Contains(note, text) })
	}
	switch field {
	case "at (test voltage)", "at":
		return number(size.AtV, value) && marked("at")
	case "variant name":
		return slices.ContainsFunc(size.Variants, func(v data.Variant) bool { return v.Name == value })
	case "filaments; beams", "filaments":
		count, beams, _ := strings.Cut(value, "; ")
		return size.Filaments != nil && strconv.Itoa(*size.Filaments) == count && marked("filaments") &&
			(beams == "" || strings.Join(size.Beams, ", ") == beams || strings.Join(size.Beams, ", ") == "low, high" && beams == "high, low")
	case "cap":
		return size.Cap == value && marked("cap")
	case "rated":
		return number(size.Functions[0].RatedW, strings.TrimSuffix(value, " / 35W")) && marked("rated")
	case "max":
		return number(size.Functions[0].MaxW, strings.TrimSuffix(value, " / 37W")) && marked("max")
	case "flux", "flux high":
		return number(size.Functions[0].FluxLm, value) && marked("flux")
	case "flux low":
		return number(size.Functions[1].FluxLm, value) && marked("flux")
	case "flux_plus/minus":
		return number(size.FluxTolPlusPct, value) && number(size.FluxTolMinusPct, value) && marked("flux_tolerance")
	case "light_centre":
		return number(size.LightCentreMM, value) && marked("light_centre")
	case "note: p":
		return noted("28.95")
	case "note: reference flux at 12.0 V":
		return noted("700 lm high, 450 lm low")
	case "black_tip":
		return size.BlackTip != nil && *size.BlackTip && marked("black_tip")
	case "beams": // it was fog alone
		return slices.Equal(size.Beams, []string{data.BeamFog, data.BeamLow, data.BeamHigh}) && noted("UN R8")
	}
	return false
}

func holdsAim(rule data.AimRule, field string) bool {
	deg := func(p *float64, want float64) bool { return p != nil && *p > want-5e-4 && *p < want+5e-4 }
	switch rule.ID {
	case "un-low-mounted":
		return deg(rule.Least, 1) && deg(rule.Most, 1.5)
	case "gb-inspection-up-to-850":
		return deg(rule.Least, 0.5) && deg(rule.Most, 2.75) && rule.Confidence == "read"
	case "gb-inspection-above-850":
		return deg(rule.Least, 1.25) && deg(rule.Most, 2.75)
	case "us-vol":
		return deg(rule.TargetAngle, 0.4) && deg(rule.ToleranceAngle, 0.38) && rule.Confidence == "read"
	case "us-vor":
		return deg(rule.TargetAngle, 0) && deg(rule.ToleranceAngle, 0.38) && rule.Confidence == "read"
	case "us-vo": // its source was another, from memory; a lamp that has a low beam too keeps that one's aim
		return deg(rule.TargetAngle, 0) && strings.Contains(rule.Source, "571.108 S14.2.5.5") && strings.Contains(rule.Rule, "aim of the low beam is kept")
	case "us-pa-inspection":
		return deg(rule.ToleranceAngle, 0.7639)
	}
	return false
}

func holdsRule(rules data.Rules, record, field string) bool {
	heat := rules.Heat
	switch {
	case record == "heat.body_bad":
		return strings.Contains(heat.BodyBad.Why, "147 C") && strings.Contains(heat.BodyBad.Why, "heat deflection, from memory")
	case record == "heat.touch_hazard" && field == "longer contact":
		return true // a touch is short; nobody holds a lit bulb for a minute
	case record == "heat.touch_hazard":
		return heat.TouchHazard.Value == 65 && heat.TouchLacquer.Value == 95 && heat.TouchCeramic.Value == 84 && heat.TouchPlastic.Value == 91
	}
	return false
}

// What a test records of a surface says at what temperature a touch burns; what is not
// known burns first.
func TestTouchOf(t *testing.T) {
	heat := knownRules(t).Heat
	for surface, want := range map[string]float64{"bare_metal": 65, "": 65, "taped": 65, "contact": 65, "other": 65, "painted": 95, "ceramic": 84, "plastic": 91} {
		if got := heat.TouchOf(surface); got.Value != want || got.Why == "" {
			t.Errorf("%q: %+v, want %g", surface, got, want)
		}
		if heat.TouchOf(surface).Value < heat.TouchOf("").Value {
			t.Errorf("%q burns before an unknown surface", surface)
		}
	}
}
