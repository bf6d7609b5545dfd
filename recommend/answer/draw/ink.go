package draw

import "math"

// Ink is a colour. The zero Ink is opaque black.
type Ink struct {
	R, G, B uint8
	Clear   float64 // 0 opaque to 1 not seen; in a PDF mixed with white instead
}

// Plain inks, and seven that people with any common colour blindness can tell
// apart (Okabe and Ito, Color Universal Design, 2008; values from memory). In
// grey they are told apart by line style, hatching, mark and label, never by ink
// alone.
var (
	Black      = Ink{}
	White      = Ink{R: 255, G: 255, B: 255}
	Blue       = Ink{R: 0, G: 114, B: 178}
	Vermillion = Ink{R: 213, G: 94, B: 0}
	Green      = Ink{R: 0, G: 158, B: 115}
	Purple     = Ink{R: 204, G: 121, B: 167}
	Orange     = Ink{R: 230, G: 159, B: 0}
	Sky        = Ink{R: 86, G: 180, B: 233}
	Yellow     = Ink{R: 240, G: 228, B: 66}
)

// Grey is a neutral ink, 0 black to 1 white.
func Grey(level float64) Ink {
	v := channel(255 * level)
	return Ink{R: v, G: v, B: v}
}

// Tint mixes the ink with white, 0 the ink itself to 1 white.
func (i Ink) Tint(white float64) Ink {
	mix := func(c uint8) uint8 { return channel(float64(c) + white*(255-float64(c))) }
	return Ink{R: mix(i.R), G: mix(i.G), B: mix(i.B), Clear: i.Clear}
}

// See makes the ink let what is under it show through.
func (i Ink) See(clear float64) Ink {
	i.Clear = clear
	return i
}

func channel(v float64) uint8 { return uint8(math.Round(min(max(v, 0), 255))) }

// Series is a look that belongs to one of several things in a picture, told
// apart in colour, in grey and in outline.
type Series struct {
	Ink   Ink
	Dash  []float64
	Shape Shape
	Hatch Hatch
}

// SeriesOf is the look of the i-th thing, from 0; they repeat after a dozen.
func SeriesOf(i int) Series {
	inks := []Ink{Blue, Vermillion, Green, Purple, Black, Orange, Sky}
	dashes := [][]float64{nil, {3, 1.2}, {0.9, 0.9}, {3.5, 1, 0.9, 1}, {6, 1.5}, {1.8, 0.8}}
	shapes := []Shape{Circle, Square, Triangle, Diamond, Cross, Plus}
	hatches := []Hatch{Rising, Falling, Level, Upright, Dotted, Crossed}
	i = max(i, 0)
	return Series{Ink: inks[i%len(inks)], Dash: dashes[i%len(dashes)], Shape: shapes[i%len(shapes)], Hatch: hatches[i%len(hatches)]}
}
