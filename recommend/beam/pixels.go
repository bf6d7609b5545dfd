package beam

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"slices"
)

// Bounds of a photo, checked before it is decoded: MaxPixels keeps the decoded
// picture under 400 MB in the largest of Go's formats; under MinSide there is no
// beam to see.
const (
	MaxPixels = 50_000_000
	MinSide   = 64
)

// CheckSize refuses a picture by its header alone, so that a huge one is never
// decoded: sides of at least MinSide, at most MaxPixels pixels.
func CheckSize(cfg image.Config) error {
	if cfg.Width < MinSide || cfg.Height < MinSide {
		return fmt.Errorf("picture of %d x %d pixels: each side must be at least %d", cfg.Width, cfg.Height, MinSide)
	}
	if cfg.Width > MaxPixels/cfg.Height {
		return fmt.Errorf("picture of %d x %d pixels: must be at most %d million pixels", cfg.Width, cfg.Height, MaxPixels/1_000_000)
	}
	return nil
}

// Luminance of linear sRGB (IEC 61966-2-1, ITU-R BT.709 primaries).
const redShare, greenShare, blueShare = 0.2126, 0.7152, 0.0722

// clippedCode is the 8-bit code from which a channel counts as clipped: JPEG
// rounding takes full white down by one or two.
const clippedCode = 253

// linear is the sRGB transfer function (IEC 61966-2-1) on 0..1.
func linear(c float64) float64 {
	if c <= 0.04045 {
		return c / 12.92
	}
	return math.Pow((c+0.055)/1.055, 2.4)
}

// tables hold each channel's share of luminance by 8-bit code, and the transfer
// function by 16-bit code once a deep picture asks for it.
type tables struct {
	r, g, b, y [256]float32
	deep       []float32
	tone       func(c float64) float64
}

func newTables(tone string) *tables {
	t := &tables{tone: linear}
	if tone == ToneLinear {
		t.tone = func(c float64) float64 { return c }
	}
	for i := range 256 {
		v := t.tone(float64(i) / 255)
		t.r[i], t.g[i], t.b[i], t.y[i] = float32(redShare*v), float32(greenShare*v), float32(blueShare*v), float32(v)
	}
	return t
}

// pixels reads linear luminance from a decoded picture, 1 at full scale. Places
// count from its upper left corner. A clipped pixel reads at least clippedLight.
type pixels struct {
	img   image.Image
	t     *tables
	w, h  int
	x, y  int   // the picture's own origin
	turn  int   // how the picture lies, see Turned
	white uint8 // code from which a channel is clipped
}

// Turned is a picture that lies as Exif's orientation says, 1 to 8 (CIPA DC-008);
// it reads upright.
type Turned struct {
	image.Image
	Orientation int
}

// Upright gives the picture as it is meant to be looked at; 0 and 1 are as stored.
func Upright(img image.Image, orientation int) image.Image {
	if orientation <= 1 || orientation > 8 {
		return img
	}
	turned := Turned{img, orientation}
	p, ok := img.(*Plane)
	if !ok {
		return turned
	}
	size := turned.Bounds().Size()
	out := *p
	out.w, out.h, out.e = size.X, size.Y, make([]float32, len(p.e))
	for i := range out.e {
		x, y := turned.stored(i%out.w, i/out.w)
		out.e[i] = p.e[y*p.w+x]
	}
	return &out
}

// Bounds are those of the upright picture, from 0, 0.
func (t Turned) Bounds() image.Rectangle {
	size := t.Image.Bounds().Size()
	if t.Orientation >= 5 {
		size.X, size.Y = size.Y, size.X
	}
	return image.Rectangle{Max: size}
}

// At is a pixel of the upright picture.
func (t Turned) At(x, y int) color.Color {
	x, y = t.stored(x, y)
	b := t.Image.Bounds()
	return t.Image.At(b.Min.X+x, b.Min.Y+y)
}

// stored is where a pixel of the upright picture is stored, from the corner.
func (t Turned) stored(x, y int) (int, int) {
	b := t.Image.Bounds()
	w, h := b.Dx(), b.Dy()
	switch t.Orientation {
	case 2:
		x = w - 1 - x
	case 3:
		x, y = w-1-x, h-1-y
	case 4:
		y = h - 1 - y
	case 5:
		x, y = y, x
	case 6:
		x, y = y, h-1-x
	case 7:
		x, y = w-1-y, h-1-x
	case 8:
		x, y = w-1-y, x
	}
	return x, y
}

// clippedLight marks a clipped pixel; no other reads more than 1.
const clippedLight = 2

func newPixels(img image.Image, t *tables) pixels {
	turn := 0
	// A row of a picture turned over is a row of the picture as stored.
	if over, ok := img.(Turned); ok && over.Orientation <= 4 {
		turn, img = over.Orientation, over.Image
	}
	b := img.Bounds()
	switch img.(type) {
	case *image.YCbCr, *image.RGBA, *image.NRGBA, *image.Gray, *Plane:
	default:
		if t != nil && t.deep == nil {
			t.deep = make([]float32, 1<<16)
			for i := range t.deep {
				t.deep[i] = float32(t.tone(float64(i) / 65535))
			}
		}
	}
	return pixels{img: img, t: t, w: b.Dx(), h: b.Dy(), x: b.Min.X, y: b.Min.Y, turn: turn, white: clippedCode}
}

