package data

import (
	"math"
	"strings"
	"testing"
)

func figure(x float64) *float64 { return &x }

func TestAimRuleValidate(t *testing.T) {
	good := AimRule{ID: "r", Places: []string{"GB"}, Least: figure(0.5), Most: figure(2.75)}
	if err := good.Validate(); err != nil {
		t.Fatal(err)
	}
	for want, spoil := range map[string]func(*AimRule){
		"needs markings or places":     func(r *AimRule) { r.Places = nil },
		"least and most go together":   func(r *AimRule) { r.Most = nil },
		"exclude each other":           func(r *AimRule) { r.Target, r.TargetAngle = figure(1), figure(0.4) },
		"gives no drop":                func(r *AimRule) { r.Least, r.Most = nil, nil },
		"height_of is needed":          func(r *AimRule) { r.HeightUpTo = figure(850) },
		"height_above must be below":   func(r *AimRule) { r.HeightOf, r.HeightAbove, r.HeightUpTo = "lamp_centre", figure(900), figure(850) },
		"least must not exceed most":   func(r *AimRule) { r.Least = figure(math.NaN()) },
		"target must lie from least":   func(r *AimRule) { r.Target = figure(3) },
		"least must not exceed most, ": func(r *AimRule) { r.Least = figure(2.8) },
	} {
		bad := good
		spoil(&bad)
		if err := bad.Validate(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want it to say %q", err, want)
		}
	}
	if err := (AimRules{Rules: []AimRule{good, good}}).Validate(); err == nil || !strings.Contains(err.Error(), "twice") {
		t.Errorf("an id used twice: %v", err)
	}
	if err := (AimRules{}).Validate(); err == nil {
		t.Error("no rules at all were taken")
	}
}
