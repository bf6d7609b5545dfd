package beam

import (
	"errors"
	"fmt"
	"image"
	"math"
)

// Present is where a beam lies on the wall now, as one picture shows it.
type Present struct {
	V    float64 // degrees above the lamp's centre: the cutoff's flat part, or the hot spot's middle
	Band float64 // half-width of its 95 % band, degrees: marks, scan and the lamp's centre
	// Linearity is how far the cutoff rises or falls within a degree either side, degrees;
	// nil when it was not found there, and for a hot spot.
	Linearity *float64
	Notes     []string
}

const (
	// centreOff is how far the middle of the marks may lie from the lamp's centre,
	// metres, 95 %, when it is carried to the wall as help photo says (judgement).
	centreOff = 0.010
	// scanDoubt is the standard deviation of the cutoff on a single picture, degrees
	// (simulation: TestPresentAim).
	scanDoubt = 0.03
	// hotDoubt is that of a hot spot's middle, degrees (simulation, as Bands).
	hotDoubt = 0.08
	// presentHighest and presentLowest bound where a lamp on the road is ever found,
	// degrees; outside, the picture or the marks are wrong.
	presentHighest, presentLowest = 4.0, -6.0
)

// PresentAim finds where the beam in a picture of the wall lies against the middle of
// the six marks, which hang around the lamp's centre. marks is a picture of all six in
// the light of the room, from the same place; nil: they are looked for in img. It needs
// no exposure: the place of a cutoff does not move with it, as long as nothing is white.
//
// Errors: marks not found or off their places, a picture without contrast, clipped or
// too dark, no cutoff, a beam upside down or degrees away from where lamps are aimed.
func PresentAim(img, marks image.Image, plan MarkPlan, o Options) (Present, error) {
	o, err := o.check()
	if err != nil {
		return Present{}, err
	}
	if err := CheckSize(image.Config{Width: img.Bounds().Dx(), Height: img.Bounds().Dy()}); err != nil {
		return Present{}, err
	}
	where := marks
	if where == nil {
		where = img
	}
	if where.Bounds().Size() != img.Bounds().Size() {
		return Present{}, fmt.Errorf("the photo of the marks has another size, %v and %v: one camera, one place", where.Bounds().Size(), img.Bounds().Size())
	}
	g, _, err := Locate(where, plan)
	if err != nil {
		return Present{}, err
	}
	out := Present{Notes: []string{}}
	if marks != nil {
		moved, seen := Follow(img, g, plan)
		switch far := math.Hypot(moved.dx, moved.dy) / g.perDegree(); {
		case seen < 2:
			out.Notes = append(out.Notes, "too few marks are seen in the picture of the beam to tell whether the phone moved after the picture of the marks")
		case far > 0.05:
			out.Notes = append(out.Notes, fmt.Sprintf("the phone had moved by %.2f degrees: corrected by %d marks", far, seen))
		}
		g = moved
	}
	s, err := wallSource(img, g, &plan, o)
	if err != nil {
		return out, err
	}
	tape := 0.45 * g.Residual / g.perDegree()
	centre := degrees(math.Atan(centreOff / plan.Distance))
	if o.Beam == High {
		out.V, out.Band = s.hot.V, math.Hypot(1.96*math.Hypot(hotDoubt, tape), centre)
		return out, nil
	}
	c := s.cutoff(o.Cutoff)
	if !c.found {
		return out, errors.New("no cutoff is seen beside the hot spot: is it a low or fog beam, alone, and the other lamp covered?")
	}
	if s.sharperBelow(c.v, o.Cutoff) {
		return out, errors.New("the beam ends more sharply below than above: is the picture upside down?")
	}
	if c.v > presentHighest || c.v < presentLowest {
		return out, fmt.Errorf("the cutoff lies %+.1f degrees from the lamp's centre, where no lamp is aimed: do the marks hang around this lamp's centre?", c.v)
	}
	out.V, out.Linearity = c.v, c.linearity
	out.Band = math.Hypot(1.96*math.Hypot(scanDoubt, tape), centre)
	return out, nil
}

// wallSource is one picture as a measured beam.
func wallSource(img image.Image, g *Geometry, plan *MarkPlan, o Options) (*source, error) {
	perDeg := g.perDegree()
	in := PhotoInput{PxPerDeg: perDeg}
	p := newPixels(img, newTables(""))
	p.white = p.whiteCode(mostClipped * perDeg * perDeg)
	b := p.bin(max(1, int(math.Round(perDeg*rasterStep))))
	if err := in.checkLight(b, "this"); err != nil {
		return nil, err
	}
	ph := &photo{pix: p, bins: b, gain: 1, floor: photoFloor, scale: perDeg * 180 / math.Pi, geo: g, plan: plan, kerb: o.kerb(),
		loss: lensOf(img, perDeg)}
	s := &source{field: ph.field(), column: ph.column, kernel: -1, floor: ph.floor, native: func(float64) float64 { return 1 / perDeg }}
	s.prepare()
	if s.peak <= 0 {
		return nil, errors.New("the picture is dark everywhere")
	}
	return s, nil
}

// sharperBelow says whether the light falls faster under the hot spot than at the
// cutoff: a low beam turned over.
func (s *source) sharperBelow(v float64, kind string) bool {
	p, ok := s.column(judgedColumn(kind), columnHalf, s.hot.V-scanAbove-1, s.hot.V+scanAbove+1)
	if !ok {
		return false
	}
	m := max(2, int(math.Round(scanWindow/p.step)))
	if 2*m+3 > len(p.e) {
		return false
	}
	slope := slopes(p.logs(s.floor), p.step, m)
	up, down := 0.0, 0.0
	for i, k := range slope {
		// Under a hundredth of the peak, a slope is one of noise.
		if p.e[i] < 0.01*s.peak {
			continue
		}
		up, down = math.Max(up, -k), math.Max(down, k)
	}
	return down > 1.5*up
}
