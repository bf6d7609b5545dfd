package beam

import (
	"errors"
	"fmt"
	"image"
	"math"
	"slices"
)

// What a photo must be like, in linear light with full scale 1 and in degrees.
const (
	// photoFloor is two 8-bit codes above black: under it a code is a matter of
	// rounding and of the camera's black level.
	photoFloor = 2.0 / 255 / 12.92
	leastPeak  = 0.05 // a darker peak was underexposed
	mostVeil   = 0.40 // darkest part over the peak: more is a lit room or no beam
	// mostClipped is how much of the beam may be clipped, square degrees.
	mostClipped = 0.05
	// exposureSlack is how far two recorded exposures may differ and count as one;
	// up to exposureMost they are brought together, which linear light allows.
	exposureSlack = 0.03
	exposureMost  = 4.0
	// rimRise is how much light may grow from just above the cutoff to 2.4 to 4.4
	// degrees over it: lenses and noise make up a few percent.
	rimRise = 1.12
)

// FromPhoto scores a beam from a photo of the wall beside the stock beam's.
//
// Refused with the reason: clipped highlights, too dark or without contrast,
// different sizes, exposures far apart, a mirrored, sideways or overturned beam,
// and a dark rim along the cutoff as local tone mapping leaves it. Not measured,
// with the reason: stray light where the exposures are not known, the phone may
// have moved, or a steep cutoff hides how it was held. Handled: tilt, the fall of
// light toward a flat wall's edges, lens loss (half the natural loss), small
// differences of recorded exposure, room light with an Off photo; without
// one the doubt it causes widens the band.
func FromPhoto(in PhotoInput, o Options) (Pattern, Drawing, error) {
	d, bulb, stock, err := fromPhoto(in, o)
	if err != nil {
		return Pattern{}, Drawing{}, err
	}
	out := d.drawing(bulb, stock, "relative")
	out.BulbWhite, out.StockWhite = bulb.white, stock.white
	for i, at := range in.Plan.places() {
		h, v := anglesOf(at[0], at[1])
		out.Marks = append(out.Marks, Point{H: h, V: v, Value: float64(i + 1)})
	}
	return d.p, out, nil
}

func fromPhoto(in PhotoInput, o Options) (*finding, *source, *source, error) {
	fail := func(err error) (*finding, *source, *source, error) { return nil, nil, nil, err }
	o, err := o.check()
	if err != nil {
		return fail(err)
	}
	if err := in.check(); err != nil {
		return fail(err)
	}
	if p, ok := in.Bulb.(*Plane); ok && p.raw {
		in.Tone = ToneLinear
	}
	notes := slices.Clone(in.Said)
	if in.Merged != nil {
		notes = append(notes, in.Merged.Notes...)
	}
	worth := trust{spread: in.spreadOf()}
	gain, known, note, err := in.gain()
	if err != nil {
		return fail(err)
	}
	if note != "" {
		notes = append(notes, note)
	}
	if worth.levels = known; !known {
		worth.unmeasured = note
	}
	bulb, stock, note, err := in.open(o, gain)
	if err != nil {
		return fail(err)
	}
	if note != "" {
		notes = append(notes, note)
	}
	var lux float64
	if in.Anchor != nil {
		if gain, lux, err = in.anchored(bulb, stock); err != nil {
			return fail(err)
		}
		bulb.gain, bulb.floor = gain, bulb.floor*gain
	}
	tilt, note, why, err := in.tilt(o, stock)
	if err != nil {
		return fail(err)
	}
	if note != "" {
		notes = append(notes, note)
	}
	if worth.unmeasured == "" {
		worth.unmeasured = why
	}
	if in.StockPlace == nil {
		size := in.Stock.Bounds().Size()
		g := typedGeometry(in.AxisX, in.AxisY, bulb.scale, tilt, size.X, size.Y)
		bulb.geo, stock.geo = g, g
	}
	bulb.frame[0], bulb.frame[1], bulb.frame[2], bulb.frame[3] = stock.view()
	stock.frame = bulb.frame
	kernel := -1.0
	if in.BlurPx != nil {
		// The pixel's own square and the steps of the scan are one pixel each.
		kernel = math.Sqrt(*in.BlurPx**in.BlurPx+2.0/12) / in.PxPerDeg
	}
	sources := [2]*source{}
	for i, p := range []*photo{bulb, stock} {
		sources[i] = &source{field: p.field(), column: p.column, kernel: kernel, floor: p.floor}
		sources[i].white = p.white(sources[i].field)
		if in.Tone == "" && (in.Merged == nil || in.Merged.Response == nil) {
			sources[i].unsure = "the camera's tone curve is not known, and it moves G by a quarter and more; three or more exposures of each beam show it"
		}
		sources[i].native = func(float64) float64 { return 1 / in.PxPerDeg }
	}
	d, err := judge(sources[0], sources[1], o)
	if err != nil {
		return fail(err)
	}
	if err := misplaced(d, sources[0], sources[1]); err != nil {
		return fail(err)
	}
	followed := in.BulbPlace != nil && len(in.Unfollowed) == 0
	if worth.unmeasured == "" && !followed && d.cut.found && d.before.found && math.Abs(d.cut.v-d.before.v) > shiftMost {
		worth.unmeasured = fmt.Sprintf("the cutoffs of bulb and stock lie %.2f degrees apart, so the phone may have moved between the two: stand it on something fixed, start it by timer or cable, aim the lamp anew if it is the bulb", math.Abs(d.cut.v-d.before.v))
	}
	if worth.unmeasured == "" && d.before.found && sources[0].hot.V > d.before.v+1 {
		worth.unmeasured = "the bulb's brightest place lies above the stock cutoff: look whether one picture is turned over or the phone was moved"
	}
	if o.Beam != High && rim(sources[0], d.cut, o.Cutoff) && rim(sources[1], d.before, o.Cutoff) {
		return fail(errors.New("both photos have a dark rim above the cutoff that brightens further up, as tone mapping (HDR) leaves it: switch it off and take both again"))
	}
	worth.apply(d)
	d.p.TiltDeg, d.p.Bands = &tilt, in.bands()
	d.p.Notes = append(notes, d.p.Notes...)
	d.photoNotes(in, sources[0], sources[1])
	if in.StockLux != nil {
		if r := d.p.HotSpot.VsStock; r != nil {
			lux := *in.StockLux * *r
			d.p.HotSpot.Lux = &lux
		}
	}
	if lux > 0 {
		here := lux * sources[0].peak
		d.p.HotSpot.Lux = &here
	}
	if err := d.score(MethodPhoto); err != nil {
		return fail(err)
	}
	return d, sources[0], sources[1], nil
}

