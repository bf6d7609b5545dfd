package road

import (
	"math"
	"slices"
	"strings"
	"testing"

	"stillbright/data"
)

func ladder(t *testing.T) []data.ClaimRung {
	t.Helper()
	var claims data.ClaimLadder
	known(t, "claims.yaml", &claims)
	if err := claims.Validate(); err != nil {
		t.Fatal(err)
	}
	return claims.Rungs
}

func finding(t *testing.T, list []ClaimFinding, claim string) ClaimFinding {
	t.Helper()
	i := slices.IndexFunc(list, func(f ClaimFinding) bool { return f.Claim == claim })
	if i < 0 {
		t.Fatalf("no finding on %s in %+v", claim, list)
	}
	return list[i]
}

func ptr(x float64) *float64 { return &x }

// Facts of the trade (common practice, no source): 3,600 lm at 30 W is 120 lm/W; at
// 23.6 W observed it is 152.5 lm/W and needs proof.
func TestAuditMeasuredWatts(t *testing.T) {
	list := Audit(ClaimInput{Lumens: ptr(3600), Watts: ptr(30), MeasuredWatts: ptr(23.6), Per: "each", Ladder: ladder(t)})
	advertised, measured := finding(t, list, ClaimAdvertised), finding(t, list, ClaimMeasured)
	near(t, "advertised", *advertised.LmPerW, 120, 1e-12)
	near(t, "measured", *measured.LmPerW, 152.5, 0.05)
	if advertised.Verdict != "ordinary" || measured.Verdict != "needs_proof" || measured.Assumed != "" {
		t.Errorf("%+v\n%+v", advertised, measured)
	}
	if watts := finding(t, list, ClaimWatts); watts.Verdict != ClaimWattsDiffer || !strings.Contains(watts.Text, "79 %") {
		t.Errorf("%+v", watts)
	}
}

// The ladder of facts/photometry.md 8, its examples and both sides of every rung.
func TestAuditLadder(t *testing.T) {
	rungs := ladder(t)
	for _, c := range []struct {
		lm, w   float64
		perWatt float64
		id      string
		verdict string
	}{
		{20000, 60, 333, "colour-mixed", "beyond_known"}, {12000, 100, 120, "ordinary", "ordinary"},
		{6000, 25, 240, "phosphor-2012", "needs_proof"}, {251, 1, 251, "phosphor", "beyond_known"}, {250, 1, 250, "phosphor-2012", "needs_proof"}, {1500, 58, 25.9, "low", "low"},
		{684, 1, 684, "any-light", "impossible"}, {683, 1, 683, "white-light", "impossible"},
		{371, 1, 371, "white-light", "impossible"}, {370, 1, 370, "colour-mixed", "beyond_known"},
		{266, 1, 266, "phosphor", "beyond_known"}, {199, 1, 199, "proof", "needs_proof"},
		{151, 1, 151, "proof", "needs_proof"}, {150, 1, 150, "above-ordinary", "above_ordinary"},
		{121, 1, 121, "above-ordinary", "above_ordinary"}, {61, 1, 61, "ordinary", "ordinary"}, {60, 1, 60, "low", "low"},
	} {
		// The order of the rungs does not matter.
		reversed := append([]data.ClaimRung(nil), rungs...)
		slices.Reverse(reversed)
		for _, order := range [][]data.ClaimRung{rungs, reversed} {
			got := finding(t, Audit(ClaimInput{Lumens: &c.lm, Watts: &c.w, Ladder: order}), ClaimAdvertised)
			near(t, "lm/W", *got.LmPerW, c.perWatt, 0.5)
			if got.Rung != c.id || got.Verdict != c.verdict || got.Source == "" || got.Confidence == "" {
				t.Errorf("%g lm at %g W: %+v, want %s", c.lm, c.w, got, c.id)
			}
		}
	}
}

func TestAuditPair(t *testing.T) {
	rungs := ladder(t)
	pair := Audit(ClaimInput{Lumens: ptr(7200), Watts: ptr(60), MeasuredWatts: ptr(29), Per: "pair", Ladder: rungs})
	near(t, "advertised", *finding(t, pair, ClaimAdvertised).LmPerW, 120, 1e-12)
	near(t, "measured", *finding(t, pair, ClaimMeasured).LmPerW, 3600/29.0, 1e-12)
	if watts := finding(t, pair, ClaimWatts); watts.Verdict != ClaimWattsAgree || watts.Assumed != "" {
		t.Errorf("29 of 30 W each agree: %+v", watts)
	}
	unsaid := finding(t, Audit(ClaimInput{Lumens: ptr(7200), MeasuredWatts: ptr(29), Ladder: rungs}), ClaimMeasured)
	if unsaid.Verdict != "needs_proof" || !strings.Contains(unsaid.Assumed, "one bulb") || !strings.Contains(unsaid.Assumed, "124.1") {
		t.Errorf("what was assumed is said: %+v", unsaid)
	}
}

func TestAuditColour(t *testing.T) {
	for cct, verdict := range map[float64]string{
		1500: ClaimNotWhite, 3000: ClaimWhite, 4300: ClaimWhite, 6000: ClaimWhite,
		6500: ClaimEdge, 6700: ClaimEdge, 6800: ClaimNotWhite, 8000: ClaimNotWhite,
	} {
		got := finding(t, Audit(ClaimInput{CCT: &cct}), ClaimColour)
		if got.Verdict != verdict || got.LmPerW != nil || got.Assumed == "" {
			t.Errorf("%g K: %+v, want %s", cct, got, verdict)
		}
	}
	if text := finding(t, Audit(ClaimInput{CCT: ptr(6500)}), ClaimColour).Text; !strings.Contains(text, "6677 K") || !strings.Contains(text, "6737 K") {
		t.Errorf("%q does not name where white ends", text)
	}
}

func TestAuditBadFigures(t *testing.T) {
	if list := Audit(ClaimInput{}); list == nil || len(list) != 0 {
		t.Errorf("nothing claimed, but %+v", list)
	}
	for _, bad := range []float64{0, -5, math.NaN(), math.Inf(1)} {
		list := Audit(ClaimInput{Lumens: &bad, Watts: ptr(30), MeasuredWatts: ptr(30), CCT: &bad, Ladder: ladder(t)})
		unusable := 0
		for _, f := range list {
			if f.Verdict == ClaimUnusable {
				unusable++
			}
			if f.LmPerW != nil {
				t.Errorf("a figure came out of %g: %+v", bad, f)
			}
		}
		if unusable != 2 {
			t.Errorf("%g: %d unusable figures, want 2: %+v", bad, unusable, list)
		}
	}
}
