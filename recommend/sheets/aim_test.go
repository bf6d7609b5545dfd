package sheets_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/road"
	"stillbright/recommend/sheets"
)

// aim asks with what the program ships with.
func aim(in sheets.AimRequest) (sheets.AimSheet, error) {
	k := knowntest.Knowledge()
	return sheets.AimFor(&k, in)
}

// The drops are those of facts/photometry.md 3.2 to 3.4, copied here: 49 CFR
// 571.108 S10.18.9.1.1 for VOL and VOR, the GB inspection limits since 2016, and
// drop = distance x percent for a plate.
func TestAimFigures(t *testing.T) {
	for _, c := range []struct {
		name        string
		in          sheets.AimRequest
		from        string
		least, most float64
		tolerance   float64 // of the comparison, mm
	}{
		{"VOL at 25 ft is 2.1 in, 53.2 mm", sheets.AimRequest{DistanceMM: 7620, Marking: "VOL"}, "marking", 53.2, 53.2, 0.05},
		{"VOR is level", sheets.AimRequest{DistanceMM: 7620, Marking: "VOR"}, "marking", 0, 0, 0},
		{"a plate of 1.2 % at 10 m is 12 cm", sheets.AimRequest{DistanceMM: 10000, Dip: &road.Dip{Value: 1.2, Unit: "%"}}, "plate", 120, 120, 1e-9},
		{"the plate goes before marking and place", sheets.AimRequest{DistanceMM: 10000, Dip: &road.Dip{Value: 1.2, Unit: "%"}, Marking: "VOL", Where: "GB"}, "plate", 120, 120, 1e-9},
		{"the marking goes before the place", sheets.AimRequest{DistanceMM: 7620, Marking: "VOL", Where: "GB", HeightMM: new(650.0)}, "marking", 53.2, 53.2, 0.05},
		{"GB at 65 cm", sheets.AimRequest{DistanceMM: 10000, Where: "GB", HeightMM: new(650.0)}, "place", 50, 275, 1e-9},
		{"GB at 85 cm is still the lower band", sheets.AimRequest{DistanceMM: 10000, Where: "GB", HeightMM: new(850.0)}, "place", 50, 275, 1e-9},
		{"GB above 85 cm", sheets.AimRequest{DistanceMM: 10000, Where: "GB", HeightMM: new(851.0)}, "place", 125, 275, 1e-9},
		{"a region takes its country's rule", sheets.AimRequest{DistanceMM: 10000, Where: "GB-SCT", HeightMM: new(650.0)}, "place", 50, 275, 1e-9},
	} {
		sheet, err := aim(c.in)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if sheet.From != c.from || sheet.DropMM == nil {
			t.Errorf("%s: from %s, drop %v", c.name, sheet.From, sheet.DropMM)
			continue
		}
		if math.Abs(sheet.DropMM.Least-c.least) > c.tolerance || math.Abs(sheet.DropMM.Most-c.most) > c.tolerance {
			t.Errorf("%s: drop %v to %v mm, want %v to %v", c.name, sheet.DropMM.Least, sheet.DropMM.Most, c.least, c.most)
		}
	}
}

func TestAimWithoutFigure(t *testing.T) {
	sheet, err := aim(sheets.AimRequest{DistanceMM: 10000})
	if err != nil {
		t.Fatal(err)
	}
	if sheet.From != "none" || sheet.DropMM != nil || sheet.TargetMM != nil || sheet.ToleranceMM != nil || sheet.HeightMM != nil {
		t.Errorf("a figure was made up: %+v", sheet)
	}
	if !strings.Contains(strings.Join(sheet.Before, " "), "tape the stock cutoff") {
		t.Errorf("the tape method is missing: %q", sheet.Before)
	}
}

