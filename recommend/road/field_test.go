package road

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// plane is an intensity whose logarithm is linear in both angles: a field that works
// on logarithms must give it back exactly, grid or scattered.
func plane(h, v float64) float64 { return math.Exp(8 + 0.1*h - 0.9*v) }

func scattered(rng *rand.Rand, n int) []BeamPoint {
	points := make([]BeamPoint, n)
	for i := range points {
		h, v := 40*rng.Float64()-20, 12*rng.Float64()-6
		points[i] = BeamPoint{h, v, plane(h, v)}
	}
	return points
}

func gridPoints(columns, rows int, value func(h, v float64) float64) []BeamPoint {
	var points []BeamPoint
	for i := range columns {
		for j := range rows {
			h, v := -10+20*float64(i)/float64(columns-1), -5+8*float64(j)/float64(rows-1)
			points = append(points, BeamPoint{h, v, value(h, v)})
		}
	}
	return points
}

func TestFieldReproducesPlane(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, points := range [][]BeamPoint{scattered(rng, 3), scattered(rng, 40), scattered(rng, 400), gridPoints(9, 7, plane)} {
		field, err := NewPointField(points)
		if err != nil {
			t.Fatal(err)
		}
		inside := 0
		for range 500 {
			h, v := 44*rng.Float64()-22, 14*rng.Float64()-7
			cd, ok := field.At(h, v)
			if !ok {
				continue
			}
			inside++
			near(t, "plane", cd/plane(h, v), 1, 1e-9)
		}
		if inside == 0 && len(points) > 3 {
			t.Error("no direction was inside the hull")
		}
		for _, p := range points {
			cd, ok := field.At(p.HDeg, p.VDeg)
			if !ok {
				t.Fatalf("(%g, %g) is a measured point, but not inside", p.HDeg, p.VDeg)
			}
			near(t, "at a point", cd/p.Candela, 1, 1e-9)
		}
	}
}

// The triangles tile the hull: their areas sum to that of the convex hull (shoelace
// over a gift-wrapped hull), and none holds a further point in its circle.
func TestTriangulation(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{3, 4, 10, 60, 300} {
		for _, snap := range []bool{false, true} {
			var points []vertex
			for _, p := range scattered(rng, n) {
				if snap { // rows, columns and circles with many points on them
					p.HDeg, p.VDeg = math.Round(p.HDeg/2), math.Round(p.VDeg/2)
				}
				points = append(points, vertex{p.HDeg, p.VDeg})
			}
			slices.SortFunc(points, func(a, b vertex) int {
				if a.x != b.x {
					return int(math.Copysign(1, a.x-b.x))
				}
				return int(math.Copysign(1, a.y-b.y))
			})
			points = slices.Compact(points)
			triangles := triangulate(points)
			if len(triangles) == 0 {
				t.Fatalf("n %d: no triangles", n)
			}
			var sum float64
			for _, tri := range triangles {
				a, b, c := points[tri[0]], points[tri[1]], points[tri[2]]
				area := cross(a, b, c) / 2
				if !(area > 0) {
					t.Fatalf("n %d: triangle %v is not counter-clockwise", n, tri)
				}
				sum += area
				for _, p := range points {
					if p != a && p != b && p != c && inCircle(a, b, c, p) {
						t.Fatalf("n %d snap %v: a point lies in the circle of %v", n, snap, tri)
					}
				}
			}
			near(t, "hull area", sum, hullArea(points), 1e-6)
		}
	}
}

func hullArea(points []vertex) float64 {
	var hull []vertex
	at := points[0]
	for {
		hull = append(hull, at)
		next := points[0]
		for _, p := range points {
			turn := cross(at, next, p)
			farther := math.Hypot(p.x-at.x, p.y-at.y) > math.Hypot(next.x-at.x, next.y-at.y)
			if next == at || turn < 0 || turn == 0 && farther {
				next = p
			}
		}
		if at = next; at == hull[0] {
			break
		}
	}
	var area float64
	for i, p := range hull {
		q := hull[(i+1)%len(hull)]
		area += (p.x*q.y - q.x*p.y) / 2
	}
	return area
}

func TestFieldOrderDoesNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	lamp := measuredLamp(t)
	shuffled := append([]BeamPoint(nil), lamp.points...)
	rng.Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	other, err := NewPointField(append(shuffled, shuffled[0])) // a repeated equal point is one point
	if err != nil {
		t.Fatal(err)
	}
	for h := -21.0; h <= 21; h += 0.37 {
		for v := -5.0; v <= 11; v += 0.29 {
			a, okA := lamp.At(h, v)
			b, okB := other.At(h, v)
			if a != b || okA != okB {
				t.Fatalf("(%g, %g): %g %v and %g %v", h, v, a, okA, b, okB)
			}
		}
	}
}

