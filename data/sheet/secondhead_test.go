package sheet

import "testing"

// A row of units under the heads is told from words and figures.
func TestUnitsAlone(t *testing.T) {
	for cell, want := range map[string]bool{
		"lx": true, "Lux": true, "fc": true, "klx": true, "lm": true, "V": true, "mV": true, "W": true, "°C": true, "F": true, "K": true,
		"mm": true, "in": true, "min": true, "%": true, "€": true, "usd": true,
		"": false, "12": false, "13.4 V": false, "H11": false, "projector": false, "fan loud": false, "note": false,
	} {
		if got := isUnit(cell); got != want {
			t.Errorf("%q: %v", cell, got)
		}
	}
}
