package beam

import "math"

// The straight stretch of the cutoff on which tilt is judged, degrees toward the
// kerb, its columns, and how far under and over the edge they are fitted.
const (
	tiltNear, tiltFar = 0.5, 4.0
	tiltStep          = 0.5
	tiltBelow         = 1.3
	tiltAbove         = 0.4
	// tiltResidual is the largest scatter in ln E of a column about its fit.
	tiltResidual = 0.06
)

// edgeColumn is one column of the fit of tiltOf.
type edgeColumn struct {
	h    float64
	x, y []float64 // v from the first guess, and ln E
	// ln E = c0 + c1 x + c2 x^2 + ln(f + (1-f) T), f = exp(leak)
	c    [3]float64
	leak float64
}

// edgeFit is a straight edge of one softness across all columns: T is a logistic
// step at a + t h of scale exp(scale). Fitting the beam under the edge and the
// light over it in each column, and the edge in all of them at once, tells a tilt
// from a beam that changes from column to column.
type edgeFit struct {
	columns     []edgeColumn
	a, t, scale float64
}

// tiltOf is the slope of the horizontal part of the cutoff on an unlevelled field,
// in degrees; ok is false when there is no such line.
func tiltOf(f *Field, kind string, fog bool) (tilt float64, ok bool) {
	from, to := -tiltFar, -tiltNear
	if kind == CutoffVOR {
		from, to = tiltNear, tiltFar
	}
	if fog {
		from, to = -tiltFar, tiltFar
	}
	soft := f.smoothed(0.1)
	hot, peak := hotSpot(f, soft)
	if peak <= 0 {
		return 0, false
	}
	fit := edgeFit{scale: math.Log(0.12)}
	var guesses, hs []float64
	var scans []profile
	for h := from; h <= to+1e-9; h += tiltStep {
		ih := int(math.Round((h - f.H0) / f.Step))
		if ih < 2 || ih >= f.NH-2 {
			continue
		}
		p, whole := fieldColumn(soft, ih)
		m := int(math.Round(scanWindow / p.step))
		if !whole || 2*max(2, m)+3 > len(p.e) {
			continue
		}
		// A tilted picture moves the cutoff up or down with h.
		v, _, found := p.steepest(slopes(p.e, p.step, max(2, m)), hot.V-1, hot.V+3, func(int) bool { return true })
		if found {
			guesses, hs, scans = append(guesses, v), append(hs, f.H(ih)), append(scans, p)
		}
	}
	if len(hs) < 5 {
		return 0, false
	}
	fit.start(guesses, hs, scans)
	for range 2 {
		if len(fit.columns) < 5 || !fit.run() {
			return 0, false
		}
		if !fit.dropWorst() {
			break
		}
	}
	if fit.scatter() > tiltResidual {
		return 0, false
	}
	return degrees(math.Atan(fit.t)), true
}

// start cuts the columns out around a first line through the guesses.
func (fit *edgeFit) start(guesses, hs []float64, scans []profile) {
	line := newEquations(2)
	for i, v := range guesses {
		line.add([]float64{1, hs[i]}, v, 1)
	}
	c, ok := line.solve()
	if !ok {
		return
	}
	fit.a, fit.t = c[0], c[1]
	for i, p := range scans {
		col := edgeColumn{h: hs[i], leak: math.Log(0.02)}
		at := fit.a + fit.t*col.h
		under := newEquations(3)
		for k, e := range p.e {
			if d := p.v(k) - at; d < -tiltBelow || d > tiltAbove || e <= 0 {
				continue
			}
			x, y := p.v(k), math.Log(e)
			col.x, col.y = append(col.x, x), append(col.y, y)
			if x-at < -0.25 {
				under.add([]float64{1, x, x * x}, y, 1)
			}
		}
		if c, ok := under.solve(); ok && len(col.x) >= 12 {
			copy(col.c[:], c)
			fit.columns = append(fit.columns, col)
		}
	}
}

