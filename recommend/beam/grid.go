package beam

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
)

// Units of a measured value.
const (
	Lux     = "lux"
	Candela = "cd"
)

// Bounds of what is read, so that a broken or hostile file ends early.
const (
	MaxGridBytes  = 16 << 20
	MaxGridPoints = 1_000_000
)

// Point is one measured direction: degrees, and lux or candela.
type Point struct {
	H     float64 `json:"h_deg"`
	V     float64 `json:"v_deg"`
	Value float64 `json:"value"`
}

// Grid is a complete lattice of measured values. Its axes rise. They are angles
// in degrees, or with Wall positions in metres on a flat wall, right and up from
// the axis.
type Grid struct {
	X, Y   []float64
	Values []float64 // Values[iy*len(X)+ix]
	Wall   bool
}

// Measured is what a grid file holds: its points, and the lattice they fill if
// they fill one. Unit is Lux or Candela. DistanceM is 0 when it is not known.
// Wall says that lux were read with the meter flat on a wall, not facing the lamp.
type Measured struct {
	Unit      string
	DistanceM float64
	Wall      bool
	Points    []Point // angles, sorted by V then H
	Grid      *Grid   // nil when the points are scattered
}

// placed is one value where the file put it, with its line for messages.
type placed struct {
	x, y, value float64
	line        int
}

// assemble sorts points, refuses duplicates and single rows, and finds the lattice.
func assemble(points []placed, wall bool, unit string, distance float64) (Measured, error) {
	if len(points) == 0 {
		return Measured{}, errors.New("no values: at least two rows and two columns are needed")
	}
	slices.SortFunc(points, func(a, b placed) int {
		return cmp.Or(cmp.Compare(a.y, b.y), cmp.Compare(a.x, b.x), cmp.Compare(a.line, b.line))
	})
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; a.x == b.x && a.y == b.y {
			return Measured{}, fmt.Errorf("line %d: the same place as line %d", b.line, a.line)
		}
	}
	xs, ys := axis(points, func(p placed) float64 { return p.x }), axis(points, func(p placed) float64 { return p.y })
	if len(xs) < 2 || len(ys) < 2 {
		return Measured{}, fmt.Errorf("%d row(s) and %d column(s): at least two of each are needed", len(ys), len(xs))
	}
	m := Measured{Unit: unit, DistanceM: distance, Wall: wall, Points: make([]Point, len(points))}
	for i, p := range points {
		h, v := p.x, p.y
		if wall {
			h, v = anglesOf(p.x/distance, p.y/distance)
		}
		m.Points[i] = Point{H: h, V: v, Value: p.value}
	}
	if len(xs)*len(ys) == len(points) {
		// Sorted without duplicates and as many as the product: the lattice is full.
		g := &Grid{X: xs, Y: ys, Wall: wall, Values: make([]float64, len(points))}
		for i, p := range points {
			g.Values[i] = p.value
		}
		m.Grid = g
	}
	if wall {
		slices.SortFunc(m.Points, func(a, b Point) int { return cmp.Or(cmp.Compare(a.V, b.V), cmp.Compare(a.H, b.H)) })
	}
	return m, nil
}

func axis(points []placed, of func(placed) float64) []float64 {
	values := make([]float64, len(points))
	for i, p := range points {
		values[i] = of(p)
	}
	slices.Sort(values)
	return slices.Compact(values)
}

// anglesOf turns a place on a flat wall, in units of the distance, into degrees:
// h in plan view, v the true elevation (49 CFR 571.108 S14.2.5.8.1.3-4).
func anglesOf(x, y float64) (h, v float64) {
	return degrees(math.Atan(x)), degrees(math.Atan(y / math.Hypot(1, x)))
}

// wallOf is the inverse of anglesOf.
func wallOf(h, v float64) (x, y float64) {
	x = math.Tan(radians(h))
	return x, math.Tan(radians(v)) * math.Hypot(1, x)
}

func degrees(r float64) float64 { return r * 180 / math.Pi }
func radians(d float64) float64 { return d * math.Pi / 180 }

// at returns the value toward h, v (degrees) by interpolation in the logarithm,
// plainly where a neighbour is 0; false outside the lattice.
func (g *Grid) at(h, v, distance float64) (float64, bool) {
	x, y := h, v
	if g.Wall {
		x, y = wallOf(h, v)
		x, y = x*distance, y*distance
	}
	ix, fx, ok := bracket(g.X, x)
	if !ok {
		return 0, false
	}
	iy, fy, ok := bracket(g.Y, y)
	if !ok {
		return 0, false
	}
	n := len(g.X)
	a, b := g.Values[iy*n+ix], g.Values[iy*n+ix+1]
	c, d := g.Values[(iy+1)*n+ix], g.Values[(iy+1)*n+ix+1]
	if a > 0 && b > 0 && c > 0 && d > 0 {
		a, b, c, d = math.Log(a), math.Log(b), math.Log(c), math.Log(d)
		return math.Exp((a*(1-fx)+b*fx)*(1-fy) + (c*(1-fx)+d*fx)*fy), true
	}
	return (a*(1-fx)+b*fx)*(1-fy) + (c*(1-fx)+d*fx)*fy, true
}

// bracket finds the cell of a rising axis that holds x and the fraction in it.
func bracket(axis []float64, x float64) (cell int, fraction float64, ok bool) {
	last := len(axis) - 1
	const slack = 1e-9
	if !(x >= axis[0]-slack && x <= axis[last]+slack) {
		return 0, 0, false
	}
	i, _ := slices.BinarySearch(axis, x)
	i = max(1, min(last, i))
	return i - 1, clamp01((x - axis[i-1]) / (axis[i] - axis[i-1])), true
}

// toCandela returns the factor from the file's value toward h, v to candela:
// 1 for candela, d^2 for lux on a sphere, d^2/cos^3 for a meter flat on a wall
// (E = I cos^3 / d^2). ok is false when the distance is not known.
func (m Measured) toCandela(h, v float64) (factor float64, ok bool) {
	switch {
	case m.Unit == Candela:
		return 1, true
	case m.DistanceM <= 0:
		return 0, false
	}
	return m.DistanceM * m.DistanceM * m.toFacing(h, v), true
}

// toFacing returns the factor from a reading toward h, v to what a meter turned to
// the lamp at the same distance from it as the wall reads: 1/cos^3 on a wall.
func (m Measured) toFacing(h, v float64) float64 {
	if !m.Wall || m.Unit != Lux {
		return 1
	}
	x, y := wallOf(h, v)
	q := 1 + x*x + y*y
	return q * math.Sqrt(q)
}
