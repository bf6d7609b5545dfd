package recommend_test

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// measuredLamp is the halogen low beam of NHTSA report 108-CAN-17-004, a VOR lamp
// measured at 100 ft with its cutoff on the horizon (source in the file).
func measuredLamp(t *testing.T) *data.PatternRecord {
	t.Helper()
	file, err := os.Open("../testdata/beams/measured-halogen-low-beam.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	record := &data.PatternRecord{Method: "grid", CutoffV: ptr(0.0)}
	for _, row := range rows[1:] {
		var point data.BeamPoint
		for i, into := range []*float64{&point.H, &point.V, &point.CD} {
			if *into, err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		record.Candela = append(record.Candela, point)
	}
	return record
}

const peakCandela = 36916.81 // of that lamp, at 0.3 right, 1.2 down

func hot(mid, low, high float64) recommend.Hot {
	return recommend.Hot{VsStock: &mid, VsStockLow: &low, VsStockHigh: &high, AtMin: 30}
}

func vorLamp() *data.Lamp {
	return &data.Lamp{Size: "H11", Beam: "low", Height: ptr(650.0), Marking: "VOR"}
}

// A cutoff at the horizon has no cap and yet a finite reach; kerb and centre
// differ; every distance lies below the one from the peak, which points at no part
// of the road.
func TestReachOfTheMeasuredLamp(t *testing.T) {
	k := knowntest.Knowledge()
	r := recommend.ReachOf(&k, recommend.Need{Lamp: vorLamp(), Where: "US"}, recommend.ReachFacts{
		Kind: "halogen", Beam: "low", Hot: hot(1, 1, 1), Pattern: measuredLamp(t), MeasuredAtM: 30.48,
	})
	if r.CapM != nil || len(r.Lines) != 6 || r.Equivalent == nil || *r.Equivalent {
		t.Fatalf("cap %v, %d lines, equivalent %v", r.CapM, len(r.Lines), r.Equivalent)
	}
	for _, line := range r.Lines {
		bound := math.Sqrt(float64(line.Lamps) * peakCandela / line.Lux) // the distance law
		if line.KerbM == nil || line.CentreM == nil {
			t.Errorf("%v lx, %d lamps: kerb %s, centre %s", line.Lux, line.Lamps, line.KerbFound, line.CentreFound)
			continue
		}
		if *line.KerbM >= bound || *line.CentreM >= bound || *line.KerbM == *line.CentreM {
			t.Errorf("%v lx, %d lamps: kerb %v, centre %v, from the peak %v", line.Lux, line.Lamps, *line.KerbM, *line.CentreM, bound)
		}
	}
	for i := range 3 { // two lamps reach farther than one
		if *r.Lines[i].KerbM <= *r.Lines[i+3].KerbM {
			t.Errorf("two lamps %v m, one %v m", *r.Lines[i].KerbM, *r.Lines[i+3].KerbM)
		}
	}
}

// With a dip of 1 % the cutoff meets the road at 65 m (height over tan dip), and no
// distance lies beyond it.
func TestReachIsHeldToTheCutoff(t *testing.T) {
	k := knowntest.Knowledge()
	lamp := &data.Lamp{Size: "H11", Beam: "low", Height: ptr(650.0), Dip: ptr(1.0)}
	facts := recommend.ReachFacts{Kind: "halogen", Beam: "low", Hot: hot(1, 1, 1), Pattern: measuredLamp(t), MeasuredAtM: 30.48}
	r := recommend.ReachOf(&k, recommend.Need{Lamp: lamp, Where: "DE"}, facts)
	if r.CapM == nil || math.Abs(*r.CapM-65) > 1e-9 {
		t.Fatalf("cap %v, want 65 m", r.CapM)
	}
	for _, line := range r.Lines {
		for _, m := range []*float64{line.KerbM, line.CentreM} {
			if m != nil && *m > 65+1e-9 {
				t.Errorf("%v lx at %v m, beyond the cutoff", line.Lux, *m)
			}
		}
	}
	facts.Beam = data.BeamHigh
	if r := recommend.ReachOf(&k, recommend.Need{Lamp: lamp, Where: "DE"}, facts); r.CapM != nil || len(r.Eye) > 0 {
		t.Errorf("a high beam with a cap of %v and %d figures of glare", r.CapM, len(r.Eye))
	}
}

// Measured nearer than the photometry distance of 49 CFR 571.108, or from an
// unknown distance, the metres are estimates, and said to be.
func TestReachFromNearIsAnEstimate(t *testing.T) {
	k := knowntest.Knowledge()
	for _, c := range []struct {
		at   float64
		want bool
	}{{0, true}, {7.62, true}, {18.2, true}, {18.3, false}, {25, false}} {
		r := recommend.ReachOf(&k, recommend.Need{Lamp: vorLamp()}, recommend.ReachFacts{
			Kind: "led", Beam: "low", Hot: hot(1.4, 1.2, 1.6), Pattern: measuredLamp(t), MeasuredAtM: c.at})
		if r.Equivalent == nil || *r.Equivalent != c.want || strings.Contains(strings.Join(r.Says, " "), "candela-equivalent") != c.want {
			t.Errorf("measured at %v m: equivalent %v, %q", c.at, r.Equivalent, r.Says)
		}
	}
}

// Without a beam on record there is the square root and no metre. The ratios are
// those of facts/photometry.md section 5: 1.25 gives 1.118, 2 gives 1.414.
func TestReachWithoutABeam(t *testing.T) {
	k := knowntest.Knowledge()
	for q, want := range map[float64]float64{1.25: 1.118, 1.5: 1.225, 2: 1.414, 0.8: 0.894} {
		r := recommend.ReachOf(&k, recommend.Need{}, recommend.ReachFacts{Kind: "led", Beam: "low", Hot: hot(q, q, q)})
		if math.Abs(*r.VsStock-want) > 0.0005 {
			t.Errorf("q %v: %v, want %v", q, *r.VsStock, want)
		}
		if len(r.Lines)+len(r.StockLines)+len(r.Eye) > 0 || r.Equivalent != nil || r.CapM != nil {
			t.Errorf("metres without a beam: %+v", r)
		}
	}
	grade := &data.PatternRecord{Method: "grade", StrayVsStock: ptr(1.2)}
	if r := recommend.ReachOf(&k, recommend.Need{}, recommend.ReachFacts{Kind: "led", Beam: "low", Hot: hot(2, 1, 3), Pattern: grade, Stock: grade}); len(r.Lines) > 0 {
		t.Errorf("metres from marks by eye: %+v", r.Lines)
	}
}

// Twice the light of one beam carries less far than its square root, 1.41, since the
// cutoff ends the reach: at the kerb 1.00 to 1.23 times with a cutoff set 1 to 1.5
// percent down, more with one at the horizon. The same whether the bulb's own beam was
// measured or the halogen's stands for it.
func TestTheSameBeamTwiceAsBright(t *testing.T) {
	k := knowntest.Knowledge()
	demo := knowntest.Demo()
	rig := demo.Rigs[slices.IndexFunc(demo.Rigs, func(rig data.Rig) bool { return rig.ID == "h11-projector" })]
	twice := *rig.Stock
	twice.Candela = slices.Clone(twice.Candela)
	for i := range twice.Candela {
		twice.Candela[i].CD *= 2
	}
	least, most := math.Inf(1), 0.0
	for _, height := range []float64{500, 650, 800, 1000} {
		for _, lamp := range []data.Lamp{{Dip: ptr(1.0)}, {Dip: ptr(1.5)}, {Marking: "VOL"}, {Marking: "VOR"}} {
			lamp.Size, lamp.Beam, lamp.Height = "H11", "low", ptr(height)
			var kerbs []float64
			for _, own := range []*data.PatternRecord{&twice, nil} {
				r := recommend.ReachOf(&k, recommend.Need{Lamp: &lamp, Where: "US"}, recommend.ReachFacts{
					Kind: "led", Beam: "low", Hot: hot(2, 1.6, 2.4), Pattern: own, Stock: rig.Stock, MeasuredAtM: 30.48})
				if r.Kerb.Mid == nil || r.RatioFrom != map[bool]recommend.Word{true: "beams", false: "stock_shape"}[own != nil] {
					t.Fatalf("%v mm, %+v: %+v", height, lamp, r.Kerb)
				}
				kerbs = append(kerbs, *r.Kerb.Mid)
				if *r.Kerb.Mid >= math.Sqrt2 || *r.Kerb.High >= math.Sqrt(2.4) || *r.Kerb.Low < 1 || strings.Contains(strings.Join(r.Says, " "), "Distances: 1.4 times") {
					t.Errorf("%v mm, %+v: %v (%v to %v), %q", height, lamp, *r.Kerb.Mid, *r.Kerb.Low, *r.Kerb.High, r.Says)
				}
			}
			if math.Abs(kerbs[0]-kerbs[1]) > 1e-9 {
				t.Errorf("the same beam gives %v", kerbs)
			}
			if lamp.Dip != nil {
				least, most = math.Min(least, kerbs[0]), math.Max(most, kerbs[0])
			}
		}
	}
	if least < 1 || most > 1.235 {
		t.Errorf("kerb gains %.3f to %.3f, want 1.00 to 1.23", least, most)
	}
	// Without any shape the root is said as what it is.
	if r := recommend.ReachOf(&k, recommend.Need{}, recommend.ReachFacts{Kind: "led", Beam: "low", Hot: hot(2, 1.6, 2.4)}); r.Kerb.Mid != nil ||
		!strings.Contains(r.Says[0], "a low beam mostly changes less") {
		t.Errorf("%+v", r.Says)
	}
}

// The halogen's veil stands beside the bulb's. With both beams measured each has its own;
// with one, the other follows from the stray light; with none there is no figure.
func TestVeilBesideTheHalogen(t *testing.T) {
	k := knowntest.Knowledge()
	of := func(own, stock *data.PatternRecord, stray *float64) recommend.Reach {
		return recommend.ReachOf(&k, recommend.Need{Lamp: vorLamp(), Where: "US"}, recommend.ReachFacts{
			Kind: "led", Beam: "low", Hot: hot(1.5, 1.3, 1.7), Pattern: own, Stock: stock, StrayVsStock: stray, MeasuredAtM: 30.48})
	}
	lamp := measuredLamp(t)
	both := of(lamp, lamp, ptr(1.0)).VeilAt()
	if both == nil || both.From != "measured" || *both.CdM2 != *both.StockCdM2 || *both.ContrastPct != *both.StockContrastPct {
		t.Fatalf("%+v", both)
	}
	theta := 180 / math.Pi * math.Atan(math.Hypot(3.5, 0.65-1.10)/50)
	for _, eye := range of(lamp, lamp, nil).Eye {
		if eye.What == "as_aimed" && eye.DistanceM == 50 { // CIE 146, general equation, 60 years, p 0.5
			want := *eye.Lux * (10/math.Pow(theta, 3) + (5/(theta*theta)+0.05/theta)*(1+math.Pow(60/62.5, 4)) + 0.00125)
			if math.Abs(*both.CdM2-want) > 1e-9 || math.Abs(*both.ContrastPct-100/(1+want)) > 1e-9 {
				t.Errorf("%v, want %v", *both.CdM2, want)
			}
		}
	}
	for name, c := range map[string]struct {
		reach recommend.Reach
		ratio float64
	}{"the bulb's from the halogen's": {of(nil, lamp, ptr(3.0)), 3}, "the halogen's from the bulb's": {of(lamp, nil, ptr(3.0)), 3}} {
		v := c.reach.VeilAt()
		if v == nil || v.From != "stray_vs_stock" || math.Abs(*v.CdM2 / *v.StockCdM2 - c.ratio) > 1e-9 || !strings.Contains(strings.Join(c.reach.Says, " "), "your halogen's") {
			t.Errorf("%s: %+v", name, v)
		}
	}
	if v := of(nil, lamp, nil).VeilAt(); v == nil || v.CdM2 != nil || v.StockCdM2 == nil {
		t.Errorf("stray light not measured: %+v", v)
	}
	if r := of(nil, nil, ptr(3.0)); len(r.Veil) > 0 || !strings.Contains(strings.Join(r.Says, " "), "takes a beam measured direction by direction") {
		t.Errorf("no beam: %+v", r.Veil)
	}
}

// The beam of the stock halogen is never lent to a bulb: a rig's own intensities
// give metres for the halogen alone.
func TestReachOfStockIsNotLent(t *testing.T) {
	k := knowntest.Knowledge()
	r := recommend.ReachOf(&k, recommend.Need{Lamp: vorLamp()}, recommend.ReachFacts{
		Kind: "led", Beam: "low", Hot: hot(1.5, 1.3, 1.7), Stock: measuredLamp(t), MeasuredAtM: 30.48})
	if len(r.Lines) > 0 || len(r.Eye) > 0 || len(r.StockLines) != 6 {
		t.Errorf("%d lines, %d of the eye, %d of stock", len(r.Lines), len(r.Eye), len(r.StockLines))
	}
}

// Left-hand traffic is the mirror of right-hand traffic.
func TestReachMirrors(t *testing.T) {
	k := knowntest.Knowledge()
	right := measuredLamp(t)
	left := measuredLamp(t)
	for i := range left.Candela {
		left.Candela[i].H = -left.Candela[i].H
	}
	of := func(where recommend.Word, record *data.PatternRecord) recommend.Reach {
		return recommend.ReachOf(&k, recommend.Need{Lamp: vorLamp(), Where: where}, recommend.ReachFacts{
			Kind: "led", Beam: "low", Hot: hot(1.5, 1.3, 1.7), Pattern: record, MeasuredAtM: 30.48})
	}
	a, b := of("DE", right), of("GB", left)
	for i := range a.Lines {
		near := func(x, y *float64) bool { return (x == nil) == (y == nil) && (x == nil || math.Abs(*x-*y) < 1e-6) }
		if !near(a.Lines[i].KerbM, b.Lines[i].KerbM) || !near(a.Lines[i].CentreM, b.Lines[i].CentreM) {
			t.Errorf("line %d: right %+v, left %+v", i, a.Lines[i], b.Lines[i])
		}
	}
	for i := range a.Eye {
		if a.Eye[i].Lux != nil && math.Abs(*a.Eye[i].Lux-*b.Eye[i].Lux) > 1e-9 {
			t.Errorf("eye %d: right %v, left %v", i, *a.Eye[i].Lux, *b.Eye[i].Lux)
		}
	}
}
