package answer

import (
	"strconv"
	"strings"
)

// significant prints a number with n significant digits in plain notation.
func significant(value float64, n int) string {
	text := strconv.FormatFloat(value, 'g', n, 64)
	if strings.ContainsAny(text, "e") {
		return strconv.FormatFloat(value, 'f', 0, 64)
	}
	return text
}

func fixed(value float64, digits int) string { return strconv.FormatFloat(value, 'f', digits, 64) }

// orDash prints a number that may be missing.
func orDash(value *float64, print func(float64) string) string {
	if value == nil {
		return "–"
	}
	return print(*value)
}

func percent(value float64) string { return fixed(value, 0) + " %" }

// sentence joins parts with a comma and a last "and".
func sentence(parts []string) string {
	switch len(parts) {
	case 0:
		return ""
	case 1:
		return parts[0]
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
