package sure

import (
	"cmp"
	"fmt"
	"slices"
	"testing"
)

func BenchmarkNoise(b *testing.B) {
	for _, n := range []int{3, 10, 100, 1000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			c, w := noisyCatalog(3, n)
			mid := func(c Candidate) float64 {
				return w[0]*c.Scale.Value(c.Ratio) + w[1]*c.Pattern.Mid + w[2]*c.Heat.Mid
			}
			slices.SortFunc(c, func(x, y Candidate) int { return cmp.Compare(mid(y), mid(x)) })
			for b.Loop() {
				if _, err := Noise(c, w, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
