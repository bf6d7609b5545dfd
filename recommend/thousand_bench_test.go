package recommend_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// BenchmarkThousand is one decision among a thousand bulbs of one size, each with
// ten lots and seven readings a test.
func BenchmarkThousand(b *testing.B) {
	k := knowntest.Knowledge()
	c := generated(1, 1000)
	for i := range c.Bulbs {
		first := c.Bulbs[i].Lots[0]
		for j := range first.Tests {
			cold, hot := first.Tests[j].Readings[0].Lux, first.Tests[j].Readings[1].Lux
			var readings []data.Reading
			for _, at := range []float64{0, 1, 2, 5, 10, 20, 30} {
				readings = append(readings, data.Reading{At: at, Lux: hot + (cold-hot)*math.Exp(-at/5)})
			}
			first.Tests[j].Readings = readings
		}
		var lots []data.Lot
		for l := range 10 {
			lot := first
			lot.Name, lot.Bought, lot.Tests = fmt.Sprint(l), data.Date(fmt.Sprintf("20%02d-01-10", 10+l)), slices.Clone(first.Tests)
			for j := range lot.Tests {
				lot.Tests[j].Readings = slices.Clone(lot.Tests[j].Readings)
			}
			lots = append(lots, lot)
		}
		c.Bulbs[i].Lots = lots
	}
	for b.Loop() {
		if _, err := recommend.Decide(&k, &c, recommend.Need{Size: "H11", Housing: "projector"}, recommend.Options{Seed: 1, Brief: true}); err != nil {
			b.Fatal(err)
		}
	}
}
