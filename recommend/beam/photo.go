package beam

import (
	"errors"
	"fmt"
	"image"
	"math"
)

// PhotoInput is a pair of wall photos from one tripod place at one exposure. The
// pictures are decoded already; check their headers with CheckSize before that.
type PhotoInput struct {
	Bulb, Stock image.Image
	// A second, longer exposure of both, for the dark part above the cutoff.
	LongBulb, LongStock image.Image
	// Off is the same exposure as the first with the lamp off; its light is taken off.
	Off image.Image
	// PxPerDeg is the scale at the axis, pixels per degree of beam on the wall; see
	// ScaleFromMarks. AxisX, AxisY is the pixel straight ahead of the lamp, from the
	// upper left corner.
	PxPerDeg     float64
	AxisX, AxisY float64
	// TiltDeg is how far the right side of the picture's horizon stands up; nil: it
	// is found on the stock cutoff.
	TiltDeg *float64
	// BlurPx is the standard deviation of the camera's blur in pixels; nil: not known,
	// and then G is only a least value.
	BlurPx *float64
	// Exposures as the camera recorded them, nil when not known; see ReadExposure.
	BulbExposure, StockExposure *Exposure
	// BulbPlace and StockPlace are where the wall lies in each picture, found by marks
	// that Plan says; nil: PxPerDeg, AxisX, AxisY and TiltDeg say it.
	BulbPlace, StockPlace *Geometry
	Plan                  *MarkPlan
	Marks                 []FoundMark
	// Unfollowed are the beams in whose pictures too few marks are seen to tell
	// whether the phone moved.
	Unfollowed []string
	// Said are notes of how the pictures were put together.
	Said []string
	// Merged says how the pictures were made of brackets; nil: they are as taken.
	Merged *Merged
	// Anchor is a lux reading of each beam; nil: the exposures are compared.
	Anchor *Anchor
	// SameExposure: the user says that both were taken by hand at one exposure and
	// white balance, though the files do not say so.
	SameExposure bool
	// Tone is what is known of the camera's tone curve; empty: nothing.
	Tone string
	// StockLux is the lux at the stock hot spot; with it hot_spot.lux is known.
	StockLux *float64
}

// What is known of a camera's tone curve.
const (
	ToneSRGB   = "srgb"   // IEC 61966-2-1 and nothing else, as a raw developer without a look writes it
	ToneLinear = "linear" // the numbers are the light
)

// Ranges of the scale and the tilt of a photo.
const (
	LeastPxPerDeg = 8.0
	MostPxPerDeg  = 1000.0
	MostTiltDeg   = 3.0
	mostView      = 140.0
)

// ScaleFromMarks gives the pixels per degree at the axis from two marks on the
// wall: their pixels, how far apart they are, and the distance from lamp to wall,
// both in metres.
func ScaleFromMarks(ax, ay, bx, by, apart, distance float64) (float64, error) {
	if !(apart > 0 && apart <= 100) || !(distance > 0 && distance <= 200) {
		return 0, errors.New("marks: must be above 0 to 100 m apart, at a distance above 0 to 200 m")
	}
	px := math.Hypot(bx-ax, by-ay)
	if !(px >= 10) || math.IsInf(px, 0) {
		return 0, errors.New("marks: must be at least 10 pixels apart")
	}
	return px / apart * distance * math.Pi / 180, nil
}

// photo is one levelled wall photo on its way to a source.
type photo struct {
	pix   pixels
	bins  *binned
	off   *binned
	floor float64 // least light that means something, after gain
	gain  float64 // makes an exposure equal to the stock photo's
	geo   *Geometry
	scale float64 // pixels per unit of wall position over distance, at the axis
	kerb  float64
	plan  *MarkPlan
	frame [4]float64                 // left, right, down, up of the raster, degrees; all 0: what the picture shows
	loss  func(x, y float64) float64 // share of light the lens passes
}

// pixelAt gives the pixel of a levelled place on the wall that counts toward the
// kerb, in units of the distance.
func (p *photo) pixelAt(u, w float64) (x, y float64) { return p.geo.pixelAt(p.kerb*u, w) }

