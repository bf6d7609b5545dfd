package quantity

import (
	"math"
	"strconv"
)

// Format prints a value with its unit attached, in plain notation, rounded to a
// number of significant digits and without trailing zeros, so that Parse reads it
// back: 47C, 57.2mm, 1554lx. With significant below 1 every digit of the value is
// printed. A value that is not finite prints as "unknown".
func Format(value float64, unit string, significant int) string {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return "unknown"
	}
	if significant > 0 && value != 0 {
		// One step outward: 57.15 is stored a little below, and people round it to 57.2.
		outward := math.Nextafter(value, math.Copysign(math.Inf(1), value))
		rounded, err := strconv.ParseFloat(strconv.FormatFloat(outward, 'e', significant-1, 64), 64)
		if err == nil {
			value = rounded
		}
	}
	if value == 0 {
		value = 0 // no "-0"
	}
	return strconv.FormatFloat(value, 'f', -1, 64) + unit
}
