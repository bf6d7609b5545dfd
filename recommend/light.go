package recommend

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/need"
	"stillbright/recommend/road"
	"stillbright/recommend/warmup"
)

// lit is one test's light in the owner's conditions, before it is set beside the
// other tests of the bulb.
type lit struct {
	of       tried
	figures  warmup.Figures
	log      float64 // natural logarithm of hot vs stock
	ratio    warmup.Ratio
	down, up float64 // logs of one-sided limits
	reading  [2]float64
}

// lightOf carries the readings of a test to the end of the trip and sets them
// against the halogen at the reference voltage, in the air of the owner's lamp. ok
// is false where the record does not allow it; missing says what is missing.
func (d *decision) lightOf(v view, bulb *data.Bulb, t tried) (l lit, missing []Missing, ok bool) {
	rules := d.know.Rules.Bench
	l.of = t
	if len(t.test.Readings) < 2 {
		missing = append(missing, Missing{"a hot reading", fmt.Sprintf("leave it lit %.0f min, cap on, and read the same point again", d.need.TripMin)})
	}
	figures, err := d.reduce(t.test)
	if err != nil {
		return l, append(missing, Missing{"readings that can be used (" + err.Error() + ")", "measure again"}), false
	}
	l.figures = figures
	stock := Known(t.test.Stock.First, t.test.Stock.Last)
	if len(stock) == 0 {
		missing = append(missing, Missing{"a stock reading in the same rig on the same day", "measure the halogen before and after"})
	}
	if figures.Lux == nil || len(stock) == 0 || figures.LuxLow == nil || figures.LuxHigh == nil {
		return l, missing, false
	}
	none, evidencePct := 0.0, 0.0
	if v.evidence.grade == EvidenceOther {
		evidencePct = rules.OtherHousing.Value
	}
	ratio, err := warmup.VsStock(warmup.RatioInput{
		BulbLux: *figures.Lux, BulbLow: *figures.LuxLow, BulbHigh: *figures.LuxHigh,
		StockLux: stock, StockVolts: t.test.Stock.Volts, BulbVolts: t.test.Volts,
		Halogen:    bulb.Kind == data.KindHalogen,
		MeterClass: t.rig.Meter, Seatings: t.test.Seatings, SeatingSpreadPct: seatingDeviation(t.test, rules.Seating.Value), Samples: t.test.Samples,
		StockTolPct: d.stockTolerance(t.rig.Size), CapOn: isWord(t.test.Cap, "on"), SearchedPeak: isWord(cmpOr(t.test.Point, t.rig.Point), "searched"),
		DistanceMM: inMillimetres(t.rig.Distance), LampSpreadPct: &none, EvidencePct: &evidencePct, Defaults: d.know.RatioDefaults(),
	})
	if err == nil && v.evidence.grade == EvidenceSibling {
		ratio, err = d.sibling(ratio, t.rig.Size, v.beam, rules.Sibling.Value)
	}
	if err != nil {
		return l, append(missing, Missing{"a vs-stock figure (" + err.Error() + ")", "measure again"}), false
	}
	l.ratio, l.down, l.up = ratio, ratio.Down, ratio.Up
	l.log = math.Log(ratio.Mid)
	if bulb.Kind == data.KindLED && !d.bench {
		l.log -= d.droop(figures)
	}
	l.reading = [2]float64{math.Log(*figures.Lux / *figures.LuxLow) * toStandard, math.Log(*figures.LuxHigh / *figures.Lux) * toStandard}
	return l, missing, true
}

// ofTheBulb says whether an error is the same in every lamp a bulb was tested in:
// the sample that was bought, the colour of its light to the meter, how far the
// evidence is from the owner's lamp. More lamps do not average it away.
func ofTheBulb(p warmup.Part) bool {
	return p.Name == "bulb sample" || p.Name == "colour" || p.Name == "evidence" || p.Name == "other size"
}

