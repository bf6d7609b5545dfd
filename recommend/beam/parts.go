package beam

import "math"

// parts maps the figures onto 0..1 and scores them.
func (d *finding) score(method string) error {
	w := d.o.Weights
	d.p.Method = method
	d.p.Parts = Parts{Dark: d.darkPart(), Width: d.widthValue()}
	if d.o.Beam == High {
		d.p.Parts.HotSpot = d.centrePart()
	} else {
		d.p.Parts.Sharpness = d.sharpnessPart()
		d.p.Parts.HotSpot = d.placePart()
		d.p.Parts.Stray = d.strayPart()
	}
	doubt, err := DoubtOf(method, w)
	if err != nil {
		return err
	}
	// The band of the ratio, and what may be room light or flare in it, widen the band
	// of its part.
	if r := d.p.Stray.VsStock; r != nil && d.p.Parts.Stray != nil {
		for _, end := range []*float64{d.p.Stray.VsStockLow, d.p.Stray.VsStockHigh} {
			if end != nil {
				doubt.Stray = math.Max(doubt.Stray, math.Abs(StrayPart(*r, w)-StrayPart(*end, w)))
			}
		}
	}
	r, err := Score(d.o.Beam, d.p.Parts, doubt, w)
	if err != nil {
		return err
	}
	d.p.Score, d.p.Low, d.p.High = r.Score, r.Low, r.High
	return nil
}

// sharpnessPart is SharpnessPart of a G that can be believed. Where the scan could
// have seen the stock cutoff and there is none in the beam, the part is 0.
func (d *finding) sharpnessPart() *float64 {
	if !d.cut.found {
		if d.before.measurable {
			return new(float64)
		}
		return nil
	}
	if !d.cut.measurable || d.cut.linearity == nil {
		return nil
	}
	v := SharpnessPart(d.cut.g, *d.cut.linearity, d.o.Weights)
	return &v
}

// SharpnessPart maps G and the linearity (degrees) of a cutoff onto 0..1: a plateau
// within the published limits of G, falling to 0 at w.GZero, and by w.HardLoss up to
// w.GHard; multiplied by w.Linearity.
func SharpnessPart(g, linearity float64, w Weights) float64 {
	v := 1.0
	switch {
	case g < w.GLeast.Value:
		v = clamp01((g - w.GZero.Value) / (w.GLeast.Value - w.GZero.Value))
	case g > w.GMost.Value:
		v = 1 - w.HardLoss.Value*clamp01((g-w.GMost.Value)/(w.GHard.Value-w.GMost.Value))
	}
	return v * onScale(linearity, w.Linearity)
}

// placePart says whether the hot spot is in its place under the cutoff.
func (d *finding) placePart() *float64 {
	if !d.hasBase {
		return nil
	}
	box := d.o.Weights.Place
	if d.o.Beam == Fog {
		box = d.o.Weights.FogPlace
	}
	cutoff := d.base
	if d.cut.found {
		cutoff = d.cut.v
	}
	h, v := d.o.kerb()*(*d.p.HotSpot.H), *d.p.HotSpot.V
	gap := cutoff - v
	off := math.Hypot(outside(gap, box.GapLeast, box.GapMost), outside(h, box.KerbLeast, box.KerbMost))
	if d.p.HotSpot.StockH != nil {
		stockGap := gap
		if d.before.found {
			stockGap = d.before.v - *d.p.HotSpot.StockV
		}
		far := math.Hypot(gap-stockGap, h-d.o.kerb()*(*d.p.HotSpot.StockH))
		off = math.Min(off, math.Max(0, far-box.Stock))
	}
	value := clamp01(1 - off/box.Reach)
	return &value
}

func outside(x, least, most float64) float64 {
	return math.Max(0, math.Max(least-x, x-most))
}

// centrePart is a high beam's: its peak near the axis, and the axis near the peak.
func (d *finding) centrePart() *float64 {
	w := d.o.Weights
	value := onScale(math.Hypot(*d.p.HotSpot.H, *d.p.HotSpot.V), w.Centre)
	if d.p.HotSpot.OnAxis == nil {
		return nil
	}
	value = math.Min(value, onScale(*d.p.HotSpot.OnAxis, w.Axis))
	return &value
}

func (d *finding) strayPart() *float64 {
	w := d.o.Weights
	var value *float64
	if r := d.p.Stray.VsStock; r != nil {
		v := StrayPart(*r, w)
		value = &v
	}
	if r := d.p.Stray.OfLimit; r != nil {
		v := onLogScale(*r, w.StrayLimit)
		if value == nil || v < *value {
			value = &v
		}
	}
	return value
}

func (d *finding) darkPart() *float64 {
	w := d.o.Weights
	value := onScale(d.darkSum, w.Dark)
	if d.p.HotSpot.Split != nil {
		value = math.Min(value, onScale(*d.p.HotSpot.Split, w.Split))
	}
	return &value
}

func (d *finding) widthValue() *float64 {
	w := d.o.Weights
	if d.widthPart == nil {
		return nil
	}
	scale := w.Width
	if d.p.HotSpot.VsStock != nil {
		scale = w.WidthVsStock
	}
	value := onScale(*d.widthPart, scale)
	if d.o.Beam == Low && d.p.Foreground != nil {
		near := w.Foreground
		// A lamp whose stock beam already floods the foreground is not the bulb's fault.
		if shift := d.foreStock - near.Good; shift > 0 {
			near.Good, near.Bad = near.Good+shift, near.Bad+shift
		}
		value *= onScale(*d.p.Foreground, near)
	}
	return &value
}
