package beam

import (
	"errors"
	"fmt"
	"image"
	"math"
	"slices"
)

// A mark is a black disc with a white disc in it and a black dot in that, all
// about one middle; diameters in metres. One page of A4 or Letter holds one mark.
const (
	MarkOuter = 0.160
	MarkWhite = 0.100
	MarkDot   = 0.050
	// markPage is half the page around a mark that is left out of the beam, metres.
	markPageX, markPageY = 0.15, 0.15
)

// MarkPlan is where the six marks hang: three above and three below, the lamp's
// centre in their middle. 1 to 3 is the upper row from the left, 4 to 6 the lower.
type MarkPlan struct {
	Across, Down float64 // between neighbours of a row, and between the rows, metres
	Distance     float64 // lamp to wall, metres
}

// Legal ranges of a plan, metres.
const (
	LeastApart, MostApart       = 0.3, 5.0
	LeastDistance, MostDistance = 2.0, 30.0
)

// Check says what is wrong with a plan.
func (m MarkPlan) Check() error {
	switch {
	case !(m.Across >= LeastApart && m.Across <= MostApart && m.Down >= LeastApart && m.Down <= MostApart):
		return fmt.Errorf("marks %g m and %g m apart: must be from %g to %g m", m.Across, m.Down, LeastApart, MostApart)
	case !(m.Distance >= LeastDistance && m.Distance <= MostDistance):
		return fmt.Errorf("wall %g m from the lamp: must be from %g to %g m", m.Distance, LeastDistance, MostDistance)
	}
	return nil
}

// places are the marks on the wall in units of the distance, 1 to 6.
func (m *MarkPlan) places() [][2]float64 {
	var out [][2]float64
	if m == nil {
		return nil
	}
	for _, v := range []float64{0.5, -0.5} {
		for _, h := range []float64{-1, 0, 1} {
			out = append(out, [2]float64{h * m.Across / m.Distance, v * m.Down / m.Distance})
		}
	}
	return out
}

// covered says whether a place on the wall lies under a page with a mark.
func (m *MarkPlan) covers(u, w float64) bool {
	if m == nil {
		return false
	}
	x, y := math.Abs(u*m.Distance), math.Abs(w*m.Distance)
	near := func(a, b, half float64) bool { return math.Abs(a-b) <= half }
	return near(y, m.Down/2, markPageY) && (near(x, 0, markPageX) || near(x, m.Across, markPageX))
}

// stretchMost is how far across and up may differ in scale: 1.25 is seen from 37 degrees aside.
const stretchMost = 1.25

// FoundMark is a mark in a picture: its middle and its outer diameter, pixels.
type FoundMark struct{ X, Y, Size float64 }

// FindMarks finds the marks of MarkPlan in a picture, brightest contrast first by
// place: from top to bottom. A mark has to be 14 pixels across or more.
func FindMarks(img image.Image) []FoundMark {
	p := newPixels(img, newTables(""))
	by := max(1, (p.w+1599)/1600)
	b := p.bin(by)
	look := make([]float64, len(b.light))
	for i, e := range b.light {
		// A clipped place is white; the root makes dark and bright parts alike.
		if e < 0 {
			e = 1
		}
		look[i] = math.Sqrt(math.Max(0, e))
	}
	sums := integral(look, b.nx, b.ny)
	var found []FoundMark
	for _, window := range []int{b.nx / 10, b.nx / 24, b.nx / 50} {
		if window < 8 {
			continue
		}
		for _, m := range marksAt(look, sums, b.nx, b.ny, window) {
			if !slices.ContainsFunc(found, func(o FoundMark) bool { return math.Hypot(o.X-m.X, o.Y-m.Y) < o.Size/2 }) {
				found = append(found, m)
			}
		}
	}
	half := float64(by-1) / 2
	for i := range found {
		m := &found[i]
		m.X, m.Y, m.Size = m.X*float64(by)+half, m.Y*float64(by)+half, m.Size*float64(by)
	}
	return found
}

// blob2 is a connected dark part.
type darkPart struct {
	n              int
	x, y           float64
	x0, x1, y0, y1 int
}

func (d *darkPart) wide() float64 { return float64(d.x1 - d.x0 + 1) }
func (d *darkPart) tall() float64 { return float64(d.y1 - d.y0 + 1) }

