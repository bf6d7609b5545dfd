package warmup

import (
	"fmt"
	"math"
)

// Reading is the illuminance at one moment after switch-on.
type Reading struct {
	// Min is the time since switch-on in minutes, 0..10000. The first reading is seldom at 0: what
	// was on the clock belongs here, because the drop is fastest there.
	Min float64 `json:"min"`
	// Lux is the illuminance in lux, 0.001..10000000.
	Lux float64 `json:"lux"`
}

// Legal range of a reading: a week, and a hundred times direct sun.
const (
	mostMinutes = 10000
	leastLux    = 0.001
	mostLux     = 1e7
)

// ReadingError says which reading cannot be used and why.
type ReadingError struct {
	Index   int // place in the list given, from 0
	Reading Reading
	Reason  string
}

// Error numbers the reading from 1, as a person counts.
func (e *ReadingError) Error() string {
	return fmt.Sprintf("reading %d (%g min, %g lux): %s", e.Index+1, e.Reading.Min, e.Reading.Lux, e.Reason)
}

// ValueError says which other value is outside its legal range.
type ValueError struct {
	Field  string
	Value  float64
	Text   string // the value where it is not a number
	Reason string
}

// Error names the field, the value and the legal range.
func (e *ValueError) Error() string {
	if e.Text != "" {
		return fmt.Sprintf("%s %q: %s", e.Field, e.Text, e.Reason)
	}
	return fmt.Sprintf("%s %g: %s", e.Field, e.Value, e.Reason)
}

func checkReadings(readings []Reading) error {
	for i, r := range readings {
		reason := ""
		switch {
		case !(r.Min >= 0 && r.Min <= mostMinutes):
			reason = fmt.Sprintf("the time must be 0 to %d min", mostMinutes)
		case !(r.Lux >= leastLux && r.Lux <= mostLux):
			reason = fmt.Sprintf("the illuminance must be %g to %.0f lux", leastLux, mostLux)
		case i > 0 && r.Min == readings[i-1].Min:
			reason = fmt.Sprintf("the time is that of reading %d: one time, one reading", i)
		case i > 0 && r.Min < readings[i-1].Min:
			reason = fmt.Sprintf("the time is before reading %d (%g min): times must rise", i, readings[i-1].Min)
		}
		if reason != "" {
			return &ReadingError{Index: i, Reading: r, Reason: reason}
		}
	}
	return nil
}

// within returns a ValueError unless low <= value <= high; NaN is outside every range.
func within(field string, value, low, high float64) error {
	if value >= low && value <= high && !math.IsInf(value, 0) {
		return nil
	}
	return &ValueError{Field: field, Value: value, Reason: fmt.Sprintf("must be %g to %g", low, high)}
}
