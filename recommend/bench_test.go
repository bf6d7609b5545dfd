package recommend_test

import (
	"testing"

	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
)

// BenchmarkDecide is one decision on the demo catalog, and one on a generated
// catalog of 300 bulbs of one size.
func BenchmarkDecide(b *testing.B) {
	k := knowntest.Knowledge()
	demo := known.Demo()
	large := generated(1, 300)
	for _, c := range []struct {
		name string
		run  func() error
	}{
		{"demo", func() error {
			_, err := recommend.Decide(&k, &demo, recommend.Need{Size: "H11", Housing: "projector"}, recommend.Options{Seed: 1})
			return err
		}},
		{"screen", func() error {
			_, err := recommend.Decide(&k, &demo, recommend.Need{Size: "H11", Housing: "projector"}, recommend.Options{Seed: 1, Brief: true})
			return err
		}},
		{"order-only", func() error {
			_, err := recommend.Order(&k, &demo, recommend.Need{Size: "H11", Housing: "projector"})
			return err
		}},
		{"300", func() error {
			_, err := recommend.Decide(&k, &large, recommend.Need{Size: "H11", Housing: "projector"}, recommend.Options{Seed: 1})
			return err
		}},
	} {
		b.Run(c.name, func(b *testing.B) {
			for range b.N {
				if err := c.run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