// droop is the logarithm of what an LED loses in the air behind the owner's lamp
// against that of a mild day, which is about what a closed lamp makes for itself on
// a bench at room temperature (judgement): its own loss since switch-on, counted
// over the usual rise of a body, for each kelvin. Where its own loss is not known,
// the stated worst; a cold place then gains it nothing. The body's own temperature
// is left out on purpose: two thermometers differ by ten kelvin on one bulb, and
// dividing by a rise would punish the cooler reading.
func (d *decision) droop(figures warmup.Figures) float64 {
	rules := d.know.Rules.Heat
	warmer := behind(string(d.need.Climate), rules) - rules.BehindMild.Value
	most := rules.Droop.Value / 100
	if kept := figures.RetainedPct; kept != nil && *kept > 0 {
		return math.Min(most, math.Max(0, -math.Log(*kept/100))/rules.DroopRise.Value) * warmer
	}
	return most * math.Max(0, warmer)
}

// ownersVolts is the logarithm of how much brighter the owner's halogen burns at
// the owner's own volts than at the reference; an LED's driver holds its current.
// A 24 V system counts by half its volts.
func (d *decision) ownersVolts() float64 {
	if d.need.Volts == nil {
		return 0
	}
	volts := *d.need.Volts
	if volts >= 18 {
		volts /= 2
	}
	return road.HalogenExponent * math.Log(volts/d.know.Rules.Bench.ReferenceVolts.Value)
}

// ownersAge is how much less light the owner's halogens give than new ones, as a
// logarithm, and its standard uncertainty: all between the ends of what is said of old
// ones alike likely. A new halogen is brighter by as much as an LED is. Haze on the
// lens is no part of it: it dims both alike.
func (d *decision) ownersAge() (lost, u float64) {
	if d.need.Halogens != need.HalogensOld || d.bench {
		return 0, 0
	}
	least, most := -math.Log1p(-road.OldHalogenLeastPct/100), -math.Log1p(-road.OldHalogenMostPct/100)
	return (least + most) / 2, (most - least) / 2 / math.Sqrt(3)
}

// together sets the lamps in which a bulb was tested beside each other: the mean
// of the logarithms over lamps, and the owner's lamp as one more of them (random
// effects: DerSimonian and Laird 1986, Controlled Clinical Trials 7, 177). Each test
// brings its own variance to that of the mean. Its weight is 1/(variance of its warm
// figure + usual variance of a test + variance between lamps): the remarks on a
// record, such as how often a bulb was seated, change how sure a figure is and not
// which lamp speaks loudest, or leaving one out would help. The parts are those of
// the predicted figure; their squares add up to its variance.
func (d *decision) together(bulb *data.Bulb, housing string, lamps []lit) (ratio warmup.Ratio, parts []ErrorPart) {
	between := sq(d.lampSpread(housing) / 100)
	if bulb.Kind == data.KindHalogen || d.bench {
		between = 0 // a halogen of the size the lamp was made for; the rig's own lamp
	}
	sum, weights := 0.0, make([]float64, len(lamps))
	for i, l := range lamps {
		weights[i] = 1 / (sq(math.Max(l.reading[0], l.reading[1])) + testVariance(d.know.Rules.Bench) + between)
		sum += weights[i]
	}
	log, down, up, squares := 0.0, 0.0, 0.0, 0.0
	var reading [2]float64
	common, colour := map[string]float64{}, 0.0
	var colours []ErrorPart
	for i, l := range lamps {
		share := weights[i] / sum
		log += share * l.log
		down, up = down+share*l.down, up+share*l.up
		squares += share * share
		for side := range reading {
			reading[side] += sq(share * l.reading[side])
		}
		for _, p := range l.ratio.Parts {
			part := ErrorPart{Name: p.Name, RelU: share * p.RelU, Shared: sharedKey(p, l.of)}
			switch {
			case p.Shared == warmup.SharedColour:
				colours, colour = append(colours, part), colour+part.RelU
			case ofTheBulb(p):
				common[p.Name] += part.RelU
			default:
				parts = append(parts, part)
			}
		}
	}
	if len(colours) > 0 { // one bulb, one spectrum: the errors of several meters go together
		alone := 0.0
		for _, p := range colours {
			alone += p.RelU * p.RelU
		}
		for _, p := range colours {
			p.RelU *= colour / math.Sqrt(alone)
			parts = append(parts, p)
		}
	}
	for name, u := range common {
		parts = append(parts, ErrorPart{Name: name, RelU: u})
	}
	if between > 0 {
		parts = append(parts, ErrorPart{Name: "lamp of the bench", RelU: math.Sqrt(between * squares)},
			ErrorPart{Name: "lamp of the owner", RelU: math.Sqrt(between), Owner: true})
	}
	// Halogens of one size differ; the owner's is another one than the bench's.
	standard := warmup.StandardDefaults()
	tolerance := standard.StockTolPct
	if known := d.stockTolerance(d.need.Size); known != nil {
		tolerance = *known
	}
	if !d.bench {
		parts = append(parts, ErrorPart{Name: "your halogen", RelU: tolerance / 100 / math.Sqrt(3), Shared: "your halogen", Owner: true})
	}
	if lost, u := d.ownersAge(); lost > 0 {
		log += lost
		parts = append(parts, ErrorPart{Name: "your old halogens", RelU: u, Shared: "your old halogens", Owner: true})
	}
	if bulb.Kind == data.KindLED {
		own := d.ownersVolts()
		log -= own
		if own != 0 {
			parts = append(parts, ErrorPart{Name: "your volts", RelU: math.Abs(own) * standard.ExponentLimit / math.Sqrt(3) / road.HalogenExponent, Shared: "your volts", Owner: true})
		}
	}
	slices.SortFunc(parts, func(a, b ErrorPart) int {
		return cmp.Or(strings.Compare(a.Name, b.Name), strings.Compare(a.Shared, b.Shared), cmp.Compare(a.RelU, b.RelU))
	})
	rest := 0.0
	for _, p := range parts {
		if p.Name != readingPart {
			rest += p.RelU * p.RelU
		}
	}
	const z = 1 / toStandard
	ratio = warmup.Ratio{Mid: math.Exp(log), Down: down, Up: up}
	ratio.Low = math.Exp(log - math.Hypot(z*math.Sqrt(rest+reading[0]), down))
	ratio.High = math.Exp(log + up + z*math.Sqrt(rest+reading[1]))
	ratio.CrossesStock = ratio.Low <= 1 && ratio.High >= 1
	return ratio, parts
}

