package quantity

import (
	"bytes"
	"math"
	"strconv"
	"strings"
)

// Format prints a value with its unit attached, in plain notation, rounded to a
// number of significant digits and without trailing zeros, so that Parse reads it
// back: 47C, 57.2mm, 1554lx. With significant below 1 every digit of the value is
// printed. A value that is not finite prints as "unknown".
func Format(value float64, unit string, significant int) string {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return "unknown"
	}
	if value == 0 {
		return "0" + unit // no "-0"
	}
	if significant < 1 {
		return Number(value) + unit
	}
	// One step outward: 57.15 is stored a little below, and people round it to 57.2.
	outward := math.Nextafter(value, math.Copysign(math.Inf(1), value))
	if significant > surelyOwn || math.IsInf(outward, 0) || math.Abs(value) < leastWhole {
		if rounded, err := strconv.ParseFloat(strconv.FormatFloat(outward, 'e', significant-1, 64), 64); err == nil {
			value = rounded
		}
		return Number(value) + unit
	}
	return plain(outward, significant) + unit
}

// surelyOwn is the most significant digits that every number of leastWhole or more
// keeps as its own, so that they need not be read back.
const (
	surelyOwn  = 15
	leastWhole = 1e-300
)

// plain prints a number that is not 0 in plain notation, rounded to 1 to surelyOwn
// significant digits.
func plain(value float64, significant int) string {
	var room, out [64]byte
	text := strconv.AppendFloat(room[:0], value, 'e', significant-1, 64)
	said := out[:0]
	if text[0] == '-' {
		said, text = append(said, '-'), text[1:]
	}
	at := bytes.IndexByte(text, 'e')
	exponent, _ := strconv.Atoi(string(text[at+1:]))
	digits := append(text[:1], text[min(2, at):at]...) // without the point
	digits = bytes.TrimRight(digits, "0")
	switch whole := exponent + 1; {
	case whole <= 0:
		said = append(said, "0."+strings.Repeat("0", -whole)...)
		said = append(said, digits...)
	case whole >= len(digits):
		said = append(said, digits...)
		said = append(said, strings.Repeat("0", whole-len(digits))...)
	default:
		said = append(said, digits[:whole]...)
		said = append(said, '.')
		said = append(said, digits[whole:]...)
	}
	return string(said)
}

// Number is a value without a unit as a person writes it, all its digits and no
// exponent.
func Number(value float64) string { return strconv.FormatFloat(value, 'f', -1, 64) }
