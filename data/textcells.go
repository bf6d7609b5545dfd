package data

import (
	"strings"
	"unicode/utf8"
)

// TextCell is a cell of a line of text and the column at which it begins, from 1.
type TextCell struct {
	Text string
	Col  int
}

// CutLine splits a line at the separator; between double quotes it is text, and a
// doubled quote is a quote (RFC 4180, within one line). Blanks round a cell are
// taken off.
func CutLine(line string, separator rune) []TextCell {
	var cells []TextCell
	var text strings.Builder
	col, start, inQuotes := 0, 1, false
	runes := []rune(line)
	end := func() {
		raw := text.String()
		lead := utf8.RuneCountInString(raw) - utf8.RuneCountInString(strings.TrimLeft(raw, " \t\u00a0"))
		cells = append(cells, TextCell{strings.TrimSpace(raw), start + lead})
		text.Reset()
	}
	for i := 0; i < len(runes); i++ {
		col = i + 1
		switch r := runes[i]; {
		case r == '"' && inQuotes && i+1 < len(runes) && runes[i+1] == '"':
			text.WriteRune('"')
			i++
		case r == '"' && (inQuotes || strings.TrimSpace(text.String()) == ""):
			inQuotes = !inQuotes
		case r == separator && !inQuotes:
			end()
			start = col + 1
		default:
			text.WriteRune(r)
		}
	}
	end()
	return cells
}

// SeparatorSample is how many lines of a text are worth a look for its separator.
const SeparatorSample = 200

// Separator finds what parts the columns of a text, a tab, a semicolon or a comma, and
// in how many of the lines: the one that cuts most of them into the same number of
// columns, more than one, since signs in notes cut unevenly; at a tie the one with
// more columns. A comma between two digits is a decimal mark where another separator
// stands in the line. It is 0 where none cuts anything.
func Separator(lines []string) (separator rune, cuts int) {
	widest := 0
	for _, try := range "\t;," {
		counts := map[int]int{}
		for _, line := range lines[:min(len(lines), SeparatorSample)] {
			line = line[:min(len(line), 4096)]
			if try == ',' && strings.ContainsAny(line, ";\t") {
				line = withoutDecimalCommas(line)
			}
			if n := columnsOf(CutLine(line, try)); n > 1 {
				counts[n]++
			}
		}
		for columns, count := range counts {
			if count > cuts || count == cuts && columns > widest {
				separator, cuts, widest = try, count, columns
			}
		}
	}
	return separator, cuts
}

// columnsOf counts the cells of a line; one alone with empty ones behind it is one.
func columnsOf(cells []TextCell) int {
	for _, c := range cells[1:] {
		if c.Text != "" {
			return len(cells)
		}
	}
	return 1
}

func withoutDecimalCommas(line string) string {
	digit := func(i int) bool { return i >= 0 && i < len(line) && line[i] >= '0' && line[i] <= '9' }
	out := []byte(line)
	for i := range out {
		if out[i] == ',' && digit(i-1) && digit(i+1) {
			out[i] = '.'
		}
	}
	return string(out)
}
