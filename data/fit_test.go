package data

import (
	"math"
	"strings"
	"testing"
)

func TestFitRulesValidate(t *testing.T) {
	for _, c := range []struct {
		name   string
		change func(r *FitRules)
		want   string // part of the error; empty: none
	}{
		{"all nought", func(*FitRules) {}, ""},
		{"in order", func(r *FitRules) { r.DepthGood.Value, r.DepthPoor.Value = 0.3, 1 }, ""},
		{"wrong way round", func(r *FitRules) { r.DepthGood.Value, r.DepthPoor.Value = 1, 0.3 }, "depth_good 1 must not exceed depth_poor 0.3"},
		{"room wrong way round", func(r *FitRules) { r.FrontLeast.Value, r.FrontGood.Value = 3, 1 }, "front_least 3 must not exceed front_good 1"},
		{"negative", func(r *FitRules) { r.RearSpare.Value = -1 }, "rear_spare: -1"},
		{"not a number", func(r *FitRules) { r.BoardPoor.Value = math.NaN() }, "board_poor: NaN"},
		{"infinite", func(r *FitRules) { r.Mass.Value = math.Inf(1) }, "mass: +Inf"},
	} {
		var rules FitRules
		c.change(&rules)
		switch err := rules.Validate(); {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}
