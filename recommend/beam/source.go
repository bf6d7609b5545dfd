package beam

import "math"

// source is one measured beam, whatever it was read from. Its angles count
// toward the kerb (mirrored for left-hand traffic) and are levelled.
type source struct {
	field *Field
	// column is a vertical scan averaged over h-half..h+half, with its finest useful step.
	column func(h, half float64) (profile, bool)
	// kernel is the standard deviation in degrees of everything that blurs a
	// vertical scan; negative when it is not known.
	kernel float64
	// native is the vertical step in degrees of the measurement itself near v.
	native func(v float64) float64
	// floor is the least light that means something.
	floor float64
	soft  *Field // field under lookSigma, made once
	peak  float64
	hot   Point
}

// lookSigma is the smoothing in degrees of everything that is searched for on the
// field: under the size of the smallest dark spot looked for, over pixel noise.
const lookSigma = 0.15

// prepare fills what the figures share.
func (s *source) prepare() {
	s.soft = s.field.smoothed(lookSigma)
	s.hot, s.peak = hotSpot(s.field, s.soft)
}

// hotSpot finds the peak: the largest smoothed value, then the vertex of a
// quadratic fitted to log E around it (least squares over the connected cells of
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
	if dh, dv, ok := vertex(f, soft, top, ih, iv, peak); ok {
		at.H, at.V = f.H(ih)+dh, f.V(iv)+dv
	}
	return at, peak
}

// vertex fits log E = a + bx + cy + dx^2 + exy + fy^2 over the cells and returns
// the place of its maximum relative to cell (ih, iv), when it lies among them.
func vertex(f, soft *Field, cells []int, ih, iv int, peak float64) (dh, dv float64, ok bool) {
	if len(cells) < 9 {
		return 0, 0, false
	}
	var m [6][7]float64
	least, most := Point{H: math.Inf(1), V: math.Inf(1)}, Point{H: math.Inf(-1), V: math.Inf(-1)}
	for _, i := range cells {
		x, y := float64(i%f.NH-ih)*f.Step, float64(i/f.NH-iv)*f.Step
		row := [7]float64{1, x, y, x * x, x * y, y * y, math.Log(soft.Values[i] / peak)}
		for a := range 6 {
			for b := range 7 {
				m[a][b] += row[a] * row[b]
			}
		}
		least.H, least.V = math.Min(least.H, x), math.Min(least.V, y)
		most.H, most.V = math.Max(most.H, x), math.Max(most.V, y)
	}
	c, solved := solve6(m)
	if !solved {
		return 0, 0, false
	}
	det := 4*c[3]*c[5] - c[4]*c[4]
	if !(c[3] < 0 && c[5] < 0 && det > 0) {
		return 0, 0, false
	}
	dh, dv = (c[4]*c[2]-2*c[5]*c[1])/det, (c[4]*c[1]-2*c[3]*c[2])/det
	return dh, dv, dh >= least.H && dh <= most.H && dv >= least.V && dv <= most.V
}

// solve6 solves six equations by elimination with pivoting.
func solve6(m [6][7]float64) (c [6]float64, ok bool) {
	for k := range 6 {
		p := k
		for r := k + 1; r < 6; r++ {
			if math.Abs(m[r][k]) > math.Abs(m[p][k]) {
				p = r
			}
		}
		if math.Abs(m[p][k]) < 1e-12 {
			return c, false
		}
		m[k], m[p] = m[p], m[k]
		for r := range 6 {
			if r == k {
				continue
			}
			q := m[r][k] / m[k][k]
			for j := k; j < 7; j++ {
				m[r][j] -= q * m[k][j]
			}
		}
	}
	for k := range 6 {
		c[k] = m[k][6] / m[k][k]
	}
	return c, true
}
