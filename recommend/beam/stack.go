package beam

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
	"sync"
)

// Shot is one picture of a bracket.
type Shot struct {
	Image    image.Image
	Exposure *Exposure
}

// Plane is a picture of light itself, made of one or more exposures. It reads as an
// image of its root, for looking at.
type Plane struct {
	w, h  int
	e     []float32 // luminance; clippedLight and more where every exposure was white
	floor float64   // least light that means something
	raw   bool      // as the sensor counted it: the tone curve is known
	flat  bool      // the lens's loss toward the edges is undone
}

// ColorModel is grey of 16 bits.
func (p *Plane) ColorModel() color.Model { return color.Gray16Model }

// Bounds begin at 0, 0.
func (p *Plane) Bounds() image.Rectangle { return image.Rect(0, 0, p.w, p.h) }

// At is the root of the light, so that dark parts are seen.
func (p *Plane) At(x, y int) color.Color {
	if x < 0 || y < 0 || x >= p.w || y >= p.h {
		return color.Gray16{}
	}
	return color.Gray16{Y: uint16(65535 * math.Sqrt(math.Min(1, float64(p.e[y*p.w+x]))))}
}

// Brackets are the exposures of one lamp with its two bulbs, and dark: all from one
// place. Off may be empty.
type Brackets struct{ Bulb, Stock, Off []Shot }

// Merged is light recovered from Brackets, bulb and stock in one unit when the
// exposures are known.
type Merged struct {
	Bulb, Stock, Off *Plane
	Response         *Response // nil: one exposure only, sRGB assumed
	Levels           bool      // exposures of all pictures are known
	Notes            []string
}

// sampleStep is how many places across the picture the response is read from.
const sampleAcross = 160

// Merge recovers the camera's tone curve from the exposures and makes one plane of
// each bracket. The three brackets share the curve.
func Merge(b Brackets) (Merged, error) {
	var m Merged
	m.Levels = true
	if len(b.Bulb) == 0 || len(b.Stock) == 0 {
		return m, errors.New("photos of both beams are needed: the bulb's and the halogen's")
	}
	size := b.Stock[0].Image.Bounds().Size()
	for _, s := range slices.Concat(b.Bulb, b.Stock, b.Off) {
		if s.Image.Bounds().Size() != size {
			return m, fmt.Errorf("photos of different sizes, %v and %v: they must come from one camera at one place", size, s.Image.Bounds().Size())
		}
		if s.Exposure != nil && s.Exposure.Custom {
			return m, errors.New("the camera recorded special processing (HDR or the like): switch it off and take them again")
		}
		m.Levels = m.Levels && s.Exposure.Known()
	}
	var list []Observation
	raws := 0
	for _, s := range slices.Concat(b.Bulb, b.Stock, b.Off) {
		if p, ok := s.Image.(*Plane); ok && p.raw {
			raws++
		}
	}
	if raws > 0 && raws < len(b.Bulb)+len(b.Stock)+len(b.Off) {
		return m, errors.New("some of the pictures are raw and some are not: take one kind")
	}
	if raws > 0 {
		m.Response = &Response{Light: linearResponse()}
	}
	for _, shots := range [][]Shot{b.Stock, b.Bulb} {
		if raws == 0 {
			list = append(list, observed(shots)...)
		}
	}
	if raws == 0 && max(len(b.Bulb), len(b.Stock)) > 1 {
		r, err := FitResponse(list)
		switch {
		case err != nil:
			m.Notes = append(m.Notes, "the camera's tone curve was not recovered: "+err.Error())
		case r.Misfit > mostMisfit:
			return m, fmt.Errorf("the exposures of one scene disagree by %.0f %%: the phone changes the picture from place to place (HDR, night mode, local contrast). Switch that off, use manual or pro mode, or take raw files", 100*r.Misfit)
		default:
			m.Response = &r
		}
	}
	light := linearCodes()
	if m.Response != nil {
		light = m.Response.Light
	}
	scale := 0.0
	var err error
	for _, one := range []struct {
		shots []Shot
		to    **Plane
		name  string
	}{{b.Stock, &m.Stock, "stock"}, {b.Bulb, &m.Bulb, "bulb"}, {b.Off, &m.Off, "lamp-off"}} {
		if len(one.shots) == 0 {
			continue
		}
		var p *Plane
		if raws > 0 {
			p = mergeRaw(one.shots)
		} else if p, err = mergeShots(one.shots, light); err != nil {
			return m, fmt.Errorf("%s photos: %w", one.name, err)
		}
		*one.to = p
		if scale == 0 {
			scale = 0.5 / p.most()
		}
		// Without recorded exposures each beam has a unit of its own.
		if !m.Levels && one.to == &m.Bulb {
			p.times(0.5 / p.most())
			continue
		}
		p.times(scale)
	}
	if !m.Levels {
		m.Off = nil
	}
	return m, nil
}

