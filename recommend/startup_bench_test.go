package recommend_test

import (
	"testing"

	"stillbright/data/known"
	"stillbright/recommend"
)

// BenchmarkPickDemo is the decision behind the short screen, as pick makes it.
func BenchmarkPickDemo(b *testing.B) {
	k := knowledge()
	demo := known.Demo()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := recommend.Decide(&k, &demo, recommend.Need{Size: "H11", Housing: "projector", Driving: []string{"rural", "highway"}, TripMin: 45}, recommend.Options{Seed: 1, Brief: true}); err != nil {
			b.Fatal(err)
		}
	}
}
