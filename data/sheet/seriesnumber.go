package sheet

import (
	"math"
	"strconv"
	"strings"
)

func nan() float64 { return math.NaN() }

// parseDecimal reads digits with a decimal mark; the other mark groups thousands.
func parseDecimal(digits string, mark rune) (float64, bool) {
	group := ","
	if mark == ',' {
		group = "."
	}
	whole, fraction, _ := strings.Cut(digits, string(mark))
	if strings.Contains(whole, group) {
		if !isGrouped(strings.TrimLeft(whole, "+-"), rune(group[0])) {
			return 0, false
		}
		whole = strings.ReplaceAll(whole, group, "")
	}
	text := whole
	if fraction != "" {
		text += "." + fraction
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil && !math.IsInf(value, 0) { // a number too large is refused as infinite
		return 0, false
	}
	return value, true
}

// isGrouped says whether digits are written in groups of three: 1,001 or 12,001,500.
func isGrouped(digits string, mark rune) bool {
	groups := strings.Split(digits, string(mark))
	if len(groups) < 2 || len(groups[0]) < 1 || len(groups[0]) > 3 || groups[0][0] == '0' {
		return false
	}
	for i, group := range groups {
		if i > 0 && len(group) != 3 {
			return false
		}
		for _, r := range group {
			if r < '0' || r > '9' {
				return false
			}
		}
	}
	return true
}

// marks is the evidence for a decimal mark, from every number of the file.
type marks struct {
	point, comma  int // numbers in which it can only be the decimal mark
	either        int // numbers that could be grouped thousands or decimal
	firstEither   cell
	firstLine     int
	eitherIsComma bool
}

func (m *marks) see(line int, c cell) {
	digits, _ := splitNumber(c.text)
	digits = strings.TrimLeft(digits, "+-")
	if i := strings.IndexAny(digits, "eE"); i >= 0 {
		digits = digits[:i]
	}
	point, comma := strings.LastIndexByte(digits, '.'), strings.LastIndexByte(digits, ',')
	switch {
	case point < 0 && comma < 0:
	case point >= 0 && comma >= 0:
		if point > comma {
			m.point++
		} else {
			m.comma++
		}
	case point >= 0 && !isGrouped(digits, '.'):
		m.point++
	case comma >= 0 && !isGrouped(digits, ','):
		m.comma++
	case strings.Count(digits, ".")+strings.Count(digits, ",") > 1:
		// 1.234.567 can only be grouped.
		if point >= 0 {
			m.comma++
		} else {
			m.point++
		}
	default:
		if m.either == 0 {
			m.firstEither, m.firstLine, m.eitherIsComma = c, line, comma >= 0
		}
		m.either++
	}
}

// numbers finds the decimal mark of the file. Between columns set apart by
// commas the mark is a point; elsewhere the numbers have to show it.
func (p *seriesParser) numbers() {
	if p.separator == ',' {
		p.decimal = '.'
		return
	}
	var m marks
	for _, r := range p.data {
		for _, i := range []int{p.columns.time, p.columns.light} {
			if i >= 0 && i < len(r.cells) && !strings.Contains(r.cells[i].text, ":") && !isDate(r.cells[i].text) {
				m.see(r.line, r.cells[i])
			}
		}
	}
	switch {
	case m.comma > m.point:
		p.decimal = ','
		p.note("a comma is the decimal mark")
	case m.point > 0 || m.either == 0:
		p.decimal = '.'
	default:
		what := "thousand and something, or a decimal fraction"
		p.fault(m.firstLine, m.firstEither.col, quoted(m.firstEither.text)+" can be a "+what+"; nothing else in the file tells which", "write it without the mark, or with another digit behind it")
	}
}

// isDate says whether text is a day rather than a number: two dots, slashes or
// hyphens between digits.
func isDate(text string) bool {
	day, _, _ := strings.Cut(text, " ")
	for _, mark := range "./-" {
		if parts := strings.Split(strings.TrimRight(day, "."), string(mark)); len(parts) == 3 && allDigits(parts) {
			// 1.234.567 is a number; a day has at most two digits in the middle.
			return len(parts[1]) <= 2
		}
	}
	return len(text) > 10 && text[4] == '-' // 2026-03-01T12:00:05Z
}

func allDigits(parts []string) bool {
	for _, part := range parts {
		if part == "" {
			return false
		}
		for _, r := range part {
			if r < '0' || r > '9' {
				return false
			}
		}
	}
	return true
}
