package road

import (
	"math"
	"strings"
	"testing"
)

// facts/fitment.md 10a and 17, facts/photometry.md 1.2 (computed there): 12.0 V against
// 13.2 V costs 28 %, 12.8 to 13.5 V gives 20 %, 0.1 V is 2.6 %, 12.0 of 13.5 V is 0.67,
// 12 to 13.2 V is 1.38.
func TestHalogenFlux(t *testing.T) {
	for _, c := range []struct{ volts, reference, flux, tolerance float64 }{
		{12.0, 13.2, 0.72, 0.005}, {13.5, 12.8, 1.20, 0.005}, {13.3, 13.2, 1.026, 5e-4},
		{12.0, 13.5, 0.67, 0.005}, {13.2, 12.0, 1.38, 0.005}, {13.2, 13.2, 1, 0},
	} {
		near(t, "flux", must(t)(HalogenFlux(c.volts, c.reference)), c.flux, c.tolerance)
	}
	// A published pair: UN R37 H17 at 12.0 and 13.2 V, 700 and 900 lm, 450 and 600 lm (read).
	for _, ratio := range []float64{900.0 / 700, 600.0 / 450} {
		near(t, "H17", must(t)(HalogenFlux(13.2, 12.0)), ratio, 0.1)
	}
	_, err := HalogenFlux(math.NaN(), 13.2)
	outOfRange(t, err, "volts at the plug")
	_, err = HalogenFlux(13.2, 0)
	outOfRange(t, err, "reference volts")
}

func before(t *testing.T, in BeforeInput) []Cost {
	t.Helper()
	costs, err := BeforeBuying(in)
	if err != nil {
		t.Fatal(err)
	}
	return costs
}

func TestBeforeBuying(t *testing.T) {
	costs := before(t, BeforeInput{
		Volts: ptr(12.0), LensHazy: true, HalogenYears: ptr(6), AimLowDeg: ptr(0.5), LampHeightM: 0.65, DipDeg: must(t)(DipDegrees(1)),
	})
	if len(costs) != 4 {
		t.Fatalf("%d costs: %+v", len(costs), costs)
	}
	volts, lens, halogens, aim := costs[0], costs[1], costs[2], costs[3]
	near(t, "volts, least", *volts.LossLeast, 24.1, 0.05)
	near(t, "volts, most", *volts.LossMost, 27.7, 0.05)
	near(t, "reach", *volts.ReachRatio, math.Sqrt(0.7233), 1e-4)
	if !volts.Computed || volts.Cause != CauseVolts || volts.Text != "12 V at the plug against 13.2 V costs a halogen 24 to 28 % of its light." {
		t.Errorf("%+v", volts)
	}
	if lens.Computed || lens.LossLeast != nil || lens.ReachRatio != nil {
		t.Errorf("haze that was not read has no figure: %+v", lens)
	}
	if halogens.Computed || halogens.Confidence != "common_practice" || *halogens.LossLeast >= *halogens.LossMost {
		t.Errorf("ageing is a range of the trade: %+v", halogens)
	}
	// 1 percent at 0.65 m meets the road at 65.0 m (facts/photometry.md 3.4); half a
	// degree lower by the same formula.
	near(t, "proper", *aim.CutoffFromM, 65.0, 0.01)
	near(t, "as it is", *aim.CutoffToM, 0.65/math.Tan(radians(1.07294)), 0.01)
	near(t, "ratio", *aim.ReachRatio, *aim.CutoffToM / *aim.CutoffFromM, 1e-12)
	if aim.LossLeast != nil {
		t.Errorf("a low aim does not cost light: %+v", aim)
	}
}

func TestBeforeBuyingLens(t *testing.T) {
	costs := before(t, BeforeInput{LensBefore: ptr(300), LensAfter: ptr(400)})
	if len(costs) != 1 || !costs[0].Computed {
		t.Fatalf("%+v", costs)
	}
	near(t, "lens", *costs[0].LossMost, 25, 1e-12)
	near(t, "reach", *costs[0].ReachRatio, math.Sqrt(0.75), 1e-12)
	if _, err := BeforeBuying(BeforeInput{LensBefore: ptr(300)}); err == nil {
		t.Error("one reading of two was taken")
	}
}

// What costs nothing, or is not known, is not listed.
func TestBeforeBuyingNothing(t *testing.T) {
	for name, in := range map[string]BeforeInput{
		"nothing known": {}, "good volts": {Volts: ptr(13.4)}, "reference volts": {Volts: ptr(13.2)}, "good 24 V system": {Volts: ptr(28.2)},
		"new halogens": {HalogenYears: ptr(1)}, "clean lens": {LensBefore: ptr(400), LensAfter: ptr(400)},
		"good aim": {AimLowDeg: ptr(0), LampHeightM: 0.65, DipDeg: 0.57},
	} {
		if costs := before(t, in); costs == nil || len(costs) != 0 {
			t.Errorf("%s: %+v", name, costs)
		}
	}
	if costs := before(t, BeforeInput{Volts: ptr(25)}); len(costs) != 1 || math.Abs(*costs[0].LossMost-100*(1-math.Pow(25.0/28, 3.4))) > 1e-9 {
		t.Errorf("a 24 V system is held against 28 V: %+v", costs)
	}
}

func TestBeforeBuyingAim(t *testing.T) {
	high := before(t, BeforeInput{AimLowDeg: ptr(-0.8), LampHeightM: 0.65, DipDeg: 0.57})[0]
	if !strings.Contains(high.Text, "0.8 degree too high") || high.CutoffToM != nil || high.ReachRatio != nil || high.CutoffFromM == nil {
		t.Errorf("a cutoff above the horizon meets no road: %+v", high)
	}
	level := before(t, BeforeInput{AimLowDeg: ptr(0.4), LampHeightM: 0.65, DipDeg: 0})[0]
	if !strings.Contains(level.Text, "0.4 degree too low: its cutoff meets the road at 93 m") || level.CutoffFromM != nil || level.CutoffToM == nil {
		t.Errorf("a proper cutoff at the horizon meets no road: %+v", level)
	}
	near(t, "0.4 degree at 0.65 m", *level.CutoffToM, 93.1, 0.05) // facts/photometry.md 3.4
	for what, in := range map[string]BeforeInput{
		"volts at the plug":   {Volts: ptr(2)},
		"age of the halogens": {HalogenYears: ptr(-1)},
		"aim error":           {AimLowDeg: ptr(9), LampHeightM: 0.65},
		"dip":                 {AimLowDeg: ptr(1), LampHeightM: 0.65, DipDeg: -1},
		"lamp height":         {AimLowDeg: ptr(1)},
		"lux after cleaning":  {LensBefore: ptr(1), LensAfter: ptr(0)},
	} {
		_, err := BeforeBuying(in)
		outOfRange(t, err, what)
	}
}
