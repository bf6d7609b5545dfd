package beam

import (
	"errors"
	"fmt"
	"math"
)

// How far a stray-light ratio from a pair of photos may be from the truth: the
// 95 % band reaches from the ratio over the factor to the ratio times it. A careful
// tester's pairs in manual mode lay between 0.81 and 1.25 of the truth in a phone
// simulation kept apart from this program; where the camera chose for itself, local
// tone mapping made 4.2 look like 2, and worse.
const (
	spreadAnchored = 1.25 // tone curve recovered, one lux reading of each beam
	spreadBracket  = 1.38 // tone curve recovered, levels by the recorded exposures
	spreadManual   = 1.35 // set by hand, by the camera's record
	spreadSaid     = 1.7  // set by hand, by the user's word only
	spreadAuto     = 3.0  // the camera chose, or did not say
	// rollMost is the steepest cutoff taken for a rolled camera, degrees: beyond, it
	// may as well be the lamp.
	rollMost = MostTiltDeg
	// shiftMost is how far the cutoffs of bulb and stock may lie apart before a moved
	// phone is as likely as the bulb, degrees.
	shiftMost = 0.25
	// A low beam's cutoff lies within these of the axis, degrees: lamps are aimed 0.5
	// to 1.5 down, and a bench adds a degree or two. Outside, the axis is wrong or the
	// picture upside down.
	cutoffHighest, cutoffLowest = 1.5, -3.5
	// apartMost is how far a bulb's cutoff can lie from stock's, degrees.
	apartMost = 2.0
)

// trust is what a pair of photos is worth.
type trust struct {
	levels bool    // light of one picture may be held against the other's
	spread float64 // factor of the 95 % band of a ratio of stray light
	// unmeasured says why stray light was not measured; empty: it was.
	unmeasured string
}

// spreadOf is the band that exposure and tone curve leave.
func (in PhotoInput) spreadOf() float64 {
	bulb, stock := in.BulbExposure, in.StockExposure
	if m := in.Merged; m != nil && m.Response != nil {
		switch {
		case in.Anchor != nil:
			return spreadAnchored
		case m.Levels:
			return spreadBracket
		}
	}
	switch {
	case bulb.Known() && stock.Known() && bulb.Manual && stock.Manual, in.Tone != "":
		return spreadManual
	case in.SameExposure && (bulb == nil || !bulb.Known()) && (stock == nil || !stock.Known()):
		return spreadSaid
	}
	return spreadAuto
}

// apply takes out of a finding what the photos cannot say, and sets the band of
// the ratio of stray light.
func (t trust) apply(d *finding) {
	s := &d.p.Stray
	if !t.levels {
		d.p.HotSpot.VsStock = nil
		d.widthPart = nil
		s.Patches = []Area{}
	}
	if t.unmeasured != "" && s.VsStock != nil {
		s.VsStock, s.VsStockHigh, s.Why = nil, nil, t.unmeasured
		return
	}
	if s.VsStock == nil {
		if s.Why == "" {
			s.Why = "the pictures do not show it"
		}
		return
	}
	// The ratio may also be lower: flare and room light, taken off both, lift it.
	low, high := *s.VsStock/t.spread, *s.VsStock*t.spread
	if s.VsStockHigh != nil {
		high = math.Max(high, *s.VsStockHigh)
	}
	s.VsStockLow, s.VsStockHigh = &low, &high
}

// Bands are half-widths of 95 % bands of figures of a pair of photos.
type Bands struct {
	CutoffV  float64 `json:"cutoff_v_deg" doc:"degrees either way, of the cutoff's height"`
	HotSpot  float64 `json:"hot_spot_deg" doc:"degrees in any direction, of the hot spot's place"`
	WidthPct float64 `json:"width_pct" doc:"percent either way, of the width"`
}

// bands follow from how well the marks lie and whether the tone curve is known; the
// figures are those of TestEvenings, the typed ones those of a phone simulation kept
// apart from this program (hot spot 0.74, cutoff 0.36 degrees).
func (in PhotoInput) bands() *Bands {
	b := Bands{CutoffV: 0.40, HotSpot: 0.80, WidthPct: 20}
	if in.StockPlace != nil {
		// A mark that hangs wrong moves the map by a part of its error.
		tape := 0.45 * in.StockPlace.Residual / in.PxPerDeg
		b.CutoffV, b.HotSpot = 1.96*math.Hypot(0.02, tape), math.Hypot(0.16, 1.96*tape)
	}
	if in.Tone != "" || in.Merged != nil && in.Merged.Response != nil {
		b.WidthPct = 4.5
	}
	return &b
}

