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

// WarmupOptions takes the judged defaults of the rules.
func (k *Knowledge) WarmupOptions() warmup.Options {
	b := k.Rules.Bench
	return warmup.Options{TauLowMin: b.TauLow.Value, TauHighMin: b.TauHigh.Value, RepeatPct: b.Repeat.Value}
}

func readingsOf(test *data.Test) []warmup.Reading {
	readings := make([]warmup.Reading, len(test.Readings))
	for i, r := range test.Readings {
		readings[i] = warmup.Reading{Min: r.At, Lux: r.Lux}
	}
	return readings
}

// RatioDefaults takes the judged defaults of the rules; what they do not name
// stays at the standard.
func (k *Knowledge) RatioDefaults() warmup.Defaults {
	b := k.Rules.Bench
	defaults := warmup.StandardDefaults()
	defaults.ReferenceVolts, defaults.VoltsLow, defaults.VoltsHigh = b.ReferenceVolts.Value, b.VoltsLow.Value, b.VoltsHigh.Value
	defaults.RepeatPct, defaults.SeatingSpreadPct, defaults.SampleSpreadPct = b.Repeat.Value, b.Seating.Value, b.Sample.Value
	defaults.CapOffPct = b.CapOff.Value
	return defaults
}

// rangeFactor is the expected range of n normal readings over their standard
// deviation, n from 2 (d2 of the control-chart tables, ISO 7870-2 and every
// handbook of quality control).
var rangeFactor = []float64{1.128, 1.693, 2.059, 2.326, 2.534, 2.704, 2.847, 2.970, 3.078}

// seatingDeviation is the standard deviation of one seating in percent, from
// the range over the seatings on record. A range of a number of seatings that
// nobody noted is taken as that of two, which is the widest reading. It counts for
// no more than is assumed where nobody looked: not looking must help no bulb, and a
// bad collar is the fit checks' business.
func seatingDeviation(test *data.Test, most float64) *float64 {
	if test.Spread == nil {
		return nil
	}
	n := min(max(test.Seatings, 2), len(rangeFactor)+1)
	deviation := min(most, *test.Spread/rangeFactor[n-2])
	return &deviation
}

func inMillimetres(metres *float64) *float64 {
	if metres == nil {
		return nil
	}
	mm := 1000 * *metres
	return &mm
}
