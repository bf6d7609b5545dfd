package beam

import (
	"errors"
	"fmt"
	"math"

	"stillbright/data"
)

// GridInput is a measured grid or point list, beside the stock beam's if there is one.
type GridInput struct {
	Bulb  Measured
	Stock *Measured
	// ApertureDeg is the meter's window as seen from the lamp, degrees across; nil
	// when it is not known, and then G is only a least value. A window of w mm at d m
	// is atan(w/1000/d): ApertureOf.
	ApertureDeg *float64
	// Limits are the published tables to compare with; those of other beams are skipped.
	Limits []data.LimitTable
}

// ApertureOf is the angle in degrees of a round or square window of width mm
// millimetres at a distance of m metres.
func ApertureOf(mm, m float64) (float64, error) {
	if !(mm > 0 && mm <= 1000) || !(m > 0 && m <= 1000) {
		return 0, errors.New("aperture: width must be above 0 to 1000 mm, distance above 0 to 1000 m")
	}
	return degrees(math.Atan(mm / 1000 / m)), nil
}

// Raster bounds: figures are made on steps of rasterStep degrees, coarser only
// where a grid spans so much that it would not fit.
const (
	rasterStep  = 0.1
	rasterCells = 1200
)

// FromGrid scores a beam from a grid, or checks the limits alone from a point list
// (its parts are then nil but for stray light against the limits).
func FromGrid(in GridInput, o Options) (Pattern, Drawing, error) {
	o, err := o.check()
	if err != nil {
		return Pattern{}, Drawing{}, err
	}
	if in.ApertureDeg != nil && !(*in.ApertureDeg > 0 && *in.ApertureDeg < 20) {
		return Pattern{}, Drawing{}, fmt.Errorf("aperture %g: must be above 0 and under 20 degrees", *in.ApertureDeg)
	}
	if err := sameKind(in); err != nil {
		return Pattern{}, Drawing{}, err
	}
	if in.Bulb.Grid == nil {
		return fromPoints(in, o)
	}
	bulb, stock, err := gridSources(in, o)
	if err != nil {
		return Pattern{}, Drawing{}, err
	}
	d, err := judge(bulb, stock, o)
	if err != nil {
		return Pattern{}, Drawing{}, err
	}
	if err := d.limits(in); err != nil {
		return Pattern{}, Drawing{}, err
	}
	d.levels(in.Bulb, bulb)
	if stock == nil {
		d.note("no stock grid: stray light can be judged against published limits only")
	}
	if err := d.score(MethodGrid); err != nil {
		return Pattern{}, Drawing{}, err
	}
	return d.p, d.drawing(bulb, stock, in.Bulb.Unit), nil
}

func sameKind(in GridInput) error {
	if len(in.Bulb.Points) == 0 {
		return errors.New("no values")
	}
	if in.Stock == nil {
		return nil
	}
	if in.Stock.Grid == nil && in.Bulb.Grid != nil {
		return errors.New("the stock file is a list of points, not a full grid")
	}
	if in.Stock.Unit != in.Bulb.Unit {
		return fmt.Errorf("the bulb is in %s and stock in %s: both must be in one unit", in.Bulb.Unit, in.Stock.Unit)
	}
	if in.Bulb.Unit == Lux && in.Stock.DistanceM != in.Bulb.DistanceM {
		return fmt.Errorf("the bulb was read at %g m and stock at %g m: both must be at one distance", in.Bulb.DistanceM, in.Stock.DistanceM)
	}
	return nil
}

// fromPoints handles a list of points: a peak among them, and the limits.
func fromPoints(in GridInput, o Options) (Pattern, Drawing, error) {
	d := newFinding(o)
	best := Point{Value: -1}
	for _, p := range in.Bulb.Points {
		if value := p.Value * in.Bulb.toFacing(p.H, p.V); value > best.Value {
			best = Point{p.H, p.V, value}
		}
	}
	d.placeHot(best.H, best.V)
	d.level(in.Bulb, best.Value)
	d.note("a list of points, not a full grid: only the published limits are checked; the hot spot is the brightest point of the list")
	if err := d.limits(in); err != nil {
		return Pattern{}, Drawing{}, err
	}
	d.p.Method = MethodGrid
	if o.Beam != High {
		d.p.Parts.Stray = d.strayPart()
	}
	r, err := Score(o.Beam, d.p.Parts, o.Weights.Grid, o.Weights)
	if err != nil {
		return Pattern{}, Drawing{}, err
	}
	d.p.Score, d.p.Low, d.p.High = r.Score, r.Low, r.High
	return d.p, Drawing{Unit: in.Bulb.Unit}, nil
}

