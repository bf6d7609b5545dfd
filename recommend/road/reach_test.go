package road

import (
	"errors"
	"math"
	"testing"
)

func reach(t *testing.T, in ReachInput) ReachResult {
	t.Helper()
	result, err := Reach(in)
	if err != nil {
		t.Fatal(err)
	}
	return result
}

// onRoad is a usual scene: lamp centre 0.65 m up, right-hand traffic, measured at
// 100 ft.
func onRoad(field Field, dipDeg float64, lamps int) ReachInput {
	return ReachInput{
		Field: field, LampHeightM: 0.65, DipDeg: dipDeg, Traffic: RightHand, Lamps: lamps,
		Road: LaneEdges(), MeasuredAtM: 30.48,
	}
}

// The table of facts/photometry.md 5 (computed there from the distance law).
func TestLuxDistance(t *testing.T) {
	for _, c := range []struct {
		cd    float64
		lamps int
		d     [3]float64
	}{
		{10000, 1, [3]float64{100.0, 55.9, 44.7}}, {10000, 2, [3]float64{141.4, 79.1, 63.2}},
		{20000, 1, [3]float64{141.4, 79.1, 63.2}}, {20000, 2, [3]float64{200.0, 111.8, 89.4}},
		{30000, 1, [3]float64{173.2, 96.8, 77.5}}, {30000, 2, [3]float64{244.9, 136.9, 109.5}},
		{36916.81, 1, [3]float64{192.1, 107.4, 85.9}}, {36916.81, 2, [3]float64{271.7, 151.9, 121.5}},
	} {
		for i, lux := range []float64{LuxRange, LuxTwilight, LuxVisibility} {
			near(t, "distance", must(t)(LuxDistance(c.cd, lux, c.lamps)), c.d[i], 0.05)
		}
	}
}

// Ratios of facts/photometry.md 5, and the published result that contradicts them in
// traffic: 3.8 times the intensity, 17 % more distance (read); square root +95 %.
func TestReachRatio(t *testing.T) {
	for _, c := range []struct{ q, ratio float64 }{{1.25, 1.118}, {1.5, 1.225}, {2, 1.414}, {0.8, 0.894}, {3.8, 1.949}, {0, 0}, {1, 1}} {
		near(t, "ratio", must(t)(ReachRatio(c.q)), c.ratio, 5e-4)
	}
	near(t, "in traffic", math.Pow(3.8, TrafficExponent), 1.17, 1e-8)
	near(t, "exponent", TrafficExponent, 0.118, 5e-4)
	for _, bad := range []float64{-0.1, math.NaN(), math.Inf(1)} {
		_, err := ReachRatio(bad)
		outOfRange(t, err, "intensity ratio")
	}
}

// Where the cutoff meets the road, facts/photometry.md 3.4.
func TestCutoffDistance(t *testing.T) {
	for _, c := range []struct{ percent, deg, low, high float64 }{
		{0, 0.4, 93.1, 107.4}, {1, 0.5729, 65.0, 75.0}, {1.5, 0.8594, 43.3, 50.0}, {2.75, 1.5752, 23.6, 27.3},
	} {
		dip := c.deg
		if c.percent > 0 {
			dip = must(t)(DipDegrees(c.percent))
			near(t, "dip", dip, c.deg, 5e-5)
		}
		for i, h := range []float64{0.65, 0.75} {
			got, ok, err := CutoffDistance(h, dip)
			if err != nil || !ok {
				t.Fatal(ok, err)
			}
			near(t, "cutoff meets the road", got, []float64{c.low, c.high}[i], 0.05)
		}
	}
	if d, ok, err := CutoffDistance(0.65, 0); d != 0 || ok || err != nil {
		t.Errorf("dip 0: %g %v %v, want no distance", d, ok, err)
	}
	_, _, err := CutoffDistance(3, 1)
	outOfRange(t, err, "lamp height")
	_, _, err = CutoffDistance(0.65, -1)
	outOfRange(t, err, "dip")
}

// With the same intensity everywhere the reach has a closed form, r = sqrt(n I / E)
// along the line of sight; the root of two lamps and of a doubled intensity is 1.414.
func TestReachUniform(t *testing.T) {
	slant := func(s SideReach) float64 { return math.Hypot(math.Hypot(s.M, 1.83), 0.4) }
	one := reach(t, onRoad(Uniform(10000), 0, 1))
	two := reach(t, onRoad(Uniform(10000), 0, 2))
	double, err := Scaled(Uniform(10000), 2)
	if err != nil {
		t.Fatal(err)
	}
	scaled := reach(t, onRoad(double, 0, 1))
	for i, lux := range []float64{1, 3.2, 5} {
		for _, side := range []SideReach{one.Kerb[i], one.Centre[i]} {
			near(t, "closed form", slant(side), math.Sqrt(10000/lux), 1e-9)
			if side.Found != Reached || side.Capped || side.Lux != lux {
				t.Errorf("%+v", side)
			}
		}
		near(t, "two lamps", slant(two.Kerb[i])/slant(one.Kerb[i]), math.Sqrt2, 1e-9)
		near(t, "twice the light", slant(scaled.Kerb[i])/slant(one.Kerb[i]), math.Sqrt2, 1e-9)
	}
	// Lamps 1.2 m apart change a distance of some ten metres by well under 1 %.
	apart := onRoad(Uniform(10000), 0, 2)
	apart.SpacingM = 1.2
	near(t, "spacing", reach(t, apart).Kerb[0].M/two.Kerb[0].M, 1, 1e-3)
}

