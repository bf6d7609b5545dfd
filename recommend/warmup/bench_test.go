package warmup

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// BenchmarkReduce is a run of hand readings and a logger's at one reading a second.
func BenchmarkReduce(b *testing.B) {
	for _, n := range []int{13, 28, 1800} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			r := rand.New(rand.NewPCG(1, 1))
			c := oneTruth(r)
			var readings []Reading
			for i := 0; i < n; i++ {
				m := 30 * float64(i) / float64(n-1)
				readings = append(readings, Reading{m, math.Round(c.at(m) * (1 + 0.005*r.NormFloat64()))})
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Reduce(readings, 30, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