func gridSources(in GridInput, o Options) (bulb, stock *source, err error) {
	box := extent(in.Bulb)
	if in.Stock != nil {
		other := extent(*in.Stock)
		box = [4]float64{math.Max(box[0], other[0]), math.Min(box[1], other[1]), math.Max(box[2], other[2]), math.Min(box[3], other[3])}
	}
	if box[1]-box[0] < 1 || box[3]-box[2] < 1 {
		return nil, nil, errors.New("the grid, or what it shares with the stock grid, is less than 1 degree wide or high")
	}
	if o.kerb() < 0 {
		box[0], box[1] = -box[1], -box[0]
	}
	kernel := -1.0
	if in.ApertureDeg != nil {
		kernel = *in.ApertureDeg / math.Sqrt(12) // a square window; a round one is narrower
	}
	bulb = gridSource(in.Bulb, box, o.kerb(), kernel)
	if in.Stock != nil {
		stock = gridSource(*in.Stock, box, o.kerb(), kernel)
	}
	return bulb, stock, nil
}

// extent is the range of angles of the points: left, right, down, up.
func extent(m Measured) [4]float64 {
	box := [4]float64{math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)}
	for _, p := range m.Points {
		box[0], box[1] = math.Min(box[0], p.H), math.Max(box[1], p.H)
		box[2], box[3] = math.Min(box[2], p.V), math.Max(box[3], p.V)
	}
	return box
}

// facing gives the value toward h, v as a meter turned to the lamp at the grid's
// distance reads it, so that a wall and a sphere agree.
func (m Measured) facing(h, v float64) (float64, bool) {
	value, ok := m.Grid.at(h, v, m.DistanceM)
	return value * m.toFacing(h, v), ok
}

func gridSource(m Measured, box [4]float64, kerb, kernel float64) *source {
	step := math.Max(rasterStep, math.Max(box[1]-box[0], box[3]-box[2])/rasterCells)
	f := newField(box[0], box[1], box[2], box[3], step)
	peak := 0.0
	for iv := range f.NV {
		for ih := range f.NH {
			value, ok := m.facing(kerb*f.H(ih), f.V(iv))
			if !ok {
				value = Missing
			}
			f.Values[iv*f.NH+ih] = value
			peak = math.Max(peak, value)
		}
	}
	s := &source{field: f, kernel: kernel, floor: math.Max(peak*1e-5, 1e-9)}
	s.candela, _ = m.toCandela(0, 0)
	s.native = func(v float64) float64 { return verticalGap(m, v) }
	s.column = func(h, half, down, up float64) (profile, bool) {
		down, up = math.Max(down, box[2]), math.Min(up, box[3])
		if up-down < 1 {
			return profile{}, false
		}
		fine := math.Min(0.05, math.Max(0.005, verticalGap(m, 0)/2))
		values := make([]float64, int((up-down)/fine)+1)
		for i := range values {
			var sum float64
			count := 0
			for k := -2; k <= 2; k++ {
				if value, ok := m.facing(kerb*(h+float64(k)*half/2), down+float64(i)*fine); ok {
					sum, count = sum+value, count+1
				}
			}
			values[i] = Missing
			if count > 0 {
				values[i] = sum / float64(count)
			}
		}
		first, n := longestRun(values)
		p := profile{down + float64(first)*fine, fine, values[first : first+n]}
		return p, len(p.e) >= 10
	}
	return s
}

