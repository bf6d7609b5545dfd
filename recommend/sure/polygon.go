package sure

// number is the arithmetic the geometry needs. The program computes with
// float64 (type real); the tests run the same code on exact fractions.
type number[T any] interface {
	plus(T) T
	minus(T) T
	times(T) T
	over(T) T
	sign() int
}

// real is a float64 whose sign is taken with a tolerance. The geometry works on
// values brought to the range 0..1, so one absolute tolerance serves.
type real float64

const tolerance = 1e-12

func (a real) plus(b real) real  { return a + b }
func (a real) minus(b real) real { return a - b }
func (a real) times(b real) real { return a * b }
func (a real) over(b real) real  { return a / b }

func (a real) sign() int {
	switch {
	case a > tolerance:
		return 1
	case a < -tolerance:
		return -1
	}
	return 0
}

// corner is a corner of a convex polygon in the plane of the first two weights;
// the third weight is one minus both. held marks a corner already known to
// belong to the cell being built.
type corner[T number[T]] struct {
	x, y T
	held bool
}

// plane is the score of one candidate over the weights: a x + b y + c.
type plane[T number[T]] struct{ a, b, c T }

// planeOf turns three values into the score as a function of two weights.
func planeOf[T number[T]](v [3]T) plane[T] {
	return plane[T]{v[0].minus(v[2]), v[1].minus(v[2]), v[2]}
}

func (p plane[T]) minus(q plane[T]) plane[T] {
	return plane[T]{p.a.minus(q.a), p.b.minus(q.b), p.c.minus(q.c)}
}

func (p plane[T]) at(x, y T) T {
	return p.a.times(x).plus(p.b.times(y)).plus(p.c)
}

// clip appends to dst the part of the convex polygon in which p is not negative.
func clip[T number[T]](dst, polygon []corner[T], p plane[T]) []corner[T] {
	if len(polygon) == 0 {
		return dst
	}
	first := p.at(polygon[0].x, polygon[0].y)
	here := first
	for i, c := range polygon {
		following, n := first, polygon[0]
		if i+1 < len(polygon) {
			n = polygon[i+1]
			following = p.at(n.x, n.y)
		}
		if here.sign() >= 0 {
			dst = append(dst, c)
		}
		if here.sign()*following.sign() < 0 {
			share := here.over(here.minus(following))
			dst = append(dst, corner[T]{
				x: c.x.plus(n.x.minus(c.x).times(share)),
				y: c.y.plus(n.y.minus(c.y).times(share)),
			})
		}
		here = following
	}
	return dst
}

// doubleArea returns twice the area of a convex polygon with its corners in
// counter-clockwise order, and the sums over its fan of triangles from which
// the centroid follows: centroid = sums / (3 x doubleArea).
func doubleArea[T number[T]](polygon []corner[T]) (area, sumX, sumY T) {
	for i := 2; i < len(polygon); i++ {
		o, p, q := polygon[0], polygon[i-1], polygon[i]
		part := p.x.minus(o.x).times(q.y.minus(o.y)).minus(q.x.minus(o.x).times(p.y.minus(o.y)))
		x := part.times(o.x.plus(p.x).plus(q.x))
		y := part.times(o.y.plus(p.y).plus(q.y))
		if i == 2 {
			area, sumX, sumY = part, x, y
			continue
		}
		area, sumX, sumY = area.plus(part), sumX.plus(x), sumY.plus(y)
	}
	return area, sumX, sumY
}

func hasArea[T number[T]](polygon []corner[T]) bool {
	if len(polygon) < 3 {
		return false
	}
	area, _, _ := doubleArea(polygon)
	return area.sign() > 0
}

// centroid returns the mean point of a convex polygon of positive area.
func centroid[T number[T]](polygon []corner[T]) (x, y T) {
	area, sumX, sumY := doubleArea(polygon)
	triple := area.plus(area).plus(area)
	return sumX.over(triple), sumY.over(triple)
}

// cells builds the upper envelope of the planes over the region: for every
// plane the convex polygon in which it is the highest, empty where it is
// nowhere the highest on an area.
//
// Every cell starts as the whole region. At each of its corners the highest
// plane is looked up; when another plane is higher there, the cell is cut by it
// and the corner goes, otherwise the corner stays. Planes that cut a cell are
// highest somewhere themselves and are the next to be built, so that only
// planes of the envelope are ever visited.
//
// better returns a plane that is the highest at (x, y), or -1 when the plane
// named is as high as any.
func cells[T number[T]](planes []plane[T], region []corner[T], better func(x, y T, than int) int) [][]corner[T] {
	out := make([][]corner[T], len(planes))
	start := 0
	if j := better(region[0].x, region[0].y, start); j >= 0 {
		start = j
	}
	seen := make([]bool, len(planes))
	seen[start] = true
	waiting := []int{start}
	var cell, spare []corner[T]
	var cutters []int
	for len(waiting) > 0 {
		i := waiting[len(waiting)-1]
		waiting = waiting[:len(waiting)-1]
		cell, cutters = append(cell[:0], region...), cutters[:0]
		for k := 0; k < len(cell); {
			if cell[k].held {
				k++
				continue
			}
			j := better(cell[k].x, cell[k].y, i)
			if j < 0 || contains(cutters, j) { // rounding cannot cut twice by one plane
				cell[k].held = true
				k++
				continue
			}
			cutters = append(cutters, j)
			if !seen[j] {
				seen[j] = true
				waiting = append(waiting, j)
			}
			spare = clip(spare[:0], cell, planes[i].minus(planes[j]))
			cell, spare = spare, cell
			k = 0
			if len(cell) < 3 {
				break
			}
		}
		if hasArea(cell) {
			out[i] = append([]corner[T](nil), cell...)
		}
	}
	return out
}

func contains(list []int, x int) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

// areasAbove returns, for the plane i, twice the area of the part of the region
// in which exactly r of the candidates stand above it, for r = 0, 1, 2 and so on.
// Plane j counts size[j] times. The region is cut by every line on which another
// plane is level with i: the arrangement of all of them.
func areasAbove[T number[T]](planes []plane[T], size []int, i int, region []corner[T]) map[int]T {
	type face struct {
		corners []corner[T]
		above   int
	}
	faces, next := []face{{corners: region}}, []face(nil)
	var corners, spare []corner[T] // of the faces; of the next ones
	for j := range planes {
		if j == i {
			continue
		}
		higher := planes[j].minus(planes[i])
		lower := planes[i].minus(planes[j])
		next, spare = next[:0], spare[:0]
		keep := func(f face, side plane[T], above int) {
			from := len(spare)
			spare = clip(spare, f.corners, side)
			if part := spare[from:len(spare):len(spare)]; hasArea(part) {
				next = append(next, face{part, above})
			} else {
				spare = spare[:from]
			}
		}
		for _, f := range faces {
			keep(f, higher, f.above+size[j])
			keep(f, lower, f.above)
		}
		faces, next, corners, spare = next, faces, spare, corners
	}
	out := make(map[int]T)
	for _, f := range faces {
		area, _, _ := doubleArea(f.corners)
		if sum, ok := out[f.above]; ok {
			area = area.plus(sum)
		}
		out[f.above] = area
	}
	return out
}