// open reads the pictures into bins and refuses what cannot be measured.
// A longer exposure that does not follow the first is left out: it says nothing
// worse of the first than was to be feared without it. note says so.
func (in PhotoInput) open(o Options, gain float64) (bulb, stock *photo, note string, err error) {
	t := newTables(in.Tone)
	least := mostClipped * in.PxPerDeg * in.PxPerDeg
	side := max(1, int(math.Round(in.PxPerDeg*rasterStep)))
	read := func(img image.Image, name string) (*binned, error) {
		p := newPixels(img, t)
		p.white = p.whiteCode(least)
		b := p.bin(side)
		return b, in.checkLight(b, name)
	}
	var off *binned
	if in.Off != nil {
		off = newPixels(in.Off, t).bin(side)
		for _, e := range off.light {
			if e < 0 {
				return nil, nil, "", errors.New("the photo with the lamp off is clipped")
			}
		}
	}
	lens := lensOf(in.Bulb, in.PxPerDeg)
	for _, one := range []struct {
		name string
		img  image.Image
		gain float64
		geo  *Geometry
		to   **photo
	}{{"bulb", in.Bulb, gain, in.BulbPlace, &bulb}, {"stock", in.Stock, 1, in.StockPlace, &stock}} {
		b, err := read(one.img, one.name)
		if err != nil {
			return nil, nil, "", err
		}
		units := in.PxPerDeg * 180 / math.Pi
		floor := photoFloor
		if p, ok := one.img.(*Plane); ok {
			floor = p.floor
		}
		*one.to = &photo{pix: newPixels(one.img, t), bins: b, off: off, gain: one.gain, floor: floor * one.gain, scale: units,
			geo: one.geo, plan: in.Plan, kerb: o.kerb(), loss: lens}
		if one.geo == nil {
			size := one.img.Bounds().Size()
			(*one.to).geo = typedGeometry(in.AxisX, in.AxisY, units, 0, size.X, size.Y)
		}
	}
	if in.LongBulb == nil {
		return bulb, stock, "", nil
	}
	if off != nil {
		return nil, nil, "", errors.New("a longer exposure and a photo with the lamp off cannot be used together")
	}
	var ratios [2]float64
	var merged [2]*binned
	for i, one := range []struct {
		name string
		img  image.Image
		p    *photo
	}{{"bulb", in.LongBulb, bulb}, {"stock", in.LongStock, stock}} {
		short := *one.p.bins
		short.light = slices.Clone(short.light)
		if ratios[i], err = merge(&short, newPixels(one.img, t).bin(side)); err != nil {
			return bulb, stock, fmt.Sprintf("the longer exposure of the %s was left out: %v", one.name, err), nil
		}
		merged[i] = &short
	}
	if math.Abs(math.Log(ratios[0]/ratios[1])) > 0.1 {
		return bulb, stock, fmt.Sprintf("the longer exposures were left out: the bulb's is %.2f times the first and stock's %.2f times, both must be taken alike", ratios[0], ratios[1]), nil
	}
	for i, p := range []*photo{bulb, stock} {
		p.bins = merged[i]
		p.floor /= ratios[i]
	}
	return bulb, stock, "", nil
}