func (t *tables) rgb(r, g, b, white uint8) float32 {
	if r >= white || g >= white || b >= white {
		return clippedLight
	}
	return t.r[r] + t.g[g] + t.b[b]
}

// row fills out with the luminance of x0..x0+len(out) of one row.
func (p pixels) row(y, x0 int, out []float32) {
	if p.turn >= 3 {
		y = p.h - 1 - y
	}
	if p.turn == 2 || p.turn == 3 {
		x0 = p.w - x0 - len(out)
		defer slices.Reverse(out)
	}
	p.stored(y, x0, out)
}

// stored is row for the picture as it is stored.
func (p pixels) stored(y, x0 int, out []float32) {
	y, x0 = y+p.y, x0+p.x
	switch img := p.img.(type) {
	case *Plane:
		copy(out, img.e[y*img.w+x0:])
	case *image.YCbCr:
		for i := range out {
			yi, ci := img.YOffset(x0+i, y), img.COffset(x0+i, y)
			out[i] = p.colour(img.Y[yi], img.Cb[ci], img.Cr[ci])
		}
	case *image.RGBA:
		pix := img.Pix[img.PixOffset(x0, y):]
		for i := range out {
			out[i] = p.t.rgb(pix[4*i], pix[4*i+1], pix[4*i+2], p.white)
		}
	case *image.NRGBA:
		pix := img.Pix[img.PixOffset(x0, y):]
		for i := range out {
			out[i] = p.t.rgb(pix[4*i], pix[4*i+1], pix[4*i+2], p.white)
		}
	case *image.Gray:
		pix := img.Pix[img.PixOffset(x0, y):]
		for i := range out {
			if out[i] = p.t.y[pix[i]]; pix[i] >= p.white {
				out[i] = clippedLight
			}
		}
	default:
		for i := range out {
			r, g, b, _ := img.At(x0+i, y).RGBA()
			out[i] = p.t.rgb16(r, g, b, p.white)
		}
	}
}

func (p pixels) colour(y, cb, cr uint8) float32 {
	r, g, b := color.YCbCrToRGB(y, cb, cr)
	return p.t.rgb(r, g, b, p.white)
}

// rgb16 is the luminance of 16-bit channels.
func (t *tables) rgb16(r, g, b uint32, white uint8) float32 {
	if max(r, g, b) >= uint32(white)*0x101 {
		return clippedLight
	}
	return redShare*t.deep[r] + greenShare*t.deep[g] + blueShare*t.deep[b]
}

// binned is a picture averaged over squares of side pixels.
type binned struct {
	side    int
	nx, ny  int
	light   []float64 // mean linear luminance; Missing where a pixel is clipped
	clipped int       // bins of which at least half is clipped
}

func (p pixels) bin(side int) *binned {
	b := &binned{side: side, nx: p.w / side, ny: p.h / side}
	b.light = make([]float64, b.nx*b.ny)
	row := make([]float32, b.nx*side)
	clips := make([]int32, b.nx)
	for by := range b.ny {
		line := b.light[by*b.nx : (by+1)*b.nx]
		clear(clips)
		for y := by * side; y < (by+1)*side; y++ {
			p.row(y, 0, row)
			for bx := range line {
				var sum float32
				for _, v := range row[bx*side : (bx+1)*side] {
					if v >= clippedLight {
						clips[bx]++
						v = 1
					}
					sum += v
				}
				line[bx] += float64(sum)
			}
		}
		for bx := range line {
			line[bx] /= float64(side * side)
			if clips[bx] > 0 {
				if int(clips[bx])*2 >= side*side {
					b.clipped++
				}
				// A lone bright pixel is a fault of the sensor; more is clipping.
				if int(clips[bx])*8 > side*side {
					line[bx] = Missing
				}
			}
		}
	}
	return b
}

// at reads between bins; pixel coordinates, the centre of pixel i is i.
func (b *binned) at(x, y float64) (float64, bool) {
	half := float64(b.side-1) / 2
	fx, fy := (x-half)/float64(b.side), (y-half)/float64(b.side)
	ix, iy := int(math.Floor(fx)), int(math.Floor(fy))
	if ix < 0 || iy < 0 || ix+1 >= b.nx || iy+1 >= b.ny {
		return 0, false
	}
	fx, fy = fx-float64(ix), fy-float64(iy)
	i := iy*b.nx + ix
	p, q, r, s := b.light[i], b.light[i+1], b.light[i+b.nx], b.light[i+b.nx+1]
	if p < 0 || q < 0 || r < 0 || s < 0 {
		return 0, false
	}
	return (p*(1-fx)+q*fx)*(1-fy) + (r*(1-fx)+s*fx)*fy, true
}
