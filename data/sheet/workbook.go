package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"path"
	"strconv"
	"strings"
	"time"

	"stillbright/data"
)

// workbookBytes is the most that the parts of a workbook may unpack to, all
// together: a small file that unpacks to more is no sheet of tests.
const workbookBytes = 32 << 20

// workbookElements is the most elements that are read of all parts: ten
// years of a busy bench hold a third of them. A packed file of a few kilobytes can hold millions.
const workbookElements = 2_000_000

// Most texts and cell styles of a workbook; spreadsheet programs stop at 65490
// styles.
const (
	workbookTexts  = 500_000
	workbookStyles = 65_490
)

var (
	errTooMuch = fmt.Errorf("unpacks to more than %d MB", workbookBytes>>20)
	errTooMany = fmt.Errorf("holds more than %d elements", workbookElements)
)

// workbook reads what a table needs of an Office Open XML workbook (ISO/IEC
// 29500-1, SpreadsheetML): sheet names, cell text, numbers and dates. Formulas
// are never computed; the value saved with them is read.
type workbook struct {
	files   map[string]*zip.File
	left    int64 // bytes that may still be unpacked
	seen    int   // elements read
	depth   int   // elements open in the part that is read
	strings []string
	dates   []bool // by cell style: its numbers are days
	percent []bool // by cell style: its numbers are shown times 100
	from    time.Time
}

func readWorkbook(content []byte, name, sheet string) (Table, error) {
	t := Table{File: name, typed: true}
	fail := func(message, hint string) (Table, error) {
		return Table{}, fileFault(name, 1, 1, message, hint)
	}
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return fail("is a broken workbook: "+err.Error(), "open it in a spreadsheet program and save it again")
	}
	w := &workbook{files: map[string]*zip.File{}, left: workbookBytes}
	for _, file := range archive.File {
		w.files[strings.TrimPrefix(path.Clean("/"+file.Name), "/")] = file
	}
	sheets, err := w.sheets()
	if err == nil {
		err = w.sharedStrings()
	}
	if err == nil {
		err = w.styles()
	}
	if err != nil {
		return fail("is no workbook that can be read: "+err.Error(), "save it again as .xlsx, or as CSV")
	}
	// Without a name the first sheet counts whose heads are understood, else the
	// first that holds anything.
	var names []string
	var first *Table
	chosen := func(t Table) Table {
		if len(sheets) > 1 {
			t.Notes = []string{fmt.Sprintf("sheet %q of %d is read; --sheet names another", t.Sheet, len(sheets))}
		}
		return t
	}
	for _, s := range sheets {
		names = append(names, s.name)
		if sheet != "" && !strings.EqualFold(s.name, sheet) {
			continue
		}
		t.Sheet, t.Rows, t.hidden = s.name, nil, nil
		if err := w.rows(&t, s.part); err != nil {
			return Table{}, err
		}
		if sheet != "" || hasHeads(t) {
			return chosen(t), nil
		}
		if len(t.Rows) > 0 && first == nil {
			first = &Table{File: t.File, Sheet: t.Sheet, Rows: t.Rows, typed: true, hidden: t.hidden}
		}
	}
	if first != nil {
		return chosen(*first), nil
	}
	if sheet != "" {
		return fail(fmt.Sprintf("has no sheet %q; its sheets are %s", sheet, strings.Join(names, ", ")), "")
	}
	return t, nil
}