func marksAt(look, sums []float64, nx, ny, window int) []FoundMark {
	dark := make([]bool, len(look))
	for y := range ny {
		y0, y1 := max(0, y-window/2), min(ny, y+window/2+1)
		for x := range nx {
			x0, x1 := max(0, x-window/2), min(nx, x+window/2+1)
			mean := (sums[y1*(nx+1)+x1] - sums[y0*(nx+1)+x1] - sums[y1*(nx+1)+x0] + sums[y0*(nx+1)+x0]) / float64((x1-x0)*(y1-y0))
			dark[y*nx+x] = look[y*nx+x] < 0.8*mean
		}
	}
	parts := darkParts(dark, nx, ny)
	var found []FoundMark
	for i := range parts {
		ring := &parts[i]
		if ring.wide() < 9 || ring.tall() < 9 || ring.wide() > 1.8*ring.tall() || ring.tall() > 1.8*ring.wide() {
			continue
		}
		// A ring fills 0.48 of its box; a disc would fill 0.79.
		if fill := float64(ring.n) / (ring.wide() * ring.tall()); fill < 0.3 || fill > 0.66 {
			continue
		}
		for j := range parts {
			dot := &parts[j]
			ratio := dot.wide() / ring.wide()
			if i == j || ratio < 0.18 || ratio > 0.45 || dot.tall()/ring.tall() < 0.18 || dot.tall()/ring.tall() > 0.45 {
				continue
			}
			if math.Abs(dot.x-ring.x) > 0.1*ring.wide() || math.Abs(dot.y-ring.y) > 0.1*ring.tall() {
				continue
			}
			if float64(dot.n) < 0.55*dot.wide()*dot.tall() {
				continue
			}
			m := FoundMark{(dot.x + ring.x) / 2, (dot.y + ring.y) / 2, (ring.wide() + ring.tall()) / 2}
			if x, y, ok := darkMiddle(look, nx, ny, m); ok {
				m.X, m.Y = x, y
			}
			found = append(found, m)
		}
	}
	return found
}

// darkMiddle weighs the darkness over the mark, so that its middle is found to a
// part of a pixel. The light around it gives the white level, plane by plane.
func darkMiddle(look []float64, nx, ny int, m FoundMark) (x, y float64, ok bool) {
	r := m.Size/2 + 1
	// White: a plane through the light in the white ring and just outside the mark.
	white := newEquations(3)
	each := func(do func(px, py int, d float64)) {
		for py := int(m.Y - 1.3*r); py <= int(m.Y+1.3*r)+1; py++ {
			for px := int(m.X - 1.3*r); px <= int(m.X+1.3*r)+1; px++ {
				if px < 0 || py < 0 || px >= nx || py >= ny {
					continue
				}
				do(px, py, math.Hypot(float64(px)-m.X, float64(py)-m.Y)/r)
			}
		}
	}
	each(func(px, py int, d float64) {
		if d > 0.42 && d < 0.53 || d > 1.1 && d < 1.25 {
			white.add([]float64{1, float64(px) - m.X, float64(py) - m.Y}, look[py*nx+px], 1)
		}
	})
	c, solved := white.solve()
	if !solved {
		return 0, 0, false
	}
	var sum, sx, sy float64
	each(func(px, py int, d float64) {
		if d > 1.12 {
			return
		}
		level := c[0] + c[1]*(float64(px)-m.X) + c[2]*(float64(py)-m.Y)
		if w := 1 - look[py*nx+px]/math.Max(level, 1e-9); w > 0.1 {
			w = math.Min(w, 1)
			sum, sx, sy = sum+w, sx+w*float64(px), sy+w*float64(py)
		}
	})
	if sum <= 0 {
		return 0, 0, false
	}
	x, y = sx/sum, sy/sum
	return x, y, math.Hypot(x-m.X, y-m.Y) < 0.15*m.Size
}

func integral(v []float64, nx, ny int) []float64 {
	s := make([]float64, (nx+1)*(ny+1))
	for y := range ny {
		row := 0.0
		for x := range nx {
			row += v[y*nx+x]
			s[(y+1)*(nx+1)+x+1] = s[y*(nx+1)+x+1] + row
		}
	}
	return s
}