// model gives ln E and its derivatives by edge place, ln scale and ln leak.
func (fit *edgeFit) model(c *edgeColumn, x float64) (y, byPlace, byScale, byLeak float64) {
	s, f := math.Exp(fit.scale), math.Exp(c.leak)
	z := (x - fit.a - fit.t*c.h) / s
	step := 1 / (1 + math.Exp(math.Min(60, z)))
	g := f + (1-f)*step
	fall := (1 - f) * step * (1 - step) / g
	y = c.c[0] + c.c[1]*x + c.c[2]*x*x + math.Log(g)
	return y, fall / s, fall * z, f * (1 - step) / g
}

// run is Levenberg and Marquardt's method on all columns; false when it fails.
func (fit *edgeFit) run() bool {
	damping := 1e-3
	best := fit.cost()
	for range 60 {
		n := 3 + 4*len(fit.columns)
		m := newEquations(n)
		row := make([]float64, n)
		for j := range fit.columns {
			c := &fit.columns[j]
			for k, x := range c.x {
				y, place, scale, leak := fit.model(c, x)
				clear(row)
				row[0], row[1], row[2] = place, place*c.h, scale
				o := 3 + 4*j
				row[o], row[o+1], row[o+2], row[o+3] = 1, x, x*x, leak
				m.add(row, c.y[k]-y, 1)
			}
		}
		for k := range m {
			m[k][k] += damping*m[k][k] + 1e-9
		}
		d, ok := m.solve()
		if !ok {
			return false
		}
		next := fit.moved(d)
		if cost := next.cost(); cost < best {
			gain := best - cost
			*fit, best, damping = next, cost, damping/5
			if gain < 1e-7*best {
				return true
			}
		} else if damping *= 5; damping > 1e6 {
			return true
		}
	}
	return true
}

func (fit *edgeFit) moved(d []float64) edgeFit {
	next := edgeFit{a: fit.a + d[0], t: fit.t + d[1], scale: math.Max(math.Log(0.01), math.Min(math.Log(0.5), fit.scale+d[2]))}
	next.columns = append(next.columns, fit.columns...)
	for j := range next.columns {
		c, o := &next.columns[j], 3+4*j
		for k := range 3 {
			c.c[k] += d[o+k]
		}
		c.leak = math.Max(-9, math.Min(-0.7, c.leak+d[o+3]))
	}
	return next
}

func (fit *edgeFit) residual(c *edgeColumn) (sum float64) {
	for k, x := range c.x {
		y, _, _, _ := fit.model(c, x)
		sum += (c.y[k] - y) * (c.y[k] - y)
	}
	return sum
}

func (fit *edgeFit) cost() (sum float64) {
	for j := range fit.columns {
		sum += fit.residual(&fit.columns[j])
	}
	return sum
}

// scatter is the root mean square of the residuals.
func (fit *edgeFit) scatter() float64 {
	n := 0
	for _, c := range fit.columns {
		n += len(c.x)
	}
	return math.Sqrt(fit.cost() / float64(max(1, n)))
}

// dropWorst takes out columns that fit far worse than the others (a dark spot or
// a patch lies in them) and says whether there were any.
func (fit *edgeFit) dropWorst() bool {
	each := make([]float64, len(fit.columns))
	for j := range fit.columns {
		each[j] = fit.residual(&fit.columns[j]) / float64(len(fit.columns[j].x))
	}
	limit := 9*median(append([]float64(nil), each...)) + 1e-5
	kept := fit.columns[:0:0]
	for j, c := range fit.columns {
		if each[j] <= limit {
			kept = append(kept, c)
		}
	}
	dropped := len(kept) < len(fit.columns)
	fit.columns = kept
	return dropped
}

// fieldColumn is the longest measured stretch of one column of a field; whole is
// false when next to nothing of it is measured.
func fieldColumn(f *Field, ih int) (p profile, whole bool) {
	values := make([]float64, f.NV)
	for iv := range values {
		values[iv] = f.Values[iv*f.NH+ih]
	}
	first, n := longestRun(values)
	return profile{f.V(first), f.Step, values[first : first+n]}, n >= 5
}

// longestRun finds the longest stretch without Missing.
func longestRun(values []float64) (first, n int) {
	for i := 0; i < len(values); {
		if values[i] < 0 {
			i++
			continue
		}
		run := i
		for i < len(values) && values[i] >= 0 {
			i++
		}
		if i-run > n {
			first, n = run, i-run
		}
	}
	return first, n
}
