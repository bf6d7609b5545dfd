package recommend

import (
	"math"
	"slices"

	"stillbright/data"
)

// stock is the fitted halogen on the same scale: its light is the measure, its
// pattern that of the rigs of this kind where it was scored, and it costs
// nothing.
func (d *decision) stock() Stock {
	one := 1.0
	s := Stock{Size: d.size.Category, Pattern: d.stockPattern()}
	s.Hot = Hot{VsStock: &one, VsStockLow: &one, VsStockHigh: &one, AtMin: d.need.TripMin}
	s.Parts = Values{Output: d.output(1), Pattern: *s.Pattern.Score / 100, Heat: 1}
	s.Score = scoreOf(s.Parts, d.need.Weights)
	return s
}

// stockPattern is the mean score of the stock beams of the rigs like the
// owner's lamp, or the stated assumption.
func (d *decision) stockPattern() Band {
	beams, housings := views(d.need)
	var scores, lows, highs []float64
	for _, rig := range d.catalog.Rigs {
		if rig.Size != d.size.Category || rig.Stock == nil || !slices.Contains(housings, rig.Housing) {
			continue
		}
		for _, beamName := range beams {
			if rig.Beam != beamName && rig.Beam != data.BeamBoth {
				continue
			}
			if result, err := d.scorePattern(beamName, rig.Stock); err == nil {
				scores, lows, highs = append(scores, result.Score), append(lows, result.Low), append(highs, result.High)
			}
		}
	}
	if len(scores) == 0 {
		return d.assumedStock()
	}
	score, low, high := mean(scores), mean(lows), mean(highs)
	return Band{&score, &low, &high}
}

// mean of a list in any order: sorted first, so that the order of files does
// not show in the last digit.
func mean(list []float64) float64 {
	slices.Sort(list)
	sum := 0.0
	for _, value := range list {
		sum += value
	}
	return sum / float64(len(list))
}

// stockBand is the pattern of a halogen in the lamp made for it: the rig's own
// stock beam where it was scored, a stated assumption otherwise.
func (d *decision) stockBand(bulb *data.Bulb, t *tried, beamName string) Band {
	if bulb.Kind != data.KindHalogen {
		return Band{}
	}
	if t != nil {
		record := t.test.Pattern
		if record == nil {
			record = t.rig.Stock
		}
		if record != nil {
			if result, err := d.scorePattern(beamName, record); err == nil {
				return Band{&result.Score, &result.Low, &result.High}
			}
		}
	}
	return d.assumedStock()
}

// assumedStockDoubt is half the band of an assumed halogen beam, in points of the
// pattern score. Judgement: an old lens or a bent filament can cost that much, and
// nobody looked.
const assumedStockDoubt = 15

// assumedStock is the stated assumption for a halogen whose beam nobody measured.
func (d *decision) assumedStock() Band {
	score := d.know.Rules.Bench.HalogenStockPattern.Value
	low, high := math.Max(0, score-assumedStockDoubt), math.Min(100, score+assumedStockDoubt)
	return Band{&score, &low, &high}
}