// directionOf gives the levelled direction of a pixel.
func (p *photo) directionOf(x, y float64) (h, v float64) {
	h, v = anglesOf(p.geo.wallAt(x, y))
	return p.kerb * h, v
}

// field is the photo as intensity over angles: the wall's light over cos^3 (a wall
// turns away from the lamp and lies farther off to the side) and over what the lens
// passes.
func (p *photo) field() *Field {
	left, right, down, up := p.view()
	if p.frame != [4]float64{} {
		left, right, down, up = p.frame[0], p.frame[1], p.frame[2], p.frame[3]
	}
	// Whole steps from the axis, so that a mirrored picture has the mirrored raster.
	round := func(x float64) float64 { return math.Trunc(x/rasterStep) * rasterStep }
	f := newField(round(left), round(right), round(down), round(up), rasterStep)
	u, far := make([]float64, f.NH), make([]float64, f.NH)
	for ih := range u {
		u[ih] = math.Tan(radians(f.H(ih)))
		far[ih] = math.Hypot(1, u[ih])
	}
	for iv := range f.NV {
		rise := math.Tan(radians(f.V(iv)))
		for ih := range u {
			f.Values[iv*f.NH+ih] = p.light(u[ih], rise*far[ih])
		}
	}
	return f
}

// view is what the picture shows, degrees toward the kerb.
func (p *photo) view() (left, right, down, up float64) {
	w, h := float64(p.pix.w-1), float64(p.pix.h-1)
	left, right, down, up = math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, corner := range [][2]float64{{0, 0}, {w, 0}, {0, h}, {w, h}, {w / 2, 0}, {w / 2, h}, {0, h / 2}, {w, h / 2}} {
		a, b := p.directionOf(corner[0], corner[1])
		left, right, down, up = math.Min(left, a), math.Max(right, a), math.Min(down, b), math.Max(up, b)
	}
	return left, right, down, up
}

// light is the intensity toward a levelled place on the wall, see field.
func (p *photo) light(u, w float64) float64 {
	x, y := p.pixelAt(u, w)
	e, ok := p.bins.at(x, y)
	if !ok || p.plan.covers(u, w) {
		return Missing
	}
	if p.off != nil {
		if dark, ok := p.off.at(x, y); ok {
			e = math.Max(0, e-dark)
		}
	}
	q := 1 + u*u + w*w
	return p.gain * e * q * math.Sqrt(q) / p.loss(x, y)
}

// white are the cells of a field that are missing because the picture is white there.
func (p *photo) white(f *Field) (cells []Point) {
	for i, e := range f.Values {
		if e >= 0 {
			continue
		}
		h, v := f.H(i%f.NH), f.V(i/f.NH)
		u, w := wallOf(h, v)
		x, y := p.pixelAt(u, w)
		margin := float64(2 * p.bins.side)
		if !p.plan.covers(u, w) && x > margin && y > margin && x < float64(p.pix.w)-margin && y < float64(p.pix.h)-margin {
			cells = append(cells, Point{H: p.kerb * h, V: v})
		}
	}
	return cells
}