// A rule that goes by height needs the height; one that does not must not ask.
func TestAimAsksForHeightOnlyWhereItCounts(t *testing.T) {
	var need *recommend.NeedError
	for _, where := range []recommend.Word{"GB", "DE", "GB-SCT"} {
		_, err := aim(sheets.AimRequest{DistanceMM: 10000, Where: where})
		if !errors.As(err, &need) || !strings.HasPrefix(need.Hint, "--height") {
			t.Errorf("%s without a height: %v", where, err)
		}
	}
	for _, in := range []sheets.AimRequest{
		{DistanceMM: 10000, Marking: "VOL"}, {DistanceMM: 10000, Marking: "VOR", Where: "US-PA"},
		{DistanceMM: 10000, Dip: &road.Dip{Value: 1, Unit: "%"}}, {DistanceMM: 10000, Where: "JP"}, {DistanceMM: 10000, Beam: "fog", Where: "US-CA"},
	} {
		if _, err := aim(in); err != nil {
			t.Errorf("%+v: %v", in, err)
		}
	}
}

// The drop is linear in the distance (geometry).
func TestAimIsLinearInDistance(t *testing.T) {
	for _, in := range []sheets.AimRequest{
		{Marking: "VOL"}, {Dip: &road.Dip{Value: 1.2, Unit: "%"}}, {Dip: &road.Dip{Value: 0.57, Unit: "deg"}}, {Where: "GB", HeightMM: new(800.0)},
	} {
		in.DistanceMM = 5000
		near, err := aim(in)
		if err != nil {
			t.Fatal(err)
		}
		in.DistanceMM = 15000
		far, err := aim(in)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(far.DropMM.Most-3*near.DropMM.Most) > 1e-9 {
			t.Errorf("%+v: %v at three times the distance of %v", in, far.DropMM.Most, near.DropMM.Most)
		}
	}
}

func TestAimRefusesWhatNoLampHas(t *testing.T) {
	var wrong *road.RangeError
	for _, in := range []sheets.AimRequest{
		{DistanceMM: 10000, HeightMM: new(150.0)}, {DistanceMM: 10000, HeightMM: new(1601.0)}, {DistanceMM: 1999}, {DistanceMM: 50001},
		{DistanceMM: math.NaN()}, {DistanceMM: 10000, Dip: &road.Dip{Value: 5.1, Unit: "%"}}, {DistanceMM: 10000, Dip: &road.Dip{Value: -0.1, Unit: "%"}},
		{DistanceMM: 10000, Dip: &road.Dip{Value: 3, Unit: "deg"}},
	} {
		if _, err := aim(in); !errors.As(err, &wrong) || sheets.RangeHint(err) == "" {
			t.Errorf("%+v: %v", in, err)
		}
	}
}

// Every car of the demo can be aimed in every beam it has, and what its record
// knows is used.
func TestAimOfCars(t *testing.T) {
	demo := knowntest.Demo()
	for _, car := range demo.Cars {
		for _, lamp := range car.Lamps {
			beam := lamp.Beam
			if beam == data.BeamBoth {
				beam = data.BeamLow
			}
			in := sheets.AimRequest{DistanceMM: 10000, Beam: beam}
			if err := in.FromCar(car); err != nil {
				t.Errorf("%s %s: %v", car.ID, beam, err)
				continue
			}
			sheet, err := aim(in)
			var need *recommend.NeedError
			if err != nil && (in.HeightMM != nil || !errors.As(err, &need)) {
				t.Errorf("%s %s: %v", car.ID, beam, err)
				continue
			}
			if err == nil && lamp.Dip != nil && beam == data.BeamLow && (sheet.From != "plate" || math.Abs(*sheet.TargetMM-100**lamp.Dip) > 1e-9) {
				t.Errorf("%s: plate of %v %% gave %v from %s", car.ID, *lamp.Dip, *sheet.TargetMM, sheet.From)
			}
		}
	}
	in := sheets.AimRequest{Beam: data.BeamFog}
	var need *recommend.NeedError
	if err := in.FromCar(data.Car{ID: "x", Lamps: []data.Lamp{{Size: "H4", Beam: data.BeamBoth}}}); !errors.As(err, &need) {
		t.Errorf("a fog lamp that the car does not have: %v", err)
	}
}
