package sheet

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"stillbright/data"
)

// Limits of a table of tests. Ten years of a busy bench fit in a tenth of them;
// they keep time and memory small whatever a file holds.
const (
	tableBytes   = 16 << 20
	tableRows    = 50_000
	tableColumns = 400
	tableCell    = 32_767             // characters, the limit of spreadsheet programs
	tableBreaks  = 200                // line ends in one cell; more is an open quote
	lineMarks    = 100 * tableColumns // separators in a line, in quotes or not
)

// Table is a spreadsheet as text: rows of trimmed cells, ragged as they are.
type Table struct {
	File  string // as the user knows it
	Sheet string // name of the sheet in a workbook; empty for text
	Rows  []TableRow
	Notes []string // how the file was understood

	hidden []int // lines that the workbook does not show

	comma bool // columns set apart by commas: a point is then the decimal mark
	typed bool // numbers are typed and have a point
}

// TableRow is one row that is not blank, and where it stands.
type TableRow struct {
	Line  int // from 1: the line in a text, the row in a workbook
	Cells []string
}

// cell is the text of a column from 0; empty beyond the end of the row.
func (r TableRow) cell(i int) string {
	if i < 0 || i >= len(r.Cells) {
		return ""
	}
	return r.Cells[i]
}

// ReadTable reads CSV, tab or semicolon separated text, or the first sheet with
// content of an XLSX workbook; sheet names another. What is no table, or is
// beyond the limits, is returned as data.Faults with a position.
func ReadTable(r io.Reader, name, sheet string) (Table, error) {
	content, err := io.ReadAll(io.LimitReader(r, tableBytes+1))
	if err != nil {
		return Table{}, fmt.Errorf("%s cannot be read: %w", name, err)
	}
	if len(content) > tableBytes {
		return Table{}, fileFault(name, 1, 1, fmt.Sprintf("is larger than %d MB", tableBytes>>20), "split it, or save only the sheet with the tests")
	}
	switch {
	case bytes.HasPrefix(content, []byte("PK\x03\x04")):
		return readWorkbook(content, name, sheet)
	case bytes.HasPrefix(content, []byte("\xd0\xcf\x11\xe0")):
		return Table{}, fileFault(name, 1, 1, "is a workbook of the old kind (.xls), or has a password", "save it as .xlsx or CSV without a password")
	case sheet != "":
		return Table{}, fileFault(name, 1, 1, "is a text; it has no sheets to choose from", "leave out --sheet")
	}
	return readText(content, name)
}

func fileFault(name string, line, col int, message, hint string) data.Faults {
	return data.Faults{{File: name, Line: line, Col: col, Message: message, Hint: hint}}
}

func readText(content []byte, name string) (Table, error) {
	t := Table{File: name}
	text, ok := decodeText(content)
	if !ok {
		line, col := zeroByte(content)
		return t, fileFault(name, line, col, "is no text: it holds zero bytes", "save the sheet as CSV in UTF-8, or as XLSX")
	}
	if !utf8.Valid(content) && !bytes.HasPrefix(content, []byte{0xFF, 0xFE}) && !bytes.HasPrefix(content, []byte{0xFE, 0xFF}) {
		t.Notes = append(t.Notes, "the text is not UTF-8; read as Latin-1, so look at letters with accents")
	}
	text = strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	skipped := 0
	separator := rune(0)
	if first, rest, _ := strings.Cut(text, "\n"); len(first) <= 8 && strings.HasPrefix(strings.ToLower(first), "sep=") && utf8.RuneCountInString(first) == 5 {
		separator, _ = utf8.DecodeLastRuneInString(first)
		text, skipped = rest, 1
		if separator == '"' || separator == utf8.RuneError || unicode.IsControl(separator) && separator != '\t' {
			return t, fileFault(name, 1, 5, fmt.Sprintf("%s cannot part the columns", quoted(string(separator))), "sep=; or sep=,")
		}
	}
	if separator == 0 {
		separator = tableSeparator(text)
	}
	t.comma = separator == ','
	records, err := t.records(text, separator, skipped)
	if err != nil {
		return t, err
	}
	t.Rows = records
	return t, nil
}

func tableSeparator(text string) rune {
	if strings.HasPrefix(text, exportHeads()[0]+",") {
		return ',' // an export, whose notes may hold any sign
	}
	lines := strings.SplitN(text, "\n", data.SeparatorSample+1)
	separator, _ := data.Separator(lines[:min(len(lines), data.SeparatorSample)])
	return cmp.Or(separator, ',')
}

func (t *Table) records(text string, separator rune, skipped int) ([]TableRow, error) {
	// A line with so many marks has too many columns however its quotes fall; it
	// is refused before memory is set aside for each of them.
	line := skipped
	for raw := range strings.SplitSeq(text, "\n") {
		if line++; len(raw) > lineMarks && strings.Count(raw, string(separator)) > lineMarks {
			return nil, t.bounded(make([]string, tableColumns+1), line, 0)
		}
	}
	read := func(lazy bool) ([]TableRow, error) {
		reader := csv.NewReader(strings.NewReader(text))
		reader.Comma, reader.FieldsPerRecord, reader.LazyQuotes = separator, -1, lazy
		var rows []TableRow
		for {
			cells, err := reader.Read()
			if errors.Is(err, io.EOF) {
				return rows, nil
			}
			if err != nil {
				return nil, err
			}
			line, _ := reader.FieldPos(0)
			if err := t.bounded(cells, line+skipped, len(rows)); err != nil {
				return nil, err
			}
			if cells = trimmedCells(cells); len(cells) > 0 {
				rows = append(rows, TableRow{line + skipped, cells})
			}
		}
	}
	rows, err := read(false)
	var wrong *csv.ParseError
	if errors.As(err, &wrong) && errors.Is(err, csv.ErrBareQuote) {
		// An inch mark in a cell without quotes is text.
		rows, err = read(true)
	}
	if errors.As(err, &wrong) {
		return nil, fileFault(t.File, wrong.StartLine+skipped, 1, "a quote is opened and not closed, or text stands behind a closing quote", "close it, or double every quote inside a cell")
	}
	return rows, err
}

// bounded holds a row to the limits.
func (t *Table) bounded(cells []string, line, rows int) error {
	switch {
	case rows >= tableRows:
		return fileFault(t.File, line, 1, fmt.Sprintf("has more than %d rows", tableRows), "split it")
	case len(cells) > tableColumns:
		return fileFault(t.File, line, tableColumns+1, fmt.Sprintf("has more than %d columns", tableColumns), "keep the columns of the tests")
	}
	for i, cell := range cells {
		switch {
		case len(cell) > tableCell && utf8.RuneCountInString(cell) > tableCell:
			return fileFault(t.File, line, i+1, fmt.Sprintf("a cell is longer than %d characters", tableCell), "shorten it")
		case strings.Count(cell, "\n") > tableBreaks:
			return fileFault(t.File, line, i+1, "a quote is opened and not closed", "close it, or double every quote inside a cell")
		}
	}
	return nil
}

// trimmedCells drops white space round cells and empty cells at the end.
func trimmedCells(cells []string) []string {
	cells = append([]string(nil), cells...)
	for i, cell := range cells {
		cells[i] = strings.TrimSpace(strings.ToValidUTF8(cell, "\uFFFD"))
	}
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}