// checkLight refuses clipped, dark and flat pictures.
func (in PhotoInput) checkLight(b *binned, name string) error {
	bin := float64(b.side) / in.PxPerDeg
	if area := float64(b.clipped) * bin * bin; area > mostClipped {
		return fmt.Errorf("%s photo: %.1f square degrees are clipped to white: expose both shorter", name, area)
	}
	least, most := math.Inf(1), 0.0
	for _, e := range b.light {
		if e >= 0 {
			least, most = math.Min(least, e), math.Max(most, e)
		}
	}
	switch {
	case most < leastPeak:
		return fmt.Errorf("%s photo: its brightest part is %.1f %% of full scale: expose both longer", name, 100*most)
	case least > mostVeil*most:
		return fmt.Errorf("%s photo: no contrast, the darkest part has %.0f %% of the brightest: darken the room", name, 100*least/most)
	}
	return nil
}

// lensOf is the share of light the lens passes at a pixel: cos^2 of the angle from
// the picture's centre, half of the natural cos^4 loss, as cameras correct all of it
// or none; a raw picture with its lens's own map has no loss left.
func lensOf(img image.Image, perDeg float64) func(x, y float64) float64 {
	if p, ok := img.(*Plane); ok && p.flat {
		return func(x, y float64) float64 { return 1 }
	}
	size := img.Bounds().Size()
	cx, cy := float64(size.X-1)/2, float64(size.Y-1)/2
	scale := perDeg * 180 / math.Pi
	return func(x, y float64) float64 {
		a, b := (x-cx)/scale, (y-cy)/scale
		return 1 / (1 + a*a + b*b)
	}
}

// merge replaces the dark part of a picture by a longer exposure, and returns how
// much longer it was. The two must agree wherever both are valid: camera tone
// curves that are not sRGB, and tone mapping, make the ratio depend on the level.
func merge(short, long *binned) (float64, error) {
	const least, most, dark = 0.01, 0.45, 0.05
	bands := [3][]float64{}
	for i, e := range short.light {
		l := long.light[i]
		if e < least || e > most || l < 0 || l > 0.9 {
			continue
		}
		k := 0
		switch {
		case e > 0.12:
			k = 2
		case e > 0.035:
			k = 1
		}
		bands[k] = append(bands[k], l/e)
	}
	var medians []float64
	for _, b := range bands {
		if len(b) >= 20 {
			medians = append(medians, median(b))
		}
	}
	if len(medians) == 0 {
		return 0, errors.New("it shares too little with the first: two to eight times the exposure is right")
	}
	low, high := medians[0], medians[0]
	for _, m := range medians {
		low, high = math.Min(low, m), math.Max(high, m)
	}
	ratio := medians[0]
	if ratio < 1.3 {
		return 0, fmt.Errorf("it is only %.2f times the first: two to eight times is right", ratio)
	}
	if high > 1.12*low {
		return 0, fmt.Errorf("it is %.2f times the first in one part and %.2f times in another: the camera bends the tones (HDR, automatic contrast, or a profile other than sRGB)", low, high)
	}
	for i, e := range short.light {
		if l := long.light[i]; e >= 0 && e < 2*dark && l >= 0 {
			w := clamp01((2*dark - e) / dark)
			short.light[i] = w*l/ratio + (1-w)*e
		}
	}
	return ratio, nil
}

// rim says whether a scan has a dark rim just above the cutoff and then brightens:
// light above a cutoff falls away, unless local tone mapping darkened the side of
// the edge that lies next to the bright one.
func rim(s *source, c cutoffFound, kind string) bool {
	if !c.found {
		return false
	}
	rims, seen := 0, 0
	for _, h := range []float64{1, 2, 3, 4, 5, 6} {
		ih := int(math.Round((math.Copysign(h, judgedColumn(kind)) - s.field.H0) / s.field.Step))
		if ih < 0 || ih >= s.field.NH {
			continue
		}
		near, far := math.Inf(1), 0.0
		n := 0
		for iv := range s.field.NV {
			e := s.soft.value(ih, iv)
			if e < 0 {
				continue
			}
			switch up := s.field.V(iv) - c.v; {
			case up > 0.2 && up < 1.8:
				near = math.Min(near, e)
			case up > 2.4 && up < 4.4:
				far, n = far+e, n+1
			}
		}
		if n < 5 || math.IsInf(near, 1) {
			continue
		}
		seen++
		if near > photoFloor && far/float64(n) > rimRise*near {
			rims++
		}
	}
	return seen >= 3 && rims*3 >= seen*2
}
