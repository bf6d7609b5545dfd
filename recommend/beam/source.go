package beam

import "math"

// source is one measured beam, whatever it was read from. Its angles count
// toward the kerb (mirrored for left-hand traffic) and are levelled.
type source struct {
	field *Field
	// column is a vertical scan averaged over h-half..h+half, from down to up as far
	// as it was measured, with its finest useful step.
	column func(h, half, down, up float64) (profile, bool)
	// kernel is the standard deviation in degrees of everything that blurs a
	// vertical scan; negative when it is not known.
	kernel float64
	// native is the vertical step in degrees of the measurement itself near v.
	native func(v float64) float64
	// floor is the least light that means something.
	floor float64
	// candela is what one unit of the field is worth; 0 when that is not known.
	candela float64
	// unsure says why sharpness cannot be believed whatever the blur; empty: it can.
	unsure string
	white  []Point // cells that are white in the picture, as seen
	soft   *Field  // field under lookSigma, made once
	peak   float64
	hot    Point
}

// lookSigma is the smoothing in degrees of everything that is searched for on the
// field: under the size of the smallest dark spot looked for, over pixel noise.
const lookSigma = 0.15

// prepare fills what the figures share.
func (s *source) prepare() {
	s.soft = s.field.smoothed(lookSigma)
	s.hot, s.peak = hotSpot(s.field, s.soft)
}

// hotSpot finds the peak: the largest smoothed value, then the maximum of a
// cubic fitted to ln E around it (least squares over the connected cells of
// at least topShare of the peak), so that pixel noise on a flat top does not move it.
func hotSpot(f, soft *Field) (Point, float64) {
	best := 0
	for i, v := range soft.Values {
		if v > soft.Values[best] {
			best = i
		}
	}
	peak := soft.Values[best]
	ih, iv := best%f.NH, best/f.NH
	at := Point{H: f.H(ih), V: f.V(iv), Value: peak}
	if peak <= 0 {
		return at, 0
	}
	const topShare = 0.94
	// The cells of the top are found by growing from the largest one.
	inTop := map[int]bool{best: true}
	stack := []int{best}
	var top []int
	for len(stack) > 0 && len(top) < 20000 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		top = append(top, i)
		x, y := i%f.NH, i/f.NH
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			jh, jv := x+d[0], y+d[1]
			if soft.value(jh, jv) < topShare*peak {
				continue
			}
			if j := jv*f.NH + jh; !inTop[j] {
				inTop[j] = true
				stack = append(stack, j)
			}
		}
	}
	if dh, dv, ok := vertex(f, top, ih, iv, peak); ok {
		at.H, at.V = f.H(ih)+dh, f.V(iv)+dv
	}
	return at, peak
}

// vertex fits ln E by a cubic in both angles over the cells, so that a top steeper
// on the cutoff's side does not pull it, and climbs to its maximum from cell
// (ih, iv); ok is false when that leaves the cells.
func vertex(f *Field, cells []int, ih, iv int, peak float64) (dh, dv float64, ok bool) {
	if len(cells) < 20 {
		return 0, 0, false
	}
	m := newEquations(10)
	least, most := Point{H: math.Inf(1), V: math.Inf(1)}, Point{H: math.Inf(-1), V: math.Inf(-1)}
	for _, i := range cells {
		// The light itself, not the smoothed field: smoothing near the cutoff pulls.
		if f.Values[i] <= 0 {
			continue
		}
		x, y := float64(i%f.NH-ih)*f.Step, float64(i/f.NH-iv)*f.Step
		m.add([]float64{1, x, y, x * x, x * y, y * y, x * x * x, x * x * y, x * y * y, y * y * y}, math.Log(f.Values[i]/peak), 1)
		least.H, least.V = math.Min(least.H, x), math.Min(least.V, y)
		most.H, most.V = math.Max(most.H, x), math.Max(most.V, y)
	}
	c, solved := m.solve()
	if !solved {
		return 0, 0, false
	}
	for range 20 {
		x, y := dh, dv
		gx := c[1] + 2*c[3]*x + c[4]*y + 3*c[6]*x*x + 2*c[7]*x*y + c[8]*y*y
		gy := c[2] + c[4]*x + 2*c[5]*y + c[7]*x*x + 2*c[8]*x*y + 3*c[9]*y*y
		xx, xy, yy := 2*c[3]+6*c[6]*x+2*c[7]*y, c[4]+2*c[7]*x+2*c[8]*y, 2*c[5]+2*c[8]*x+6*c[9]*y
		det := xx*yy - xy*xy
		if !(xx < 0 && yy < 0 && det > 0) {
			return 0, 0, false
		}
		dh, dv = x-(gx*yy-gy*xy)/det, y-(gy*xx-gx*xy)/det
		if !(dh >= least.H && dh <= most.H && dv >= least.V && dv <= most.V) {
			return 0, 0, false
		}
	}
	return dh, dv, true
}
