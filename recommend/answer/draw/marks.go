package draw

import "math"

// Shape of a mark.
type Shape int

// Shapes.
const (
	Circle Shape = iota
	Square
	Triangle
	Diamond
	Cross
	Plus
)

// Mark draws a mark of a size (mm across) around a place: an outline filled with
// an ink, or two strokes for Cross and Plus.
func (s *Sheet) Mark(shape Shape, x, y, size float64, fill Ink, pen Pen) {
	r := size / 2
	var corners []Point
	switch shape {
	case Square:
		r *= 0.886 // the area of the circle
		corners = []Point{{x - r, y - r}, {x + r, y - r}, {x + r, y + r}, {x - r, y + r}}
	case Triangle:
		r *= 1.1
		corners = []Point{{x, y - r}, {x + r*math.Sqrt(3)/2, y + r/2}, {x - r*math.Sqrt(3)/2, y + r/2}}
	case Diamond:
		r *= 1.15
		corners = []Point{{x, y - r}, {x + r, y}, {x, y + r}, {x - r, y}}
	case Cross:
		s.Line(x-r, y-r, x+r, y+r, pen)
		s.Line(x-r, y+r, x+r, y-r, pen)
		return
	case Plus:
		s.Line(x-r, y, x+r, y, pen)
		s.Line(x, y-r, x, y+r, pen)
		return
	default:
		corners = disc(x, y, r)
	}
	s.Area(corners, Fill{Ink: fill})
	s.Outline(corners, pen)
}

// disc is a circle as a polygon: its edge is within a hundredth of the radius.
func disc(x, y, r float64) []Point {
	const n = 36
	corners := make([]Point, n)
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		corners[i] = Point{x + r*cos, y + r*sin}
	}
	return corners
}
