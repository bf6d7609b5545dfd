package recommend

import (
	"fmt"
	"math"
	"slices"

	"stillbright/data"
	"stillbright/recommend/beam"
	"stillbright/recommend/road"
	"stillbright/recommend/warmup"
)

// view is one bulb seen in one housing and one beam: what the record says of it
// there.
type view struct {
	beam, housing string
	evidence      evidence
	hot           Hot
	ratio         *warmup.Ratio
	errors        []ErrorPart
	pattern       Band
	glare         Glare
	heat          float64
	bodyC         *float64
	patternKnown  bool // measured in a lamp like the owner's
	spreadPct     *float64
	missing       []Missing
	cautions      []string
	watts         *float64
	speaks        *tried // the test that the figures are from; nil without one
}

// judged is a bulb over all views: each value is its worst view's, since a bulb
// that does two jobs is worth what it does worse.
type judged struct {
	bulb               *data.Bulb
	mid                float64 // unclamped hot vs stock
	low                float64
	towardRoad         float64 // what the beam's shape adds to both, 1 or more
	patternScore       float64
	bodyC              float64
	errors             []ErrorPart
	heat               float64
	patternBand        [2]float64
	seen               bool // its beam was seen in a lamp like the owner's
	light, shape, warm view // the views that decide the light, the pattern and the heat
}

// views lists what has to be looked at: both beams of a bulb that does two,
// and both housings when the owner's is not known.
func views(n Need) (beams, housings []string) {
	beams, housings = []string{n.Beam}, []string{string(n.Housing)}
	if n.Beam == data.BeamBoth {
		beams = []string{data.BeamLow, data.BeamHigh}
	}
	if n.Housing == "" {
		housings = []string{data.Projector, data.Reflector}
	}
	return beams, housings
}

// look judges a bulb in one beam and housing from its tests.
func (d *decision) look(bulb *data.Bulb, beamName, housing string) view {
	v := view{beam: beamName, housing: housing, evidence: gather(d.index, bulb, d.need, beamName, housing)}
	v.hot.AtMin = d.need.TripMin
	v.glare = Glare{Verdict: "not_measured", Why: "the light above the cutoff was not measured in a lamp like yours"}
	if beamName == data.BeamHigh {
		v.glare = Glare{Verdict: "not_applicable", Why: "a high beam has no cutoff; dip it for oncoming traffic"}
	}
	if bulb.Kind == data.KindHalogen {
		v.heat = 1
		v.glare = Glare{Verdict: "within", Why: "the lamp was made for this light source"}
	}
	d.evidenceNotes(&v)
	worst := math.Inf(1)
	for _, t := range v.evidence.tests {
		seen := d.lookAt(bulb, v, t)
		if key := seen.worth(); key < worst {
			worst = key
			v = seen
		}
	}
	if len(v.evidence.tests) == 0 {
		v.pattern = d.stockBand(bulb, nil, beamName)
	}
	return v
}

// worth orders the tests of one bulb in several lamps: the worst one speaks.
func (v view) worth() float64 {
	if v.hot.VsStockLow == nil {
		return -1
	}
	return *v.hot.VsStockLow
}

// evidenceNotes says what is missing or old about the evidence.
func (d *decision) evidenceNotes(v *view) {
	n := d.need
	lamp := fmt.Sprintf("a test in a %s %s, %s beam", n.Size, v.housing, v.beam)
	how := "bench add, stock halogen first and last in the same lamp"
	switch v.evidence.grade {
	case EvidenceNone:
		v.missing = append(v.missing, Missing{lamp, how})
	case EvidenceSibling:
		v.missing = append(v.missing, Missing{lamp + " (only another size was tested)", how})
	case EvidenceOther:
		v.missing = append(v.missing, Missing{lamp + " (only the other housing was tested)", how})
	}
	if e := v.evidence; e.newLot != "" {
		v.missing = append(v.missing, Missing{
			fmt.Sprintf("a test of the lot sold now (%s); only lot %s was tested", e.newLot, e.olderLot), how})
	} else if e.olderLot != "" {
		v.cautions = append(v.cautions, fmt.Sprintf("Figures are of the newest lot; lot %s of the same name was measured too and may still be on sale.", e.olderLot))
	}
}

// lookAt fills the view from one test.
func (d *decision) lookAt(bulb *data.Bulb, v view, t tried) view {
	v.missing, v.cautions = slices.Clone(v.missing), slices.Clone(v.cautions)
	figures := d.lightOf(&v, bulb, t)
	if bulb.Kind == data.KindHalogen {
		v.pattern = d.stockBand(bulb, &t, v.beam)
	} else {
		d.patternOf(&v, t)
		d.heatOf(&v, t, figures)
	}
	v.spreadPct = t.test.Spread
	v.watts = firstKnown(t.test.Watts, t.bulb.Supply.Watts)
	v.speaks = &t
	return v
}