// column averages the pixels of a levelled strip into steps of one pixel.
func (p *photo) column(h, half, down, up float64) (profile, bool) {
	perDeg := p.scale * math.Pi / 180
	step := 1 / perDeg
	n := int((up - down) / step)
	sum, count, clipped := make([]float64, n), make([]int, n), make([]bool, n)
	var offset float64
	total := 0
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for _, corner := range [][2]float64{{h - half, down}, {h + half, down}, {h - half, up}, {h + half, up}} {
		x, y := p.pixelAt(wallOf(corner[0], corner[1]))
		x0, x1, y0, y1 = math.Min(x0, x), math.Max(x1, x), math.Min(y0, y), math.Max(y1, y)
	}
	left, right := max(0, int(x0)), min(p.pix.w-1, int(x1)+1)
	top, bottom := max(0, int(y0)), min(p.pix.h-1, int(y1)+1)
	if right-left < 2 || bottom-top < 10 {
		return profile{}, false
	}
	row := make([]float32, right-left+1)
	for y := top; y <= bottom; y++ {
		p.pix.row(y, left, row)
		for i, e := range row {
			a, v := p.directionOf(float64(left+i), float64(y))
			if math.Abs(a-h) > half {
				continue
			}
			at := (v - down) / step
			k := int(math.Round(at))
			if k < 0 || k >= n {
				continue
			}
			if e >= clippedLight {
				clipped[k] = true
				continue
			}
			sum[k], count[k] = sum[k]+float64(e), count[k]+1
			offset, total = offset+at-float64(k), total+1
		}
	}
	if total == 0 {
		return profile{}, false
	}
	shift := down + offset/float64(total)*step
	// A strip cut by the picture's edge is thinner there; such steps are left out.
	full := int(2*half*perDeg) / 2
	values := make([]float64, n)
	for k := range values {
		values[k] = Missing
		if count[k] >= max(1, full) && !clipped[k] {
			values[k] = p.gain * sum[k] / float64(count[k])
			if p.off != nil {
				x, y := p.pixelAt(wallOf(h, shift+float64(k)*step))
				if dark, ok := p.off.at(x, y); ok {
					values[k] = math.Max(0, values[k]-p.gain*dark)
				}
			}
		}
	}
	first, length := longestRun(values)
	return profile{shift + float64(first)*step, step, values[first : first+length]}, length >= 20
}

func (in PhotoInput) check() error {
	if in.Bulb == nil || in.Stock == nil {
		return errors.New("two photos are needed: the bulb's and the stock beam's, at one exposure")
	}
	if (in.LongBulb == nil) != (in.LongStock == nil) {
		return errors.New("the longer exposure is needed of both beams or of none")
	}
	size := in.Bulb.Bounds().Size()
	for _, img := range []image.Image{in.Bulb, in.Stock, in.LongBulb, in.LongStock, in.Off} {
		if img == nil {
			continue
		}
		if s := img.Bounds().Size(); s != size {
			return fmt.Errorf("photos of different sizes, %d x %d and %d x %d: they must come from one camera at one place", size.X, size.Y, s.X, s.Y)
		}
		if err := CheckSize(image.Config{Width: size.X, Height: size.Y}); err != nil {
			return err
		}
	}
	if (in.BulbPlace == nil) != (in.StockPlace == nil) {
		return errors.New("the marks are needed in the pictures of both beams or of none")
	}
	if !(in.PxPerDeg >= LeastPxPerDeg && in.PxPerDeg <= MostPxPerDeg) {
		return fmt.Errorf("%g pixels per degree: must be from %g to %g", in.PxPerDeg, LeastPxPerDeg, MostPxPerDeg)
	}
	if wide := float64(size.X) / in.PxPerDeg; wide > mostView {
		return fmt.Errorf("%g pixels per degree: the picture would span %.0f degrees, at most %g can be seen on a wall", in.PxPerDeg, wide, mostView)
	}
	if !(in.AxisX >= 0 && in.AxisX < float64(size.X) && in.AxisY >= 0 && in.AxisY < float64(size.Y)) {
		return fmt.Errorf("axis %g,%g: must be a pixel of the picture of %d x %d", in.AxisX, in.AxisY, size.X, size.Y)
	}
	if in.Tone != "" && in.Tone != ToneSRGB && in.Tone != ToneLinear {
		return fmt.Errorf("tone %q: must be %s or %s", in.Tone, ToneSRGB, ToneLinear)
	}
	if t := in.TiltDeg; t != nil && !(math.Abs(*t) <= MostTiltDeg) {
		return fmt.Errorf("tilt %g degrees: must be within %g either way", *t, MostTiltDeg)
	}
	if b := in.BlurPx; b != nil && !(*b >= 0 && *b <= 50) {
		return fmt.Errorf("blur %g pixels: must be from 0 to 50", *b)
	}
	if l := in.StockLux; l != nil && !(*l > 0 && *l <= 1e6) {
		return fmt.Errorf("stock %g lux: must be above 0 to 1e6", *l)
	}
	return nil
}
