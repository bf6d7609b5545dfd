package road

import (
	"errors"
	"math"
	"testing"
)

func glare(t *testing.T, in GlareInput) []GlareAt {
	t.Helper()
	list, err := Glare(in)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// 49 CFR 571.108 Table XXI, oncoming and same direction (read).
func TestGlareLimits(t *testing.T) {
	for _, c := range []struct{ m, oncoming, sameWay float64 }{
		{15, 3.1, 18.9}, {29.99, 3.1, 18.9}, {30, 1.8, 18.9}, {59.99, 1.8, 18.9},
		{60, 0.6, 4.0}, {119.99, 0.6, 4.0}, {120, 0.3, 0}, {220, 0.3, 0},
	} {
		got, err := GlareLimitAt(c.m)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "oncoming", got.OncomingLux, c.oncoming, 0)
		near(t, "same way", got.SameWayLux, c.sameWay, 0)
	}
	for _, bad := range []float64{14.9, 220.1, math.NaN()} {
		_, err := GlareLimitAt(bad)
		outOfRange(t, err, "distance of the other driver")
	}
}

// Check values of facts/photometry.md 6 (computed there; the formula is from memory).
func TestDeBoer(t *testing.T) {
	for _, c := range []struct {
		sources    []GlareSource
		adaptation float64
		w          float64
	}{
		{[]GlareSource{{1, 60}}, 0.04, 2.1922}, {[]GlareSource{{1, 240}}, 1, 3.7003},
		{[]GlareSource{{0.14, 240}}, 1, 5.4081}, {[]GlareSource{{0.6, 120}}, 1, 3.8671},
		{[]GlareSource{{0.3, 60}}, 1, 4.1922}, {[]GlareSource{{0.5, 180}, {0.5, 200}}, 0.1, 2.8735},
		{[]GlareSource{{0.006, 1}}, 0.04, 5.0000},
	} {
		near(t, "W", must(t)(DeBoer(c.sources, c.adaptation)), c.w, 5e-5)
	}
	// Ten times the light costs two marks; two halves are one whole.
	one := must(t)(DeBoer([]GlareSource{{0.2, 100}}, 1))
	near(t, "ten times", must(t)(DeBoer([]GlareSource{{2, 100}}, 1)), one-2, 1e-12)
	near(t, "halves", must(t)(DeBoer([]GlareSource{{0.1, 100}, {0.1, 100}}, 1)), one, 1e-12)
	// Degrees in place of minutes of arc would shift W by -1.64.
	near(t, "degrees", must(t)(DeBoer([]GlareSource{{0.2, 1}}, 1))-must(t)(DeBoer([]GlareSource{{0.2, 60}}, 1)), -1.64, 0.005)
	if _, err := DeBoer(nil, 1); err == nil {
		t.Error("no source was rated")
	}
	_, err := DeBoer([]GlareSource{{0, 60}}, 1)
	outOfRange(t, err, "illuminance at the eye")
	_, err = DeBoer([]GlareSource{{1, 0}}, 1)
	outOfRange(t, err, "glare angle")
	_, err = DeBoer([]GlareSource{{1, 60}}, math.NaN())
	outOfRange(t, err, "adaptation luminance")
	for w, word := range map[float64]string{-3: "unbearable", 1: "unbearable", 3: "disturbing", 5: "just acceptable", 7: "satisfactory", 9: "just noticeable", 12: "just noticeable"} {
		if got := DeBoerWord(w); got != word {
			t.Errorf("W %g: %q, want %q", w, got, word)
		}
	}
}

// Stray light of a single figure: 350 cd from two lamps is 0.28 lx at 50 m and 0.19 lx
// at 60 m; 0.6 lx at 60 m is 2,160 cd in all (facts/photometry.md 6). Lamps at eye
// height, so that only the sideways distance enters; its angles are given there too.
func TestGlareOfOneFigure(t *testing.T) {
	in := GlareInput{Field: Uniform(350), LampHeightM: 1.10, Traffic: RightHand, Lamps: 2, DistancesM: []float64{25, 50, 60, 100, 150}}
	list := glare(t, in)
	for i, theta := range []float64{478.2, 240.3, 0, 120.3, 80.2} {
		if theta > 0 {
			near(t, "theta", list[i].ThetaMin, theta, 0.06)
		}
	}
	near(t, "50 m", list[1].Lux, 0.28, 0.005)
	near(t, "60 m", list[2].Lux, 0.19, 0.005)
	near(t, "50 m, exact", list[1].Lux, 700/(50*50+3.5*3.5), 1e-12)
	near(t, "toward the eye", list[1].HDeg, -degrees(math.Atan(3.5/50)), 1e-12)
	in.Field = Uniform(1080)
	near(t, "2,160 cd", glare(t, in)[2].Lux, 0.6, 0.005)
	if got := glare(t, in)[2]; got.Over {
		t.Errorf("at the limit is not over it: %+v", got)
	}
	in.Field = Uniform(1200)
	if got := glare(t, in)[2]; !got.Over || !got.Rated || got.LimitLux != 0.6 {
		t.Errorf("2,400 cd at 60 m is over 0.6 lx: %+v", got)
	}
	near(t, "rating", list[1].DeBoer, must(t)(DeBoer([]GlareSource{{list[1].Lux, list[1].ThetaMin}}, NightAdaptation)), 0)
	in.Field = Uniform(0)
	if got := glare(t, in)[0]; !got.Measured || got.Rated || got.Over || got.DeBoer != 0 {
		t.Errorf("a dark beam: %+v", got)
	}
}

