package recommend_test

import (
	"fmt"
	"testing"

	"stillbright/data/invented"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// BenchmarkPickDemo is the decision behind the short screen, as pick makes it.
func BenchmarkPickDemo(b *testing.B) {
	k := knowntest.Knowledge()
	demo := known.Demo()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := recommend.Decide(&k, &demo, recommend.Need{Size: "H11", Housing: "projector", Driving: []string{"rural", "highway"}, TripMin: 45}, recommend.Options{Seed: 1, Brief: true}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPickInvented is the same on catalogs of 1,000, 10,000 and 100,000
// tests; the time should grow as the tests do.
func BenchmarkPickInvented(b *testing.B) {
	k := knowntest.Knowledge()
	for _, bulbs := range []int{100, 1000, 10_000} {
		c := invented.Catalog(bulbs)
		b.Run(fmt.Sprint(bulbs*invented.TestsEach), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := recommend.Decide(&k, &c, recommend.Need{Size: invented.AskedSize, Housing: invented.AskedHousing, TripMin: invented.AskedTripMin}, recommend.Options{Seed: 1, Brief: true}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
