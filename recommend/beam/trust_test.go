package beam

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func dazzlingPair(t *testing.T, ratio float64, change func(c *camera)) PhotoInput {
	t.Helper()
	st, r := newStudio(), rand.New(rand.NewPCG(91, 1))
	stock := cleanBeam(r)
	stock.leak = 0.002
	bulb := stock
	bulb.veil *= ratio
	c := plainCamera()
	if change != nil {
		change(&c)
	}
	return pairOf(st, &bulb, &stock, c)
}

// Levels of two pictures are not compared when nobody says how they were exposed.
func TestUnknownExposureMeasuresNoGlare(t *testing.T) {
	o := Options{Beam: Low, Weights: DefaultWeights()}
	in := dazzlingPair(t, 1, nil)
	in.SameExposure, in.Tone = false, ""
	for name, e := range map[string]*Exposure{"no Exif": nil, "Exif without figures": {Manual: true}} {
		in.BulbExposure, in.StockExposure = e, e
		p := mustPhoto(t, in, o)
		if p.Stray.VsStock != nil || p.HotSpot.VsStock != nil || p.Parts.Stray != nil || p.Stray.VsStockHigh != nil || !strings.Contains(p.Stray.Why, "how they were exposed") {
			t.Errorf("%s: stray %+v, hot spot over stock %v", name, p.Stray, p.HotSpot.VsStock)
		}
	}
	in.SameExposure = true
	if p := mustPhoto(t, in, o); p.Stray.VsStock == nil {
		t.Error("what the user said was not heard")
	}
}

// The band of the ratio is what the way of taking the pictures is worth.
func TestStrayBandFollowsTheCamera(t *testing.T) {
	o := Options{Beam: Low, Weights: DefaultWeights()}
	in := dazzlingPair(t, 1, nil)
	in.SameExposure, in.Tone = false, ""
	manual, auto := Exposure{Seconds: 0.1, FNumber: 2, ISO: 100, Manual: true}, Exposure{Seconds: 0.1, FNumber: 2, ISO: 100}
	for _, c := range []struct {
		e    *Exposure
		said bool
		want float64
	}{{&manual, false, spreadManual}, {&auto, false, spreadAuto}, {&auto, true, spreadAuto}, {nil, true, spreadSaid}} {
		in.BulbExposure, in.StockExposure, in.SameExposure = c.e, c.e, c.said
		p := mustPhoto(t, in, o)
		r, low, high := *p.Stray.VsStock, *p.Stray.VsStockLow, *p.Stray.VsStockHigh
		if !near(r/low, c.want, 1e-9) || high/r < c.want-1e-9 {
			t.Errorf("%+v, said %v: %.2f in %.2f..%.2f, want a factor of %g", c.e, c.said, r, low, high, c.want)
		}
	}
}

// A phone that moved between the two makes stray light unmeasured.
func TestShiftBetweenTheTwo(t *testing.T) {
	o := Options{Beam: Low, Weights: DefaultWeights()}
	for shift, measured := range map[float64]bool{0.1: true, 0.4: false, -0.4: false} {
		still := dazzlingPair(t, 2.5, nil)
		moved := dazzlingPair(t, 2.5, func(c *camera) { c.ay += shift * c.perDeg })
		still.Bulb = moved.Bulb
		p := mustPhoto(t, still, o)
		if (p.Stray.VsStock != nil) != measured || !measured && !strings.Contains(p.Stray.Why, "timer") {
			t.Errorf("moved by %g degrees: stray light over stock %v, %q", shift, p.Stray.VsStock, p.Stray.Why)
		}
	}
}

// A lamp whose own cutoff slopes is answered, with a word on --tilt; with --tilt it is measured.
func TestSlopeOfTheLampIsNotRoll(t *testing.T) {
	o := Options{Beam: Low, Weights: DefaultWeights()}
	in := dazzlingPair(t, 1.2, func(c *camera) { c.tilt = 5 })
	p := mustPhoto(t, in, o)
	if p.Stray.VsStock != nil || !strings.Contains(p.Stray.Why, "--tilt 0") || *p.TiltDeg != 0 {
		t.Errorf("stray light %v, tilt %g: %q", p.Stray.VsStock, *p.TiltDeg, p.Stray.Why)
	}
	in.TiltDeg = ptr(0.0)
	if p := mustPhoto(t, in, o); p.Stray.VsStock == nil {
		t.Errorf("with --tilt 0 stray light is not measured: %q", p.Stray.Why)
	}
}

// Nothing is said of G under a tone curve that nobody knows.
func TestGNeedsTheToneCurve(t *testing.T) {
	o := Options{Beam: Low, Weights: DefaultWeights()}
	in := dazzlingPair(t, 1, nil)
	if p := mustPhoto(t, in, o); !p.Cutoff.GMeasured {
		t.Skip("the edge of this beam is too hard for the picture")
	}
	in.Tone = ""
	p := mustPhoto(t, in, o)
	if p.Cutoff.GMeasured || p.Parts.Sharpness != nil || !strings.Contains(strings.Join(p.Notes, "\n"), "tone curve") {
		t.Errorf("G claimed: %+v", p.Cutoff)
	}
}

// Exif's eight ways a picture lies (CIPA DC-008) all read as the one upright picture.
func TestOrientation(t *testing.T) {
	upright := image.NewGray(image.Rect(0, 0, 3, 2))
	for i := range upright.Pix {
		upright.Pix[i] = uint8(10 * (i + 1))
	}
	// Where the upright pixel x, y is stored, by the standard's table: 1 row 0 is the
	// top and column 0 the left side, 2 top right, 3 bottom right, 4 bottom left,
	// 5 left top, 6 right top, 7 right bottom, 8 left bottom.
	place := map[int]func(x, y int) (int, int){
		1: func(x, y int) (int, int) { return x, y }, 2: func(x, y int) (int, int) { return 2 - x, y },
		3: func(x, y int) (int, int) { return 2 - x, 1 - y }, 4: func(x, y int) (int, int) { return x, 1 - y },
		5: func(x, y int) (int, int) { return y, x }, 6: func(x, y int) (int, int) { return y, 2 - x },
		7: func(x, y int) (int, int) { return 1 - y, 2 - x }, 8: func(x, y int) (int, int) { return 1 - y, x },
	}
	for o, to := range place {
		size := image.Rect(0, 0, 3, 2)
		if o >= 5 {
			size = image.Rect(0, 0, 2, 3)
		}
		stored := image.NewGray(size.Add(image.Pt(4, 7)))
		for y := range 2 {
			for x := range 3 {
				sx, sy := to(x, y)
				stored.SetGray(sx+4, sy+7, upright.GrayAt(x, y))
			}
		}
		got := Upright(stored, o)
		p := newPixels(got, newTables(ToneLinear))
		row := make([]float32, 3)
		for y := range 2 {
			p.row(y, 0, row)
			for x := range 3 {
				want := upright.GrayAt(x, y)
				if g := color.GrayModel.Convert(got.At(got.Bounds().Min.X+x, got.Bounds().Min.Y+y)); g != want || math.Abs(float64(row[x])-float64(want.Y)/255) > 1e-3 {
					t.Errorf("orientation %d: pixel %d,%d is %v, in a row %.3f, want %v", o, x, y, g, row[x], want)
				}
			}
			p.row(y, 1, row[:2])
			if math.Abs(float64(row[1])-float64(upright.GrayAt(2, y).Y)/255) > 1e-3 {
				t.Errorf("orientation %d: part of row %d is %v", o, y, row[:2])
			}
		}
	}
}