func darkParts(dark []bool, nx, ny int) []darkPart {
	var parts []darkPart
	var stack []int
	for start, on := range dark {
		if !on {
			continue
		}
		d := darkPart{x0: nx, y0: ny}
		stack = append(stack[:0], start)
		dark[start] = false
		for len(stack) > 0 {
			i := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			x, y := i%nx, i/nx
			d.n++
			d.x, d.y = d.x+float64(x), d.y+float64(y)
			d.x0, d.x1, d.y0, d.y1 = min(d.x0, x), max(d.x1, x), min(d.y0, y), max(d.y1, y)
			for _, s := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
				a, b := x+s[0], y+s[1]
				if a >= 0 && b >= 0 && a < nx && b < ny && dark[b*nx+a] {
					dark[b*nx+a] = false
					stack = append(stack, b*nx+a)
				}
			}
		}
		if d.n >= 6 {
			d.x, d.y = d.x/float64(d.n), d.y/float64(d.n)
			parts = append(parts, d)
		}
	}
	return parts
}

// InOrder puts six marks into the order of the plan: the upper row from the left,
// then the lower. Error: not six, or no two rows of three.
func InOrder(marks []FoundMark) ([]FoundMark, error) {
	if len(marks) != 6 {
		return nil, fmt.Errorf("%d of the six marks were found: they must all be in the picture, whole, in light, and 14 pixels across or more", len(marks))
	}
	m := slices.Clone(marks)
	slices.SortFunc(m, func(a, b FoundMark) int { return int(math.Copysign(1, a.Y-b.Y)) })
	for _, row := range [][]FoundMark{m[:3], m[3:]} {
		slices.SortFunc(row, func(a, b FoundMark) int { return int(math.Copysign(1, a.X-b.X)) })
	}
	for i := range 3 {
		if m[3+i].Y-m[i].Y < m[i].Size {
			return nil, errors.New("the marks do not hang in two rows of three, or the picture is turned by more than 20 degrees")
		}
	}
	return m, nil
}

// Locate finds the geometry of a picture with all six marks in it.
func Locate(img image.Image, plan MarkPlan) (*Geometry, []FoundMark, error) {
	if err := plan.Check(); err != nil {
		return nil, nil, err
	}
	marks, err := InOrder(FindMarks(img))
	if err != nil {
		return nil, marks, err
	}
	var at [][2]float64
	for _, m := range marks {
		at = append(at, [2]float64{m.X, m.Y})
	}
	size := img.Bounds().Size()
	g, err := GeometryOf(plan.places(), at, size.X, size.Y)
	if err != nil {
		return nil, marks, err
	}
	// More than a tenth of a mark off is a mark at another place than said.
	if g.Residual > 0.1*marks[0].Size {
		return nil, marks, fmt.Errorf("the marks lie %.1f pixels off the places said: measure between them again", g.Residual)
	}
	// A camera's pixels are square: seen from aside, one way is shorter by the cosine only.
	if k := g.stretch(); k > stretchMost || k < 1/stretchMost {
		return nil, marks, fmt.Errorf("the marks stand %.2f times as far apart across against up and down as said: measure both lengths again, or take the picture from less aside", k)
	}
	if r := g.roll(); math.Abs(r) > 20 {
		return nil, marks, fmt.Errorf("the picture is turned by %.0f degrees", r)
	}
	return g, marks, nil
}

// Follow finds how far a picture is shifted against the one of g, by the marks that
// can be seen in it; seen is how many there were.
func Follow(img image.Image, g *Geometry, plan MarkPlan) (moved *Geometry, seen int) {
	var dx, dy []float64
	found := FindMarks(img)
	for _, p := range plan.places() {
		x, y := g.pixelAt(p[0], p[1])
		for _, m := range found {
			if math.Hypot(m.X-x, m.Y-y) < 1.5*m.Size {
				dx, dy = append(dx, m.X-x), append(dy, m.Y-y)
				break
			}
		}
	}
	if len(dx) < 2 {
		return g, len(dx)
	}
	n := len(dx)
	mean := func(v []float64) (sum float64) {
		for _, x := range v {
			sum += x / float64(n)
		}
		return sum
	}
	return g.moved(mean(dx), mean(dy)), n
}
