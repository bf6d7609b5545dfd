package draw

import (
	"math"
	"slices"
)

// Hatch is a pattern that fills an area, for who cannot go by colour.
type Hatch int

// Hatches.
const (
	Plain   Hatch = iota // none
	Rising               // lines from bottom left to top right
	Falling              // lines from top left to bottom right
	Level                // lines across
	Upright              // lines up and down
	Dotted               // dots
	Crossed              // rising and falling
)

const hatchStep = 2.6 // mm between lines

// hatch covers a polygon with lines; they are cut at its edges, so that every
// kind of file shows the same.
func (s *Sheet) hatch(corners []Point, fill Fill) {
	pen := fill.Lines
	if pen.Thick == 0 {
		pen = Pen{Ink: Grey(0.35), Thick: 0.18}
	}
	diagonal := hatchStep * math.Sqrt2
	switch fill.Hatch {
	case Rising:
		s.hatchLines(corners, Point{1, -1}, diagonal, pen)
	case Falling:
		s.hatchLines(corners, Point{1, 1}, diagonal, pen)
	case Level:
		s.hatchLines(corners, Point{1, 0}, hatchStep, pen)
	case Upright:
		s.hatchLines(corners, Point{0, 1}, hatchStep, pen)
	case Crossed:
		s.hatchLines(corners, Point{1, -1}, 2*diagonal, pen)
		s.hatchLines(corners, Point{1, 1}, 2*diagonal, pen)
	case Dotted:
		pen.Thick, pen.Dash = 0.6, []float64{0.01, hatchStep - 0.01}
		s.hatchLines(corners, Point{1, 0}, hatchStep, pen)
	}
}

// hatchLines draws the parts inside a polygon of parallel lines in a direction.
// Lines lie at whole multiples of the step across it, so that neighbouring areas
// with the same hatching match. The scaled distance of a point across the
// direction is n; each line keeps n the same.
func (s *Sheet) hatchLines(corners []Point, along Point, step float64, pen Pen) {
	across := Point{-along.Y, along.X}
	size := math.Hypot(along.X, along.Y)
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range corners {
		n := (c.X*across.X + c.Y*across.Y) / size
		low, high = min(low, n), max(high, n)
	}
	const most = 2000 // lines; an area that asks for more is no area on paper
	if step /= size; (high-low)/step > most {
		return
	}
	for i := math.Ceil(low / step); i*step <= high; i++ {
		n := i * step
		var cuts []float64 // places along the line at which it crosses an edge
		for k, a := range corners {
			b := corners[(k+1)%len(corners)]
			na, nb := (a.X*across.X+a.Y*across.Y)/size-n, (b.X*across.X+b.Y*across.Y)/size-n
			if (na < 0) == (nb < 0) {
				continue
			}
			t := na / (na - nb)
			x, y := a.X+t*(b.X-a.X), a.Y+t*(b.Y-a.Y)
			cuts = append(cuts, (x*along.X+y*along.Y)/size)
		}
		slices.Sort(cuts)
		for k := 0; k+1 < len(cuts); k += 2 {
			if from, to := s.hatchEnds(cuts[k], cuts[k+1], pen); to > from {
				at := func(m float64) Point {
					return Point{(m*along.X + n*across.X) / size, (m*along.Y + n*across.Y) / size}
				}
				s.Path([]Point{at(from), at(to)}, pen)
			}
		}
	}
}

// hatchEnds starts a line of dots at a whole multiple of their distance.
func (s *Sheet) hatchEnds(from, to float64, pen Pen) (float64, float64) {
	if len(pen.Dash) == 2 {
		from = math.Ceil(from/hatchStep+0.1) * hatchStep
		to -= 0.3
	}
	return from, to
}