// linearResponse is that of a camera whose numbers are the light.
func linearResponse() (light [256]float64) {
	for i := range light {
		light[i] = float64(i) / 255
	}
	return light
}

// mergeRaw weighs raw exposures of each pixel by how long they are; white ones say
// nothing.
func mergeRaw(shots []Shot) *Plane {
	first := shots[0].Image.(*Plane)
	p := &Plane{w: first.w, h: first.h, e: make([]float32, len(first.e)), floor: math.Inf(1), raw: true, flat: first.flat}
	weights := make([]float32, len(p.e))
	for _, s := range shots {
		one, t := s.Image.(*Plane), relative(s)
		p.floor = math.Min(p.floor, one.floor/t)
		for i, e := range one.e {
			if e < clippedLight {
				p.e[i], weights[i] = p.e[i]+e, weights[i]+float32(t)
			}
		}
	}
	for i, w := range weights {
		if p.e[i] /= w; w == 0 {
			p.e[i] = float32(math.Inf(1))
		}
	}
	return p
}

func linearCodes() (light [256]float64) {
	for i := range light {
		light[i] = linear(float64(i) / 255)
	}
	return light
}

// relative is the exposure of a shot; 1 when it is not known and there is no other.
func relative(s Shot) float64 {
	if s.Exposure.Known() {
		return s.Exposure.light()
	}
	return 1
}

// observed reads the same small squares in neighbouring exposures of one bracket.
func observed(shots []Shot) []Observation {
	shots = slices.DeleteFunc(slices.Clone(shots), func(s Shot) bool { return !s.Exposure.Known() })
	slices.SortFunc(shots, func(a, b Shot) int { return int(math.Copysign(1, relative(a)-relative(b))) })
	var out []Observation
	for i := 1; i < len(shots); i++ {
		ratio := relative(shots[i]) / relative(shots[i-1])
		if ratio < 1.3 {
			continue
		}
		a, b := codesOf(shots[i-1].Image), codesOf(shots[i].Image)
		for k := range a {
			if a[k].flat && b[k].flat {
				out = append(out, Observation{a[k].code, b[k].code, ratio})
			}
		}
	}
	return out
}

type codeSample struct {
	code float64
	flat bool
}

// codesOf reads the mean code of small squares on a lattice, channel by channel,
// and whether the square is flat enough for its mean to mean anything.
func codesOf(img image.Image) []codeSample {
	p := newPixels(img, nil)
	step := max(8, p.w/sampleAcross)
	side := step * 3 / 4
	var out []codeSample
	rgb := make([][3]uint8, side)
	for y := step / 2; y+side < p.h; y += step {
		for x := step / 2; x+side < p.w; x += step {
			var sum, squares [3]float64
			for dy := range side {
				p.rgbRow(y+dy, x, rgb)
				for _, c := range rgb {
					for k, v := range c {
						sum[k] += float64(v)
						squares[k] += float64(v) * float64(v)
					}
				}
			}
			n := float64(side * side)
			for k := range 3 {
				mean := sum[k] / n
				spread := math.Sqrt(math.Max(0, squares[k]/n-mean*mean))
				out = append(out, codeSample{mean, spread < 4+0.06*mean && k == 1})
			}
		}
	}
	return out
}

