package sheet

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"stillbright/data/known"
)

// TestChartSheet puts a sheet that is a chart before the others of a workbook,
// as spreadsheet programs do with "move chart to its own sheet" (ISO/IEC
// 29500-1, 18.3.1.12): the sheet with the tests is still found.
func TestChartSheet(t *testing.T) {
	content, err := os.ReadFile(filepath.Join(sheets, "23_bench_book.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	add := func(name, text string) {
		part, err := w.Create(name)
		if err == nil {
			_, err = io.WriteString(part, text)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	changed := 0
	for _, file := range archive.File {
		reader, err := file.Open()
		if err != nil {
			t.Fatal(err)
		}
		part, err := io.ReadAll(reader)
		if err != nil {
			t.Fatal(err)
		}
		text := string(part)
		fresh := strings.Replace(text, "<sheets>", `<sheets><sheet name="Curves" sheetId="99" state="visible" r:id="rId99"/>`, 1)
		fresh = strings.Replace(fresh, "</Relationships>", `<Relationship Id="rId99" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/chartsheet" Target="chartsheets/sheet1.xml"/></Relationships>`, 1)
		if file.Name != "_rels/.rels" && fresh != text {
			text = fresh
			changed++
		}
		add(file.Name, text)
	}
	add("xl/chartsheets/sheet1.xml", `<chartsheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetViews><sheetView workbookViewId="0"/></sheetViews><drawing xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships" r:id="rId1"/></chartsheet>`)
	if err := w.Close(); err != nil || changed != 2 {
		t.Fatalf("%v, %d parts changed", err, changed)
	}
	table, err := ReadTable(bytes.NewReader(out.Bytes()), "x.xlsx", "")
	if err != nil || table.Sheet != "H11 results" {
		t.Fatalf("sheet %q, %v", table.Sheet, err)
	}
	read, err := Interpret(table, Mapping{}, benchOf(), known.Sizes())
	if err != nil || len(read.Entries) != 3 {
		t.Errorf("%d entries, %v", len(read.Entries), err)
	}
	// Named by hand, it holds no rows, and says so.
	table, err = ReadTable(bytes.NewReader(out.Bytes()), "x.xlsx", "Curves")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Interpret(table, Mapping{}, benchOf(), known.Sizes()); err == nil || !strings.Contains(err.Error(), "holds no rows") {
		t.Errorf("a chart sheet: %v", err)
	}
}
