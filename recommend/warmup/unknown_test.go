package warmup

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestUnknownIsNeverGood: leaving out any fact, or any number of them one after the other, never
// raises the low end nor the middle of a ratio. The facts are drawn from what is plausible, up to
// the defaults, which stand at the worst of it.
func TestUnknownIsNeverGood(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 7))
	d := StandardDefaults()
	deletions := map[string]func(*RatioInput){
		"stock first":    func(in *RatioInput) { in.StockLux = in.StockLux[len(in.StockLux)-1:] },
		"stock last":     func(in *RatioInput) { in.StockLux = in.StockLux[:1] },
		"stock volts":    func(in *RatioInput) { in.StockVolts = nil },
		"bulb volts":     func(in *RatioInput) { in.BulbVolts = nil },
		"meter class":    func(in *RatioInput) { in.MeterClass = "" },
		"seatings":       func(in *RatioInput) { in.Seatings = 0 },
		"seating spread": func(in *RatioInput) { in.SeatingSpreadPct = nil },
		"samples":        func(in *RatioInput) { in.Samples = 0 },
		"tolerance":      func(in *RatioInput) { in.StockTolPct = nil },
		"cap":            func(in *RatioInput) { in.CapOn = nil },
		"peak":           func(in *RatioInput) { in.SearchedPeak = nil },
		"distance":       func(in *RatioInput) { in.DistanceMM = nil },
		"moved":          func(in *RatioInput) { in.MovedMM = nil },
		"tilt":           func(in *RatioInput) { in.TiltDeg = nil },
		"lamp spread":    func(in *RatioInput) { in.LampSpreadPct = nil },
		"evidence":       func(in *RatioInput) { in.EvidencePct = nil },
	}
	names := make([]string, 0, len(deletions))
	for name := range deletions {
		names = append(names, name)
	}
	slices.Sort(names) // the order of a map is another every time
	for i := 0; i < 3000; i++ {
		stock, bulb := uniform(r, 100, 2000), uniform(r, 100, 3000)
		volts := uniform(r, d.VoltsLow, d.VoltsHigh)
		other := clamp(volts+uniform(r, -1, 1)*d.SameDayVolts, d.VoltsLow, d.VoltsHigh)
		in := RatioInput{
			BulbLux: bulb, BulbLow: bulb * uniform(r, 0.85, 1), BulbHigh: bulb * uniform(r, 1, 1.15),
			StockLux:   []float64{stock, stock * (1 + uniform(r, -0.98, 1)*d.StockDriftPct/100)},
			StockVolts: &volts, BulbVolts: &other, Halogen: r.IntN(3) == 0,
			MeterClass: []string{"L", "A", "B", "C"}[r.IntN(4)], Seatings: 1 + r.IntN(5), Samples: 1 + r.IntN(5),
			SeatingSpreadPct: p(uniform(r, 0, d.SeatingSpreadPct)), StockTolPct: p(uniform(r, 0, d.StockTolPct)),
			CapOn: b(r.IntN(2) == 0), SearchedPeak: b(r.IntN(2) == 0),
			DistanceMM: p(uniform(r, d.LeastDistanceMM, 25000)), MovedMM: p(uniform(r, 0, d.MovedMM)), TiltDeg: p(uniform(r, 0, d.TiltDeg)),
			LampSpreadPct: p(uniform(r, 0, d.LampSpreadPct)), EvidencePct: p(uniform(r, 0, d.EvidencePct)),
		}
		trail := fmt.Sprintf("%+v", in)
		before := ratioOf(t, in)
		for _, k := range r.Perm(len(names)) {
			deletions[names[k]](&in)
			trail += ", no " + names[k]
			after := ratioOf(t, in)
			if after.Low > before.Low*(1+1e-12) || after.Mid > before.Mid*(1+1e-12) {
				t.Fatalf("from %.6f (%.6f) to %.6f (%.6f): %s", before.Mid, before.Low, after.Mid, after.Low, trail)
			}
			before = after
		}
	}
}
