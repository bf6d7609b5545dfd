package beam

import (
	"fmt"
	"math"

	"stillbright/data"
)

// LimitResult is one requirement of a published table beside what was measured.
// It is information for a tester, never a claim of compliance: a lamp is judged
// by its authority, on its own goniometer, with its own light source.
type LimitResult struct {
	Standard string   `json:"standard" doc:"regulation, table and column or class"`
	Point    string   `json:"point" doc:"point, line or zone as the table names it"`
	H        *float64 `json:"h_deg" doc:"where the worst value was found; null for a sum"` // where the worst value was found; nil for a sum
	V        *float64 `json:"v_deg" doc:"where the worst value was found; null for a sum"`
	Candela  float64  `json:"cd" doc:"measured"`
	Min      *float64 `json:"min_cd" doc:"least intensity"`
	Max      *float64 `json:"max_cd" doc:"greatest intensity"`
	OK       bool     `json:"ok" doc:"within both as measured"`
	// OKReaimed is nil where the table allows no re-aim or a point list cannot tell.
	OKReaimed *bool `json:"ok_reaimed" doc:"within both after the re-aim that the table allows; null where it allows none or a point list cannot tell"`
	// Estimated says that OKReaimed rests on neighbouring points, not on readings
	// within the allowance.
	Estimated bool `json:"reaim_estimated" doc:"that rests on neighbouring points, not on readings within the allowance"`

	above   bool
	reaimed float64 // intensity after re-aim
}

// Tolerances of the comparison with a list of points, in degrees: how far a point
// may lie from the one in the table, and how far a neighbour may lie to show
// which way the light changes.
const (
	pointTolerance = 0.12
	neighbourReach = 2.5
)

// CheckLimits compares a measured grid or point list with one published table.
// traffic is right or left; handed tables are mirrored for left. Requirements that
// were not measured are left out. Lux needs the distance (I = E d^2).
//
// A table that allows every point to be looked for anew (US: 1/4 degree) is tried
// at the best place within that distance: on a grid by reading it there, on a point
// list by taking log intensity to change evenly toward each neighbour within 2.5
// degrees, which is an estimate and marked so. A table that allows the lamp to be
// aimed anew once (UN) is tried on a grid with the one shift that leaves the fewest
// requirements unmet; a point list cannot tell.
func CheckLimits(m Measured, table data.LimitTable, traffic string) ([]LimitResult, error) {
	x := intensities{mirror: 1}
	if table.Handed && traffic == "left" {
		x.mirror = -1
	}
	if _, ok := m.toCandela(0, 0); !ok {
		return nil, fmt.Errorf("limits are in candela: give the distance of the lux readings")
	}
	x.m = m
	x.points = make([]Point, len(m.Points))
	for i, p := range m.Points {
		factor, _ := m.toCandela(p.H, p.V)
		x.points[i] = Point{H: p.H * x.mirror, V: p.V, Value: p.Value * factor}
		x.peak = math.Max(x.peak, x.points[i].Value)
	}
	base := x.table(table, 0, 0)
	x.reaim(table, base)
	out := make([]LimitResult, 0, len(base))
	for _, r := range base {
		if r == nil {
			continue
		}
		if r.H != nil {
			*r.H *= x.mirror
		}
		out = append(out, *r)
	}
	return out, nil
}

// intensities reads candela toward a direction, mirrored as the table needs.
type intensities struct {
	m      Measured
	points []Point
	mirror float64
	peak   float64
}

func (x *intensities) at(h, v float64) (Point, bool) {
	if g := x.m.Grid; g != nil {
		value, ok := g.at(h*x.mirror, v, x.m.DistanceM)
		factor, _ := x.m.toCandela(h*x.mirror, v)
		return Point{h, v, value * factor}, ok
	}
	best, found := Point{}, false
	for _, p := range x.points {
		if d := math.Hypot(p.H-h, p.V-v); d <= pointTolerance && (!found || d < math.Hypot(best.H-h, best.V-v)) {
			best, found = p, true
		}
	}
	return best, found
}