// The measured lamp (NHTSA 108-CAN-17-004, second hand): a finite reach at dip 0,
// kerb and centre apart, every distance below the one from its peak, more light
// farther, a higher level nearer.
func TestReachMeasuredLamp(t *testing.T) {
	lamp := measuredLamp(t)
	peak, ok := lamp.At(0.3, -1.2)
	if !ok {
		t.Fatal("the peak is not inside its own hull")
	}
	near(t, "peak", peak, 36916.81, 1e-6)
	for _, dip := range []float64{0, 0.4, 0.573, 1.5} {
		for lamps := 1; lamps <= 2; lamps++ {
			got := reach(t, onRoad(lamp, dip, lamps))
			if got.Equivalent {
				t.Error("30.48 m is beyond the distance limit")
			}
			if got.HasCap != (dip > 0) {
				t.Errorf("dip %g: cap %v", dip, got.HasCap)
			}
			for i, sides := range [][]SideReach{got.Kerb, got.Centre} {
				for j, side := range sides {
					bound := must(t)(LuxDistance(peak, side.Lux, lamps))
					if !(side.M > 5 && side.M < bound && side.PatternM < bound) {
						t.Errorf("dip %g, %d lamps, %g lx: %g m, bound %g m", dip, lamps, side.Lux, side.M, bound)
					}
					if got.HasCap && side.M > got.CapM {
						t.Errorf("dip %g: %g m is beyond the cap at %g m", dip, side.M, got.CapM)
					}
					if j > 0 && side.M > sides[j-1].M {
						t.Errorf("side %d: %g lx reaches farther than %g lx", i, side.Lux, sides[j-1].Lux)
					}
					if side.SpacingDeg <= 0 || !side.Sparse {
						t.Errorf("the point list is sparse, and %+v does not say so", side)
					}
				}
			}
			if dip == 0 && !(got.Kerb[0].M > got.Centre[0].M+1) {
				t.Errorf("kerb %g m and centre %g m should be apart", got.Kerb[0].M, got.Centre[0].M)
			}
		}
	}
	// The light at the reach is the level, by the distance law.
	in := onRoad(lamp, 0, 1)
	side := reach(t, in).Kerb[1]
	slant2 := side.M*side.M + 1.83*1.83 + 0.4*0.4
	near(t, "lux at the reach", side.Candela/slant2, 3.2, 1e-6)
}

// Left-hand traffic with a mirrored lamp is right-hand traffic.
func TestReachMirror(t *testing.T) {
	lamp := measuredLamp(t)
	right := onRoad(lamp, 0.4, 2)
	right.SpacingM = 1.2
	left := right
	left.Traffic, left.Field = LeftHand, Mirrored(lamp)
	a, b := reach(t, right), reach(t, left)
	for i := range a.Kerb {
		for _, pair := range [][2]SideReach{{a.Kerb[i], b.Kerb[i]}, {a.Centre[i], b.Centre[i]}} {
			near(t, "mirror", pair[1].M, pair[0].M, 1e-9)
			near(t, "mirror h", pair[1].HDeg, -pair[0].HDeg, 1e-9)
		}
	}
}

func TestReachHighBeamAndUnmeasured(t *testing.T) {
	high := onRoad(Uniform(60000), 1, 2)
	high.HighBeam = true
	got := reach(t, high)
	if got.HasCap || got.CapM != 0 || got.Kerb[0].Capped {
		t.Errorf("a high beam has no cap: %+v", got)
	}
	low := high
	low.HighBeam = false
	if capped := reach(t, low); !capped.Kerb[0].Capped || capped.Kerb[0].M != capped.CapM || capped.Kerb[0].Found != Reached || capped.Kerb[0].PatternM <= capped.CapM {
		t.Errorf("the same light as a low beam is held to its cap: %+v", capped.Kerb[0])
	}
	if _, err := Reach(onRoad(nil, 0, 1)); !errors.Is(err, ErrNoPattern) {
		t.Errorf("no field: %v", err)
	}
	// A patch straight down the road from 10 to about 46 m: beyond it nothing is known.
	patch, err := NewPointField([]BeamPoint{{-15, -3, 9000}, {15, -3, 9000}, {-15, -0.5, 9000}, {15, -0.5, 9000}})
	if err != nil {
		t.Fatal(err)
	}
	side := reach(t, onRoad(patch, 0, 1)).Kerb[0]
	if side.Found != AtLeast {
		t.Errorf("found %q, want %q", side.Found, AtLeast)
	}
	near(t, "edge of the patch", degrees(math.Atan(0.4/math.Hypot(side.M, 1.83))), 0.5, 1e-6)
	sky, err := NewPointField([]BeamPoint{{-15, 3, 9000}, {15, 3, 9000}, {0, 9, 9000}})
	if err != nil {
		t.Fatal(err)
	}
	if side := reach(t, onRoad(sky, 0, 1)).Kerb[0]; side.Found != NotMeasured || side.M != 0 {
		t.Errorf("nothing was measured there: %+v", side)
	}
	if side := reach(t, onRoad(Uniform(1), 0, 1)).Kerb[0]; side.Found != NotLit || side.M != 0 {
		t.Errorf("one candela lights nothing: %+v", side)
	}
	if side := reach(t, onRoad(Uniform(math.NaN()), 0, 1)).Kerb[0]; side.Found != NotMeasured {
		t.Errorf("NaN counts as not measured: %+v", side)
	}
}