// lightOf fills the hot figures: the reading carried to the end of the trip,
// set against stock at the reference voltage.
func (d *decision) lightOf(v *view, bulb *data.Bulb, t tried) warmup.Figures {
	rules := d.know.Rules.Bench
	if len(t.test.Readings) < 2 {
		v.missing = append(v.missing, Missing{"a hot reading", fmt.Sprintf("leave it lit %.0f min, cap on, and read the same point again", d.need.TripMin)})
	}
	figures, err := d.reduce(t.test)
	if err != nil {
		v.missing = append(v.missing, Missing{"readings that can be used (" + err.Error() + ")", "measure again"})
		return figures
	}
	stock := known(t.test.Stock.First, t.test.Stock.Last)
	if len(stock) == 0 {
		v.missing = append(v.missing, Missing{"a stock reading in the same rig on the same day", "measure the halogen before and after"})
	}
	if t.test.Stock.Volts == nil {
		v.missing = append(v.missing, Missing{"the supply volts of the stock reading", "measure at the plug, halogen lit"})
	}
	v.hot.Lux, v.hot.RetainedPct = figures.Lux, figures.RetainedPct
	if figures.Lux == nil || len(stock) == 0 || figures.LuxLow == nil || figures.LuxHigh == nil {
		return figures
	}
	evidencePct, tolerance, lamp := 0.0, d.stockTolerance(t.rig.Size), d.lampSpread(v.housing)
	if v.evidence.grade == EvidenceOther {
		evidencePct = rules.OtherHousing.Value
	}
	ratio, err := warmup.VsStock(warmup.RatioInput{
		BulbLux: *figures.Lux, BulbLow: *figures.LuxLow, BulbHigh: *figures.LuxHigh,
		StockLux: stock, StockVolts: t.test.Stock.Volts, BulbVolts: t.test.Volts,
		Halogen:    bulb.Kind == data.KindHalogen,
		MeterClass: t.rig.Meter, Seatings: t.test.Seatings, SeatingSpreadPct: seatingDeviation(t.test), Samples: t.test.Samples,
		StockTolPct: tolerance, CapOn: isWord(t.test.Cap, "on"), SearchedPeak: isWord(cmpOr(t.test.Point, t.rig.Point), "searched"),
		DistanceMM: inMillimetres(t.rig.Distance), LampSpreadPct: &lamp, EvidencePct: &evidencePct, Defaults: d.ratioDefaults(),
	})
	if err == nil && v.evidence.grade == EvidenceSibling {
		ratio, err = d.sibling(ratio, t.rig.Size, v.beam, rules.Sibling.Value)
	}
	if err != nil {
		v.missing = append(v.missing, Missing{"a vs-stock figure (" + err.Error() + ")", "measure again"})
		return figures
	}
	v.ratio = &ratio
	v.hot.VsStock, v.hot.VsStockLow, v.hot.VsStockHigh = &ratio.Mid, &ratio.Low, &ratio.High
	for _, part := range ratio.Parts {
		v.errors = append(v.errors, ErrorPart{Name: part.Name, RelU: part.RelU, Shared: sharedKey(part.Shared, t.rig.ID)})
	}
	return figures
}

