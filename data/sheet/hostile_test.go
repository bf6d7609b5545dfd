package sheet

import (
	"archive/zip"
	"bytes"
	"errors"
	"strings"
	"testing"
	"time"

	"stillbright/data"
	"stillbright/data/known"
)

// zipped packs parts into a workbook.
func zipped(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var content bytes.Buffer
	w := zip.NewWriter(&content)
	for name, text := range parts {
		part, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := part.Write([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return content.Bytes()
}

// foreign is a workbook as a spreadsheet program writes it: shared strings with
// rich text, styles, a formula with its saved value.
func foreign(t testing.TB, rows, shared string) []byte {
	return zipped(t, map[string]string{
		"xl/workbook.xml":            `<workbook xmlns:r="r"><sheets><sheet name="Cover" sheetId="1" r:id="a"/><sheet name="Bench" sheetId="2" r:id="b"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="a" Target="worksheets/sheet1.xml"/><Relationship Id="b" Target="/xl/worksheets/sheet2.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml":   `<worksheet><sheetData/></worksheet>`,
		"xl/worksheets/sheet2.xml":   `<worksheet><sheetData>` + rows + `</sheetData><mergeCells count="1"><mergeCell ref="A1:F1"/></mergeCells></worksheet>`,
		"xl/sharedStrings.xml":       `<sst>` + shared + `</sst>`,
		"xl/styles.xml":              `<styleSheet><numFmts count="1"><numFmt numFmtId="164" formatCode="dd\.mm\.yyyy"/></numFmts><cellXfs><xf numFmtId="0"/><xf numFmtId="164"/><xf numFmtId="14"/></cellXfs></styleSheet>`,
	})
}

const workbookHeads = `<si><t>Bench book</t></si><si><r><t>Bu</t></r><r><t>lb</t></r></si><si><t>Size</t></si><si><t>Date</t></si><si><t>Projector halogen lux</t></si><si><t>Projector lux 0 min</t></si><si><t>Projector lux lit 30 min</t></si><si><t>Vesper &amp; Co One</t></si>`
const workbookTop = `<row r="1"><c r="A1" t="s"><v>0</v></c></row><row r="3"><c r="A3" t="s"><v>1</v></c><c r="B3" t="s"><v>2</v></c><c r="C3" t="s"><v>3</v></c><c r="D3" t="s"><v>4</v></c><c r="E3" t="s"><v>5</v></c><c r="F3" t="s"><v>6</v></c></row>`

// TestMessyWorkbooks reads three workbooks that Export did not write.
func TestMessyWorkbooks(t *testing.T) {
	for name, row := range map[string]string{
		"20_own_day_format.xlsx": `<row r="5"><c r="A5" t="s"><v>7</v></c><c r="B5" t="inlineStr"><is><t>H11</t></is></c><c r="C5" s="1"><v>46036</v></c><c r="D5"><v>702</v></c><c r="E5"><v>1190.5</v></c><c r="F5"><f>E5*0.9</f><v>1071.45</v></c></row>`,
		"21_text_numbers.xlsx":   `<row r="4"><c r="A4" t="str"><v>Vesper Two</v></c><c r="B4" t="str"><v>h11</v></c><c r="C4" t="str"><v>14 Jan 2026</v></c><c r="D4" t="str"><v>702 lx</v></c><c r="E4" t="str"><v>1,190</v></c><c r="F4" t="e"><v>#N/A</v></c></row>`,
		"22_no_references.xlsx":  `<row><c t="s"><v>7</v></c><c t="inlineStr"><is><t>H11</t></is></c><c s="2"><v>46036.75</v></c><c><v>7.02E2</v></c><c/><c><v>1000</v></c></row>`,
	} {
		t.Run(name, func(t *testing.T) { golden(t, name, foreign(t, workbookTop+row, workbookHeads), Mapping{}) })
	}
}

// TestHostileFiles: each is refused with a position, soon, and takes no row.
func TestHostileFiles(t *testing.T) {
	heads := "Bulb,Size,Date,Projector lux 0 min\n"
	for name, content := range map[string][]byte{
		"zeros":         []byte("Bulb\x00,Size\nx,H11\n"),
		"empty":         {},
		"blank":         []byte(" \n,,,\n;;\n"),
		"letter":        []byte("Dear all,\nnothing here\n"),
		"huge cell":     []byte(heads + strings.Repeat("x", 40_000) + ",H11,2026-01-01,700\n"),
		"many columns":  []byte(heads + strings.Repeat("1,", 5000) + "\n"),
		"many rows":     []byte(heads + strings.Repeat("a,H11,2026-01-01,700\n", 60_000)),
		"open quote":    []byte(heads + "\"open,H11,2026-01-01,700\nb,H11,2026-01-01,700\n"),
		"too large":     bytes.Repeat([]byte("a,b\n"), 5<<20),
		"old workbook":  []byte("\xd0\xcf\x11\xe0 old"),
		"no zip":        []byte("PK\x03\x04 broken"),
		"empty zip":     zipped(t, map[string]string{"a": "b"}),
		"zip bomb":      foreign(t, `<row><c t="str"><v>`+strings.Repeat("A", 33<<20)+`</v></c></row>`, ""),
		"string bomb":   foreign(t, "", `<si><t>`+strings.Repeat("A", 33<<20)+`</t></si>`),
		"deep":          foreign(t, strings.Repeat("<a>", 100_000), ""),
		"deep text":     foreign(t, `<row><c t="inlineStr"><is>`+strings.Repeat("<a>", 100_000), ""),
		"negative text": foreign(t, `<row><c r="A1" t="s"><v>-1</v></c></row>`, "<si><t>a</t></si>"),
		"far column":    foreign(t, `<row><c r="ZZZZZZZ1"><v>1</v></c></row>`, ""),
		"entities":      foreign(t, `<!DOCTYPE x [<!ENTITY a "b">]><row><c t="str"><v>&a;</v></c></row>`, ""),
		"cut xml":       foreign(t, `<row><c r="A1"><v>1`, ""),
	} {
		t.Run(name, func(t *testing.T) {
			start := time.Now()
			table, err := ReadTable(bytes.NewReader(content), "x", "")
			if err == nil {
				_, err = Interpret(table, Mapping{}, benchOf(), known.Sizes())
			}
			var faults data.Faults
			if !errors.As(err, &faults) || len(faults) == 0 || faults[0].Line < 1 || faults[0].Col < 1 {
				t.Errorf("error %v, want a fault with a position", err)
			}
			if took := time.Since(start); took > 60*time.Second {
				t.Errorf("took %v", took)
			}
		})
	}
}

// FuzzCSV: any bytes give rows or faults, never a panic, and what is taken is a
// catalog that checks and takes nothing new a second time.
func FuzzCSV(f *testing.F) {
	f.Add([]byte("Bulb,Size,Date,Projector halogen lux,Projector lux 0 min,Projector lux lit 30 min\nA,H11,1/14/2026,700,1000,900\n"))
	f.Add([]byte("Name;Sockel;Datum;Lux kalt\n=x;H7;14.01.2026;1.120,5\n"))
	f.Add(foreign(f, workbookTop, workbookHeads))
	f.Fuzz(func(t *testing.T, content []byte) {
		table, err := ReadTable(bytes.NewReader(content), "x", "")
		if err != nil {
			return
		}
		c := benchOf()
		read, err := Interpret(table, Mapping{}, c, known.Sizes())
		if err != nil {
			return
		}
		Apply(&c, "x", read.Entries, knowledge(), Choices{})
		checked := c
		if faults := checked.Validate(known.Sizes(), known.Places()).Wrong(); len(faults) > 0 {
			t.Fatalf("%v", faults)
		}
		for _, o := range Apply(&c, "x", read.Entries, knowledge(), Choices{}) {
			if o.State == StateAdded {
				t.Fatalf("rows %v are added twice", o.Lines)
			}
		}
	})
}
