package answer

import "stillbright/recommend/answer/draw"

// ramp is a row of colours to pick from by a share from 0 to 1.
type ramp []draw.Ink

// The colours of light run from nearly black to nearly white by way of violet,
// blue-green and yellow. Their lightness rises evenly, so that the order is the
// same for every kind of colour vision and in grey.
var lightRamp = ramp{
	{R: 10, G: 8, B: 30}, {R: 48, G: 18, B: 92}, {R: 58, G: 58, B: 140}, {R: 42, G: 102, B: 150},
	{R: 36, G: 145, B: 138}, {R: 88, G: 185, B: 102}, {R: 182, G: 216, B: 72}, {R: 253, G: 246, B: 196},
}

// The colours of a difference: blue for less light, orange for more, white for as
// much. Blue and orange stay apart for every usual kind of colour vision; in grey
// the lines tell them apart, solid round more and broken round less.
var differenceRamp = ramp{
	{R: 8, G: 48, B: 120}, {R: 66, G: 132, B: 198}, {R: 180, G: 212, B: 236}, {R: 250, G: 250, B: 250},
	{R: 250, G: 208, B: 160}, {R: 226, G: 132, B: 44}, {R: 132, G: 58, B: 4},
}

// shades is how many steps a map has: fine enough that the eye sees no steps, and
// few enough that a row of the map is a few dozen pieces.
const shades = 32

// notMeasured is drawn where there is no figure.
var notMeasured = draw.Grey(0.78)

// step is the number of the shade at a share from 0 to 1.
func step(share float64) int { return int(min(max(share, 0), 1)*(shades-1) + 0.5) }

// ink is the colour of a shade, 0 to shades-1.
func (r ramp) ink(shade int) draw.Ink {
	x := float64(shade) / (shades - 1) * float64(len(r)-1)
	i := min(int(x), len(r)-2)
	f := x - float64(i)
	mix := func(a, b uint8) uint8 { return uint8(float64(a)*(1-f) + float64(b)*f + 0.5) }
	return draw.Ink{R: mix(r[i].R, r[i+1].R), G: mix(r[i].G, r[i+1].G), B: mix(r[i].B, r[i+1].B)}
}
