package recommend

import (
	"stillbright/data"
	"stillbright/recommend/warmup"
)

// figures are the reduced readings of one test.
type figures = warmup.Figures

func reduceReadings(readings []warmup.Reading, at float64, options warmup.Options) (figures, error) {
	return warmup.Reduce(readings, at, options)
}

// warmupOptions takes the judged defaults of the rules.
func (d *decision) warmupOptions() warmup.Options {
	b := d.know.Rules.Bench
	return warmup.Options{TauLowMin: b.TauLow.Value, TauHighMin: b.TauHigh.Value, RepeatPct: b.Repeat.Value}
}

func readingsOf(test data.Test) []warmup.Reading {
	readings := make([]warmup.Reading, len(test.Readings))
	for i, r := range test.Readings {
		readings[i] = warmup.Reading{Min: r.At, Lux: r.Lux}
	}
	return readings
}

// ratioDefaults takes the judged defaults of the rules.
func (d *decision) ratioDefaults() warmup.Defaults {
	return warmup.Defaults{}
}
