package road

import (
	"testing"
)

// Road distances of the UN R112 points,
// facts/photometry.md 1.3; lamp 0.75 m up.
func TestRoadPoints(t *testing.T) {
	for _, c := range []struct{ dip, m float64 }{{0.57, 75.4}, {0.86, 50.0}, {1.72, 25.0}} {
		got, ok, err := CutoffDistance(0.75, c.dip)
		if err != nil || !ok {
			t.Fatal(ok, err)
		}
		near(t, "road", got, c.m, 0.05)
	}
}
