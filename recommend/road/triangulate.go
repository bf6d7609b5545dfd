package road

import "math"

type vertex struct{ x, y float64 }

// nearlyZero is the area, in square degrees, below which three points count as on
// one line. Angles are given to 0.01 degree at best.
const nearlyZero = 1e-9

// cross is twice the signed area of abc, positive when counter-clockwise.
func cross(a, b, c vertex) float64 {
	return (b.x-a.x)*(c.y-a.y) - (b.y-a.y)*(c.x-a.x)
}

// triangulate returns the Delaunay triangles, counter-clockwise, of points sorted
// by x, then y, without doubles; none if all are on one line. It sweeps the points
// into a triangulation of their hull and then flips edges until no circle through
// three corners holds a fourth (Lawson 1977, from memory).
func triangulate(p []vertex) [][3]int {
	first := 2
	for first < len(p) && math.Abs(cross(p[0], p[first-1], p[first])) < nearlyZero {
		first++
	}
	if first >= len(p) {
		return nil
	}
	// The points before first are on one line: fan them from first.
	var triangles [][3]int
	hull := make([]int, 0, len(p)) // counter-clockwise
	if cross(p[0], p[first-1], p[first]) > 0 {
		for i := range first {
			hull = append(hull, i)
		}
	} else {
		for i := first - 1; i >= 0; i-- {
			hull = append(hull, i)
		}
	}
	for i := range first - 1 {
		triangles = append(triangles, [3]int{hull[i], hull[i+1], first})
	}
	hull = append(hull, first)
	for next := first + 1; next < len(p); next++ {
		triangles, hull = join(p, triangles, hull, next)
	}
	for flip(p, triangles) {
	}
	return triangles
}

// join adds a point outside the hull: a triangle for each hull edge it can see.
func join(p []vertex, triangles [][3]int, hull []int, next int) ([][3]int, []int) {
	n := len(hull)
	seen := make([]bool, n) // edge i runs from hull[i] to hull[i+1]
	for i := range hull {
		seen[i] = cross(p[hull[i]], p[hull[(i+1)%n]], p[next]) < -nearlyZero
	}
	var outer []int
	for i := range hull {
		before, here := seen[(i+n-1)%n], seen[i]
		if here {
			triangles = append(triangles, [3]int{hull[(i+1)%n], hull[i], next})
		}
		if !before || !here {
			outer = append(outer, hull[i])
		}
		if here && !before {
			outer = append(outer, next)
		}
	}
	return triangles, outer
}

// flip makes one pass over the inner edges and exchanges the diagonal of each pair
// of triangles whose circle holds the fourth corner. It reports whether it did any.
func flip(p []vertex, triangles [][3]int) bool {
	type edge struct{ from, to int }
	owner := make(map[edge]int, 3*len(triangles))
	for i, t := range triangles {
		for k := range t {
			owner[edge{t[k], t[(k+1)%3]}] = i
		}
	}
	touched := make([]bool, len(triangles))
	flipped := false
	for i := range triangles {
		for k := 0; k < 3 && !touched[i]; k++ {
			a, b, c := triangles[i][k], triangles[i][(k+1)%3], triangles[i][(k+2)%3]
			j, shared := owner[edge{b, a}]
			if !shared || touched[j] {
				continue
			}
			d := opposite(triangles[j], a, b)
			if !inCircle(p[a], p[b], p[c], p[d]) {
				continue
			}
			triangles[i], triangles[j] = [3]int{a, d, c}, [3]int{d, b, c}
			touched[i], touched[j], flipped = true, true, true
		}
	}
	return flipped
}

func opposite(t [3]int, a, b int) int {
	for _, corner := range t {
		if corner != a && corner != b {
			return corner
		}
	}
	return t[0]
}

// inCircle reports whether d is clearly inside the circle through a, b, c, which
// run counter-clockwise. Points on the circle are outside, so that flips end.
func inCircle(a, b, c, d vertex) bool {
	ax, ay, bx, by, cx, cy := a.x-d.x, a.y-d.y, b.x-d.x, b.y-d.y, c.x-d.x, c.y-d.y
	a2, b2, c2 := ax*ax+ay*ay, bx*bx+by*by, cx*cx+cy*cy
	det := ax*(by*c2-cy*b2) - ay*(bx*c2-cx*b2) + a2*(bx*cy-cx*by)
	size := math.Max(a2, math.Max(b2, c2))
	return det > 1e-9*size*size
}

// barycentric returns the weights of a, b, c at a point, and whether it is inside
// their triangle (edges included).
func barycentric(at, a, b, c vertex) (weights [3]float64, inside bool) {
	area := cross(a, b, c)
	if !(area > nearlyZero) {
		return weights, false
	}
	weights = [3]float64{cross(at, b, c) / area, cross(a, at, c) / area, cross(a, b, at) / area}
	var sum float64
	for i, w := range weights {
		if !(w > -1e-9) {
			return weights, false
		}
		weights[i] = math.Max(w, 0)
		sum += weights[i]
	}
	for i := range weights {
		weights[i] /= sum
	}
	return weights, true
}
