package road

import (
	"fmt"
	"math"
	"strconv"
)

// Quantities that a range error is often about.
const (
	Height   = "lamp height"
	Distance = "wall distance"
)

// RangeError says that a figure is outside what a lamp, a wall or a road can
// have, and names the legal range. NaN and infinities are always outside.
type RangeError struct {
	What        string // the quantity: Height, Distance, "dip" and others
	Why         string // what the range is for, behind the quantity; empty for none
	Unit        string // "" for a pure number
	Got         float64
	Least, Most float64 // legal range, both ends legal
}

// Error names the quantity, the figure and the legal range.
func (e *RangeError) Error() string {
	unit := ""
	if e.Unit != "" {
		unit = " " + e.Unit
	}
	return fmt.Sprintf("%s%s %s%s: must be %s to %s%s", e.What, e.Why, short(e.Got), unit, short(e.Least), short(e.Most), unit)
}

// within returns a *RangeError unless least <= got <= most; NaN fails.
func within(what, unit string, got, least, most float64) error {
	if got >= least && got <= most {
		return nil
	}
	return &RangeError{What: what, Unit: unit, Got: got, Least: least, Most: most}
}

// firstError returns the first error of the list that is not nil.
func firstError(list ...error) error {
	for _, err := range list {
		if err != nil {
			return err
		}
	}
	return nil
}

// short prints a figure with at most four significant digits, or all digits of a
// whole number.
func short(x float64) string {
	if x == math.Trunc(x) && math.Abs(x) < 1e7 {
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return strconv.FormatFloat(x, 'g', 4, 64)
}

func radians(deg float64) float64 { return deg * math.Pi / 180 }
func degrees(rad float64) float64 { return rad * 180 / math.Pi }