// A quarter degree too high puts more light in the eye at every distance; lowering puts
// less; left-hand traffic with the mirrored lamp is the same.
func TestGlareOfMeasuredLamp(t *testing.T) {
	lamp := measuredLamp(t)
	in := GlareInput{Field: lamp, LampHeightM: 0.65, Traffic: RightHand, Lamps: 2}
	plain := glare(t, in)
	if len(plain) != 8 {
		t.Fatalf("%d default distances", len(plain))
	}
	high, low, mirror, dipped := in, in, in, in
	high.RaiseDeg, low.RaiseDeg = QuarterDegree, -QuarterDegree
	mirror.Traffic, mirror.Field = LeftHand, Mirrored(lamp)
	dipped.DipDeg = QuarterDegree
	highList, lowList, mirrorList, dippedList := glare(t, high), glare(t, low), glare(t, mirror), glare(t, dipped)
	for i, at := range plain {
		if !at.Measured || !(highList[i].Lux > at.Lux && at.Lux > lowList[i].Lux) {
			t.Errorf("%g m: raised %g, plain %g, lowered %g lx", at.DistanceM, highList[i].Lux, at.Lux, lowList[i].Lux)
		}
		near(t, "mirror", mirrorList[i].Lux, at.Lux, 1e-9)
		near(t, "a dip is a lowering", dippedList[i].Lux, lowList[i].Lux, 1e-9)
	}
	in.Field = nil
	if _, err := Glare(in); !errors.Is(err, ErrNoPattern) {
		t.Errorf("no field: %v", err)
	}
	in.Field, in.DistancesM = lamp, []float64{10}
	_, err := Glare(in)
	outOfRange(t, err, "distance of the other driver")
	in.DistancesM, in.RaiseDeg = nil, 9
	_, err = Glare(in)
	outOfRange(t, err, "raise")
	in.RaiseDeg, in.EyeHeightM = 0, 9
	_, err = Glare(in)
	outOfRange(t, err, "eye height")
	patch, _ := NewPointField([]BeamPoint{{0, -1, 100}, {1, -1, 100}, {0, -2, 100}})
	for _, at := range glare(t, GlareInput{Field: patch, LampHeightM: 0.65, Traffic: RightHand, Lamps: 1}) {
		if at.Measured || at.Over || at.Rated || at.Lux != 0 {
			t.Errorf("not measured toward the eye: %+v", at)
		}
	}
}

// Rays through a paraboloid y^2 = 4 F z with its source off the focus: the law of
// reflection alone gives the largest turns, delta / F sideways and 0.65 delta / F along
// the axis, and there opposite signs above and below.
func TestCollarTilts(t *testing.T) {
	const f, delta = 25.0, 1e-4
	turn := func(y, sourceY, sourceZ float64) float64 { // of the ray by mirror height y, rad up
		z := y * y / (4 * f)
		dy, dz := y-sourceY, z-sourceZ
		ny, nz := -y/(2*f), 1.0 // normal, into the mirror's hollow
		n := math.Hypot(ny, nz)
		ny, nz = ny/n, nz/n
		dot := dy*ny + dz*nz
		return math.Atan2(dy-2*dot*ny, dz-2*dot*nz)
	}
	near(t, "focus", turn(20, 0, f), 0, 1e-12)
	var axial, sideways float64
	for y := 0.01; y < 8*f; y += 0.01 {
		up, down := turn(y, 0, f+delta), turn(-y, 0, f+delta)
		near(t, "opposite halves", up, -down, 1e-12)
		axial = math.Max(axial, math.Abs(up))
		sideways = math.Max(sideways, math.Abs(turn(y, delta, f)))
	}
	near(t, "axial", axial/(delta/f), AxialSpread, 1e-4)
	near(t, "axial, design", AxialSpread, 0.65, 0.001)
	near(t, "closed form", AxialSpread, 3*math.Sqrt(3)/8, 1e-12)
	near(t, "sideways", sideways/(delta/f), 1, 1e-4)
	// facts/fitment.md 4: 0.25 mm at F 25 mm is 0.57 degree, 0.5 mm 1.15, 1 mm 2.3; 0.5 mm
	// in a fog lamp of F 12 to 15 mm about 2.
	for _, c := range []struct{ mm, focal, deg, tolerance float64 }{{0.25, 25, 0.57, 0.005}, {0.5, 25, 1.15, 0.005}, {1, 25, 2.3, 0.01}, {0.5, 13.5, 2, 0.2}} {
		tilts, err := CollarTilts(c.mm, c.mm, c.focal)
		if err != nil || len(tilts) != 3 {
			t.Fatal(tilts, err)
		}
		near(t, "quarter degree", tilts[0].RaiseDeg, 0.25, 0)
		near(t, "turn", tilts[1].RaiseDeg, c.deg, c.tolerance)
		near(t, "spread", tilts[2].RaiseDeg, AxialSpread*tilts[1].RaiseDeg, 1e-12)
		if !tilts[1].Curable || tilts[2].Curable {
			t.Errorf("aiming cures a turn, not a spread: %+v", tilts)
		}
	}
	if tilts, _ := CollarTilts(0, 0, 25); len(tilts) != 1 {
		t.Errorf("nothing is off, but %+v", tilts)
	}
	_, err := CollarTilts(1, 1, 0)
	outOfRange(t, err, "focal length")
	_, err = CollarTilts(math.NaN(), 1, 25)
	outOfRange(t, err, "sideways emitter error")
}
