package beam

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Geometry says where a place on the wall lies in a picture: a projective map, the
// lens's radial distortion, and a shift of this picture against the one with the marks.
type Geometry struct {
	h      [9]float64 // wall to undistorted pixel
	inv    [9]float64
	k      float64 // distortion: r' = r (1 + k r^2), r = 1 half a diagonal from the middle
	cx, cy float64
	diag   float64 // half a diagonal, pixels
	dx, dy float64
	// Residual is the root mean square of the marks about the map, pixels per axis.
	Residual float64
}

// Homography is the projective map, row by row, that takes points to others:
// the normalised direct linear transform (Hartley and Zisserman, Multiple View
// Geometry, 2nd ed., algorithm 4.2), least squares where there are more than four.
// Error: fewer than four pairs, or three of four on one line.
func Homography(from, to [][2]float64) (h [9]float64, err error) {
	if len(from) < 4 || len(from) != len(to) {
		return h, errors.New("a projective map needs four points or more")
	}
	a, tf := normalised(from)
	b, tt := normalised(to)
	m := mat.NewDense(max(9, 2*len(a)), 9, nil)
	for i := range a {
		x, y, u, v := a[i][0], a[i][1], b[i][0], b[i][1]
		m.SetRow(2*i, []float64{-x, -y, -1, 0, 0, 0, u * x, u * y, u})
		m.SetRow(2*i+1, []float64{0, 0, 0, -x, -y, -1, v * x, v * y, v})
	}
	var svd mat.SVD
	if !svd.Factorize(m, mat.SVDThin) {
		return h, errors.New("the points determine no projective map")
	}
	values := svd.Values(nil)
	if !(values[7] > 1e-9*values[0]) {
		return h, errors.New("the points determine no projective map: three of them lie on one line")
	}
	var v mat.Dense
	svd.VTo(&v)
	var n [9]float64
	for i := range n {
		n[i] = v.At(i, 8)
	}
	// to = T^-1 n S from, with the similarities S and T of the two sides.
	back, ok := inverse3([9]float64{tt[0], 0, tt[1], 0, tt[0], tt[2], 0, 0, 1})
	if !ok {
		return h, errors.New("the points are one point")
	}
	h = times3(times3(back, n), [9]float64{tf[0], 0, tf[1], 0, tf[0], tf[2], 0, 0, 1})
	if h[8] != 0 {
		for i, s := 0, h[8]; i < 9; i++ {
			h[i] /= s
		}
	}
	return h, nil
}

// normalised moves points to the origin and scales them to a mean distance of
// root two; t is that similarity: scale, and what is added to x and to y.
func normalised(points [][2]float64) (out [][2]float64, t [3]float64) {
	var mx, my, far float64
	n := float64(len(points))
	for _, p := range points {
		mx, my = mx+p[0]/n, my+p[1]/n
	}
	for _, p := range points {
		far += math.Hypot(p[0]-mx, p[1]-my) / n
	}
	s := math.Sqrt2 / math.Max(far, 1e-12)
	for _, p := range points {
		out = append(out, [2]float64{s * (p[0] - mx), s * (p[1] - my)})
	}
	return out, [3]float64{s, -s * mx, -s * my}
}

func times3(a, b [9]float64) (c [9]float64) {
	for i := range 3 {
		for j := range 3 {
			c[3*i+j] = a[3*i]*b[j] + a[3*i+1]*b[3+j] + a[3*i+2]*b[6+j]
		}
	}
	return c
}

func inverse3(m [9]float64) (out [9]float64, ok bool) {
	var inv mat.Dense
	if inv.Inverse(mat.NewDense(3, 3, m[:])) != nil {
		return out, false
	}
	copy(out[:], inv.RawMatrix().Data)
	return out, true
}

// Project applies a projective map.
func Project(h [9]float64, x, y float64) (u, v float64) {
	w := h[6]*x + h[7]*y + h[8]
	return (h[0]*x + h[1]*y + h[2]) / w, (h[3]*x + h[4]*y + h[5]) / w
}

// typedGeometry is the map that a typed scale, axis and tilt describe. units are
// pixels per unit of wall over distance at the axis.
func typedGeometry(ax, ay, units, tilt float64, w, h int) *Geometry {
	sin, cos := math.Sincos(radians(tilt))
	g := newGeometry(w, h)
	g.setMap([9]float64{units * cos, -units * sin, ax, -units * sin, -units * cos, ay, 0, 0, 1})
	return g
}

func newGeometry(w, h int) *Geometry {
	g := &Geometry{cx: float64(w-1) / 2, cy: float64(h-1) / 2}
	g.diag = math.Hypot(g.cx, g.cy)
	return g
}