// readingPart is the part for the reading itself, whose band may lean.
const readingPart = "bulb reading"

// sharedKey names the error that several bulbs have in common: a stock reading of
// one rig and day, the colour error of one meter. How a bulb differs from lamp to
// lamp is its own.
func sharedKey(p warmup.Part, t tried) string {
	switch p.Shared {
	case warmup.SharedStock:
		return p.Name + ":" + t.rig.ID + ":" + string(t.test.Date)
	case warmup.SharedColour:
		return p.Name + ":" + t.rig.ID
	}
	return ""
}

// sibling moves a figure from another size to the owner's by the standard
// fluxes; where one is not known the figure stays and its doubt doubles.
func (d *decision) sibling(ratio warmup.Ratio, from, beamName string, extraPct float64) (warmup.Ratio, error) {
	fluxFrom, okFrom := d.flux(from, beamName)
	fluxTo, okTo := d.flux(d.need.Size, beamName)
	if !okFrom || !okTo {
		return warmup.SiblingRatio(ratio, 1000, 1000, 2*extraPct/100)
	}
	return warmup.SiblingRatio(ratio, fluxFrom, fluxTo, extraPct/100)
}

// flux is the standard flux of a size for a beam, at its test voltage brought
// to the reference by the halogen's exponent where it is stated elsewhere.
func (d *decision) flux(category, beamName string) (float64, bool) {
	size, ok := data.SizeOf(d.know.Sizes, category)
	if !ok {
		return 0, false
	}
	function, ok := size.FunctionOf(beamName)
	if !ok && len(size.Functions) > 0 {
		function = size.Functions[0]
	}
	if function.FluxLm == nil || size.AtV == nil {
		return 0, false
	}
	return *function.FluxLm * math.Pow(13.2 / *size.AtV, road.HalogenExponent), true
}

// stockTolerance is the flux tolerance of a size in percent, the wider side;
// nil where it is not known.
func (d *decision) stockTolerance(category string) *float64 {
	size, _ := data.SizeOf(d.know.Sizes, category)
	if size.FluxTolPlusPct == nil || size.FluxTolMinusPct == nil {
		return nil
	}
	tolerance := math.Max(*size.FluxTolPlusPct, *size.FluxTolMinusPct)
	return &tolerance
}