// rgbRow reads the codes of a part of a row.
func (p pixels) rgbRow(y, x0 int, out [][3]uint8) {
	if p.turn >= 3 {
		y = p.h - 1 - y
	}
	if p.turn == 2 || p.turn == 3 {
		x0 = p.w - x0 - len(out)
		defer slices.Reverse(out)
	}
	y, x0 = y+p.y, x0+p.x
	switch img := p.img.(type) {
	case *image.YCbCr:
		for i := range out {
			yi, ci := img.YOffset(x0+i, y), img.COffset(x0+i, y)
			r, g, b := color.YCbCrToRGB(img.Y[yi], img.Cb[ci], img.Cr[ci])
			out[i] = [3]uint8{r, g, b}
		}
	case *image.Gray:
		for i, v := range img.Pix[img.PixOffset(x0, y):][:len(out)] {
			out[i] = [3]uint8{v, v, v}
		}
	default:
		for i := range out {
			r, g, b, _ := p.img.At(x0+i, y).RGBA()
			out[i] = [3]uint8{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8)}
		}
	}
}

// mergeShots weighs the exposures of each pixel: the longest that is not near white
// counts most, as its noise is least.
func mergeShots(shots []Shot, light [256]float64) (*Plane, error) {
	size := shots[0].Image.Bounds().Size()
	p := &Plane{w: size.X, h: size.Y, e: make([]float32, size.X*size.Y)}
	type member struct {
		p               pixels
		weight, weighed [256]float32 // weight by the greatest code; light over exposure by code
	}
	members := make([]member, len(shots))
	longest := 0.0
	for i, s := range shots {
		m := &members[i]
		m.p = newPixels(s.Image, nil)
		white := m.p.whiteCode(float64(size.X*size.Y) * 0.0002)
		t := relative(s)
		longest = math.Max(longest, t)
		for c := range 256 {
			m.weighed[c] = float32(light[c] / t)
			if c < int(white) {
				// Falls to nothing at white, and in the shadows with their rounding.
				up := math.Min(1, float64(int(white)-c)/30)
				m.weight[c] = float32(t * up * math.Max(1e-5, math.Min(1, (float64(c)-codeLeast+4)/20)))
			}
		}
	}
	p.floor = light[2] / longest
	// Rows know nothing of each other.
	var all sync.WaitGroup
	const workers = 4
	for k := range workers {
		all.Go(func() {
			rgb := make([][3]uint8, size.X)
			weights := make([]float32, size.X)
			for y := k; y < size.Y; y += workers {
				row := p.e[y*size.X : (y+1)*size.X]
				clear(weights)
				for k := range members {
					m := &members[k]
					m.p.rgbRow(y, 0, rgb)
					for x, c := range rgb {
						w := m.weight[max(c[0], c[1], c[2])]
						row[x] += w * (redShare*m.weighed[c[0]] + greenShare*m.weighed[c[1]] + blueShare*m.weighed[c[2]])
						weights[x] += w
					}
				}
				for x := range row {
					if weights[x] > 0 {
						row[x] /= weights[x]
					} else {
						row[x] = float32(math.Inf(1))
					}
				}
			}
		})
	}
	all.Wait()
	return p, nil
}

// most is the greatest light but for lone pixels.
func (p *Plane) most() float64 {
	b := pixels{img: p, w: p.w, h: p.h, white: 255}.bin(max(1, p.w/400))
	most := 0.0
	for _, e := range b.light {
		most = math.Max(most, e)
	}
	if most == 0 {
		return 1
	}
	return most
}

func (p *Plane) times(f float64) {
	for i, e := range p.e {
		if v := e * float32(f); v < clippedLight && !math.IsInf(float64(e), 1) {
			p.e[i] = v
		} else {
			p.e[i] = clippedLight
		}
	}
	p.floor *= f
}