func (g *Geometry) setMap(h [9]float64) bool {
	inv, ok := inverse3(h)
	g.h, g.inv = h, inv
	return ok
}

// GeometryOf finds the map from marks on the wall, in units of the distance from
// lamp to wall, and their pixels in a picture of w by h: projective, and from six
// marks on with the lens's distortion. Phones correct most of theirs, so it is held
// near zero as strongly as half a pixel of the marks.
func GeometryOf(wall, pixel [][2]float64, w, h int) (*Geometry, error) {
	const (
		usual = 0.03 // distortion a phone leaves, standard deviation (judgement)
		sure  = 0.3  // pixels, how well a mark is found (simulation)
	)
	try := func(k float64) (*Geometry, float64, error) {
		g := newGeometry(w, h)
		g.k = k
		straight := make([][2]float64, len(pixel))
		for i, p := range pixel {
			straight[i][0], straight[i][1] = g.undistorted(p[0], p[1])
		}
		m, err := Homography(wall, straight)
		if err != nil {
			return nil, 0, err
		}
		if !g.setMap(m) {
			return nil, 0, errors.New("the marks determine no map")
		}
		sum := 0.0
		for i, p := range wall {
			x, y := g.pixelAt(p[0], p[1])
			sum += (x-pixel[i][0])*(x-pixel[i][0]) + (y-pixel[i][1])*(y-pixel[i][1])
		}
		g.Residual = math.Sqrt(sum / float64(max(1, 2*len(wall)-8)))
		return g, sum/(sure*sure) + k*k/(usual*usual), nil
	}
	best, cost, err := try(0)
	if err != nil || len(wall) < 6 {
		return best, err
	}
	at := 0.0
	for step := 0.04; step > 0.0005; step /= 2 {
		for moved := true; moved; {
			moved = false
			for _, k := range []float64{at - step, at + step} {
				if math.Abs(k) > 0.25 {
					continue
				}
				if g, c, err := try(k); err == nil && c < cost {
					best, cost, at, moved = g, c, k, true
				}
			}
		}
	}
	return best, nil
}

// pixelAt is where a place on the wall lies in the picture; u right and w up as
// seen from the lamp, in units of the distance.
func (g *Geometry) pixelAt(u, w float64) (x, y float64) {
	x, y = Project(g.h, u, w)
	if g.k != 0 {
		a, b := (x-g.cx)/g.diag, (y-g.cy)/g.diag
		f := 1 + g.k*(a*a+b*b)
		x, y = g.cx+a*f*g.diag, g.cy+b*f*g.diag
	}
	return x + g.dx, y + g.dy
}

// wallAt is the inverse of pixelAt.
func (g *Geometry) wallAt(x, y float64) (u, w float64) {
	x, y = g.undistorted(x-g.dx, y-g.dy)
	return Project(g.inv, x, y)
}

func (g *Geometry) undistorted(x, y float64) (float64, float64) {
	if g.k == 0 {
		return x, y
	}
	a, b := (x-g.cx)/g.diag, (y-g.cy)/g.diag
	p, q := a, b
	for range 12 {
		f := 1 + g.k*(p*p+q*q)
		p, q = a/f, b/f
	}
	return g.cx + p*g.diag, g.cy + q*g.diag
}

// perDegree is the scale at the axis, pixels per degree.
func (g *Geometry) perDegree() float64 {
	const d = 1e-4
	x, y := g.pixelAt(0, 0)
	a, b := g.pixelAt(d, 0)
	p, q := g.pixelAt(0, d)
	return math.Sqrt(math.Abs((a-x)*(q-y)-(b-y)*(p-x))) / d * math.Pi / 180
}

// stretch is the scale across over the scale up and down at the axis.
func (g *Geometry) stretch() float64 {
	const d = 1e-4
	x, y := g.pixelAt(0, 0)
	a, b := g.pixelAt(d, 0)
	p, q := g.pixelAt(0, d)
	return math.Hypot(a-x, b-y) / math.Hypot(p-x, q-y)
}

// roll is how far the right side of the wall's horizon stands up in the picture, degrees.
func (g *Geometry) roll() float64 {
	x, y := g.pixelAt(-0.05, 0)
	a, b := g.pixelAt(0.05, 0)
	return degrees(math.Atan2(y-b, a-x))
}

// moved is the map of a picture taken dx, dy pixels away.
func (g *Geometry) moved(dx, dy float64) *Geometry {
	other := *g
	other.dx, other.dy = g.dx+dx, g.dy+dy
	return &other
}
