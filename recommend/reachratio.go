package recommend

import (
	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend/road"
)

// Ratio is a change of distance with its 95 % band, all three or none.
type Ratio struct {
	Mid  *float64 `json:"mid" doc:"times the stock halogen's distance; null when not known"`
	Low  *float64 `json:"low" doc:"low end of its 95 % band"`
	High *float64 `json:"high" doc:"high end of its 95 % band"`
}

// Where the change of a distance is from.
const (
	ratioBeams = "beams"       // both beams were measured
	ratioStock = "stock_shape" // the halogen's beam, as much brighter or dimmer
)

// ratios sets the distances of the visibility level against the halogen's, on each side
// of the lane: by both beams where both were measured, else by the halogen's beam made as
// much brighter as the light is. The band is that of the light alone. A cutoff ends the
// reach, so a low beam gains less than the square root of its light; only a line that
// ends in the foreground, short of the brightest part, can gain more.
func (r *Reach) ratios(g geometry, own, stock *beamOnRoad, hot Hot) {
	if stock == nil || hot.VsStock == nil || hot.VsStockLow == nil || hot.VsStockHigh == nil || !(*hot.VsStock > 0) {
		return
	}
	beam, unit := own, *hot.VsStock
	r.RatioFrom = ratioBeams
	if own == nil {
		beam, unit = stock, 1
		r.RatioFrom = ratioStock
	}
	base := stock.lineOf(g, 1)
	of := func(q float64) (kerb, centre *float64) {
		got := beam.lineOf(g, q/unit)
		return over(got.KerbM, base.KerbM), over(got.CentreM, base.CentreM)
	}
	r.Kerb.Low, r.Centre.Low = of(*hot.VsStockLow)
	r.Kerb.Mid, r.Centre.Mid = of(*hot.VsStock)
	r.Kerb.High, r.Centre.High = of(*hot.VsStockHigh)
	for _, side := range []*Ratio{&r.Kerb, &r.Centre} {
		if side.Low == nil || side.Mid == nil || side.High == nil {
			*side = Ratio{}
		}
	}
	if r.Kerb.Mid == nil && r.Centre.Mid == nil {
		r.RatioFrom = ""
	}
}

// lineOf is the line of the visibility level with all lamps, the beam factor times as
// bright, which is the line of so much less light; what was not reached is nil.
func (b *beamOnRoad) lineOf(g geometry, factor float64) ReachLine {
	lines := b.linesAt(g, g.lamps, road.LuxVisibility/factor)
	if lines == nil {
		return ReachLine{}
	}
	line := lines[0]
	if line.KerbFound != road.Reached {
		line.KerbM = nil
	}
	if line.CentreFound != road.Reached {
		line.CentreM = nil
	}
	return line
}

func over(a, b *float64) *float64 {
	if a == nil || b == nil || *b == 0 {
		return nil
	}
	ratio := *a / *b
	return &ratio
}

// sayRatio says how distances change against the halogen's. The root of the light alone
// is said as the bound that it is for a beam with a cutoff.
func (r *Reach) sayRatio(facts ReachFacts) {
	if facts.Beam == data.BeamFog {
		r.add("A fog lamp lights the road near the car; no distance is given for it.")
		return
	}
	if r.VsStock == nil || r.VsStockLow == nil || r.VsStockHigh == nil {
		r.add("How distances change against your halogen is not known: the light was not set against stock.")
		return
	}
	root := twoDigits(*r.VsStock) + " times your halogen's (" + twoDigits(*r.VsStockLow) + " to " + twoDigits(*r.VsStockHigh) + ")"
	switch {
	case r.Kerb.Mid != nil || r.Centre.Mid != nil:
		basis := "by the measured beams"
		if r.RatioFrom == ratioStock {
			basis = "if the beam has your halogen's shape"
		}
		for _, side := range []struct {
			name  string
			ratio Ratio
		}{{"kerb", r.Kerb}, {"centre", r.Centre}} {
			if side.ratio.Mid != nil {
				r.add("Distances at the %s side: %s times your halogen's (%s to %s) at the %s lx line, %s.", side.name,
					twoDigits(*side.ratio.Mid), twoDigits(*side.ratio.Low), twoDigits(*side.ratio.High), quantity.Number(road.LuxVisibility), basis)
			}
		}
		if facts.Beam == data.BeamLow && r.Kerb.Mid != nil && *r.Kerb.Mid < *r.VsStock {
			r.add("The cutoff ends the reach, whatever the light: its square root would be %s.", root)
		}
	case facts.Beam == data.BeamHigh:
		r.add("Distances: %s, the square root of the light, if the beam keeps its shape.", root)
	default:
		r.add("Distances: %s would be the square root of the light; a low beam mostly changes less, since its cutoff ends the reach.", root)
	}
	r.add("In traffic less: %s.", road.TrafficCaution)
}