func TestReachEquivalentAndErrors(t *testing.T) {
	for _, c := range []struct {
		at, limit  float64
		equivalent bool
	}{{0, 0, true}, {7.62, 0, true}, {18.3, 0, false}, {20, 25, true}, {25, 25, false}} {
		in := onRoad(Uniform(100), 0, 1)
		in.MeasuredAtM, in.LimitM = c.at, c.limit
		if got := reach(t, in).Equivalent; got != c.equivalent {
			t.Errorf("measured at %g m, limit %g m: equivalent %v", c.at, c.limit, got)
		}
	}
	for what, spoil := range map[string]func(*ReachInput){
		"lamp height":           func(in *ReachInput) { in.LampHeightM = 2 },
		"dip":                   func(in *ReachInput) { in.DipDeg = -1 },
		"number of lamps":       func(in *ReachInput) { in.Lamps = 3 },
		"illuminance level":     func(in *ReachInput) { in.Lux = []float64{1, 0} },
		"kerb-side distance":    func(in *ReachInput) { in.Road.KerbM = math.NaN() },
		"centre-side distance":  func(in *ReachInput) { in.Road.CentreM = -1 },
		"height above the road": func(in *ReachInput) { in.Road.HeightM = 2 },
		"lamp spacing":          func(in *ReachInput) { in.SpacingM = 9 },
		"measuring distance":    func(in *ReachInput) { in.MeasuredAtM = -1 },
	} {
		in := onRoad(Uniform(1000), 0, 1)
		spoil(&in)
		_, err := Reach(in)
		outOfRange(t, err, what)
	}
	in := onRoad(Uniform(1000), 0, 1)
	in.Traffic = "middle"
	if _, err := Reach(in); err == nil {
		t.Error("traffic in the middle of the road was taken")
	}
}

// A beam asked level by level, in any order, gives what it gives at once; and a beam
// so many times as bright reaches as far as this one does at so much less light.
func TestLaneLightInAnyOrder(t *testing.T) {
	field, err := NewPointField(gridPoints(21, 33, func(h, v float64) float64 {
		return 24000*math.Exp(-h*h/40-(v+1)*(v+1)/3)/(1+math.Exp(6*(v+0.6))) + 120
	}))
	if err != nil {
		t.Fatal(err)
	}
	in := onRoad(field, 0.573, 2)
	in.SpacingM = 1.2
	light, err := AlongLane(in)
	if err != nil {
		t.Fatal(err)
	}
	for _, lux := range []float64{LuxVisibility, 0.4, LuxRange, 20, 1e5, LuxTwilight} {
		in.Lux = []float64{lux}
		at, err := light.Reach(lux)
		if err != nil {
			t.Fatal(err)
		}
		whole := reach(t, in)
		brighter := in
		brighter.Field, _ = Scaled(field, 2.5)
		brighter.Lux = []float64{2.5 * lux}
		scaled := reach(t, brighter)
		if at.Kerb[0] != whole.Kerb[0] || at.Centre[0] != whole.Centre[0] {
			t.Errorf("%g lx: %+v, at once %+v", lux, at.Kerb[0], whole.Kerb[0])
		}
		if at.Kerb[0].Found != scaled.Kerb[0].Found {
			t.Errorf("%g lx: %s, 2.5 times as bright at 2.5 times the level %s", lux, at.Kerb[0].Found, scaled.Kerb[0].Found)
		}
		near(t, "2.5 times as bright", scaled.Kerb[0].M, at.Kerb[0].M, 1e-6)
	}
	if _, err := light.Reach(0); err == nil {
		t.Error("level 0 taken")
	}
}

func BenchmarkReach(b *testing.B) {
	in := ReachInput{Field: measuredLamp(b), LampHeightM: 0.65, Traffic: RightHand, Lamps: 2, Road: LaneEdges()}
	for b.Loop() {
		if _, err := Reach(in); err != nil {
			b.Fatal(err)
		}
	}
}