// verticalGap is the largest step of the vertical axis within half a degree of v.
func verticalGap(m Measured, v float64) float64 {
	gap, y := 0.0, m.Grid.Y
	for i := 1; i < len(y); i++ {
		low, high := y[i-1], y[i]
		if m.Grid.Wall {
			low, high = degrees(math.Atan(low/m.DistanceM)), degrees(math.Atan(high/m.DistanceM))
		}
		if high > v-0.5 && low < v+0.5 {
			gap = math.Max(gap, high-low)
		}
	}
	if gap == 0 {
		return 90
	}
	return gap
}

// limits checks the published tables of the beam.
func (d *finding) limits(in GridInput) error {
	tables := 0
	for _, t := range in.Limits {
		if t.Beam == d.o.Beam {
			tables++
		}
	}
	if tables == 0 {
		return nil
	}
	if _, ok := in.Bulb.toCandela(0, 0); !ok {
		d.note("the published limits are in candela: give the distance of the lux readings to have them checked")
		return nil
	}
	var worst, seen float64
	over := false
	for _, t := range in.Limits {
		if t.Beam != d.o.Beam {
			continue
		}
		results, err := CheckLimits(in.Bulb, t, d.o.Traffic)
		if err != nil {
			return err
		}
		for _, r := range results {
			if r.above && r.Max != nil && *r.Max > 0 {
				seen++
				worst = math.Max(worst, r.reaimed / *r.Max)
				over = over || !r.OK && (r.OKReaimed == nil || !*r.OKReaimed)
			}
		}
		d.p.Limits = append(d.p.Limits, results...)
	}
	if seen > 0 && d.o.Beam != High {
		d.p.Stray.OfLimit, d.p.Stray.OverLimit = &worst, &over
	}
	d.note("limits are shown for information; they are no statement of compliance")
	return nil
}

// levels adds lux and candela to the figures of a grid.
func (d *finding) levels(m Measured, bulb *source) {
	d.level(m, bulb.peak)
	if !d.stray.measured {
		return
	}
	if bulb.candela > 0 {
		mean, most := d.stray.mean*bulb.candela, d.stray.most*bulb.candela
		d.p.Stray.MeanCd, d.p.Stray.MostCd = &mean, &most
	}
}

// level says what the peak is in lux and candela, from its value as a meter turned
// to the lamp reads it.
func (d *finding) level(m Measured, value float64) {
	hot := &d.p.HotSpot
	if m.Unit == Candela {
		hot.Candela = &value
		return
	}
	hot.Lux = &value
	if m.DistanceM > 0 {
		cd := value * m.DistanceM * m.DistanceM
		hot.Candela = &cd
	}
}

// drawing hands out the fields as seen, and the cutoff points.
func (d *finding) drawing(bulb, stock *source, unit string) Drawing {
	out := Drawing{Unit: unit, Bulb: bulb.field}
	if stock != nil {
		out.Stock = stock.field
	}
	if d.o.Beam != High {
		f := bulb.soft
		for h := -8.0; h <= 8; h += 0.5 {
			ih := int(math.Round((h - f.H0) / f.Step))
			if ih < 0 || ih >= f.NH {
				continue
			}
			p, ok := fieldColumn(f, ih)
			if !ok {
				continue
			}
			if v, found := inflection(p, bulb.floor, bulb.hot.V-scanBelow, bulb.hot.V+scanAbove); found {
				out.Cutoff = append(out.Cutoff, Point{H: d.o.kerb() * h, V: v, Value: p.between(p.e, v)})
			}
		}
	}
	if d.hasBase && d.o.Beam != High {
		out.Region = strayOutline(d.o.Beam, d.base)
	}
	for i := range out.Region {
		out.Region[i].H *= d.o.kerb()
	}
	if d.o.kerb() < 0 {
		out.Bulb = out.Bulb.mirrored()
		if out.Stock != nil {
			out.Stock = out.Stock.mirrored()
		}
		for i, j := 0, len(out.Cutoff)-1; i < j; i, j = i+1, j-1 {
			out.Cutoff[i], out.Cutoff[j] = out.Cutoff[j], out.Cutoff[i]
		}
	}
	return out
}
