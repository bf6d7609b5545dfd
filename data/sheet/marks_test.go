package sheet

import "testing"

// TestScoresAreNoTimes: the figures of a scale in a head are no time lit, and a score
// by eye is not lost; a time that looks like a scale stays one.
func TestScoresAreNoTimes(t *testing.T) {
	at := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		head, means string
		at          *float64
	}{
		{"Pattern proj (1-10)", meansNote, nil},
		{"Rating (1-5) proj", meansNote, nil},
		{"Score refl [0..100]", meansNote, nil},
		{"Beam look proj /10", meansNote, nil},
		{"Low beam out of 5", meansNote, nil},
		{"Glare refl (1 to 10)", meansNote, nil},
		{"Cutoff proj (0-3)", markCutoff, nil},
		{"Hot spot (0-3)", markHotSpot, nil},
		{"Cut-off (0-3)", markCutoff, nil},
		{"Width refl (0–3)", markWidth, nil},
		{"Evenness (0-3)", markDark, nil},
		{"Dark above (0-3)", markStray, nil},
		{"Stray (0-3)", meansNote, nil}, // 3 may be the most stray light
		{"Cutoff (0-10)", meansNote, nil},
		{"Proj lux (30 min)", meansLux, at(30)},
		{"Proj @ 10", meansLux, at(10)},
		{"30 min", meansLux, at(30)},
	} {
		got := propose(c.head)
		if got.Means != c.means || (got.At == nil) != (c.at == nil) || c.at != nil && *got.At != *c.at {
			t.Errorf("%q: %s at %v, want %s at %v", c.head, got.Means, got.At, c.means, c.at)
		}
		if got.Head != c.head {
			t.Errorf("the head %q is kept as %q", c.head, got.Head)
		}
	}
}
