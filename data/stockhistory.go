package data

import (
	"fmt"
	"math"
)

// stockKey tells apart halogen readings that can be held against each other:
// one lamp, one beam, and either all at known volts or none.
type stockKey struct {
	rig, beam string
	volts     bool
}

func stockKeyOf(t Test) stockKey {
	return stockKey{t.Rig, t.Beam, t.Stock.Volts != nil}
}

// stockHistory collects the halogen's level of every test, moved to 13.2 V
// where the volts are known (a halogen's flux goes with about the 3.4th power
// of its volts).
func stockHistory(c *Catalog) map[stockKey][]float64 {
	history := map[stockKey][]float64{}
	for _, b := range c.Bulbs {
		for _, lot := range b.Lots {
			for _, t := range lot.Tests {
				if level := stockAtReference(t); level > 0 {
					history[stockKeyOf(t)] = append(history[stockKeyOf(t)], level)
				}
			}
		}
	}
	return history
}

func stockAtReference(t Test) float64 {
	level, _ := stockLevel("", t)
	if t.Stock.Volts != nil {
		level *= math.Pow(13.2 / *t.Stock.Volts, 3.4)
	}
	return level
}

// stockOffHistory: the halogen of a rig gives about the same light for years; a
// reading far from the others means another bulb, another distance or dirt. The
// distance from the median is counted in robust standard deviations, 1.4826
// times the median absolute deviation (Iglewicz and Hoaglin 1993, who call 3.5
// an outlier; from memory), and one percent at least, since a meter repeats no
// better.
func (k *checker) stockOffHistory(at string, t Test) {
	history := k.stock[stockKeyOf(t)]
	level := stockAtReference(t)
	if level == 0 || float64(len(history)) < k.rules.StockTests.Value {
		return
	}
	middle := median(history)
	off := make([]float64, len(history))
	for i, value := range history {
		off[i] = math.Abs(value - middle)
	}
	spread := max(1.4826*median(off), middle/100)
	if z := math.Abs(level-middle) / spread; z > k.rules.StockZ.Value {
		_, path := stockLevel(at, t)
		k.warn(path, fmt.Sprintf("the halogen gave %s lx where %s lx is usual in rig %s (%d tests, %.1f robust standard deviations off): %s",
			plain(level), plain(middle), t.Rig, len(history), z, k.rules.StockZ.Why), "check halogen, distance, volts and lens of the rig")
	}
}
