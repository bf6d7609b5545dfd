package beam

import (
	"math"
)

// photoNotes adds what a photo cannot know.
func (d *finding) photoNotes(in PhotoInput, bulb, stock *source) {
	d.note("of the light that a lens loses toward the edges, half was allowed for: phones correct all of it or none")
	if r, high := d.stray.vsStock, d.stray.vsStockHigh; in.Off == nil && r != nil && *high > 1.15**r {
		d.note("room light or flare may hide part of the stray light: the ratio to stock is %.2f, and %.2f if the darkest part of the wall were only that; a photo with the lamp off settles it", *r, *high)
	}
	if k, ok := everywhere(bulb, stock); ok && math.Abs(k-1) > 0.1 {
		d.note("the bulb's photo is %.2f times the stock photo everywhere, in the beam and above it: as two exposures of one beam would be", k)
	}
	// A ghost of the hot spot appears mirrored about the middle of the picture.
	size := in.Bulb.Bounds().Size()
	// Twice the way from the axis to the middle, in degrees.
	mh, mv := (float64(size.X-1)-2*in.AxisX)/in.PxPerDeg, (2*in.AxisY-float64(size.Y-1))/in.PxPerDeg
	for _, a := range d.p.Stray.Patches {
		dx, dy := *d.p.HotSpot.H+a.H-mh, *d.p.HotSpot.V+a.V-mv
		if math.Hypot(dx, dy) < 1.5 {
			d.note("the stray patch at h %.1f, v %.1f lies where the lens would throw a ghost of the hot spot: move the camera a little and look whether it moves along", a.H, a.V)
		}
	}
	if bulb.floor > 0 && d.stray.measured && d.stray.mean < bulb.floor && !d.stray.tooDark {
		d.note("above the cutoff the bulb's photo is crushed to black: the stray light is at most what is given")
	}
}

// everywhere says whether two beams differ by one factor only: nine tenths of all
// directions that are not black within 6 % of the middle ratio.
func everywhere(bulb, stock *source) (factor float64, ok bool) {
	var ratios []float64
	for i, e := range stock.soft.Values {
		if b := bulb.soft.Values[i]; e > 3*stock.floor && b > 3*bulb.floor {
			ratios = append(ratios, b/e)
		}
	}
	if len(ratios) < 1000 {
		return 0, false
	}
	factor = median(ratios) // sorted now
	low, high := ratios[len(ratios)/20], ratios[len(ratios)*19/20]
	return factor, low > 0.94*factor && high < 1.06*factor
}
