package sheet

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// The fixed parts of a workbook with one sheet (ISO/IEC 29500-1). Style 1 is
// the bold head, style 2 a day as YYYY-MM-DD, style 3 text of several lines.
var workbookParts = []struct{ name, text string }{
	{"[Content_Types].xml", `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/><Override PartName="/xl/styles.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.styles+xml"/></Types>`},
	{"_rels/.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
	{"xl/_rels/workbook.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="rId1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/styles" Target="styles.xml"/></Relationships>`},
	{"xl/styles.xml", `<styleSheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><numFmts count="1"><numFmt numFmtId="164" formatCode="yyyy\-mm\-dd"/></numFmts><fonts count="2"><font><sz val="11"/><name val="Calibri"/></font><font><b/><sz val="11"/><name val="Calibri"/></font></fonts><fills count="3"><fill><patternFill patternType="none"/></fill><fill><patternFill patternType="gray125"/></fill><fill><patternFill patternType="solid"><fgColor rgb="FFE8E8E8"/></patternFill></fill></fills><borders count="1"><border><left/><right/><top/><bottom/><diagonal/></border></borders><cellStyleXfs count="1"><xf numFmtId="0" fontId="0" fillId="0" borderId="0"/></cellStyleXfs><cellXfs count="4"><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0"/><xf numFmtId="0" fontId="1" fillId="2" borderId="0" xfId="0" applyFont="1" applyFill="1" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf><xf numFmtId="164" fontId="0" fillId="0" borderId="0" xfId="0" applyNumberFormat="1"/><xf numFmtId="0" fontId="0" fillId="0" borderId="0" xfId="0" applyAlignment="1"><alignment vertical="top" wrapText="1"/></xf></cellXfs></styleSheet>`},
}

// writeWorkbook writes one sheet with typed cells, a filter, and head, id and name
// frozen.
// The record columns are hidden. Text is stored as text, which no spreadsheet
// program takes for a formula; it is guarded all the same, for a workbook that
// is saved as CSV later.
func writeWorkbook(heads []string, grid [][]out) ([]byte, error) {
	var content bytes.Buffer
	archive := zip.NewWriter(&content)
	const head = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n"
	area := fmt.Sprintf("$A$1:$%s$%d", columnLetters(len(heads)), len(grid)+1)
	parts := append(workbookParts[:len(workbookParts):len(workbookParts)],
		struct{ name, text string }{"xl/workbook.xml", `<workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Tests" sheetId="1" r:id="rId1"/></sheets><definedNames><definedName name="_xlnm._FilterDatabase" localSheetId="0" hidden="1">Tests!` + area + `</definedName></definedNames></workbook>`},
		struct{ name, text string }{"xl/worksheets/sheet1.xml", sheetXML(heads, grid)})
	for _, part := range parts {
		// No time stamp: the same records give the same bytes.
		w, err := archive.CreateHeader(&zip.FileHeader{Name: part.name, Method: zip.Deflate})
		if err == nil {
			_, err = w.Write([]byte(head + part.text))
		}
		if err != nil {
			return nil, err
		}
	}
	if err := archive.Close(); err != nil {
		return nil, err
	}
	return content.Bytes(), nil
}

func sheetXML(heads []string, grid [][]out) string {
	var x strings.Builder
	x.WriteString(`<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetViews><sheetView workbookViewId="0"><pane xSplit="2" ySplit="1" topLeftCell="C2" activePane="bottomRight" state="frozen"/></sheetView></sheetViews><cols>`)
	for i, head := range heads {
		hidden := ""
		if specialHeads[head] != "" && head != "price" && head != "currency" && head != "readings" {
			hidden = ` hidden="1"`
		}
		fmt.Fprintf(&x, `<col min="%d" max="%d" width="%d" customWidth="1"%s/>`, i+1, i+1, columnWidth(head, grid, i), hidden)
	}
	x.WriteString(`</cols><sheetData><row r="1">`)
	for i, head := range heads {
		textCell(&x, columnLetters(i+1)+"1", head, 1)
	}
	x.WriteString(`</row>`)
	for n, row := range grid {
		line := strconv.Itoa(n + 2)
		x.WriteString(`<row r="` + line + `">`)
		for i, cell := range row {
			at := columnLetters(i+1) + line
			switch {
			case cell.number != nil:
				x.WriteString(`<c r="` + at + `"><v>` + strconv.FormatFloat(*cell.number, 'g', -1, 64) + `</v></c>`)
			case cell.day && dayNumber(cell.text) > 0:
				fmt.Fprintf(&x, `<c r="%s" s="2"><v>%d</v></c>`, at, dayNumber(cell.text))
			case cell.text != "":
				style := 0
				if strings.Contains(cell.text, "\n") {
					style = 3
				}
				textCell(&x, at, guard(cell.text), style)
			}
		}
		x.WriteString(`</row>`)
	}
	fmt.Fprintf(&x, `</sheetData><autoFilter ref="A1:%s%d"/></worksheet>`, columnLetters(len(heads)), len(grid)+1)
	return x.String()
}

// columnWidth is wide enough for the longest word of the head, with the sign of
// its filter, and for most cells.
func columnWidth(head string, grid [][]out, i int) int {
	width := 9
	for word := range strings.FieldsSeq(head) {
		width = max(width, len(word)+3)
	}
	for _, row := range grid {
		if i < len(row) {
			width = max(width, utf8.RuneCountInString(row[i].text)+1)
		}
	}
	return min(width, 36)
}

func textCell(x *strings.Builder, at, text string, style int) {
	fmt.Fprintf(x, `<c r="%s" s="%d" t="inlineStr"><is><t xml:space="preserve">`, at, style)
	_ = xml.EscapeText(x, []byte(storable(text))) // a strings.Builder never fails
	x.WriteString(`</t></is></c>`)
}

// storable drops what XML cannot hold; such text returns changed, and its
// record column carries it.
func storable(text string) string {
	return strings.Map(func(r rune) rune {
		if r == utf8.RuneError || r < ' ' && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, text)
}

// dayNumber counts days as spreadsheets do: 1 March 1900 is 61.
func dayNumber(day string) int {
	t, err := time.Parse("2006-01-02", day)
	if err != nil {
		return 0
	}
	return int(t.Sub(time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC)).Hours() / 24)
}

func columnLetters(n int) string {
	letters := ""
	for ; n > 0; n = (n - 1) / 26 {
		letters = string(rune('A'+(n-1)%26)) + letters
	}
	return letters
}