// misplaced refuses pictures that show a low beam where none can be.
func misplaced(d *finding, bulb, stock *source) error {
	if d.o.Beam == High {
		return nil
	}
	if tall, wide := stock.extent(); tall > 1.4*wide {
		return errors.New("the beam stands upright in the picture: is it turned by a quarter? Turn it, or bring the camera's own file")
	}
	if !d.before.found {
		return nil
	}
	switch v := d.before.v; {
	case v > cutoffHighest || v < cutoffLowest:
		return fmt.Errorf("the stock cutoff lies %+.1f degrees from the axis, where no low beam is aimed: is the picture upside down, or the axis another pixel?", v)
	case d.cut.found && math.Abs(d.cut.v-v) > apartMost:
		return fmt.Errorf("the cutoffs of bulb and stock lie %.1f degrees apart: was the phone moved, or one picture turned over?", math.Abs(d.cut.v-v))
	}
	return nil
}

// extent is how tall and how wide the part over half the peak is, degrees.
func (s *source) extent() (tall, wide float64) {
	f := s.soft
	h0, h1, v0, v1 := f.NH, -1, f.NV, -1
	for i, e := range f.Values {
		if e >= s.peak/2 {
			h0, h1, v0, v1 = min(h0, i%f.NH), max(h1, i%f.NH), min(v0, i/f.NH), max(v1, i/f.NH)
		}
	}
	return float64(v1-v0+1) * f.Step, float64(h1-h0+1) * f.Step
}

// tilt finds or takes the roll of the camera. A lamp's own cutoff may slope, so a
// steep one is no roll: the camera is then taken to be level, and why says that
// stray light was not measured.
func (in PhotoInput) tilt(o Options, stock *photo) (tilt float64, note, why string, err error) {
	if in.StockPlace != nil {
		return in.StockPlace.roll(), "", "", nil
	}
	if in.TiltDeg != nil {
		return *in.TiltDeg, "", "", nil
	}
	if o.Beam == High {
		return 0, "a high beam shows no horizon: the camera is taken to be level", "", nil
	}
	field := stock.field()
	found, ok := tiltOf(field, o.Cutoff, o.Beam == Fog)
	if !ok {
		return 0, "no straight cutoff was found in the stock photo: the camera is taken to be level", "", nil
	}
	if math.Abs(found) <= rollMost {
		return found * stock.kerb, "", "", nil
	}
	if o.Beam == Low && o.Cutoff != CutoffVOR && found < -rollMost {
		// It rises toward oncoming traffic; a lamp for this traffic does so to the kerb.
		if other, ok := tiltOf(field, CutoffVOR, false); ok && math.Abs(other) < -found/3 {
			return 0, "", "", errors.New("the stock cutoff rises toward oncoming traffic and is level on the kerb side: is the picture mirrored, or is it --traffic left?")
		}
	}
	why = fmt.Sprintf("the stock cutoff slopes by %.1f degrees, and that may be the lamp or a tilted phone: level the phone and say --tilt 0, or tape the marks of --sheet on the wall", found*stock.kerb)
	return 0, why + "; the camera is taken to be level", why, nil
}

// whiteCode is the 8-bit code from which a picture counts as clipped. Cameras stop
// short of 255: light then piles up at one code, which the smooth top of a beam
// never does. least is how many pixels make a pile.
func (p pixels) whiteCode(least float64) uint8 {
	every := max(3, p.w/500)
	if _, ok := p.img.(*Plane); ok {
		return clippedCode
	}
	var hist [3][256]int
	for y := 0; y < p.h; y += every {
		p.codes(y, every, &hist)
	}
	white := clippedCode
	for _, h := range hist {
		top := 255
		for seen := 0; top > 24; top-- {
			if seen += h[top]; float64(seen*every*every) > least/10 {
				break
			}
		}
		// A pile spreads over a few codes by noise and by JPEG; a beam's own top holds
		// as much light per code as the codes under it.
		pile, under := 0, 0
		for c := top - 4; c <= min(255, top+1); c++ {
			pile += h[c]
		}
		for c := top - 16; c < top-6; c++ {
			under += h[c]
		}
		if top > 100 && float64(pile*every*every) > least && pile > 3*under {
			white = min(white, top-3)
		}
	}
	return uint8(white)
}

// codes counts the 8-bit codes of the channels of one row, every few pixels.
func (p pixels) codes(y, every int, hist *[3][256]int) {
	rgb := make([][3]uint8, p.w)
	p.rgbRow(y, 0, rgb)
	for x := 0; x < p.w; x += every {
		for k, c := range rgb[x] {
			hist[k][c]++
		}
	}
}
