package recommend

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// measurementFlip finds the figure whose smallest change, in units of its own
// uncertainty, changes the answer. The places to look at are where scores become
// level, from sure, and where a bulb's light can just be told from stock's.
func (d *decision) measurementFlip(list []contender, stock [3]float64, fitted Stock) *Flip {
	weights := d.need.Weights.Vector()
	base := named(list, stock, weights)
	lead := leadingTier(list)
	measured := []sure.Measured{{Ratio: 1, Scale: d.scale, Pattern: stock[sure.Pattern], Heat: stock[sure.Heat],
		Uncertainty: [3]float64{sure.Pattern: bandError(fitted.Pattern)}}}
	place := []int{-1} // of the measured in list
	for i, c := range list {
		if c.low <= 0 || !slices.ContainsFunc(lead, func(l contender) bool { return l.id == c.id }) {
			continue
		}
		m := sure.Measured{Ratio: c.low, Scale: d.scale, Pattern: c.values[sure.Pattern], Heat: c.values[sure.Heat],
			Uncertainty: [3]float64{math.Log(c.high/c.low) / 2 * toStandard, c.patternErr, 0}}
		if c.kind == data.KindLED {
			m.Uncertainty[sure.Heat] = heatDoubt * toStandard
		}
		measured, place = append(measured, m), append(place, i)
	}
	found, err := sure.FlipMeasurement(measured, weights)
	if err != nil {
		return nil
	}
	found = append(found, tellingFlips(list, measured, place)...)
	slices.SortStableFunc(found, func(a, b sure.MeasurementFlip) int { return cmp.Compare(a.Uncertainties, b.Uncertainties) })
	for _, f := range found {
		if f.Uncertainties == 0 {
			continue // nobody knows how wrong it may be, so nobody knows how far that is
		}
		changed, changedStock := changeFigure(list, stock, d.scale, place[f.Candidate], f)
		winner := named(changed, changedStock, weights)
		if winner != base {
			return flipOf(list, place[f.Candidate], f, winner)
		}
	}
	return nil
}

// tellingFlips are the changes of light at which a bulb's band comes to end, or
// to begin, at stock's light.
func tellingFlips(list []contender, measured []sure.Measured, place []int) []sure.MeasurementFlip {
	var flips []sure.MeasurementFlip
	for m, i := range place {
		if i < 0 {
			continue
		}
		c := list[i]
		for _, to := range []float64{1, c.low / c.high} {
			if u := measured[m].Uncertainty[sure.Output]; u > 0 && to != c.low {
				flips = append(flips, sure.MeasurementFlip{Candidate: m, Criterion: sure.Output, From: c.low, To: to, Uncertainties: math.Abs(math.Log(to/c.low)) / u})
			}
		}
	}
	return flips
}

// changeFigure is the field with one figure moved just past a flip.
func changeFigure(list []contender, stock [3]float64, scale sure.Scale, i int, f sure.MeasurementFlip) ([]contender, [3]float64) {
	past := f.To * (1 + math.Copysign(beyond, f.To-f.From))
	if i < 0 {
		stock[f.Criterion] = past
		return list, stock
	}
	list = slices.Clone(list)
	c := &list[i]
	if f.Criterion == sure.Output {
		factor := past / c.low
		c.low, c.high, c.mid = past, c.high*factor, c.mid*factor
		past = scale.Value(past)
	}
	c.values[f.Criterion] = past
	return list, stock
}

func flipOf(list []contender, i int, f sure.MeasurementFlip, winner int) *Flip {
	flip := &Flip{What: FlipMeasurement, Of: criterionNames[f.Criterion], Bulb: StockID, Winner: idOf(list, winner), Errors: &f.Uncertainties}
	name := "the fitted halogen"
	if i >= 0 {
		flip.Bulb, name = Word(list[i].id), list[i].name
	}
	from, figure := f.From, ""
	switch f.Criterion {
	case sure.Output:
		// The low end of the band enters the score; the middle is what is read.
		flip.Of, from, flip.To = "vs_stock", list[i].mid, f.To*list[i].mid/list[i].low
		figure = fmt.Sprintf("%s gave %.2f times stock instead of %.2f", name, flip.To, from)
	case sure.Pattern:
		from, flip.To, flip.Unit = 100*f.From, 100*f.To, "score"
		figure = fmt.Sprintf("the pattern of %s scored %.0f instead of %.0f", name, flip.To, from)
	default:
		flip.To = f.To
		figure = fmt.Sprintf("the heat value of %s were %.2f instead of %.2f", name, flip.To, from)
	}
	flip.From = &from
	flip.Text = fmt.Sprintf("If %s, %.1f times its standard uncertainty, %s.", figure, f.Uncertainties, wouldBe(list, winner))
	return flip
}
