// Package answer is what a person reads: screens, tables, sheets, replies and
// plots, made from the values that the other rooms return. It decides nothing.
package answer

import (
	"strconv"
	"strings"

	"stillbright/recommend/plaintext"
)

// Width is the width that every default screen keeps to, in columns.
const Width = 80

// narrowPage is a width below which tables save every column.
const narrowPage = 60

// page collects lines that keep to a width, counted in display columns.
type page struct {
	text  strings.Builder
	width int
}

func newPage(width int) *page {
	if width < 20 {
		width = Width
	}
	return &page{width: width}
}

func (p *page) String() string { return p.text.String() }

// line writes one line as it is, without what a terminal would obey: much of
// what is shown comes from files.
func (p *page) line(text string) {
	p.text.WriteString(strings.TrimRight(plaintext.Clean(text), " "))
	p.text.WriteByte('\n')
}

func (p *page) blank() { p.text.WriteByte('\n') }

// wrap writes text in as many lines as it needs; lines after the first start
// with the indent.
func (p *page) wrap(text, indent string) {
	for _, line := range wrapText(text, p.width, indent) {
		p.line(line)
	}
}

// item writes a list item with a hanging indent.
func (p *page) item(text string) { p.wrap("  "+text, "    ") }

// columns is the display width of text.
func columns(text string) int { return plaintext.Width(text) }

// shorten ends a text that does not fit with an ellipsis.
func shorten(text string, most int) string { return plaintext.Truncate(text, most, "…") }

// wrapText wraps text behind its own indent; other lines start with the given one.
func wrapText(text string, width int, indent string) []string {
	return plaintext.Hang(text[:len(text)-len(strings.TrimLeft(text, " "))], indent, text, width)
}

// table is rows of cells under a head, padded by display width.
type table struct {
	head []string
	rows [][]string
	// shrink is the column that gives way when the page is too narrow.
	shrink int
	gap    int // spaces between columns; 0: two
}

func (t *table) add(cells ...string) {
	for i, cell := range cells {
		cells[i] = plaintext.Clean(cell)
	}
	t.rows = append(t.rows, cells)
}

func (p *page) table(t table) {
	widths := make([]int, len(t.head))
	for _, row := range append([][]string{t.head}, t.rows...) {
		for i, cell := range row {
			widths[i] = max(widths[i], columns(cell))
		}
	}
	gap := t.gap
	if gap == 0 {
		gap = 2
		if p.width < narrowPage {
			gap = 1
		}
	}
	total := gap * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	if over := total - p.width; over > 0 {
		if left := widths[t.shrink] - over; p.width < narrowPage && left < leastShrunk {
			p.stacked(t)
			return
		}
		widths[t.shrink] = max(6, widths[t.shrink]-over)
	}
	for _, row := range append([][]string{t.head}, t.rows...) {
		var line strings.Builder
		for i, cell := range row {
			cell = shorten(cell, widths[i])
			line.WriteString(cell + strings.Repeat(" ", max(0, widths[i]-columns(cell))))
			if i < len(row)-1 {
				line.WriteString(strings.Repeat(" ", gap))
			}
		}
		p.line(shorten(strings.TrimRight(line.String(), " "), p.width))
	}
}

// leastShrunk is what the column that gives way needs to be of use on a narrow
// page; with less, the rows are stacked.
const leastShrunk = 10

// stacked writes each row as a line of its first cells and, under it, the others
// with their heads.
func (p *page) stacked(t table) {
	for _, row := range t.rows {
		p.wrap(strings.TrimSpace(strings.Join(row[:t.shrink+1], " ")), "  ")
		var parts []string
		for i, cell := range row[t.shrink+1:] {
			if cell != "" {
				parts = append(parts, strings.TrimSpace(t.head[t.shrink+1+i]+" "+cell))
			}
		}
		if len(parts) > 0 {
			p.wrap("    "+strings.Join(parts, ", "), "    ")
		}
	}
}

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
