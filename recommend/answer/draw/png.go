package draw

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	imagedraw "image/draw"
	"image/png"
	"math"

	"golang.org/x/image/font"
	fixedpoint "golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// DotsPerMM is the resolution of a PNG: 6 dots per mm, 152 to the inch.
const DotsPerMM = 6

// mostDots is the largest side of a PNG: 1.6 m of paper.
const mostDots = 10000

// PNG writes the sheet as PNG (ISO/IEC 15948) that says its own resolution, so
// that it prints at true scale where the printing program keeps to it.
func (s *Sheet) PNG() ([]byte, error) {
	if width, height := dots(s.Width), dots(s.Height); width < 1 || height < 1 || width > mostDots || height > mostDots {
		return nil, fmt.Errorf("picture of %g x %g mm: a PNG is more than 0 and at most %d mm wide and high", s.Width, s.Height, mostDots/DotsPerMM)
	}
	bounds := image.Rect(0, 0, dots(s.Width), dots(s.Height))
	c := canvas{image.NewRGBA(bounds)}
	imagedraw.Draw(c.picture, bounds, image.White, image.Point{}, imagedraw.Src)
	for _, it := range s.items {
		switch {
		case it.area != nil:
			c.fill([][]Point{it.area.corners}, it.area.ink)
		case it.stroke != nil:
			c.stroke(it.stroke)
		default:
			if err := c.write(it.words); err != nil {
				return nil, err
			}
		}
	}
	var file bytes.Buffer
	if err := png.Encode(&file, slim(c.picture)); err != nil {
		return nil, err
	}
	return withResolution(file.Bytes())
}

func dots(mm float64) int { return int(math.Round(mm * DotsPerMM)) }

// canvas is a picture in dots.
type canvas struct{ picture *image.RGBA }

// fill covers polygons that turn the same way, so that where they overlap they
// add and do not cancel. Only the part of the picture round them is looked at.
func (c canvas) fill(polygons [][]Point, ink Ink) {
	low, high := Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, polygon := range polygons {
		for _, p := range polygon {
			low.X, low.Y, high.X, high.Y = min(low.X, p.X), min(low.Y, p.Y), max(high.X, p.X), max(high.Y, p.Y)
		}
	}
	if !(low.X <= high.X && low.Y <= high.Y) { // nothing, or not a number
		return
	}
	box := image.Rect(dots(low.X)-1, dots(low.Y)-1, dots(high.X)+2, dots(high.Y)+2).Intersect(c.picture.Bounds())
	if box.Empty() {
		return
	}
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	for _, polygon := range polygons {
		for i, p := range polygon {
			x, y := float32(p.X*DotsPerMM-float64(box.Min.X)), float32(p.Y*DotsPerMM-float64(box.Min.Y))
			if i == 0 {
				r.MoveTo(x, y)
			} else {
				r.LineTo(x, y)
			}
		}
		r.ClosePath()
	}
	r.Draw(c.picture, box, image.NewUniform(ink.colour()), image.Point{})
}

func (i Ink) colour() color.Color {
	return color.NRGBA{R: i.R, G: i.G, B: i.B, A: channel(255 * (1 - i.Clear))}
}

// stroke fills each straight piece as a thin rectangle, and a disc at each bend
// and at the ends of dots.
func (c canvas) stroke(l *stroke) {
	var polygons [][]Point
	half := l.pen.Thick / 2
	for _, piece := range l.pieces() {
		for i, a := range piece {
			if i+1 < len(piece) {
				if quad := bar(a, piece[i+1], half); quad != nil {
					polygons = append(polygons, quad)
				}
			}
			if l.pen.dots() || i > 0 && i+1 < len(piece) && bends(piece[i-1], a, piece[i+1]) {
				polygons = append(polygons, disc(a.X, a.Y, half))
			}
		}
	}
	c.fill(polygons, l.pen.Ink)
}

// bends says whether a line turns so much at b that its outer edge would gape. At
// less a disc would only add to the soft edges.
func bends(a, b, c Point) bool {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, c.X-b.X, c.Y-b.Y
	const cosine = 0.985 // of ten degrees
	return ux*vx+uy*vy < cosine*math.Hypot(ux, uy)*math.Hypot(vx, vy)
}

// bar is a thick line as a polygon that turns as disc does; nil without length.
func bar(a, b Point, half float64) []Point {
	length := math.Hypot(b.X-a.X, b.Y-a.Y)
	if length == 0 {
		return nil
	}
	dx, dy := half*(b.Y-a.Y)/length, half*(b.X-a.X)/length
	return []Point{{a.X + dx, a.Y - dy}, {b.X + dx, b.Y - dy}, {b.X - dx, b.Y + dy}, {a.X - dx, a.Y + dy}}
}