// sharedKey names the group of bulbs that share an error. How a bulb differs
// from lamp to lamp is its own.
func sharedKey(shared, rig string) string {
	if shared == warmup.SharedStock || shared == warmup.SharedColour {
		return shared + ":" + rig
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
// to 13.2 V by the halogen's exponent where it is stated elsewhere.
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

// patternOf scores the beam. Only a beam seen in a lamp like the owner's
// counts: a pattern is never lent.
func (d *decision) patternOf(v *view, t tried) {
	record := t.test.Pattern
	if v.evidence.grade != EvidenceLike || record == nil {
		d.glareOf(v, nil)
		return
	}
	v.patternKnown = true
	result, err := d.scorePattern(v.beam, record)
	if err != nil {
		v.missing = append(v.missing, Missing{"a pattern that can be scored (" + err.Error() + ")", "pattern --grade shows how"})
	} else {
		v.pattern = Band{&result.Score, &result.Low, &result.High}
	}
	d.glareOf(v, record)
}

func (d *decision) scorePattern(beamName string, record *data.PatternRecord) (beam.Result, error) {
	rules := d.know.Pattern
	doubt, err := beam.DoubtOf(record.Method, rules)
	if err != nil {
		return beam.Result{}, err
	}
	parts, err := d.partsOf(record)
	if err != nil {
		return beam.Result{}, err
	}
	return beam.Score(beamName, parts, doubt, rules)
}

// partsOf are the parts of a pattern on record, from marks by eye where nothing
// better is there.
func (d *decision) partsOf(record *data.PatternRecord) (beam.Parts, error) {
	rules := d.know.Pattern
	var parts beam.Parts
	if m := record.Marks; m != nil {
		var err error
		if parts, err = beam.PartsFromMarks(beam.Marks{Cutoff: m.Cutoff, HotSpot: m.HotSpot, Stray: m.Stray, Dark: m.Dark, Width: m.Width}, rules); err != nil {
			return parts, err
		}
	}
	if p := record.Parts; p != nil {
		parts = beam.Parts{Sharpness: p.Sharpness, HotSpot: p.HotSpot, Stray: p.Stray, Dark: p.Dark, Width: p.Width}
	}
	if parts.Stray == nil && record.StrayVsStock != nil {
		stray := beam.StrayPart(*record.StrayVsStock, rules)
		parts.Stray = &stray
	}
	return parts, nil
}

// glareOf fills the glare gate of an LED bulb. A mark by eye of 0 says that it
// dazzles.
func (d *decision) glareOf(v *view, record *data.PatternRecord) {
	if v.beam == data.BeamHigh {
		return
	}
	gate := d.know.Rules.Gate.StrayLow.Value
	if v.beam == data.BeamFog {
		gate = d.know.Rules.Gate.StrayFog.Value
	}
	verdict := beam.GlareUnknown
	if record != nil {
		verdict = beam.GlareGate(v.beam, record.StrayVsStock, record.OverLimit, gate)
		v.glare.VsStock = record.StrayVsStock
		if m := record.Marks; verdict == beam.GlareUnknown && m != nil && m.Stray != nil {
			verdict = beam.GlareClear
			if *m.Stray == 0 {
				verdict = beam.GlareTooMuch
			}
		}
	}
	switch verdict {
	case beam.GlareTooMuch:
		v.glare.Verdict, v.glare.Why = "over", glareWhy(record, gate)
	case beam.GlareClear:
		v.glare.Verdict, v.glare.Why = "within", fmt.Sprintf("stray light above the cutoff is within %g times stock", gate)
		if v.glare.VsStock == nil {
			v.glare.Why = "judged by eye: no more light above the cutoff than the gate lets pass"
		}
	default:
		v.missing = append(v.missing, Missing{"stray light above the cutoff in a lamp like yours",
			"meter at fixed points 0.5 to 2 degrees above the cutoff, stock and bulb"})
	}
}

func glareWhy(record *data.PatternRecord, gate float64) string {
	switch {
	case record.StrayVsStock != nil && *record.StrayVsStock > gate:
		return fmt.Sprintf("dazzles: %.2g times the stock's light above the cutoff; the gate is %.2g", *record.StrayVsStock, gate)
	case record.OverLimit != nil && *record.OverLimit:
		return "dazzles: over a published limit above the cutoff even after the quarter-degree re-aim"
	}
	return "dazzles: judged by eye in a lamp like yours"
}

// heatOf fills the heat value and what to know about it.
func (d *decision) heatOf(v *view, t tried, figures warmup.Figures) {
	rules := d.know.Rules.Heat
	facts := heatFacts{
		bodyC: t.test.Body, bareMetal: t.test.Surface == "" || t.test.Surface == "bare_metal",
		airC: t.test.Ambient, capOn: t.test.Cap == "on", foldBack: t.test.FoldBack,
		stepSeen: figures.Shape == "step", watts: firstKnown(t.test.Watts, t.bulb.Supply.Watts),
		retainedPct: figures.RetainedPct, climate: string(d.need.Climate),
	}
	v.heat, v.bodyC = heatValue(facts, rules)
	if facts.bodyC != nil {
		air := rules.BenchAir.Value
		if facts.airC != nil {
			air = *facts.airC
		}
		if badHeatPath(facts, math.Max(0, *facts.bodyC-air), rules) {
			v.cautions = append(v.cautions, "Its body stays cool while the light drops: the heat does not reach the body.")
		}
	}
	if facts.stepSeen || facts.foldBack == "seen" {
		v.cautions = append(v.cautions, "Its driver was seen cutting power to save itself on the bench.")
	}
	if v.bodyC != nil && *v.bodyC > rules.TouchHazard.Value {
		v.cautions = append(v.cautions, fmt.Sprintf("Its body may reach about %.0f C in your lamp: let it cool before touching it.", *v.bodyC))
	}
}

func known(values ...*float64) []float64 {
	var list []float64
	for _, value := range values {
		if value != nil {
			list = append(list, *value)
		}
	}
	return list
}

func firstKnown(values ...*float64) *float64 {
	for _, value := range values {
		if value != nil {
			return value
		}
	}
	return nil
}

func cmpOr(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// isWord is nil when the word is not given.
func isWord(word, wanted string) *bool {
	if word == "" {
		return nil
	}
	is := word == wanted
	return &is
}
