package warmup

import (
	"math"
	"testing"
)

// simulatedRuns is the number of runs of each kind that issue 3 gates; the further kinds have fewer.
const (
	simulatedRuns = 2000
	furtherRuns   = 600
)

// TestSimulatedRuns gates the bands kind by kind: how many hold the truth at 27 min (the whole 95 %
// binomial interval of the share must lie within the gate) and how wide they are.
func TestSimulatedRuns(t *testing.T) {
	if testing.Short() {
		t.Skip("2,000 runs of each kind")
	}
	twelve, whole := minutes(12), minutes(27)
	half := fixedNoise(0.005)
	gate := func(low, high, widest float64) func(*testing.T, *outcome) {
		return func(t *testing.T, y *outcome) {
			if y.coverageFault(1, low, high) {
				held, bands := y.coverage(1)
				a, b := wilson(held, bands)
				t.Errorf("%d of %d bands hold the truth, %.1f to %.1f %%; want %.0f to %.0f %%", held, bands, a, b, low, high)
			}
			if w := y.width(1); !(w <= widest) {
				t.Errorf("mean width %.2f %%, want at most %.1f %%", w, widest)
			}
		}
	}
	named := func(s Shape, least float64) func(*testing.T, *outcome) {
		return func(t *testing.T, y *outcome) {
			if got := y.share(s); got < least {
				t.Errorf("%.3f named %s, want at least %.2f: %v", got, s, least, y.shapes)
			}
		}
	}
	both := func(judges ...func(*testing.T, *outcome)) func(*testing.T, *outcome) {
		return func(t *testing.T, y *outcome) {
			for _, j := range judges {
				j(t, y)
			}
		}
	}
	for _, k := range []kind{
		{name: "one, 0.5 %, 12 min", truth: oneTruth, times: twelve, at: 27, noise: half, judge: both(gate(93, 97, 5), named(ShapeOne, 0.97),
			func(t *testing.T, y *outcome) {
				// Plain least squares has 1.98 % on this truth.
				if e := y.error90(); e > 1.8 {
					t.Errorf("90th percentile of the error %.2f %%, want at most 1.8 %%", e)
				}
				for _, stretch := range []float64{0, 0.8, 1.4, math.Inf(1)} { // the gates can fail
					if !y.coverageFault(stretch, 93, 97) && y.width(stretch) <= 5 {
						t.Errorf("bands stretched by %g pass the gates", stretch)
					}
				}
			})},
		{name: "one, 12 min", truth: oneTruth, times: twelve, at: 27, noise: anyNoise, judge: gate(93, 97, 8)},
		{name: "one, 12 min, spoiled", truth: oneTruth, times: twelve, at: 27, noise: anyNoise, spoiled: true, judge: both(gate(93, 97, 8), manyGiven(0.92))},
		{name: "two, 12 min", truth: twoTruth, times: twelve, at: 27, noise: anyNoise, judge: gate(90, 97, 9)},
		{name: "two, 12 min, spoiled", truth: twoTruth, times: twelve, at: 27, noise: anyNoise, spoiled: true, judge: both(gate(90, 97, 9), manyGiven(0.92))},
		{name: "step, 27 min", truth: stepTruth, times: whole, at: 27, noise: anyNoise, judge: both(gate(90, 97, 3), named(ShapeStep, 0.98), stepPlaced)},
		{name: "step, 27 min, spoiled", truth: stepTruth, times: whole, at: 27, noise: anyNoise, spoiled: true, judge: both(gate(90, 97, 4), named(ShapeStep, 0.95))},
		{name: "one, 27 min, spoiled", runs: furtherRuns, truth: oneTruth, times: whole, at: 27, noise: anyNoise, spoiled: true, judge: both(gate(92, 98, 3), manyGiven(0.97))},
		{name: "two, 27 min, 0.3 %", runs: furtherRuns, truth: twoTruth, times: whole, at: 27, noise: fixedNoise(0.003), judge: both(gate(93, 100, 1), named(ShapeTwo, 0.9))},
		{name: "seven readings, to 40 min", runs: furtherRuns, truth: oneTruth, times: []float64{0, 1, 2, 5, 10, 20, 27}, at: 40, noise: anyNoise, judge: gate(90, 98, 5)},
		{name: "four readings", runs: furtherRuns, truth: oneTruth, times: []float64{0, 5, 10, 15}, at: 27, noise: anyNoise, judge: gate(91, 99, 10)},
		{name: "two readings, to 50 min", runs: furtherRuns, truth: oneTruth, times: []float64{0, 27}, at: 50, noise: fixedNoise(0.01), judge: gate(91, 99, 7)},
		{name: "two readings, at 10 min", runs: furtherRuns, truth: oneTruth, times: []float64{0, 27}, at: 10, noise: fixedNoise(0.01), judge: gate(91, 99, 12)},
	} {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			if k.runs == 0 {
				k.runs = simulatedRuns
			}
			y := k.simulate(t, k.runs, 1)
			held, bands := y.coverage(1)
			t.Logf("%.1f %% of %d bands, width %.2f %%, 90th percentile of the error %.2f %%, shapes %v", 100*float64(held)/float64(bands), bands, y.width(1), y.error90(), y.shapes)
			k.judge(t, y)
		})
	}
}

func manyGiven(least float64) func(*testing.T, *outcome) {
	return func(t *testing.T, y *outcome) {
		if got := y.given(); got < least {
			t.Errorf("only %.3f of the runs have a band, want %.2f", got, least)
		}
	}
}

// stepPlaced wants a step found between the two readings that enclose it, give or take one reading,
// in 97 of 100 runs.
func stepPlaced(t *testing.T, y *outcome) {
	right := 0
	for _, r := range y.runs {
		for _, p := range r.figures.Curve.pieces[1:] {
			if math.Abs(p.s.start()-math.Ceil(r.truth.stepAt)) <= 1 {
				right++
				break
			}
		}
	}
	if share := float64(right) / float64(len(y.runs)); share < 0.97 {
		t.Errorf("only %.3f of the steps are found where they are", share)
	}
}
