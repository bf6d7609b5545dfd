package beam

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

func highBeam() synth {
	return synth{high: true, hotSH: 2.2, hotSV: 1.5, flood: 0.2, floodSH: 6, floodSV: 3, level: 1}
}

// A high beam has one centred peak; what makes it worse never raises its score.
func TestHighBeam(t *testing.T) {
	o := Options{Beam: High, Weights: DefaultWeights()}
	stock := highBeam()
	stockGrid := gridOf(&stock, 30000)
	sound := gridScore(t, &stock, &stockGrid, o)
	if sound.Score < 99 || sound.Parts.Sharpness != nil || sound.Cutoff.V != nil || *sound.HotSpot.OnAxis < 0.99 || *sound.HotSpot.Split < 0.99 {
		t.Errorf("a sound high beam: %.1f %+v %+v", sound.Score, partList(sound), sound.HotSpot)
	}
	for way, worsen := range map[string]func(b *synth, by float64){
		"off centre":   func(b *synth, by float64) { b.hotH = 3 * by },
		"too high":     func(b *synth, by float64) { b.hotV = 2.5 * by },
		"split":        func(b *synth, by float64) { b.holes = []blob{{0, 0, 0.5, 0.7 * by}} },
		"a dark spot":  func(b *synth, by float64) { b.holes = []blob{{3, -1, 0.7, 0.9 * by}} },
		"a narrow one": func(b *synth, by float64) { b.hotSH *= 1 - 0.5*by; b.floodSH *= 1 - 0.5*by },
	} {
		before := sound
		for _, by := range []float64{0.4, 1} {
			b := stock
			worsen(&b, by)
			after := gridScore(t, &b, &stockGrid, o)
			if after.Score > before.Score+0.05 {
				t.Errorf("%s by %g raises %.2f to %.2f", way, by, before.Score, after.Score)
			}
			before = after
		}
		if before.Score > sound.Score-2 {
			t.Errorf("%s costs only %.2f", way, sound.Score-before.Score)
		}
	}
}

// The measured lamp as a point list: limits and a peak, nothing invented.
func TestPointListGivesLimitsOnly(t *testing.T) {
	tables := limitTables(t)
	in := GridInput{Bulb: measuredLamp(t)}
	in.Limits = append(in.Limits, tables["us-lb2v"], tables["us-ub2"])
	p, d, err := FromGrid(in, Options{Beam: Low, Cutoff: CutoffVOR, Weights: DefaultWeights()})
	if err != nil {
		t.Fatal(err)
	}
	// NHTSA 108-CAN-17-004: peak 36,916.81 cd at 0.3R 1.2D.
	if *p.HotSpot.Candela != 36916.81 || deref(p.HotSpot.H) != 0.3 || deref(p.HotSpot.V) != -1.2 || d.Bulb != nil {
		t.Errorf("peak %+v", p.HotSpot)
	}
	if len(p.Limits) != 22 || p.Stray.OverLimit == nil || *p.Stray.OverLimit {
		t.Errorf("%d limits, over the limit %v", len(p.Limits), p.Stray.OverLimit)
	}
	if p.Parts.Sharpness != nil || p.Parts.Width != nil || p.Parts.Stray == nil || p.High-p.Low < 60 {
		t.Errorf("parts %+v, %.1f..%.1f", p.Parts, p.Low, p.High)
	}
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	// The contract of design.md section 4.
	for _, key := range []string{`"beam"`, `"score"`, `"low"`, `"high"`, `"parts":{"sharpness":null`, `"hot_spot"`, `"stray"`, `"dark":[]`, `"width"`,
		`"cutoff":{"v_deg":null,"g":null,"g_measurable":false`, `"linearity_deg"`, `"lux":null`, `"below_cutoff_deg"`, `"width_deg":null`,
		`"standard":"us-lb2v"`, `"point"`, `"h_deg"`, `"cd"`, `"min_cd"`, `"max_cd"`, `"ok"`, `"ok_reaimed"`, `"notes"`} {
		if !strings.Contains(string(text), key) {
			t.Errorf("the document lacks %s", key)
		}
	}
}

// A VOR lamp is judged on the kerb side at 2.0, mirrored for left-hand traffic.
func TestJudgedColumns(t *testing.T) {
	b := highBeam()
	b.high, b.fog, b.cut, b.soft, b.leak, b.veil, b.hotV = false, true, 0, 0.1, 0.01, 0.005, -1
	for _, c := range []struct {
		cutoff, traffic string
		h               float64
	}{{CutoffUN, "right", -2.5}, {CutoffVOL, "right", -2.5}, {CutoffVOR, "right", 2}, {CutoffUN, "left", 2.5}, {CutoffVOR, "left", -2}} {
		p := gridScore(t, &b, nil, Options{Beam: Low, Cutoff: c.cutoff, Traffic: c.traffic, Weights: DefaultWeights()})
		if *p.Cutoff.ColumnH != c.h || p.Cutoff.V == nil || math.Abs(*p.Cutoff.V-0.22) > 0.1 {
			t.Errorf("%s %s: judged at %g, cutoff %v", c.cutoff, c.traffic, *p.Cutoff.ColumnH, deref(p.Cutoff.V))
		}
	}
	for _, o := range []Options{{Beam: "both"}, {Beam: Low, Traffic: "up"}, {Beam: Low, Cutoff: "ece"}} {
		o.Weights = DefaultWeights()
		if _, _, err := FromGrid(GridInput{Bulb: gridOf(&b, 1)}, o); err == nil {
			t.Errorf("%+v was taken", o)
		}
	}
	if _, _, err := FromGrid(GridInput{Bulb: gridOf(&b, 1)}, Options{Beam: Low}); err == nil {
		t.Error("weights of nothing were taken")
	}
}

func TestGridPairsMustMatch(t *testing.T) {
	b := cleanBeamOf(3)
	o := Options{Beam: Low, Weights: DefaultWeights()}
	cd, lux := gridOf(&b, 30000), gridOf(&b, 300)
	lux.Unit = Lux
	far := lux
	far.DistanceM = 10
	small := Measured{Unit: Candela, Grid: &Grid{X: []float64{0, 0.5}, Y: []float64{0, 0.5}, Values: make([]float64, 4)}, Points: make([]Point, 4)}
	list := measuredLamp(t)
	for name, in := range map[string]GridInput{
		"units": {Bulb: cd, Stock: &lux}, "distances": {Bulb: lux, Stock: &far}, "small": {Bulb: small}, "list": {Bulb: cd, Stock: &list},
		"nothing": {}, "aperture": {Bulb: cd, ApertureDeg: ptr(-1.0)},
	} {
		if _, _, err := FromGrid(in, o); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
	p, _, err := FromGrid(GridInput{Bulb: lux}, o)
	if err != nil || p.Parts.Width != nil || p.HotSpot.Candela != nil || p.HotSpot.Lux == nil {
		t.Errorf("lux without a distance: %+v %v", p.HotSpot, err)
	}
}
