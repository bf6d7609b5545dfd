package recommend

import (
	"math"

	"stillbright/data"
	"stillbright/recommend/road"
)

// Where on the road a low or high beam has to carry: the lane's edges at 50 and
// 75 m, the distances that give the test points 50R and 75R of UN R112 their
// names.
var shapeDistancesM = []float64{50, 75}

// mostShape bounds what the shape of a beam may add: a few points of a grid can
// mislead.
const mostShape = 1.5

// roadShape is how much more of its light a beam sends to the road than its hot
// spot tells, against the stock beam of the same lamp:
//
//	geometric mean over the road points of [I(point)/I(peak)] / [Is(point)/Is(peak)]
//
// Both beams are set to the owner's dip. Where they were not measured direction by
// direction, or do not light every one of those points, the stated least counts,
// which is also the least for one that was: a beam that was measured must not stand
// worse than one that was not. What a peak in the wrong place costs besides is in
// the pattern. A halogen has the beam of the lamp. Source: inverse-square law; the
// points are those of UN R112.
func (d *decision) roadShape(kind string, v view) (shape float64, known bool) {
	least := d.know.Rules.Choice.ShapeUnknown.Value
	facts := factsOf(kind, v)
	if kind != data.KindLED {
		return 1, false
	}
	if v.beam == data.BeamFog || facts.Pattern == nil || facts.Stock == nil {
		return least, false
	}
	own, stock := d.memory.beams.of(facts.Pattern), d.memory.beams.of(facts.Stock)
	if own == nil || stock == nil {
		return least, false
	}
	g := d.know.geometry(d.need, v.beam)
	sum, n := 0.0, 0
	for _, distance := range shapeDistancesM {
		for _, side := range []float64{road.LaneEdges().KerbM, -road.LaneEdges().CentreM} {
			h := math.Atan2(side, distance) * 180 / math.Pi
			if g.traffic == road.LeftHand {
				h = -h
			}
			v := -math.Atan2(g.heightM-road.LaneEdges().HeightM, distance) * 180 / math.Pi
			bulb, okBulb := own.at(h, v, g)
			halogen, okStock := stock.at(h, v, g)
			if !okBulb || !okStock {
				return least, false
			}
			sum += math.Log(bulb / halogen)
			n++
		}
	}
	shape = math.Exp(sum/float64(n)) * stock.peak / own.peak
	return math.Min(mostShape, math.Max(least, shape)), true
}

// at is the intensity toward a direction of the road when the beam, measured
// with its cutoff at one dip, is aimed at the owner's.
func (b *beamOnRoad) at(h, v float64, g geometry) (float64, bool) {
	if !g.high {
		v += g.dipDeg - b.dip
	}
	cd, ok := b.field.At(h, v)
	return cd, ok && cd > 0
}
