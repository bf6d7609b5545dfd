package road

import (
	"errors"
	"math"
	"sort"
)

// Field is the intensity of a beam by direction. At returns cd toward (hDeg, vDeg);
// ok is false where nothing was measured. What is not measured is never taken as
// dark or as lit.
type Field interface {
	At(hDeg, vDeg float64) (cd float64, ok bool)
}

// Spaced is a Field that knows how far apart, in degrees, the measured points
// around a direction lie. A wide spacing makes a reach doubtful.
type Spaced interface {
	Field
	Spacing(hDeg, vDeg float64) (deg float64, ok bool)
}

// BeamPoint is one measured direction.
type BeamPoint struct {
	HDeg, VDeg float64 // degrees, -90 to 90
	Candela    float64 // cd, 0 to 10^7
}

// PointsMost is the largest number of points NewPointField takes. A denser grid
// belongs in a field that indexes it.
const PointsMost = 5000

// PointField interpolates between measured points: bilinear where the points fill
// a grid, linear over triangles where they are scattered. Outside the hull of the
// points nothing is measured.
//
// Both work on the logarithm of the intensity where all corners are above zero,
// and on the intensity itself elsewhere. A cutoff falls about exponentially with
// angle (its sharpness G is a difference of logarithms), and between two points
// the logarithmic value is never above the straight one, so a sparse list is not
// read as more light than it shows.
type PointField struct {
	points    []BeamPoint
	logs      []float64 // of the intensities
	h, v      []float64 // grid lines, nil when scattered
	triangles [][3]int
}

// verticalScale stretches v before triangulating. A beam changes over about a
// quarter of the angle vertically that it needs horizontally, so triangles should
// be that much flatter [common practice].
const verticalScale = 4

// NewPointField builds a field from at least three points that are not all on one
// line. Two points in one direction with different figures, angles beyond +-90
// degrees, intensities below 0 or above 10^7 cd, and more than PointsMost points
// are errors. The order of the points does not matter.
func NewPointField(points []BeamPoint) (*PointField, error) {
	if len(points) > PointsMost {
		return nil, &RangeError{What: "number of beam points", Got: float64(len(points)), Least: 3, Most: PointsMost}
	}
	sorted := append([]BeamPoint(nil), points...)
	for _, p := range sorted {
		err := firstError(
			within("horizontal angle", "deg", p.HDeg, -90, 90),
			within("vertical angle", "deg", p.VDeg, -90, 90),
			checkCandela(p.Candela))
		if err != nil {
			return nil, err
		}
	}
	sort.Slice(sorted, func(i, j int) bool {
		a, b := sorted[i], sorted[j]
		if a.HDeg != b.HDeg {
			return a.HDeg < b.HDeg
		}
		return a.VDeg < b.VDeg
	})
	unique := sorted[:0]
	for i, p := range sorted {
		if i > 0 && p.HDeg == sorted[i-1].HDeg && p.VDeg == sorted[i-1].VDeg {
			if p.Candela != unique[len(unique)-1].Candela {
				return nil, errors.New("beam points: two different intensities in one direction")
			}
			continue
		}
		unique = append(unique, p)
	}
	field := &PointField{points: unique, logs: make([]float64, len(unique))}
	for i, p := range unique {
		field.logs[i] = math.Log(p.Candela)
	}
	if field.grid() {
		return field, nil
	}
	flat := make([]vertex, len(unique))
	for i, p := range unique {
		flat[i] = vertex{p.HDeg, p.VDeg * verticalScale}
	}
	field.triangles = triangulate(flat)
	if len(field.triangles) == 0 {
		return nil, errors.New("beam points: need at least three directions that are not on one line")
	}
	return field, nil
}

// grid finds out whether the points fill a rectangle of rows and columns, and
// keeps its lines if so. The points are sorted by h, then v.
func (f *PointField) grid() bool {
	var h, v []float64
	for _, p := range f.points {
		if len(h) == 0 || p.HDeg != h[len(h)-1] {
			h = append(h, p.HDeg)
		}
		if len(h) == 1 {
			v = append(v, p.VDeg)
		}
	}
	if len(h) < 2 || len(v) < 2 || len(h)*len(v) != len(f.points) {
		return false
	}
	for i, p := range f.points {
		if p.VDeg != v[i%len(v)] {
			return false
		}
	}
	f.h, f.v = h, v
	return true
}

