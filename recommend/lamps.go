package recommend

import (
	"math"

	"stillbright/data"
	"stillbright/recommend/road"
	"stillbright/recommend/sure"
)

// lampSpreads is the standard deviation of a bulb's light from one lamp to another
// of the same housing, in percent: what the bulbs of the catalog show that were
// tested in several lamps, drawn toward the stated default, which counts like a
// stated number of bulbs tested in two lamps each (see sure.Between).
func lampSpreads(c *data.Catalog, x *index, rules data.BenchRules) map[string]float64 {
	spreads := map[string]float64{data.Projector: rules.LampProjector.Value, data.Reflector: rules.LampReflector.Value}
	for housing, percent := range spreads {
		prior := sq(percent / 100)
		seen, err := sure.Between(lampsOf(c, x, housing, rules), stockVariance(rules), prior)
		if err != nil || seen.Freedom == 0 {
			continue
		}
		// What one catalog shows may be below nothing by chance; what it is drawn
		// toward is not.
		weight := rules.LampWeight.Value + seen.Freedom
		variance := (rules.LampWeight.Value*prior + seen.Freedom*seen.Between) / weight
		// What was seen is itself uncertain; a band from it has to be wider, as a
		// Student t is wider than a normal.
		variance *= 1 + 2*seen.Freedom/(weight*weight)
		spreads[housing] = 100 * math.Sqrt(math.Max(variance, leastLampSpread*leastLampSpread))
	}
	return spreads
}

// leastLampSpread bounds the spread from below: no two lamps are closer (judgement).
const leastLampSpread = 0.02

// lampsOf are the lights, as logarithms of hot vs stock, that each LED of a catalog
// gave in several lamps of one kind, beam by beam. A halogen hardly differs from lamp
// to lamp.
func lampsOf(c *data.Catalog, x *index, housing string, rules data.BenchRules) []sure.Repeated {
	var list []sure.Repeated
	for i := range c.Bulbs {
		bulb := &c.Bulbs[i]
		if bulb.Kind != data.KindLED {
			continue
		}
		newest, _ := NewestLot(bulb)
		like := keep(x.testsOf(bulb), func(t tried) bool {
			return t.lot.Name == newest && t.rig.Size == bulb.Size && t.rig.Housing == housing
		})
		for len(like) > 1 {
			beamName := like[0].beam()
			one := newestInRig(keep(like, func(t tried) bool { return t.beam() == beamName }))
			like = keep(like, func(t tried) bool { return t.beam() != beamName })
			var lights sure.Repeated
			for _, t := range one {
				stock := Known(t.test.Stock.First, t.test.Stock.Last)
				if len(stock) == 0 || len(t.test.Readings) < 2 || t.test.Stock.Volts == nil {
					continue
				}
				hot := t.test.Readings[len(t.test.Readings)-1].Lux
				ratio := hot / (mean(stock) * math.Pow(rules.ReferenceVolts.Value / *t.test.Stock.Volts, road.HalogenExponent))
				lights.Values = append(lights.Values, math.Log(ratio))
				lights.Variances = append(lights.Variances, testVariance(rules)-stockVariance(rules))
				lights.Keys = append(lights.Keys, t.rig.ID+":"+string(t.test.Date))
			}
			if len(lights.Values) > 1 {
				list = append(list, lights)
			}
		}
	}
	return list
}

// testVariance is the usual variance of the log of hot vs stock, of the errors that
// each test has for itself: one stock halogen, seated once; the bulb, seated once;
// two readings. It is the same whatever a record says, so that leaving a remark out
// does not make lamps look more alike.
func testVariance(rules data.BenchRules) float64 {
	return stockVariance(rules) + sq(rules.Seating.Value/100) + sq(rules.Repeat.Value/100)
}

// stockVariance is the part of testVariance that all bulbs have in common which were
// set against the same stock reading of one lamp and day.
func stockVariance(rules data.BenchRules) float64 {
	const halogenTolerance = 0.10 / 1.7320508 // of most sizes (UN R37), all alike likely
	return sq(halogenTolerance) + sq(rules.Seating.Value/100) + sq(rules.Repeat.Value/100)
}

func sq(v float64) float64 { return v * v }

func (d *decision) lampSpread(housing string) float64 { return d.spread[housing] }
