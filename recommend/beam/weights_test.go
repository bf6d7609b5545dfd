package beam

import (
	"bytes"
	"math"
	"os"
	"testing"

	"gopkg.in/yaml.v3"

	"stillbright/data"
)

// The defaults in Go and the file that users read and change are one.
func TestDefaultsEqualTheFile(t *testing.T) {
	text, err := os.ReadFile("../../data/known/yaml/pattern.yaml")
	if err != nil {
		t.Fatal(err)
	}
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	decoder.KnownFields(true)
	var file data.PatternRules
	if err := decoder.Decode(&file); err != nil {
		t.Fatal(err)
	}
	reasons := []*string{&file.Low.Why, &file.High.Why, &file.Fog.Why, &file.Grid.Why, &file.Photo.Why, &file.Grade.Why,
		&file.Mark1.Why, &file.Mark2.Why, &file.GLeast.Why, &file.GMost.Why, &file.GZero.Why, &file.GHard.Why, &file.HardLoss.Why,
		&file.GDoubt.Why, &file.Linearity.Why, &file.Place.Why, &file.FogPlace.Why, &file.Centre.Why, &file.Axis.Why, &file.Split.Why,
		&file.Stray.Why, &file.StrayLimit.Why, &file.DarkContrast.Why, &file.DarkLeast.Why, &file.Dark.Why, &file.WidthVsStock.Why,
		&file.Width.Why, &file.Foreground.Why, &file.Clean.Why, &file.Usable.Why}
	for i, why := range reasons {
		if len(*why) < 10 {
			t.Errorf("reason %d is missing: %q", i, *why)
		}
		*why = ""
	}
	if file != DefaultWeights() {
		t.Errorf("the file says %+v, the defaults %+v", file, DefaultWeights())
	}
	if err := DefaultWeights().Validate(); err != nil {
		t.Error(err)
	}
}

func TestContradictingRulesAreRefused(t *testing.T) {
	for name, change := range map[string]func(w *Weights){
		"no weight":     func(w *Weights) { w.Fog = data.PatternWeights{} },
		"nan weight":    func(w *Weights) { w.Low.Dark = math.NaN() },
		"falling marks": func(w *Weights) { w.Mark1.Value = 0.9 },
		"limits":        func(w *Weights) { w.GMost.Value = 0.1 },
		"turned scale":  func(w *Weights) { w.Stray.Good, w.Stray.Bad = 4, 1 },
		"flat scale":    func(w *Weights) { w.Axis.Bad = w.Axis.Good },
		"log of zero":   func(w *Weights) { w.Stray.Good = 0 },
		"box":           func(w *Weights) { w.Place.GapMost = -1 },
		"reach":         func(w *Weights) { w.FogPlace.Reach = 0 },
		"contrast":      func(w *Weights) { w.DarkContrast.Value = 1 },
		"area":          func(w *Weights) { w.DarkLeast.Value = 0 },
	} {
		w := DefaultWeights()
		if change(&w); w.Validate() == nil {
			t.Errorf("%s: not refused", name)
		}
	}
}

// The plateau of sharpness and its two sides, against the published limits.
func TestSharpnessPart(t *testing.T) {
	w := DefaultWeights()
	for _, c := range []struct{ g, linearity, want float64 }{
		{0.13, 0, 1}, {0.25, 0.2, 1}, {0.40, 0, 1}, {0.04, 0, 0}, {0, 0, 0}, {-1, 0, 0},
		{0.085, 0, 0.5}, {0.7, 0, 0.8}, {1, 0, 0.6}, {5, 0, 0.6}, {0.3, 0.5, 0.5}, {0.3, 2, 0},
	} {
		if got := SharpnessPart(c.g, c.linearity, w); !near(got, c.want, 1e-9) {
			t.Errorf("G %g, linearity %g: %g, want %g", c.g, c.linearity, got, c.want)
		}
	}
	for ratio, want := range map[float64]float64{0: 1, 1: 1, 2: 0.5, 4: 0, 9: 0} {
		if got := StrayPart(ratio, w); !near(got, want, 1e-9) {
			t.Errorf("stray light %g times stock: %g, want %g", ratio, got, want)
		}
	}
}
