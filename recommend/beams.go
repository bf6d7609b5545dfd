package recommend

import (
	"math"
	"sync"

	"stillbright/data"
	"stillbright/recommend/road"
)

// beams are the beams on record that were measured direction by direction, made
// ready for the road once: the stock beam of a rig is asked for with every bulb
// that was tested in it.
type beams struct {
	lock  sync.Mutex
	known map[*data.PatternRecord]*beamOnRoad
}

// beamOnRoad is one such beam. A low beam was measured with its cutoff at a dip.
type beamOnRoad struct {
	field road.Field
	dip   float64 // degrees
	peak  float64 // cd

	lock sync.Mutex
	laid map[laidKey]*road.LaneLight
}

// laidKey is what of the owner's lamps decides where on the road a beam falls.
type laidKey struct {
	heightM, dipDeg, spacingM float64
	lamps                     int
	high                      bool
	traffic                   road.Traffic
}

// of is the beam of a record; nil where it was not measured direction by direction.
func (b *beams) of(record *data.PatternRecord) *beamOnRoad {
	if record == nil || len(record.Candela) == 0 {
		return nil
	}
	b.lock.Lock()
	defer b.lock.Unlock()
	made, ok := b.known[record]
	if !ok {
		if b.known == nil {
			b.known = map[*data.PatternRecord]*beamOnRoad{}
		}
		made = newBeam(record)
		b.known[record] = made
	}
	return made
}

func newBeam(record *data.PatternRecord) *beamOnRoad {
	points, peak := make([]road.BeamPoint, len(record.Candela)), 0.0
	for i, p := range record.Candela {
		points[i] = road.BeamPoint{HDeg: p.H, VDeg: p.V, Candela: p.CD}
		peak = math.Max(peak, p.CD)
	}
	field, err := road.NewPointField(points)
	if err != nil {
		return nil
	}
	b := &beamOnRoad{field: field, dip: percentDeg(usualDipPct), peak: peak, laid: map[laidKey]*road.LaneLight{}}
	if record.CutoffV != nil {
		b.dip = math.Max(0, -*record.CutoffV)
	}
	return b
}

// along lays the beam along the owner's lane with so many lamps lit; nil where the
// road room refuses the figures.
func (b *beamOnRoad) along(g geometry, lamps int) *road.LaneLight {
	key := laidKey{g.heightM, g.dipDeg, g.spacingM, lamps, g.high, g.traffic}
	b.lock.Lock()
	defer b.lock.Unlock()
	light, ok := b.laid[key]
	if !ok {
		in := road.ReachInput{
			Field: b.field, LampHeightM: g.heightM, DipDeg: g.dipDeg, FieldDipDeg: b.dip, HighBeam: g.high,
			Traffic: g.traffic, Lamps: lamps, SpacingM: g.spacingM, Road: road.LaneEdges(),
		}
		if lamps == 1 {
			in.SpacingM = 0
		}
		if g.high {
			in.FieldDipDeg = 0
		}
		light, _ = road.AlongLane(in)
		b.laid[key] = light
	}
	return light
}

// lines are the published levels, with all lamps and with one.
func (b *beamOnRoad) lines(g geometry) []ReachLine {
	list := []ReachLine{}
	for _, lamps := range []int{2, 1}[2-g.lamps:] {
		lines := b.linesAt(g, lamps, road.LuxRange, road.LuxTwilight, road.LuxVisibility)
		if lines == nil {
			return []ReachLine{}
		}
		list = append(list, lines...)
	}
	return list
}

// linesAt are the lines of some levels, by rising level; nil where there are none.
func (b *beamOnRoad) linesAt(g geometry, lamps int, lux ...float64) []ReachLine {
	light := b.along(g, lamps)
	if light == nil {
		return nil
	}
	result, err := light.Reach(lux...)
	if err != nil {
		return nil
	}
	var list []ReachLine
	for i, kerb := range result.Kerb {
		centre := result.Centre[i]
		list = append(list, ReachLine{
			Lamps: lamps, Lux: kerb.Lux, KerbM: metres(kerb), KerbFound: kerb.Found, CentreM: metres(centre), CentreFound: centre.Found,
			Capped: kerb.Capped || centre.Capped, Sparse: kerb.Sparse || centre.Sparse,
		})
	}
	return list
}
