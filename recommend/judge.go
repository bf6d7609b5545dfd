package recommend

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/beam"
	"stillbright/recommend/warmup"
)

// view is one bulb seen in one housing and one beam: what the record says of it
// there, over all lamps in which it was tested.
type view struct {
	beam, housing string
	evidence      evidence
	hot           Hot
	ratio         *warmup.Ratio
	errors        []ErrorPart
	pattern       Band
	patternKey    string // the stock beam of the lamp, where that is what counts
	glare         Glare
	noCutoff      string // why it has no usable cutoff; empty where it has one
	heat          float64
	bodyC         *float64 // in the owner's lamp, unknown facts at their worst
	bodyLeastC    *float64 // the same with known facts alone
	patternKnown  bool     // measured in a lamp like the owner's
	spreadPct     *float64
	missing       []Missing
	cautions      []string
	watts         *float64
	touch         float64 // C of a body of that surface from which a touch burns
	cool          bool    // the body stays near the air
	speaks        *tried  // the test whose lux is shown; nil without one
	lit           bool    // light, beam and heat were looked at, too
}

// judged is a bulb over all views: each value is its worst view's, since a bulb
// that does two jobs is worth what it does worse.
type judged struct {
	bulb               *data.Bulb
	mid                float64 // unclamped hot vs stock
	tierHigh           float64 // high end of its band, for the tier
	down               float64 // log of a one-sided limit on it
	towardRoad         float64 // part of it that reaches the lane, as a factor
	patternScore       float64
	patternKey         string
	bodyC, heat        float64
	errors             []ErrorPart
	seen               bool // its beam was seen in a lamp like the owner's
	light, shape, warm view // the views that decide the light, the pattern and the heat
	place              int  // in the field of the decision
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

// look sees what a bulb's tests say of it in one beam and housing, as far as the
// gates ask; lookOn sees the rest.
func (d *decision) look(bulb *data.Bulb, beamName, housing string) view {
	v := view{beam: beamName, housing: housing, evidence: gather(d.index, bulb, d.need, beamName, housing)}
	d.evidenceNotes(&v)
	d.seeGates(&v, bulb)
	return v
}

// lookOn fills light, beam and heat, each fact from the tests that have it: a further
// test never takes away what another one knows. The light is what takes time.
func (d *decision) lookOn(v *view, bulb *data.Bulb) {
	v.hot.AtMin = d.need.TripMin
	lamps := d.seeLight(v, bulb, v.evidence.tests)
	d.seePattern(v, bulb, v.evidence.tests)
	d.seeHeat(v, bulb, v.evidence.tests, lamps)
	v.lit = true
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

// greatest is the greater of two figures that may be missing.
func greatest(a, b *float64) *float64 {
	if a == nil || b != nil && *b > *a {
		return b
	}
	return a
}

// seeLight fills the light. The lux shown are those of the newest test, of several
// the weakest; the ratio is that of all.
func (d *decision) seeLight(v *view, bulb *data.Bulb, tests []tried) []lit {
	var lamps, single []lit
	var lacking []Missing
	for i, t := range tests {
		l, missing, ok := d.lightOf(*v, bulb, t)
		switch {
		case !ok:
			lacking = append(lacking, missing...)
		case len(missing) > 0:
			single, lacking = append(single, l), append(lacking, missing...)
		default:
			lamps = append(lamps, l)
		}
		if v.speaks == nil || t.test.Date > v.speaks.test.Date ||
			t.test.Date == v.speaks.test.Date && compareHot(t.test, v.speaks.test) < 0 {
			v.speaks = &tests[i]
			if l.figures.Lux != nil {
				v.hot.Lux, v.hot.RetainedPct = l.figures.Lux, l.figures.RetainedPct
			}
		}
	}
	if len(lamps) == 0 {
		v.missing = append(v.missing, lacking...)
		if lamps = single; len(lamps) == 0 {
			return nil
		}
	}
	ratio, parts := d.together(bulb, v.housing, lamps)
	v.ratio, v.errors = &ratio, parts
	v.hot.VsStock, v.hot.VsStockLow, v.hot.VsStockHigh = &ratio.Mid, &ratio.Low, &ratio.High
	return lamps
}

// seePattern scores the beam. Only a beam seen in a lamp like the owner's counts: a
// pattern is never lent. A halogen has the stock beam of the lamp where its own was
// not measured.
func (d *decision) seePattern(v *view, bulb *data.Bulb, tests []tried) {
	var records []*data.PatternRecord
	for _, t := range tests {
		if record := t.test.Pattern; record != nil && v.evidence.grade == EvidenceLike {
			records = append(records, record)
		}
	}
	if len(records) == 0 {
		if bulb.Kind == data.KindHalogen {
			v.pattern, v.patternKey = d.stockPattern(), StockID
		}
		return
	}
	result, err := d.scorePatterns(v.beam, records)
	switch {
	case err == nil:
		v.pattern = d.inOwnersLamp(result, len(records))
	case bulb.Kind == data.KindHalogen:
		v.pattern, v.patternKey = d.stockPattern(), StockID
	default:
		v.missing = append(v.missing, Missing{"a pattern that can be scored (" + err.Error() + ")", "pattern --grade shows how"})
	}
}

// inOwnersLamp widens the band of a pattern score by how a beam differs from lamp
// to lamp: the bench's lamps, and the owner's as one more.
func (d *decision) inOwnersLamp(r beam.Result, lamps int) Band {
	spread := d.know.Rules.Bench.LampPattern.Value * math.Sqrt(1+1/float64(lamps)) / toStandard
	if d.bench {
		spread = 0
	}
	low := math.Max(0, r.Score-math.Hypot(r.Score-r.Low, spread))
	high := math.Min(100, r.Score+math.Hypot(r.High-r.Score, spread))
	return Band{&r.Score, &low, &high}
}

// scorePatterns scores one beam from several records, part by part: the mean over
// the records that have the part, those with the smaller doubt weighing more.
func (d *decision) scorePatterns(beamName string, records []*data.PatternRecord) (beam.Result, error) {
	rules := d.know.Pattern
	between := d.know.Rules.Bench.LampPattern.Value / 100 / toStandard
	var parts beam.Parts
	var doubt beam.Doubt
	var shared []float64
	type part struct {
		of    func(*beam.Parts) **float64
		doubt func(*beam.Doubt) *float64
	}
	all := []part{
		{func(p *beam.Parts) **float64 { return &p.Sharpness }, func(d *beam.Doubt) *float64 { return &d.Sharpness }},
		{func(p *beam.Parts) **float64 { return &p.HotSpot }, func(d *beam.Doubt) *float64 { return &d.HotSpot }},
		{func(p *beam.Parts) **float64 { return &p.Stray }, func(d *beam.Doubt) *float64 { return &d.Stray }},
		{func(p *beam.Parts) **float64 { return &p.Dark }, func(d *beam.Doubt) *float64 { return &d.Dark }},
		{func(p *beam.Parts) **float64 { return &p.Width }, func(d *beam.Doubt) *float64 { return &d.Width }},
	}
	sums, errors, weights := make([]float64, len(all)), make([]float64, len(all)), make([]float64, len(all))
	var last error
	for _, record := range records {
		own, err := beam.DoubtOf(record.Method, rules)
		if err != nil {
			last = err
			continue
		}
		seen, err := d.partsOf(record)
		if err != nil {
			last = err
			continue
		}
		shared = append(shared, own.Shared)
		for i, p := range all {
			value := *p.of(&seen)
			if value == nil {
				continue
			}
			half := *p.doubt(&own)
			w := 1 / (half*half + between*between)
			sums[i], errors[i], weights[i] = sums[i]+w**value, errors[i]+sq(w*half), weights[i]+w
		}
	}
	if len(shared) == 0 {
		return beam.Result{}, last
	}
	for i, p := range all {
		*p.doubt(&doubt) = 1
		if weights[i] > 0 {
			value := sums[i] / weights[i]
			*p.of(&parts), *p.doubt(&doubt) = &value, math.Sqrt(errors[i])/weights[i]
		}
	}
	doubt.Shared = mean(shared)
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

// seeGates looks at stray light and cutoff in every lamp like the owner's: over in
// one of them is over, and what one lamp leaves open another may settle only where
// none of them is near the gate.
func (d *decision) seeGates(v *view, bulb *data.Bulb) {
	tests := v.evidence.tests
	d.seeBody(v, bulb)
	v.glare = d.know.GlareOf(v.beam, nil, nil, nil)
	halogen := bulb.Kind == data.KindHalogen
	if halogen && v.beam != data.BeamHigh {
		v.glare = Glare{Verdict: GlareWithin, Why: "the lamp was made for this light source"}
	}
	unsure, logs := "", []float64(nil)
	known := false
	for _, t := range tests {
		record := t.test.Pattern
		if record == nil || v.evidence.grade != EvidenceLike {
			continue
		}
		v.patternKnown = true
		g := d.know.glareOfRecord(v.beam, record)
		if g.Verdict != GlareNotMeasured && (!known || glareOrder(g.Verdict) > glareOrder(v.glare.Verdict)) {
			v.glare, known = g, true
		}
		if s := d.know.StrayOf(record); s != nil && s.mid > 0 {
			logs = append(logs, math.Log(s.mid))
		}
		out, open := d.know.cutoffGate(v.beam, record)
		if out != "" {
			v.noCutoff = out
		}
		if open != "" {
			unsure = open
		}
	}
	if len(logs) > 0 {
		middle := math.Exp(mean(logs))
		v.glare.VsStock = &middle
	}
	if unsure != "" && v.noCutoff == "" {
		v.missing = append(v.missing, Missing{unsure, "measure it again with a small aperture, at 10 m or more"})
	}
	if v.glare.Verdict == GlareNotMeasured || v.glare.Verdict == GlareUnclear {
		what := "stray light above the cutoff in a lamp like yours"
		if v.glare.Verdict == GlareUnclear {
			what += ", more closely (" + v.glare.Why + ")"
		}
		v.missing = append(v.missing, Missing{what, "meter at fixed points 0.5 to 2 degrees above the cutoff, stock and bulb"})
	}
}

// seeBody carries the body temperature to the owner's lamp, the mean of the tests
// that have one, and takes what gates and fit checks ask besides.
func (d *decision) seeBody(v *view, bulb *data.Bulb) {
	rules := d.know.Rules.Heat
	var bodies, least []float64
	v.touch = math.Inf(1)
	for _, t := range v.evidence.tests {
		v.touch = math.Min(v.touch, rules.TouchOf(t.test.Surface).Value)
		v.spreadPct = greatest(v.spreadPct, t.test.Spread)
		v.watts = greatest(v.watts, firstKnown(t.test.Watts, t.bulb.Supply.Watts))
		if t.test.Body != nil {
			worst, sure := bodyInLamp(t, string(d.need.Climate), rules)
			bodies, least = append(bodies, worst), append(least, sure)
			v.cool = v.cool || bodyRise(t, rules) < rules.CoolRise.Value
		}
	}
	v.bodyC, v.bodyLeastC = meanOf(bodies), meanOf(least)
	if bulb.Kind == data.KindHalogen {
		v.bodyC = v.bodyLeastC
	}
}

// seeHeat fills the heat value and what to know about it. Each fact is the mean of
// the tests that have it; a driver that was once seen cutting power has been seen.
func (d *decision) seeHeat(v *view, bulb *data.Bulb, tests []tried, lamps []lit) {
	rules := d.know.Rules.Heat
	facts := heatFacts{climate: string(d.need.Climate)}
	var watts, kept []float64
	for _, t := range tests {
		if t.test.FoldBack == "seen" || facts.foldBack == "" {
			facts.foldBack = t.test.FoldBack
		}
		if w := firstKnown(t.test.Watts, t.bulb.Supply.Watts); w != nil {
			watts = append(watts, *w)
		}
	}
	for _, l := range lamps {
		facts.stepSeen = facts.stepSeen || l.figures.Shape == "step"
		if r := l.figures.RetainedPct; r != nil {
			kept = append(kept, *r)
		}
	}
	facts.inLampC, facts.watts, facts.retainedPct = v.bodyC, meanOf(watts), meanOf(kept)
	if bulb.Kind == data.KindHalogen {
		v.heat = 1
		return
	}
	v.heat = heatValue(facts, rules)
	if v.cool && facts.retainedPct != nil && 100-*facts.retainedPct >= rules.CoolDrop.Value {
		v.cautions = append(v.cautions, "Its body stays cool while the light drops: the heat does not reach the body.")
	}
	if facts.stepSeen || facts.foldBack == "seen" {
		v.cautions = append(v.cautions, "Its driver was seen cutting power to save itself on the bench.")
	}
	if v.bodyC != nil && *v.bodyC > v.touch {
		least, most := bodyRange(*v.bodyLeastC, *v.bodyC)
		v.cautions = append(v.cautions, fmt.Sprintf("It gets hot, about %.0f to %.0f °C in your lamp: let it cool before you touch it.", least, most))
	}
}

// bodyDoubt is the half-width of the 95 % band of a body temperature carried to an
// owner's lamp, in kelvin: air behind the lamp 10, cap 5, lamp to lamp 5, thermometer
// 3, added as variances (judgement).
const bodyDoubt = 12

// bodyRange is what is printed of a body temperature: to fives, since nobody knows it
// better.
func bodyRange(sure, worst float64) (least, most float64) {
	return 5 * math.Round((sure-bodyDoubt)/5), 5 * math.Round((worst+bodyDoubt)/5)
}

func meanOf(values []float64) *float64 {
	if len(values) == 0 {
		return nil
	}
	middle := mean(values)
	return &middle
}

func Known(values ...*float64) []float64 {
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

// join of the reasons of several views, each once.
func join(reasons []string) string {
	slices.Sort(reasons)
	return strings.Join(slices.Compact(reasons), "; ")
}