// pieces cuts a dashed line into its dashes, which run on around bends.
func (l *stroke) pieces() [][]Point {
	dashes := l.pen.dashes()
	if dashes == nil {
		return [][]Point{l.points}
	}
	var pieces [][]Point
	k, left := 0, dashes[0] // the dash or gap under way, and what is left of it
	piece := []Point{l.points[0]}
	for i := 0; i+1 < len(l.points); i++ {
		a, b := l.points[i], l.points[i+1]
		length, at := math.Hypot(b.X-a.X, b.Y-a.Y), 0.0
		for length-at > left {
			at += left
			p := Point{a.X + at/length*(b.X-a.X), a.Y + at/length*(b.Y-a.Y)}
			if k%2 == 0 {
				pieces = append(pieces, append(piece, p))
			}
			k, piece = (k+1)%len(dashes), []Point{p}
			left = dashes[k]
		}
		left -= length - at
		piece = append(piece, b)
	}
	if k%2 == 0 {
		pieces = append(pieces, piece)
	}
	return pieces
}

// dashes are the dashes and gaps of a pen, an even number of them; nil for a
// solid line. A length of nothing becomes a hair, so that cutting ends.
func (p Pen) dashes() []float64 {
	var list []float64
	sum := 0.0
	for range 1 + len(p.Dash)%2 { // as SVG reads an odd number
		for _, d := range p.Dash {
			list = append(list, max(d, 0.01))
			sum += d
		}
	}
	if !(sum > 0) {
		return nil
	}
	return list
}

// write sets words. Turned words are set level on a strip of their own first.
func (c canvas) write(w *words) error {
	face, err := faceOf(w.face.Size * DotsPerMM)
	if err != nil {
		return err
	}
	width := float64(font.MeasureString(face, w.text)) / 64
	shift := [...]float64{0, 0.5, 1}[w.face.Anchor] * width
	x, y := w.x*DotsPerMM, w.y*DotsPerMM
	ink := image.NewUniform(w.face.Ink.colour())
	at := func(x, y float64) fixedpoint.Point26_6 {
		return fixedpoint.Point26_6{X: fixedpoint.Int26_6(math.Round(64 * x)), Y: fixedpoint.Int26_6(math.Round(64 * y))}
	}
	if !w.face.Upward {
		drawer := font.Drawer{Dst: c.picture, Src: ink, Face: face, Dot: at(x-shift, y)}
		drawer.DrawString(w.text)
		return nil
	}
	rise := int(math.Ceil(w.face.Size * DotsPerMM))
	strip := image.NewAlpha(image.Rect(0, 0, min(int(width)+2, mostDots), 2*rise))
	drawer := font.Drawer{Dst: strip, Src: image.Opaque, Face: face, Dot: at(0, float64(rise))}
	drawer.DrawString(w.text)
	turned := image.NewAlpha(image.Rect(0, 0, strip.Rect.Dy(), strip.Rect.Dx()))
	for i := range strip.Rect.Dx() {
		for j := range strip.Rect.Dy() {
			turned.SetAlpha(j, strip.Rect.Dx()-1-i, strip.AlphaAt(i, j))
		}
	}
	corner := image.Pt(int(math.Round(x))-rise, int(math.Round(y+shift))-strip.Rect.Dx())
	imagedraw.DrawMask(c.picture, turned.Rect.Add(corner), ink, image.Point{}, turned, image.Point{}, imagedraw.Over)
	return nil
}

// withResolution puts a pHYs chunk behind the header: dots per metre, twice.
func withResolution(file []byte) ([]byte, error) {
	const header = 8 + 25 // signature, then length, type, 13 bytes and check of IHDR
	if len(file) < header {
		return nil, fmt.Errorf("picture of %d bytes is no PNG", len(file))
	}
	chunk := make([]byte, 0, 21)
	chunk = binary.BigEndian.AppendUint32(chunk, 9)
	chunk = append(chunk, "pHYs"...)
	chunk = binary.BigEndian.AppendUint32(chunk, 1000*DotsPerMM)
	chunk = binary.BigEndian.AppendUint32(chunk, 1000*DotsPerMM)
	chunk = append(chunk, 1) // the unit is the metre
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	return append(append(append([]byte{}, file[:header]...), chunk...), file[header:]...), nil
}