// Between points the logarithmic value lies within the corners and never above the
// straight one; where a corner is dark it is the straight one.
func TestFieldBetweenPoints(t *testing.T) {
	field, err := NewPointField([]BeamPoint{{0, 0, 100}, {1, 0, 100}, {0, 1, 10000}, {1, 1, 10000}})
	if err != nil {
		t.Fatal(err)
	}
	cd, _ := field.At(0.5, 0.5)
	near(t, "logarithmic middle", cd, 1000, 1e-9) // sqrt(100 x 10,000)
	// A saddle tells the two ways apart: bilinear gives the mean of all four corners,
	// a triangle that of two.
	saddle, err := NewPointField([]BeamPoint{{0, 0, 100}, {1, 0, 10000}, {0, 1, 10000}, {1, 1, 100}})
	if err != nil {
		t.Fatal(err)
	}
	cd, _ = saddle.At(0.5, 0.5)
	near(t, "saddle", cd, 1000, 1e-9)
	dark, err := NewPointField([]BeamPoint{{0, 0, 0}, {1, 0, 0}, {0, 1, 10000}, {1, 1, 10000}})
	if err != nil {
		t.Fatal(err)
	}
	cd, _ = dark.At(0.5, 0.5)
	near(t, "straight middle", cd, 5000, 1e-9)
	cd, _ = dark.At(0.5, 1)
	near(t, "on the lit row", cd, 10000, 1e-9)
	spacing, ok := field.Spacing(0.5, 0.5)
	near(t, "spacing", spacing, math.Sqrt2, 1e-12)
	if !ok {
		t.Error("spacing inside is not known")
	}
	for _, outside := range [][2]float64{{-0.01, 0.5}, {1.01, 0.5}, {0.5, -0.01}, {0.5, 1.01}, {math.NaN(), 0.5}, {0.5, math.Inf(1)}} {
		if _, ok := field.At(outside[0], outside[1]); ok {
			t.Errorf("%v is outside, but measured", outside)
		}
		if _, ok := measuredLamp(t).At(30*outside[0]-100, outside[1]); ok {
			t.Errorf("%v is outside the scattered field, but measured", outside)
		}
	}
}

func TestMovedFields(t *testing.T) {
	lamp := measuredLamp(t)
	raised, err := Raised(lamp, 0.25)
	if err != nil {
		t.Fatal(err)
	}
	scaled, err := Scaled(lamp, 0.83)
	if err != nil {
		t.Fatal(err)
	}
	back := Mirrored(Mirrored(lamp))
	for _, d := range [][2]float64{{0, -0.9}, {1.2, -0.4}, {-3, 0.3}, {40, 0}} {
		cd, ok := lamp.At(d[0], d[1])
		if up, okUp := raised.At(d[0], d[1]+0.25); math.Abs(up-cd) > 1e-9*cd || okUp != ok {
			t.Errorf("raised %v: %g %v, want %g %v", d, up, okUp, cd, ok)
		}
		if q, _ := scaled.At(d[0], d[1]); math.Abs(q-0.83*cd) > 1e-9 {
			t.Errorf("scaled %v: %g, want %g", d, q, 0.83*cd)
		}
		if same, okSame := back.At(d[0], d[1]); same != cd || okSame != ok {
			t.Errorf("mirrored twice %v: %g, want %g", d, same, cd)
		}
	}
	_, err = Raised(lamp, 6)
	outOfRange(t, err, "raise")
	_, err = Scaled(lamp, math.NaN())
	outOfRange(t, err, "factor")
}

func TestFieldErrors(t *testing.T) {
	for name, points := range map[string][]BeamPoint{
		"empty": nil, "two": {{0, 0, 1}, {1, 0, 1}}, "row": {{0, 0, 1}, {1, 0, 1}, {2, 0, 1}, {3, 0, 1}},
		"slanted line": {{0, 0, 1}, {1, 1, 1}, {2, 2, 1}},
		"clash":        {{0, 0, 1}, {0, 0, 2}, {1, 0, 1}, {0, 1, 1}},
		"nan":          {{0, 0, math.NaN()}, {1, 0, 1}, {0, 1, 1}}, "behind": {{170, 0, 1}, {1, 0, 1}, {0, 1, 1}},
		"negative": {{0, 0, -1}, {1, 0, 1}, {0, 1, 1}}, "many": make([]BeamPoint, PointsMost+1),
	} {
		if _, err := NewPointField(points); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func BenchmarkFieldAt(b *testing.B) {
	lamp := measuredLamp(b)
	for b.Loop() {
		lamp.At(1.2, -0.4)
	}
}