// At returns the intensity in cd toward a direction, and false outside the hull of
// the measured points.
func (f *PointField) At(hDeg, vDeg float64) (float64, bool) {
	near := f.around(hDeg, vDeg)
	var straight, logarithm float64
	lit := true
	for i, corner := range near.corners[:near.count] {
		weight, cd := near.weights[i], f.points[corner].Candela
		if weight == 0 {
			continue
		}
		straight += weight * cd
		if cd > 0 {
			logarithm += weight * f.logs[corner]
		} else {
			lit = false
		}
	}
	if lit && near.count > 0 {
		return math.Exp(logarithm), true
	}
	return straight, near.count > 0
}

// Spacing returns the longest distance in degrees between the measured points
// used for a direction, and false outside the hull.
func (f *PointField) Spacing(hDeg, vDeg float64) (float64, bool) {
	near := f.around(hDeg, vDeg)
	corners := near.corners[:near.count]
	var most float64
	for i, a := range corners {
		for _, b := range corners[i+1:] {
			most = math.Max(most, math.Hypot(f.points[a].HDeg-f.points[b].HDeg, f.points[a].VDeg-f.points[b].VDeg))
		}
	}
	return most, near.count > 0
}

// around is the corners that enclose a direction and their weights, which sum to
// one; count is 0 outside the hull.
type around struct {
	count   int
	corners [4]int
	weights [4]float64
}

func (f *PointField) around(hDeg, vDeg float64) around {
	if f.h != nil {
		column, u, okH := cell(f.h, hDeg)
		row, w, okV := cell(f.v, vDeg)
		if !okH || !okV {
			return around{}
		}
		n := len(f.v)
		first := column*n + row
		return around{
			4, [4]int{first, first + 1, first + n, first + n + 1},
			[4]float64{(1 - u) * (1 - w), (1 - u) * w, u * (1 - w), u * w},
		}
	}
	at := vertex{hDeg, vDeg * verticalScale}
	for _, t := range f.triangles {
		if w, inside := barycentric(at, f.vertex(t[0]), f.vertex(t[1]), f.vertex(t[2])); inside {
			return around{3, [4]int{t[0], t[1], t[2]}, [4]float64{w[0], w[1], w[2]}}
		}
	}
	return around{}
}

func (f *PointField) vertex(i int) vertex {
	return vertex{f.points[i].HDeg, f.points[i].VDeg * verticalScale}
}

// cell finds the interval of rising lines that holds x, and how far into it.
func cell(lines []float64, x float64) (index int, share float64, ok bool) {
	last := len(lines) - 1
	if !(x >= lines[0] && x <= lines[last]) {
		return 0, 0, false
	}
	i := sort.SearchFloat64s(lines, x)
	i = max(i-1, 0)
	return i, (x - lines[i]) / (lines[i+1] - lines[i]), true
}

// Raised is a field turned up by deg (negative: down; -5 to 5), as misaim does:
// what was at v is now at v + deg. Turning a lamp about its transverse axis moves a
// direction at h by deg cos(h); within 20 degrees of the axis that is 6 % at most,
// and is left out.
func Raised(field Field, deg float64) (Field, error) {
	if err := within("raise", "deg", deg, -5, 5); err != nil {
		return nil, err
	}
	return moved{field: field, side: 1, up: deg}, nil
}

type moved struct {
	field    Field
	side, up float64
}

func (m moved) At(hDeg, vDeg float64) (float64, bool) {
	return m.field.At(m.side*hDeg, vDeg-m.up)
}

func (m moved) Spacing(hDeg, vDeg float64) (float64, bool) {
	return spacing(m.field, m.side*hDeg, vDeg-m.up)
}

func spacing(field Field, hDeg, vDeg float64) (float64, bool) {
	if s, knows := field.(Spaced); knows {
		return s.Spacing(hDeg, vDeg)
	}
	return 0, false
}

// toward reads a field and refuses what no field should give: NaN, infinities and
// light below zero count as not measured.
func toward(field Field, hDeg, vDeg float64) (float64, bool) {
	cd, ok := field.At(hDeg, vDeg)
	if !ok || !(cd >= 0) || math.IsInf(cd, 1) {
		return 0, false
	}
	return cd, true
}
