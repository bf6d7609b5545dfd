package warmup

import "math"

// Options are the judgements that Reduce makes. A field left at 0 takes the value of
// DefaultOptions.
type Options struct {
	// TauLowMin and TauHighMin are the usual range of time constants in minutes, 0.1..120. Between
	// two readings nothing else is known; with more readings it is a weak prior.
	TauLowMin, TauHighMin float64
	// RepeatPct is the standard deviation of one reading in percent, 0.01..20. It counts where the
	// readings cannot show their own scatter, and fades as they become more.
	RepeatPct float64
	// ResolutionLux is the step of the meter's display in lux, 0.001..1000.
	ResolutionLux float64
	// Settle is when the light counts as settled.
	Settle Criterion
	// HonestHalfWidthPct is the half-width of a band in percent, 1..100, beyond which no single
	// figure is given, only the band.
	HonestHalfWidthPct float64
	// ScatterPct is the largest scatter in percent, 0.1..20, that is put down to the meter. More is
	// an unsettled light.
	ScatterPct float64
	// StepPct is the smallest sudden change in percent, 0.1..50, that is called a step.
	StepPct float64
}

// DefaultOptions gives the defaults, all of them common practice or judgement, and the reason for
// each.
func DefaultOptions() Options {
	return Options{
		TauLowMin:          2,          // common practice: a small sink in moving air
		TauHighMin:         15,         // common practice: a heavy body in a closed housing
		RepeatPct:          1,          // common practice: a hand-held meter put back on its mark
		ResolutionLux:      1,          // common practice: the display of a hand-held meter
		Settle:             SettleUN(), // the rule for LED lamps of vehicles
		HonestHalfWidthPct: 25,         // judgement: at a quarter either way the figure says less than its band
		ScatterPct:         2,          // judgement: twice the usual repeatability
		StepPct:            2,          // judgement: less is a nudge of the meter
	}
}

func (o Options) complete() (Options, error) {
	d := DefaultOptions()
	for _, f := range []struct {
		name              string
		value             *float64
		standard, low, up float64
	}{
		{"tau low", &o.TauLowMin, d.TauLowMin, 0.1, 120},
		{"tau high", &o.TauHighMin, d.TauHighMin, 0.1, 120},
		{"repeat percent", &o.RepeatPct, d.RepeatPct, 0.01, 20},
		{"resolution lux", &o.ResolutionLux, d.ResolutionLux, 0.001, 1000},
		{"honest half-width percent", &o.HonestHalfWidthPct, d.HonestHalfWidthPct, 1, 100},
		{"scatter percent", &o.ScatterPct, d.ScatterPct, 0.1, 20},
		{"step percent", &o.StepPct, d.StepPct, 0.1, 50},
	} {
		if *f.value == 0 {
			*f.value = f.standard
		}
		if err := within(f.name, *f.value, f.low, f.up); err != nil {
			return o, err
		}
	}
	if o.TauLowMin > o.TauHighMin {
		return o, &ValueError{Field: "tau low", Value: o.TauLowMin, Reason: "must not be above tau high"}
	}
	if o.Settle == (Criterion{}) {
		o.Settle = d.Settle
	}
	return o, o.Settle.check()
}

// prior is what is thought of the curve before a reading is seen: the time constants lie in a range,
// beyond which their density falls as a power of the time constant, and the amplitudes are normal
// about nothing.
type prior struct {
	one, fast, slow span
	amplitude       float64 // standard deviation of the change of one term, share of the level
	two             float64 // probability of a second time constant
}

type span struct{ low, high float64 }

const (
	lowTail     = 4.0  // below the range the density falls with the fourth power: weak, not a wall
	highTail    = 2.0  // above it more slowly: a light that goes on falling is the costlier error
	leastRatio  = 3    // nearer than this, two time constants are one
	firstChange = 0.25 // a droop of 3 to 35 % has a root mean square of about 0.21; a little more
	partChange  = 0.15 // two terms together about the same
	twoTerms    = 0.25 // judgement: one bulb in four shows board and body apart
)

// newPrior derives the two-term ranges from the usual one: a board warms four to eight times as
// fast as the body it sits on.
func newPrior(o Options) prior {
	return prior{
		one:       span{o.TauLowMin, o.TauHighMin},
		fast:      span{o.TauLowMin / 4, o.TauLowMin * 1.25},
		slow:      span{math.Sqrt(o.TauLowMin * o.TauHighMin), o.TauHighMin * 1.2},
		amplitude: firstChange,
		two:       twoTerms,
	}
}

// reach is the stretch of time constants that is tried; beyond it lie a few thousandths at most.
func (s span) reach() span { return span{s.low / 25, s.high * 25} }

// logDensity is the log of the density in log tau, not normalised.
func (s span) logDensity(tau float64) float64 {
	switch {
	case tau < s.low:
		return -lowTail * math.Log(s.low/tau)
	case tau > s.high:
		return -highTail * math.Log(tau/s.high)
	}
	return 0
}

// mass is the integral of the density over log tau between low and high.
func (s span) mass(low, high float64) float64 {
	below := func(tau float64) float64 { // integral from 0 to tau
		inside := math.Log(math.Min(math.Max(tau, s.low), s.high) / s.low)
		left := math.Pow(math.Min(tau, s.low)/s.low, lowTail) / lowTail
		right := 0.0
		if tau > s.high {
			right = (1 - math.Pow(s.high/tau, highTail)) / highTail
		}
		return left + inside + right
	}
	return below(high) - below(low)
}