// places lists the measured directions that a row speaks of, shifted.
func (x *intensities) places(r data.LimitRow, dh, dv float64) []Point {
	var out []Point
	add := func(h, v float64) {
		if p, ok := x.at(h+dh, v+dv); ok {
			out = append(out, p)
		}
	}
	switch r.Kind {
	case "points", "sum":
		for _, d := range r.At {
			add(d.H, d.V)
		}
	case "line":
		if len(r.At) != 2 {
			return nil
		}
		a, b := r.At[0], r.At[1]
		length := math.Hypot(b.H-a.H, b.V-a.V)
		if x.m.Grid == nil {
			for _, p := range x.points {
				if distanceToLine(p, a, b) <= pointTolerance {
					out = append(out, p)
				}
			}
			return out
		}
		n := int(math.Ceil(length / 0.1))
		for k := 0; k <= n; k++ {
			f := float64(k) / float64(max(n, 1))
			add(a.H+f*(b.H-a.H), a.V+f*(b.V-a.V))
		}
	case "zone":
		outline := make([][2]float64, len(r.At))
		least, most := data.Direction{H: 90, V: 90}, data.Direction{H: -90, V: -90}
		for i, d := range r.At {
			outline[i] = [2]float64{d.H, d.V}
			least.H, least.V = math.Min(least.H, d.H), math.Min(least.V, d.V)
			most.H, most.V = math.Max(most.H, d.H), math.Max(most.V, d.V)
		}
		if len(outline) < 3 {
			return nil
		}
		if x.m.Grid == nil {
			for _, p := range x.points {
				if inPolygon(outline, p.H, p.V) {
					out = append(out, p)
				}
			}
			return out
		}
		// Zones are sampled evenly, the great ones more coarsely.
		step := math.Max(0.1, math.Sqrt((most.H-least.H)*(most.V-least.V)/4000))
		for v := least.V; v <= most.V+1e-9; v += step {
			for h := least.H; h <= most.H+1e-9; h += step {
				if inPolygon(outline, h, v) {
					add(h, v)
				}
			}
		}
		for _, d := range r.At {
			add(d.H, d.V)
		}
	}
	return out
}

func distanceToLine(p Point, a, b data.Direction) float64 {
	ex, ey := b.H-a.H, b.V-a.V
	f := clamp01(((p.H-a.H)*ex + (p.V-a.V)*ey) / math.Max(ex*ex+ey*ey, 1e-12))
	return math.Hypot(p.H-a.H-f*ex, p.V-a.V-f*ey)
}

// table judges every row with the beam shifted; a nil entry was not measured.
// Points of one row are judged one by one, so there may be more results than rows.
func (x *intensities) table(t data.LimitTable, dh, dv float64) []*LimitResult {
	var out []*LimitResult
	for _, r := range t.Rows {
		least, most, known := x.bounds(t, r, dh, dv)
		if !known {
			out = append(out, nil)
			continue
		}
		one := func(places []Point, name string) {
			result := worst(places, least, most)
			if result != nil {
				result.Standard, result.Point, result.above = t.ID, name, r.Above
			}
			out = append(out, result)
		}
		switch {
		case r.Kind == "peak":
			one([]Point{{Value: x.peak}}, r.Point)
			out[len(out)-1].H, out[len(out)-1].V = nil, nil
		case r.Kind == "sum":
			places := x.places(r, dh, dv)
			if len(places) < len(r.At) {
				out = append(out, nil)
				continue
			}
			sum := 0.0
			for _, p := range places {
				sum += p.Value
			}
			one([]Point{{Value: sum}}, r.Point)
			out[len(out)-1].H, out[len(out)-1].V = nil, nil
		case r.Kind == "points" && len(r.At) > 1:
			for _, d := range r.At {
				single := r
				single.At = []data.Direction{d}
				one(x.places(single, dh, dv), r.Point)
			}
		default:
			one(x.places(r, dh, dv), r.Point)
		}
	}
	return out
}

// bounds gives a row's limits in candela; known is false when they are shares of
// an intensity that was not measured.
func (x *intensities) bounds(t data.LimitTable, r data.LimitRow, dh, dv float64) (least, most *float64, known bool) {
	least, most = r.Min, r.Max
	if r.Of == "" {
		return least, most, true
	}
	of := x.peak
	if r.Of != "peak" {
		found := false
		for _, other := range t.Rows {
			if other.Point == r.Of && other.Kind == "points" {
				if places := x.places(other, dh, dv); len(places) > 0 {
					of, found = places[0].Value, true
				}
			}
		}
		if !found {
			return nil, nil, false
		}
	}
	if r.MinShare != nil {
		v := *r.MinShare * of
		least = &v
	}
	if r.MaxShare != nil {
		v := *r.MaxShare * of
		most = &v
	}
	return least, most, true
}

// worst is the place with the smallest margin in the logarithm.
func worst(places []Point, least, most *float64) *LimitResult {
	var out *LimitResult
	margin := math.Inf(1)
	for _, p := range places {
		m := marginOf(p.Value, least, most)
		if out == nil || m < margin {
			h, v := p.H, p.V
			out = &LimitResult{H: &h, V: &v, Candela: p.Value, Min: least, Max: most, OK: m >= 0}
			margin = m
		}
	}
	return out
}

func marginOf(cd float64, least, most *float64) float64 {
	margin := math.Inf(1)
	value := math.Log(math.Max(cd, 1e-6))
	if least != nil && *least > 0 {
		margin = value - math.Log(*least)
	}
	if most != nil && *most > 0 {
		margin = math.Min(margin, math.Log(*most)-value)
	}
	return margin
}
