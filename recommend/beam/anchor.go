package beam

import (
	"errors"
	"fmt"
	"math"
)

// Anchor is one reading of a lux meter for each beam at one place on the wall: it
// makes the levels of the two pictures equal whatever their exposures and colours.
type Anchor struct {
	// Mark is the number of the mark where both were read, 1 to 6; 0 is the brightest
	// place of each beam.
	Mark              int
	BulbLux, StockLux float64
}

// anchored gives the factor on the bulb's light that makes the pictures agree with
// the readings, and the lux of one unit of the stock picture's light.
func (in PhotoInput) anchored(bulb, stock *photo) (gain, lux float64, err error) {
	a := in.Anchor
	if !(a.BulbLux > 0 && a.StockLux > 0) || a.Mark < 0 || a.Mark > 6 {
		return 0, 0, errors.New("one lux reading above 0 is needed of each beam, at one of the marks 1 to 6 or at hot")
	}
	var e [2]float64
	for i, p := range []*photo{bulb, stock} {
		if a.Mark == 0 {
			e[i] = p.most()
			continue
		}
		if in.Plan == nil {
			return 0, 0, errors.New("a reading at a mark needs the marks in the picture")
		}
		at := in.Plan.places()[a.Mark-1]
		// In the white ring of the mark: the same paper for both beams.
		r := (MarkWhite + MarkDot) / 4 / in.Plan.Distance
		const around = 24
		n := 0
		for k := range around {
			s, c := math.Sincos(2 * math.Pi * float64(k) / around)
			x, y := p.geo.pixelAt(at[0]+r*c, at[1]+r*s)
			if v, ok := p.pixel(x, y); ok {
				e[i], n = e[i]+v, n+1
			}
		}
		if n < around/2 || e[i]/float64(n) <= 3*p.floor/p.gain {
			return 0, 0, fmt.Errorf("mark %d is too dark, white or outside in one of the pictures: read the lux at a mark that the beam lights", a.Mark)
		}
		e[i] /= float64(n)
	}
	if !(e[0] > 0 && e[1] > 0) {
		return 0, 0, errors.New("there is no light where the lux were read")
	}
	return a.BulbLux / a.StockLux * e[1] / e[0], a.StockLux / e[1], nil
}

// pixel is the light at a pixel, the lamp-off light taken away.
func (p *photo) pixel(x, y float64) (float64, bool) {
	ix, iy := int(math.Round(x)), int(math.Round(y))
	if ix < 1 || iy < 1 || ix >= p.pix.w-1 || iy >= p.pix.h-1 {
		return 0, false
	}
	row := make([]float32, 3)
	sum := 0.0
	for dy := -1; dy <= 1; dy++ {
		p.pix.row(iy+dy, ix-1, row)
		for _, v := range row {
			if v >= clippedLight {
				return 0, false
			}
			sum += float64(v) / 9
		}
	}
	if p.off != nil {
		if dark, ok := p.off.at(x, y); ok {
			sum = math.Max(0, sum-dark)
		}
	}
	return sum, true
}

// most is the greatest light of the picture, over a square of bins.
func (p *photo) most() float64 {
	most := 0.0
	for _, e := range p.bins.light {
		most = math.Max(most, e)
	}
	return most
}

// gain is what the bulb's picture is multiplied by before it is held against the
// stock picture's; known is false when the levels cannot be compared.
func (in PhotoInput) gain() (gain float64, known bool, note string, err error) {
	if in.Anchor != nil {
		return 1, true, "", nil // the readings set it, once the pictures are open
	}
	if in.Merged != nil && in.Merged.Levels {
		return 1, true, "", nil // exposures are in the planes
	}
	return exposureGain(in.BulbExposure, in.StockExposure, in.SameExposure)
}
