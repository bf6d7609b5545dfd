package answer

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/opentype"
	fixedpoint "golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// dotsPerMM is the resolution of pictures: 6 dots per mm, 152 to the inch.
const dotsPerMM = 6

// png writes the drawing as PNG (ISO/IEC 15948) that says its own resolution, so
// that it prints at true scale where the printing program keeps to it.
func (d *drawing) png() ([]byte, error) {
	bounds := image.Rect(0, 0, dots(d.width), dots(d.height))
	picture := image.NewGray(bounds)
	draw.Draw(picture, bounds, image.White, image.Point{}, draw.Src)
	for _, a := range d.areas {
		at := image.Rect(dots(a.x), dots(a.y), dots(a.x+a.width), dots(a.y+a.height))
		draw.Draw(picture, at, image.NewUniform(color.Gray{Y: greyLevel(a.grey)}), image.Point{}, draw.Src)
	}
	for _, l := range d.lines {
		for _, part := range l.solid() {
			part.paint(picture)
		}
	}
	parsed, err := opentype.Parse(goregular.TTF)
	if err != nil {
		return nil, err
	}
	for _, w := range d.words {
		face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: w.size * dotsPerMM, DPI: 72, Hinting: font.HintingFull})
		if err != nil {
			return nil, err
		}
		drawer := font.Drawer{Dst: picture, Src: image.Black, Face: face, Dot: fixedpoint.P(dots(w.x), dots(w.y))}
		drawer.DrawString(w.text)
	}
	var file bytes.Buffer
	if err := png.Encode(&file, picture); err != nil {
		return nil, err
	}
	return withResolution(file.Bytes())
}

func dots(mm float64) int { return int(math.Round(mm * dotsPerMM)) }

// solid cuts a dashed line into its dashes.
func (l stroke) solid() []stroke {
	length := math.Hypot(l.x2-l.x1, l.y2-l.y1)
	if l.dash <= 0 || length == 0 {
		return []stroke{l}
	}
	var parts []stroke
	for from := 0.0; from < length; from += 2 * l.dash {
		a, b := from/length, min(from+l.dash, length)/length
		parts = append(parts, stroke{
			x1: l.x1 + a*(l.x2-l.x1), y1: l.y1 + a*(l.y2-l.y1), x2: l.x1 + b*(l.x2-l.x1), y2: l.y1 + b*(l.y2-l.y1), thick: l.thick,
		})
	}
	return parts
}

// paint fills the line as a thin rectangle along its own direction. Only the part
// of the picture round it is looked at.
func (l stroke) paint(picture draw.Image) {
	length := math.Hypot(l.x2-l.x1, l.y2-l.y1)
	if length == 0 {
		return
	}
	half := l.thick / 2 / length
	dx, dy := half*(l.y1-l.y2), half*(l.x2-l.x1)
	corners := [4][2]float64{{l.x1 + dx, l.y1 + dy}, {l.x2 + dx, l.y2 + dy}, {l.x2 - dx, l.y2 - dy}, {l.x1 - dx, l.y1 - dy}}
	low, high := corners[0], corners[0]
	for _, c := range corners {
		for i := range c {
			low[i], high[i] = min(low[i], c[i]), max(high[i], c[i])
		}
	}
	box := image.Rect(dots(low[0])-1, dots(low[1])-1, dots(high[0])+2, dots(high[1])+2)
	r := vector.NewRasterizer(box.Dx(), box.Dy())
	for i, c := range corners {
		x, y := float32(c[0]*dotsPerMM-float64(box.Min.X)), float32(c[1]*dotsPerMM-float64(box.Min.Y))
		if i == 0 {
			r.MoveTo(x, y)
		} else {
			r.LineTo(x, y)
		}
	}
	r.ClosePath()
	r.Draw(picture, box, image.Black, image.Point{})
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
	chunk = binary.BigEndian.AppendUint32(chunk, 1000*dotsPerMM)
	chunk = binary.BigEndian.AppendUint32(chunk, 1000*dotsPerMM)
	chunk = append(chunk, 1) // the unit is the metre
	chunk = binary.BigEndian.AppendUint32(chunk, crc32.ChecksumIEEE(chunk[4:]))
	return append(append(append([]byte{}, file[:header]...), chunk...), file[header:]...), nil
}
