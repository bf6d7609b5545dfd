package recommend

import (
	"math"
	"slices"

	"stillbright/data"
	"stillbright/recommend/road"
	"stillbright/recommend/sure"
)

// lampSpreads is the standard deviation of a bulb's light from one lamp to another
// of the same housing, in percent: what the bulbs of the catalog show that were
// tested in several lamps, drawn toward the stated default. The default counts like
// a stated number of bulbs; a bulb counts by 2 f/(f+1), f being its lamps less one,
// so that one bulb in many lamps does not speak for all.
//
// Of each bulb Q and its scale are those of DerSimonian and Laird (see
// sure.RandomEffects); the excesses of Q are added up, and so are the scales.
func lampSpreads(c *data.Catalog, x *index, rules data.BenchRules) map[string]float64 {
	spreads := map[string]float64{data.Projector: rules.LampProjector.Value, data.Reflector: rules.LampReflector.Value}
	excess, scale, weight := map[string][]float64{}, map[string][]float64{}, map[string][]float64{}
	for i := range c.Bulbs {
		bulb := &c.Bulbs[i]
		if bulb.Kind != data.KindLED {
			continue // a halogen hardly differs from lamp to lamp
		}
		newest, _ := newestLot(bulb)
		like := keep(x.testsOf(bulb), func(t tried) bool { return t.lot.Name == newest && t.rig.Size == bulb.Size })
		for housing := range spreads {
			for _, e := range effectsOf(keep(like, func(t tried) bool { return t.rig.Housing == housing }), rules) {
				f := float64(e.Freedom)
				w := 2 / (f + 1)
				excess[housing] = append(excess[housing], w*(e.Q-f))
				scale[housing] = append(scale[housing], w*e.Scale)
				weight[housing] = append(weight[housing], w*f)
			}
		}
	}
	for housing, scales := range scale {
		prior := spreads[housing] / 100
		// The excess of one catalog may be below nothing by chance; what it is drawn
		// toward is not.
		seen, counts := total(excess[housing])/total(scales), total(weight[housing])
		weight := rules.LampWeight.Value + counts
		variance := (rules.LampWeight.Value*prior*prior + counts*seen) / weight
		// What was seen is itself uncertain; a band from it has to be wider, as a
		// Student t is wider than a normal.
		variance *= 1 + 2*counts/(weight*weight)
		spreads[housing] = 100 * math.Sqrt(math.Max(variance, leastLampSpread*leastLampSpread))
	}
	return spreads
}

// leastLampSpread bounds the spread from below: no two lamps are closer (judgement).
const leastLampSpread = 0.02

// total of a list in any order: sorted first, so that the order of files does not
// show in the last digit.
func total(list []float64) float64 { return mean(list) * float64(len(list)) }

// effectsOf compares the tests of one bulb in lamps of one kind, beam by beam.
func effectsOf(like []tried, rules data.BenchRules) []sure.Effects {
	variance := testVariance(rules)
	logs, errors := map[string][]float64{}, map[string][]float64{}
	for _, t := range newestInRig(like) {
		stock := known(t.test.Stock.First, t.test.Stock.Last)
		if len(stock) == 0 || len(t.test.Readings) < 2 || t.test.Stock.Volts == nil {
			continue
		}
		hot := t.test.Readings[len(t.test.Readings)-1].Lux
		ratio := hot / (mean(stock) * math.Pow(rules.ReferenceVolts.Value / *t.test.Stock.Volts, road.HalogenExponent))
		logs[t.beam()], errors[t.beam()] = append(logs[t.beam()], math.Log(ratio)), append(errors[t.beam()], variance)
	}
	var list []sure.Effects
	for beam, values := range logs {
		if len(values) < 2 {
			continue
		}
		if e, err := sure.RandomEffects(values, errors[beam]); err == nil {
			list = append(list, e)
		}
	}
	slices.SortFunc(list, func(a, b sure.Effects) int { return cmpFloat(a.Q, b.Q) })
	return list
}

// testVariance is the usual variance of the log of hot vs stock, of the errors that
// each test has for itself: one stock halogen, seated once; the bulb, seated once;
// two readings. It is the same whatever a record says, so that leaving a remark out
// does not make lamps look more alike.
func testVariance(rules data.BenchRules) float64 {
	const halogenTolerance = 0.10 / 1.7320508 // of most sizes (UN R37), all alike likely
	return sq(halogenTolerance) + 2*sq(rules.Seating.Value/100) + 2*sq(rules.Repeat.Value/100)
}

func sq(v float64) float64 { return v * v }

func cmpFloat(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func (d *decision) lampSpread(housing string) float64 { return d.spread[housing] }
