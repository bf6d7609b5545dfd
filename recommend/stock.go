package recommend

import (
	"math"
	"slices"

	"stillbright/data"
	"stillbright/recommend/sure"
)

// stock is the fitted halogen on the same scale: its light is the measure, its
// pattern that of the rigs of this kind where it was scored, and it costs
// nothing.
func (d *decision) stock() Stock {
	one := 1.0
	s := Stock{Size: d.size.Category, Pattern: d.stockPattern()}
	s.Hot = Hot{VsStock: &one, VsStockLow: &one, VsStockHigh: &one, AtMin: d.need.TripMin}
	s.Parts = Values{Output: d.output(1), Heat: 1}
	s.Parts.Pattern = d.stockCandidate(s).Expected()[sure.Pattern]
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
			if result, err := d.scorePatterns(beamName, []*data.PatternRecord{rig.Stock}); err == nil {
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

// assumedStockDoubt is half the band of an assumed halogen beam, in points of the
// pattern score. Judgement: an old lens or a bent filament can cost that much, and
// nobody looked.
const assumedStockDoubt = 10.

// assumedStock is the stated assumption for a halogen whose beam nobody measured.
func (d *decision) assumedStock() Band {
	score := d.know.Rules.Bench.HalogenStockPattern.Value
	low, high := math.Max(0, score-assumedStockDoubt), math.Min(100, score+assumedStockDoubt)
	return Band{&score, &low, &high}
}
