package sheets

import (
	"fmt"
	"strconv"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/warmup"
)

// BenchSheet is the document of the bench verbs: what a run of readings says of
// the light at one time.
type BenchSheet struct {
	Schema       string       `json:"schema" enum:"stillbright/bench/1" doc:"document and version"`
	AtMin        float64      `json:"at_min" min:"0" doc:"the time asked for, minutes since switch-on"`
	Lux          *float64     `json:"lux" min:"0" doc:"the light then; null where it cannot honestly be given"`
	LuxLow       *float64     `json:"lux_low" min:"0" doc:"low end of its 95 % band"`
	LuxHigh      *float64     `json:"lux_high" min:"0" doc:"high end of its 95 % band"`
	RetainedPct  *float64     `json:"retained_pct" min:"0" doc:"lux in percent of start_lux"`
	TauMin       *float64     `json:"tau_min" min:"0" doc:"time constant in minutes, the slow one of two"`
	StartLux     *float64     `json:"start_lux" min:"0" doc:"the light at the time of the first reading"`
	SettledLux   *float64     `json:"settled_lux" min:"0" doc:"the light in the end"`
	Settled      bool         `json:"settled" doc:"it varies less than 3 percent within any 15 min from at_min on, with 95 % probability"`
	SettledAtMin *float64     `json:"settled_at_min" min:"0" doc:"from when on that is as likely so as not"`
	Forecast     bool         `json:"forecast" doc:"at_min is after the last reading used"`
	Shape        warmup.Shape `json:"shape" doc:"what the readings do; null: too few to say"`
	Notes        []string     `json:"notes" doc:"what the figures rest on, and how the file was read"`
}

// BenchRun is a run of readings reduced: the document, and what a screen or a
// picture shows beside it.
type BenchRun struct {
	Sheet    BenchSheet
	Readings []warmup.Reading // as reduced
	Figures  warmup.Figures
	Stop     warmup.Stop   // whether the band is narrow enough to stop reading
	EnoughPC float64       // the half-width of the band in percent that is enough
	Stock    *warmup.Ratio // against stock in the same rig; nil: no stock reading was given
	StockLux float64       // the stock reading as it was taken, lux; 0 without one
}

// BenchStock is what is known of the halogen in the same rig.
type BenchStock struct {
	Lux       []float64 // first and last reading; one or two
	Volts     *float64  // at the plug, halogen lit
	BulbVolts *float64  // at the plug, bulb lit
}

// mostReduced is the number of readings beyond which neighbours are averaged: a
// logger's second is far below any time constant, and the work grows with them.
const mostReduced = 1500

// ReduceBench turns readings, in order of time, into the figures at a time in
// minutes since switch-on. stock may be nil. Errors are those of warmup.Reduce
// and warmup.VsStock.
func ReduceBench(k *recommend.Knowledge, readings []warmup.Reading, at float64, stock *BenchStock) (BenchRun, error) {
	thinned := Averaged(readings, mostReduced)
	figures, err := warmup.Reduce(thinned, at, k.WarmupOptions())
	if err != nil {
		return BenchRun{}, err
	}
	run := BenchRun{Readings: thinned, Figures: figures, EnoughPC: k.Rules.Bench.Enough.Value}
	if run.Stop, err = figures.EnoughToStop(run.EnoughPC); err != nil {
		return BenchRun{}, err
	}
	notes := recommend.NeverNil(figures.Notes)
	if len(thinned) < len(readings) {
		notes = append(notes, fmt.Sprintf("%d readings are averaged to %d", len(readings), len(thinned)))
	}
	if stock != nil && len(stock.Lux) > 0 {
		if err := run.against(k, *stock); err != nil {
			return BenchRun{}, err
		}
		notes = append(notes, run.stockNotes()...)
	}
	f := figures
	run.Sheet = BenchSheet{
		Schema: "stillbright/bench/1", AtMin: f.AtMin, Lux: f.Lux, LuxLow: f.LuxLow, LuxHigh: f.LuxHigh, RetainedPct: f.RetainedPct,
		TauMin: f.TauMin, StartLux: f.StartLux, SettledLux: f.SettledLux, Settled: f.Settled, SettledAtMin: f.SettledAtMin,
		Forecast: f.Forecast, Shape: f.Shape, Notes: notes,
	}
	return run, nil
}

// against sets the light against stock in the same rig: nothing of another lamp
// enters.
func (r *BenchRun) against(k *recommend.Knowledge, stock BenchStock) error {
	for _, lux := range stock.Lux {
		r.StockLux += lux / float64(len(stock.Lux))
	}
	if r.Figures.Lux == nil || r.Figures.LuxLow == nil || r.Figures.LuxHigh == nil {
		return nil
	}
	none := 0.0
	ratio, err := warmup.VsStock(warmup.RatioInput{
		BulbLux: *r.Figures.Lux, BulbLow: *r.Figures.LuxLow, BulbHigh: *r.Figures.LuxHigh,
		StockLux: stock.Lux, StockVolts: stock.Volts, BulbVolts: stock.BulbVolts,
		LampSpreadPct: &none, EvidencePct: &none, Defaults: k.RatioDefaults(),
	})
	if err != nil {
		return err
	}
	r.Stock = &ratio
	return nil
}

func (r *BenchRun) stockNotes() []string {
	if r.Stock == nil {
		return []string{"no figure, so none against stock"}
	}
	short := func(v float64) string { return strconv.FormatFloat(v, 'g', 3, 64) }
	notes := []string{fmt.Sprintf("%s times stock (%s to %s) in this rig, both at one voltage", short(r.Stock.Mid), short(r.Stock.Low), short(r.Stock.High))}
	return append(notes, r.Stock.Notes...)
}

// Averaged takes the means of as many neighbours as bring the readings down to
// the number given, at least 1.
func Averaged(readings []warmup.Reading, most int) []warmup.Reading {
	if len(readings) <= most {
		return readings
	}
	size := (len(readings) + most - 1) / most
	var out []warmup.Reading
	for from := 0; from < len(readings); from += size {
		block := readings[from:min(from+size, len(readings))]
		var mean warmup.Reading
		for _, r := range block {
			mean.Min += r.Min / float64(len(block))
			mean.Lux += r.Lux / float64(len(block))
		}
		out = append(out, mean)
	}
	return out
}

// SheetOfTest reduces one test of a bulb as show does, so that what is said when
// it is recorded is what show and pick say later. It is false where the rig of
// the test is not in the catalog.
func SheetOfTest(k *recommend.Knowledge, c *data.Catalog, bulb data.Bulb, test data.Test, at float64) (TestSheet, bool) {
	seen, ok := recommend.NewBench(k, c, at).See(&bulb, &data.Lot{}, &test)
	if !ok {
		return TestSheet{}, false
	}
	return testSheet(bulb.Kind, &test, seen), true
}
