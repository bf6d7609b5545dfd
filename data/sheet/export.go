package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"stillbright/data"
)

// Forms of an export.
const (
	FormCSV  = "csv"
	FormXLSX = "xlsx"
)

// recordChunk is how much of a record stands in one cell; spreadsheet programs
// cut a cell at 32767 characters.
const recordChunk = 30_000

// out is one cell of an export: text, or a number or day with its type.
type out struct {
	text   string
	number *float64
	day    bool // text is YYYY-MM-DD
}

// exportRow is the records behind one row.
type exportRow struct {
	slot  slot
	test  bool
	rig   *data.Rig // on the first row that uses it
	first bool      // of its bulb
	cells []out
	more  [3]string
}

// Export writes one row per test, and one for a lot or a bulb without a test:
// the fields of a record under their heads with units, figures derived from
// them, and the rest of each record as JSON in columns of its own, so that
// Interpret and Apply make the same bulbs and rigs of it. What is written is
// read back and compared before it is returned. Cars, and rigs without a test,
// have no row; WriteRecords holds them.
func Export(c data.Catalog, form string, sizes []data.Size) ([]byte, error) {
	rows := exportRows(c)
	if len(rows) == 0 {
		return nil, errors.New("the catalog holds no bulb to export")
	}
	if len(rows) > tableRows-1 {
		return nil, fmt.Errorf("%d rows are more than a table can hold (%d)", len(rows), tableRows-1)
	}
	heads := exportHeads()
	for i := range rows {
		rows[i].cells = exportCells(rows[i])
	}
	// A cell that does not come back as it was is left blank, and the record
	// column carries it.
	for range 4 {
		content, err := writeForm(form, heads, rows, false)
		if err != nil {
			return nil, err
		}
		settled, err := keepWhatReturns(content, heads, rows, sizes)
		if err != nil {
			return nil, err
		}
		if settled {
			return writeForm(form, heads, rows, true)
		}
	}
	return nil, errors.New("the records cannot be written as a table that reads back the same; export JSON")
}

func exportRows(c data.Catalog) []exportRow {
	var rows []exportRow
	seen := map[string]bool{}
	for _, b := range c.Bulbs {
		lots := b.Lots
		b.Lots = nil
		start := len(rows)
		for _, lot := range lots {
			tests := lot.Tests
			lot.Tests = nil
			if len(tests) == 0 {
				rows = append(rows, exportRow{slot: slot{b, lot, data.Test{}}})
			}
			for _, t := range tests {
				row := exportRow{slot: slot{b, lot, t}, test: true}
				if rig, ok := c.Rig(t.Rig); ok && !seen[rig.ID] {
					seen[rig.ID], row.rig = true, &rig
				}
				rows = append(rows, row)
			}
		}
		if len(rows) == start {
			rows = append(rows, exportRow{slot: slot{Bulb: b}})
		}
		rows[start].first = true
	}
	return rows
}

// derivedHeads are computed from the columns before them.
var derivedHeads = []string{"first lux (derived) [lx]", "last lux (derived) [lx]", "last at (derived) [min]", "retained (derived) [%]", "vs stock as read (derived) [%]"}

func exportHeads() []string {
	var heads []string
	for _, m := range meanings() {
		heads = append(heads, exportHead(m.head, m.unit))
		if m.key == "size" {
			heads = append(heads, "price", "currency")
		}
		if m.key == "stock_volts" {
			heads = append(heads, "readings")
			heads = append(heads, derivedHeads...)
		}
	}
	return heads
}

func exportCells(row exportRow) []out {
	s := row.slot
	var cells []out
	for _, m := range meanings() {
		cell := out{}
		switch {
		case m.ofTest && !row.test:
		case m.number != nil:
			cell.number = *m.number(&s)
		case m.count != nil:
			if n := *m.count(&s); n != 0 {
				x := float64(n)
				cell.number = &x
			}
		case m.list != nil:
			cell.text = strings.Join(*m.list(&s), "\n")
		default:
			cell.text = *m.text(&s)
			cell.day = (m.key == "date" || m.key == "bought") && cell.text != ""
		}
		cells = append(cells, cell)
		if m.key == "size" {
			cells = append(cells, priceCells(s.Bulb)...)
		}
		if m.key == "stock_volts" {
			cells = append(cells, readingCells(s.Test)...)
		}
	}
	return cells
}

func priceCells(b data.Bulb) []out {
	if b.Price == nil {
		return []out{{}, {}}
	}
	return []out{number(b.Price.Amount), {text: b.Price.Currency}}
}

func number(x float64) out {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return out{}
	}
	return out{number: &x}
}

// percent is a ratio in percent with one decimal, which is more than a meter
// repeats.
func percent(ratio float64) out { return number(math.Round(1000*ratio) / 10) }

// readingCells are all readings in one cell, and the figures derived from them.
// vs stock is the plain ratio of the last reading to the mean stock reading, as
// read: no voltage is corrected.
func readingCells(t data.Test) []out {
	cells := make([]out, 1+len(derivedHeads))
	var parts []string
	for _, r := range t.Readings {
		parts = append(parts, strconv.FormatFloat(r.At, 'g', -1, 64)+":"+strconv.FormatFloat(r.Lux, 'g', -1, 64))
	}
	cells[0].text = strings.Join(parts, "; ")
	if len(t.Readings) == 0 {
		return cells
	}
	first, last := t.Readings[0], t.Readings[len(t.Readings)-1]
	cells[1], cells[2], cells[3] = number(first.Lux), number(last.Lux), number(last.At)
	if len(t.Readings) > 1 {
		cells[4] = percent(last.Lux / first.Lux)
	}
	var stock, n float64
	for _, reading := range []*float64{t.Stock.First, t.Stock.Last} {
		if reading != nil {
			stock, n = stock+*reading, n+1
		}
	}
	if n > 0 {
		cells[5] = percent(last.Lux / (stock / n))
	}
	return cells
}

