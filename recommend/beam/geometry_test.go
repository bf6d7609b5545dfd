package beam

import (
	"math"
	"math/rand/v2"
	"testing"
)

// Heckbert, Fundamentals of Texture Mapping and Image Warping (1989), section 2.2.3,
// the unit square to any four corners in closed form (formula from memory, written
// out here): the linear transform has to give the same map.
func TestHomographyOfTheUnitSquare(t *testing.T) {
	x, y := [4]float64{120, 640, 700, 80}, [4]float64{90, 60, 470, 430}
	dx1, dx2, sx := x[1]-x[2], x[3]-x[2], x[0]-x[1]+x[2]-x[3]
	dy1, dy2, sy := y[1]-y[2], y[3]-y[2], y[0]-y[1]+y[2]-y[3]
	det := dx1*dy2 - dx2*dy1
	g, h := (sx*dy2-dx2*sy)/det, (dx1*sy-sx*dy1)/det
	want := [9]float64{x[1] - x[0] + g*x[1], x[3] - x[0] + h*x[3], x[0], y[1] - y[0] + g*y[1], y[3] - y[0] + h*y[3], y[0], g, h, 1}
	got, err := Homography([][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}}, [][2]float64{{x[0], y[0]}, {x[1], y[1]}, {x[2], y[2]}, {x[3], y[3]}})
	if err != nil {
		t.Fatal(err)
	}
	for i := range want {
		if !near(got[i], want[i], 1e-8*math.Max(1, math.Abs(want[i]))) {
			t.Errorf("element %d: %.10g, want %.10g", i, got[i], want[i])
		}
	}
	if _, err := Homography([][2]float64{{0, 0}, {1, 0}, {2, 0}, {3, 0}}, [][2]float64{{0, 0}, {1, 0}, {2, 0}, {3, 0}}); err == nil {
		t.Error("four points on one line were taken")
	}
}

// A map and its inverse undo each other, with distortion too; and six marks give back
// the map that made them.
func TestGeometryIsFoundAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(8, 8))
	for range 20 {
		want := newGeometry(4000, 3000)
		want.k = 0.06 * (r.Float64() - 0.5)
		want.setMap([9]float64{3000 + 200*r.Float64(), 150 * r.Float64(), 1900, 100 * r.Float64(), -3000, 1500, 0.1 * r.Float64(), 0.05 * r.Float64(), 1})
		plan := MarkPlan{Across: 1.6, Down: 1.2, Distance: 5}
		var at [][2]float64
		for _, p := range plan.places() {
			x, y := want.pixelAt(p[0], p[1])
			u, w := want.wallAt(x, y)
			if math.Hypot(u-p[0], w-p[1]) > 1e-6 {
				t.Errorf("there and back: %g, %g instead of %g, %g", u, w, p[0], p[1])
			}
			at = append(at, [2]float64{x, y})
		}
		got, err := GeometryOf(plan.places(), at, 4000, 3000)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range [][2]float64{{0, 0}, {0.2, -0.1}, {-0.3, 0.05}} {
			x, y := want.pixelAt(p[0], p[1])
			a, b := got.pixelAt(p[0], p[1])
			// 52 pixels are a degree here.
			if math.Hypot(a-x, b-y) > 1.5 {
				t.Errorf("k %.3f (found %.3f): %v lies %.2f pixels off", want.k, got.k, p, math.Hypot(a-x, b-y))
			}
		}
	}
}