// each goes through the elements of a part of the workbook.
func (w *workbook) each(part string, needed bool, visit func(d *xml.Decoder, start xml.StartElement) error) error {
	file := w.files[part]
	if file == nil {
		if needed {
			return fmt.Errorf("it has no %s", part)
		}
		return nil
	}
	reader, err := file.Open()
	if err != nil {
		return err
	}
	defer reader.Close()
	limited := &io.LimitedReader{R: reader, N: w.left + 1}
	d := xml.NewDecoder(limited)
	w.depth = 0
	for {
		token, err := d.Token()
		switch {
		case limited.N <= 0:
			return errTooMuch
		case errors.Is(err, io.EOF):
			w.left = limited.N - 1
			return nil
		case err != nil:
			return fmt.Errorf("%s: %w", part, err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			if w.depth++; w.depth > 64 {
				return fmt.Errorf("%s: elements stand too deep in each other", part)
			}
			if w.seen++; w.seen > workbookElements {
				return errTooMany
			}
			if err := visit(d, token); err != nil {
				return err
			}
		case xml.EndElement:
			w.depth--
		}
	}
}

func attribute(start xml.StartElement, name string) string {
	for _, a := range start.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

type sheetPart struct{ name, part string }

// sheets lists the sheets in the order of the workbook.
func (w *workbook) sheets() ([]sheetPart, error) {
	w.from = time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)
	parts := map[string]string{}
	err := w.each("xl/_rels/workbook.xml.rels", true, func(_ *xml.Decoder, e xml.StartElement) error {
		if e.Name.Local == "Relationship" {
			target := attribute(e, "Target")
			if !strings.HasPrefix(target, "/") {
				target = "/xl/" + target
			}
			parts[attribute(e, "Id")] = strings.TrimPrefix(path.Clean(target), "/")
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	var list []sheetPart
	err = w.each("xl/workbook.xml", true, func(_ *xml.Decoder, e xml.StartElement) error {
		switch e.Name.Local {
		case "workbookPr":
			if v := attribute(e, "date1904"); v == "1" || v == "true" {
				w.from = time.Date(1904, 1, 1, 0, 0, 0, 0, time.UTC)
			}
		case "sheet":
			id := ""
			for _, a := range e.Attr {
				if a.Name.Local == "id" { // r:id; sheetId has another name
					id = a.Value
				}
			}
			if part := parts[id]; part != "" && len(list) < 1000 {
				list = append(list, sheetPart{attribute(e, "name"), part})
			}
		}
		return nil
	})
	if err == nil && len(list) == 0 {
		err = errors.New("it has no sheet")
	}
	return list, err
}

// elementText collects the text of an element: its t elements, without phonetic hints.
func (w *workbook) elementText(d *xml.Decoder) (string, error) {
	w.depth-- // its end is read here
	var text strings.Builder
	depth, inText, hint := 1, 0, 0
	for depth > 0 {
		token, err := d.Token()
		if err != nil {
			return "", err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if depth++; depth > 64 {
				return "", errors.New("elements stand too deep in each other")
			}
			if w.seen++; w.seen > workbookElements {
				return "", errTooMany
			}
			switch {
			case token.Name.Local == "t" && hint == 0:
				inText = depth
			case token.Name.Local == "rPh" && hint == 0:
				hint = depth
			}
		case xml.EndElement:
			if inText == depth {
				inText = 0
			}
			if hint == depth {
				hint = 0
			}
			depth--
		case xml.CharData:
			if inText > 0 {
				text.Write(token)
			}
		}
	}
	return text.String(), nil
}

func (w *workbook) sharedStrings() error {
	return w.each("xl/sharedStrings.xml", false, func(d *xml.Decoder, e xml.StartElement) error {
		if e.Name.Local != "si" {
			return nil
		}
		if len(w.strings) >= workbookTexts {
			return fmt.Errorf("it has more than %d texts", workbookTexts)
		}
		text, err := w.elementText(d)
		w.strings = append(w.strings, text)
		return err
	})
}

// styles finds out which cell styles show days: the built-in formats 14 to 17
// and 22, and own formats with a day, month or year in them.
func (w *workbook) styles() error {
	own, ownPercent := map[string]bool{}, map[string]bool{"9": true, "10": true}
	inCells := false
	return w.each("xl/styles.xml", false, func(_ *xml.Decoder, e xml.StartElement) error {
		switch e.Name.Local {
		case "numFmt":
			id, code := attribute(e, "numFmtId"), attribute(e, "formatCode")
			own[id], ownPercent[id] = isDayFormat(code), strings.Contains(code, "%")
		case "cellXfs":
			inCells = true
		case "cellStyles", "dxfs":
			inCells = false
		case "xf":
			if len(w.dates) >= workbookStyles {
				return fmt.Errorf("it has more than %d cell styles", workbookStyles)
			}
			if inCells {
				id := attribute(e, "numFmtId")
				number, _ := strconv.Atoi(id)
				w.dates = append(w.dates, own[id] || number >= 14 && number <= 17 || number == 22)
				w.percent = append(w.percent, ownPercent[id])
			}
		}
		return nil
	})
}

// isDayFormat looks for d or y outside quotes and brackets.
func isDayFormat(code string) bool {
	quoted, bracket := false, false
	for i := 0; i < len(code); i++ {
		switch c := code[i]; {
		case c == '\\':
			i++
		case c == '"':
			quoted = !quoted
		case c == '[' && !quoted:
			bracket = true
		case c == ']' && !quoted:
			bracket = false
		case !quoted && !bracket && strings.IndexByte("dDyY", c) >= 0:
			return true
		}
	}
	return false
}

// rows reads the cells of one sheet.
func (w *workbook) rows(t *Table, part string) error {
	line, col, size := 0, 0, int64(0)
	var cells []string
	kind, style, formula := "", 0, ""
	flush := func() {
		if trimmed := trimmedCells(cells); len(trimmed) > 0 {
			t.Rows = append(t.Rows, TableRow{line, trimmed})
		}
		cells = nil
	}
	set := func(text string) error {
		if text == "" || col < 1 {
			return nil
		}
		if col > tableColumns {
			return t.bounded(make([]string, col), line, 0)
		}
		for len(cells) < col {
			cells = append(cells, "")
		}
		cells[col-1] = text
		if size += int64(len(text)); size > workbookBytes {
			return errTooMuch
		}
		return t.bounded([]string{text}, line, len(t.Rows))
	}
	// A formula that was saved without its value must not pass for a blank cell.
	uncomputed := func() error {
		text := formula
		formula = ""
		return set(text)
	}
	err := w.each(part, true, func(d *xml.Decoder, e xml.StartElement) error {
		switch e.Name.Local {
		case "row":
			if err := uncomputed(); err != nil {
				return err
			}
			flush()
			line++
			hidden := attribute(e, "hidden")
			if n, err := strconv.Atoi(attribute(e, "r")); err == nil && n > 0 {
				line = n
			}
			if col = 0; (hidden == "1" || hidden == "true") && len(t.hidden) < tableRows {
				t.hidden = append(t.hidden, line)
			}
			return t.bounded(nil, line, len(t.Rows))
		case "f":
			text, err := w.valueText(d)
			formula = "=" + text
			return err
		case "c":
			if err := uncomputed(); err != nil {
				return err
			}
			col++
			if n := columnNumber(attribute(e, "r")); n > 0 {
				col = n
			}
			kind = attribute(e, "t")
			style, _ = strconv.Atoi(attribute(e, "s"))
		case "v":
			formula = ""
			text, err := w.valueText(d)
			if err != nil {
				return err
			}
			if text, err = w.value(text, kind, style); err != nil {
				return fileFault(t.File, line, max(col, 1), err.Error(), "save the workbook again")
			}
			return set(text)
		case "is":
			text, err := w.elementText(d)
			if err != nil {
				return err
			}
			return set(text)
		}
		return nil
	})
	if err == nil {
		err = uncomputed()
	}
	flush()
	if err == nil {
		return nil
	}
	if faults := (data.Faults{}); errors.As(err, &faults) {
		return err
	}
	return fileFault(t.File, max(line, 1), max(col, 1), "the sheet cannot be read: "+err.Error(), "save it again as .xlsx, or as CSV")
}

// valueText reads the plain text up to the end of the element.
func (w *workbook) valueText(d *xml.Decoder) (string, error) {
	w.depth-- // its end is read here
	var text strings.Builder
	for {
		token, err := d.Token()
		if err != nil {
			return "", err
		}
		switch token := token.(type) {
		case xml.CharData:
			text.Write(token)
		case xml.EndElement:
			return text.String(), nil
		case xml.StartElement:
			return "", errors.New("an element stands in a value")
		}
	}
}

// value turns a stored value into text.
func (w *workbook) value(text, kind string, style int) (string, error) {
	switch kind {
	case "s":
		i, err := strconv.Atoi(strings.TrimSpace(text))
		if err != nil || i < 0 || i >= len(w.strings) {
			return "", fmt.Errorf("the cell names text %s, and the workbook has %d", quoted(text), len(w.strings))
		}
		return w.strings[i], nil
	case "b":
		if text == "1" {
			return "true", nil
		}
		return "false", nil
	case "str", "d", "e":
		return text, nil
	}
	if style >= 0 && style < len(w.percent) && w.percent[style] {
		if x, err := strconv.ParseFloat(text, 64); err == nil {
			return strconv.FormatFloat(100*x, 'g', 12, 64) + "%", nil
		}
	}
	if style < 0 || style >= len(w.dates) || !w.dates[style] {
		return text, nil
	}
	days, err := strconv.ParseFloat(text, 64)
	if err != nil || !(days > 0 && days < 200_000) {
		return text, nil
	}
	return w.from.AddDate(0, 0, int(math.Floor(days))).Format("2006-01-02"), nil
}

// columnNumber reads the letters of a cell reference: AB12 is 28.
func columnNumber(reference string) int {
	n := 0
	for _, r := range strings.ToUpper(reference) {
		if r < 'A' || r > 'Z' {
			break
		}
		if n = n*26 + int(r-'A') + 1; n > 1<<20 {
			return n
		}
	}
	return n
}
