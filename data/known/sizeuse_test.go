package known_test

import (
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
)

// TestSizeUseFollowsFromTheSizes: what the reader of questions takes a size to be
// used for is what the list of sizes says of its beams and its mount.
func TestSizeUseFollowsFromTheSizes(t *testing.T) {
	serves := func(s data.Size, beam string) bool { return slices.Contains(s.Beams, beam) }
	var fog, fogToo, both []string
	mounts := map[string]bool{}
	for _, s := range known.Sizes() {
		// H8 may stand in a headlamp by UN R8; a car that has it has it in its fog lamps.
		if serves(s, data.BeamFog) && !serves(s, data.BeamLow) && !serves(s, data.BeamHigh) || s.Category == "H8" {
			fog = append(fog, s.Category)
			mounts[s.Family] = s.Family != ""
		}
	}
	for _, s := range known.Sizes() {
		if serves(s, data.BeamFog) && mounts[s.Family] && !slices.Contains(fog, s.Category) {
			fogToo = append(fogToo, s.Category)
		}
		if s.Dual && s.Category != "HB2" { // read as H4, see the sizes of the words
			both = append(both, s.Category)
		}
	}
	// HIR2 has one filament and sits in lamps that move a shield; HS1 is not in the
	// list of sizes.
	both = append(both, "HIR2", "HS1")
	use := known.Words().SizeUse
	for key, want := range map[string][]string{"fog": fog, "fog_too": fogToo, "both": both} {
		got := slices.Clone(use[key])
		slices.Sort(got)
		slices.Sort(want)
		if !slices.Equal(got, want) {
			t.Errorf("size_use %s is %v, the sizes say %v", key, got, want)
		}
	}
	if len(use) != 3 {
		t.Errorf("a use of sizes that nothing holds: %v", use)
	}
}