// keepWhatReturns reads a written table back, blanks the cells that do not
// return as they were, and works out the rest of each record. It says whether
// no cell had to be blanked.
func keepWhatReturns(content []byte, heads []string, rows []exportRow, sizes []data.Size) (bool, error) {
	table, err := ReadTable(bytes.NewReader(content), "export", "")
	if err != nil {
		return false, err
	}
	var rigs []data.Rig
	for _, row := range rows {
		if row.rig != nil {
			rigs = append(rigs, *row.rig)
		}
	}
	read, err := Interpret(table, Mapping{}, data.Catalog{Rigs: rigs}, sizes)
	if err != nil {
		return false, err
	}
	index := map[int]int{}
	for i, row := range table.Rows[1:] {
		index[row.Line] = i
	}
	settled := true
	for _, fault := range read.Faults {
		i, ok := index[fault.Line]
		if !ok || fault.Col < 1 || fault.Col > len(heads) {
			return false, data.Faults{fault}
		}
		rows[i].cells[fault.Col-1], settled = out{}, false
	}
	if !settled {
		return false, nil
	}
	if len(read.Entries) != len(rows) {
		return false, fmt.Errorf("%d rows came back of %d", len(read.Entries), len(rows))
	}
	for i := range rows {
		row, entry := &rows[i], read.Entries[i]
		back := slot{entry.Bulb, entry.Lot, data.Test{}}
		if len(entry.Tests) == 1 {
			back.Test = entry.Tests[0]
		}
		if row.blankChanged(heads, back) {
			settled = false
		}
		if row.first {
			row.more[0] = encodeRest(row.slot.Bulb, entry.Bulb)
		}
		row.more[1] = encodeRest(lotAndTest{row.slot.Lot, row.slot.Test}, lotAndTest{entry.Lot, back.Test})
		if row.rig != nil {
			row.more[2] = encodeCompact(*row.rig)
		}
	}
	return settled, nil
}

// blankChanged blanks the cells whose field does not return as it was.
func (row *exportRow) blankChanged(heads []string, back slot) bool {
	changed := false
	cells := exportCells(exportRow{slot: back, test: row.test})
	// Lists are one cell each; a list that holds line ends comes back longer.
	longer := map[string]bool{}
	for _, m := range meanings() {
		if m.list != nil && !slices.Equal(*m.list(&row.slot), *m.list(&back)) {
			longer[exportHead(m.head, m.unit)] = true
		}
	}
	for i, head := range heads {
		if strings.Contains(head, "(derived)") {
			continue
		}
		now, want := row.cells[i], cells[i]
		blank := now.text == "" && now.number == nil
		same := now.text == want.text && (now.number == nil) == (want.number == nil) && (now.number == nil || *now.number == *want.number)
		if !blank && (!same || longer[head]) {
			row.cells[i], changed = out{}, true
		}
	}
	return changed
}

// writeForm writes heads and rows; with the record columns when full.
func writeForm(form string, heads []string, rows []exportRow, full bool) ([]byte, error) {
	heads = slices.Clone(heads)
	widths := [3]int{1, 1, 1}
	chunks := make([][3][]string, len(rows))
	for i, row := range rows {
		for k, text := range row.more {
			if full {
				chunks[i][k] = inChunks(text)
			}
			widths[k] = max(widths[k], len(chunks[i][k]))
		}
	}
	for k, head := range []string{"more of the bulb", "more of the test", "the rig"} {
		for range widths[k] {
			heads = append(heads, head)
		}
	}
	grid := make([][]out, len(rows))
	for i, row := range rows {
		grid[i] = slices.Clone(row.cells)
		for k := range widths {
			for n := range widths[k] {
				cell := out{}
				if n < len(chunks[i][k]) {
					cell.text = chunks[i][k][n]
				}
				grid[i] = append(grid[i], cell)
			}
		}
	}
	if form == FormXLSX {
		return writeWorkbook(heads, grid)
	}
	return writeCSV(heads, grid)
}

// inChunks cuts long text where no space is lost at the edge of a cell.
func inChunks(text string) []string {
	var chunks []string
	for len(text) > recordChunk {
		end := recordChunk
		for end > 1 && (!utf8.RuneStart(text[end]) || !isGraphic(text, end)) {
			end--
		}
		chunks, text = append(chunks, text[:end]), text[end:]
	}
	if text != "" {
		chunks = append(chunks, text)
	}
	return chunks
}

// isGraphic says whether a cut at a place has ASCII signs on both sides.
func isGraphic(text string, at int) bool {
	return text[at-1] > ' ' && text[at-1] < 0x7f && text[at] > ' ' && text[at] < 0x7f
}

// writeCSV writes RFC 4180 text with a byte order mark, which spreadsheet
// programs need to see UTF-8. Text that could be taken for a formula is guarded.
func writeCSV(heads []string, grid [][]out) ([]byte, error) {
	var content bytes.Buffer
	content.WriteString("\uFEFF")
	w := csv.NewWriter(&content)
	w.UseCRLF = true
	if err := w.Write(heads); err != nil {
		return nil, err
	}
	for _, row := range grid {
		texts := make([]string, len(row))
		for i, cell := range row {
			if cell.number != nil {
				texts[i] = strconv.FormatFloat(*cell.number, 'g', -1, 64)
				continue
			}
			texts[i] = guard(cell.text)
		}
		if err := w.Write(texts); err != nil {
			return nil, err
		}
	}
	w.Flush()
	return content.Bytes(), w.Error()
}
