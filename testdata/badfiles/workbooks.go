package badfiles

import (
	"archive/zip"
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// Zip packs parts, in the order of their names.
func Zip(parts map[string]string) []byte {
	var content bytes.Buffer
	w := zip.NewWriter(&content)
	for _, name := range slices.Sorted(maps.Keys(parts)) {
		part, err := w.Create(name)
		if err == nil {
			_, err = part.Write([]byte(parts[name]))
		}
		if err != nil {
			panic(err) // a bytes.Buffer never fails
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return content.Bytes()
}

// parts of the smallest workbook that holds rows.
func parts(rows string) map[string]string {
	return map[string]string{
		"[Content_Types].xml":        `<Types/>`,
		"xl/workbook.xml":            `<workbook xmlns:r="r"><sheets><sheet name="Bench" sheetId="1" r:id="a"/></sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="a" Target="worksheets/sheet1.xml"/></Relationships>`,
		"xl/worksheets/sheet1.xml":   `<worksheet><sheetData>` + rows + `</sheetData></worksheet>`,
	}
}

// Workbook is a small workbook of one sheet whose rows are as given, in
// SpreadsheetML.
func Workbook(rows string) []byte { return Zip(parts(rows)) }

// HeadRow is a row of heads that are understood, in SpreadsheetML.
const HeadRow = `<row r="1"><c r="A1" t="inlineStr"><is><t>Bulb</t></is></c><c r="B1" t="inlineStr"><is><t>Size</t></is></c><c r="C1" t="inlineStr"><is><t>Date</t></is></c><c r="D1" t="inlineStr"><is><t>Projector lux 0 min</t></is></c></row>`

// TestRow is a row of a test under HeadRow; last is its fourth cell.
func TestRow(last string) string {
	return `<row r="2"><c r="A2" t="str"><v>One</v></c><c r="B2" t="str"><v>H11</v></c><c r="C2" t="str"><v>2026-01-14</v></c>` + last + `</row>`
}

// Workbooks are XLSX files that hold no test: one reason each.
func Workbooks() map[string][]byte {
	long := strings.Repeat
	with := func(rows string, more ...string) []byte {
		p := parts(rows)
		for i := 0; i < len(more); i += 2 {
			p[more[i]] = more[i+1]
		}
		return Zip(p)
	}
	without := func(name string) []byte {
		p := parts(HeadRow)
		delete(p, name)
		return Zip(p)
	}
	const rels, book, sheet, texts, styles = "xl/_rels/workbook.xml.rels", "xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml", "xl/styles.xml"
	good := with(HeadRow + TestRow(`<c r="D2"><v>700</v></c>`))
	files := map[string][]byte{
		"no zip": []byte("PK\x03\x04 broken"), "empty zip": Zip(map[string]string{}), "other zip": Zip(map[string]string{"a": "b"}), "only the end": []byte("PK\x05\x06" + long("\x00", 18)), "old kind": []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + long("\x00", 512)), "with a password": append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), "E\x00n\x00c\x00r\x00y\x00p\x00t\x00e\x00d\x00P\x00a\x00c\x00k\x00a\x00g\x00e\x00"...),
		"cut in half": good[:len(good)/2], "cut by a byte": good[:len(good)-1], "cut at the directory": good[:len(good)-60], "one byte": []byte("P"), "zeros behind": append(slices.Clone(good), make([]byte, 1<<17)...), "bits flipped": flipped(good),
		"no relations": without(rels), "no book": without(book), "no sheet part": without(sheet), "book of nothing": with("", book, ""), "no sheets": with("", book, "<workbook/>"), "sheet of no relation": with("", book, `<workbook><sheets><sheet name="x" id="zz"/></sheets></workbook>`), "sheet of no id": with("", book, `<workbook><sheets><sheet name="x"/></sheets></workbook>`),
		"relation up": with("", rels, `<Relationships><Relationship Id="a" Target="../../../../etc/passwd"/></Relationships>`), "relation absolute": with("", rels, `<Relationships><Relationship Id="a" Target="/etc/passwd"/></Relationships>`), "relation to a page": with("", rels, `<Relationships><Relationship Id="a" TargetMode="External" Target="http://127.0.0.1:1/x.xml"/></Relationships>`), "relation to a file": with("", rels, `<Relationships><Relationship Id="a" Target="file:///etc/passwd"/></Relationships>`), "relation to itself": with("", rels, `<Relationships><Relationship Id="a" Target="_rels/workbook.xml.rels"/></Relationships>`), "relation to the book": with("", rels, `<Relationships><Relationship Id="a" Target="workbook.xml"/></Relationships>`), "relation of nothing": with("", rels, `<Relationships><Relationship Id="a"/></Relationships>`), "relations cut": with("", rels, `<Relationships><Relationship Id="a" Targ`),
		"one sheet a thousand times": with("", book, `<workbook><sheets>`+long(`<sheet name="x" id="a"/>`, 100_000)+`</sheets></workbook>`), "empty names": with("", book, `<workbook><sheets><sheet name="" id="a"/></sheets></workbook>`), "escape in a sheet name": with("", book, "<workbook><sheets><sheet name=\"&#x9b;2J&#x202e;x\" id=\"a\"/><sheet name=\"y\" id=\"a\"/></sheets></workbook>"),
		"entry up": with("", "../../evil.txt", "x"), "entry absolute": with("", "/etc/cron.d/x", "x"), "entry of a drive": with("", `c:\x`, "x"), "10000 entries": manyEntries(10_000), "entries twice": twice(),
		"zip bomb": with(`<row><c t="str"><v>` + long("A", 33<<20) + `</v></c></row>`), "text bomb": with("", texts, `<sst><si><t>`+long("A", 33<<20)+`</t></si></sst>`), "bomb of small texts": with("", texts, `<sst>`+long(`<si><t>A</t></si>`, 1_100_000)+`</sst>`), "style bomb": with("", styles, `<styleSheet><cellXfs>`+long(`<xf numFmtId="14"/>`, 2_100_000)+`</cellXfs></styleSheet>`), "bomb of blanks": with(long(" ", 33<<20)), "bomb of rows": with(long(`<row/>`, 2_100_000)), "bomb of cells": with(`<row>` + long(`<c/>`, 2_100_000) + `</row>`), "bomb of an attribute": with(`<row r="` + long("1", 33<<20) + `"/>`), "zip in a zip": with("", sheet, string(good)),
		"one text in every cell": with(HeadRow+allOne(40_000), texts, `<sst><si><t>`+long("A", 32_000)+`</t></si></sst>`), "long shared text": with(HeadRow+TestRow(`<c r="D2" t="s"><v>0</v></c>`), texts, `<sst><si><t>`+long("A", 40_000)+`</t></si></sst>`),
		"entity": with(`<!DOCTYPE x [<!ENTITY a "b">]><row><c t="str"><v>&a;</v></c></row>`), "entity bomb": with("", sheet, `<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><worksheet><row><c t="str"><v>&c;</v></c></row></worksheet>`), "external entity": with("", sheet, `<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><worksheet><row><c t="str"><v>&a;</v></c></row></worksheet>`), "external texts": with("", texts, `<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]><sst><si><t>&a;</t></si></sst>`), "external book": with("", book, `<!DOCTYPE x SYSTEM "http://127.0.0.1:1/x.dtd"><workbook>&a;</workbook>`),
		"deep": with(long("<a>", 100_000)), "deep text": with(`<row><c t="inlineStr"><is>` + long("<a>", 100_000)), "deep value": with(`<row><c><v>` + long("<v>", 100_000)), "deep book": with("", book, long("<a>", 100_000)), "cut xml": with(`<row r="1"><c r="A1"><v>1`), "wrong end": with(`<row></c></worksheet>`), "no xml": with("", sheet, "Bulb,Size\n"), "zeros as xml": with("", sheet, long("\x00", 1000)), "utf-16 as xml": with("", sheet, "\xfe\xff\x00<\x00a"), "other code page": with("", sheet, `<?xml version="1.0" encoding="cp1047"?><worksheet/>`), "not utf-8": with("<row><c t=\"str\"><v>\xff\xfe</v></c></row>"), "escape as xml": with("<row><c t=\"str\"><v>\x1b[2J</v></c></row>"), "escape by number": with("<row><c t=\"str\"><v>&#27;[2J</v></c></row>"),
		"text beyond the last": with(HeadRow+TestRow(`<c r="D2" t="s"><v>7</v></c>`), texts, `<sst><si><t>a</t></si></sst>`), "text below zero": with(HeadRow+TestRow(`<c r="D2" t="s"><v>-1</v></c>`), texts, `<sst><si><t>a</t></si></sst>`), "text number endless": with(HeadRow+TestRow(`<c r="D2" t="s"><v>1e9</v></c>`), texts, `<sst><si><t>a</t></si></sst>`), "text of no list": with(HeadRow + TestRow(`<c r="D2" t="s"><v>0</v></c>`)), "text number huge": with(HeadRow + TestRow(`<c r="D2" t="s"><v>99999999999999999999</v></c>`)),
		"far column": with(`<row><c r="ZZZZZZZ1"><v>1</v></c></row>`), "column XFD1048577": with(`<row><c r="XFD1048577"><v>1</v></c></row>`), "endless column": with(`<row><c r="` + long("Z", 100_000) + `"><v>1</v></c></row>`), "row endless": with(`<row r="99999999999999999999"><c r="A1"><v>1</v></c></row>`), "row far down": with(`<row r="2147483647"><c r="A1"><v>1</v></c></row>`), "row below zero": with(`<row r="-5"><c r="A1"><v>1</v></c></row>`), "500 columns": with(`<row r="1">` + long(`<c><v>1</v></c>`, 500) + `</row>`), "60000 rows": with(long(`<row><c><v>1</v></c></row>`, 60_000)),
		"million merged cells": with("", sheet, `<worksheet><sheetData/><mergeCells>`+long(`<mergeCell ref="A1:XFD1048576"/>`, 1_000_000)+`</mergeCells></worksheet>`), "far merged cell": with("", sheet, `<worksheet><mergeCells><mergeCell ref="XFD1048577:A0"/></mergeCells></worksheet>`),
		"style beyond the last": with(`<row><c r="A1" s="99999999999"><v>1</v></c></row>`), "style below zero": with(`<row><c r="A1" s="-1"><v>1</v></c></row>`), "styles cut": with("", styles, "<styleSheet><cellXfs>"), "element in a value": with(`<row><c r="A1"><v><x/></v></c></row>`), "chart only": with("", sheet, `<chartsheet/>`),
	}
	for name, value := range map[string]string{"not a number": "NaN", "endless": "INF", "too large": "1e999", "letters": "bright", "below zero": "-5", "nothing but a sign": "-", "400 nines": long("9", 400), "hexadecimal": "0x2bc", "formula": "=1+1", "beyond the limits": "1e20", "error": "#DIV/0!"} {
		files["lux "+name] = with(HeadRow + TestRow(`<c r="D2"><v>`+value+`</v></c>`))
	}
	files["formula without a value"] = with(HeadRow + TestRow(`<c r="D2"><f>WEBSERVICE("http://127.0.0.1:1")</f></c>`))
	files["formula of a command"] = with(HeadRow + TestRow(`<c r="D2" t="str"><f>cmd|'/C calc'!A0</f><v>=cmd|'/C calc'!A0</v></c>`))
	evil := `<workbook><sheets><sheet name="&#x9b;2J&#x202e;x&#x2028;y" id="a"/><sheet name="y" id="a"/></sheets></workbook>`
	files["note in a sheet of an evil name"] = with(strings.Replace(HeadRow, "</row>", `<c r="E1" t="str"><v>Notes</v></c></row>`, 1)+TestRow(`<c r="D2"><v>700</v></c><c r="E2" t="str"><v>a&#x9b;2J&#x202e;b</v></c>`), book, evil)
	return files
}

// flipped turns a bit of every fortieth byte.
func flipped(content []byte) []byte {
	content = slices.Clone(content)
	for i := 30; i < len(content); i += 40 {
		content[i] ^= 4
	}
	return content
}

func manyEntries(n int) []byte {
	all := map[string]string{}
	for i := range n {
		all[fmt.Sprintf("e%d", i)] = ""
	}
	return Zip(all)
}

// twice has two sheets of one name in the archive; neither holds a test.
func twice() []byte {
	var content bytes.Buffer
	w := zip.NewWriter(&content)
	for range 2 {
		for name, text := range parts("") {
			part, err := w.Create(name)
			if err == nil {
				_, err = part.Write([]byte(text))
			}
			if err != nil {
				panic(err)
			}
		}
	}
	if err := w.Close(); err != nil {
		panic(err)
	}
	return content.Bytes()
}

// allOne is many rows whose four cells are one shared text.
func allOne(rows int) string {
	return strings.Repeat(`<row><c t="s"><v>0</v></c><c t="s"><v>0</v></c><c t="s"><v>0</v></c><c t="s"><v>0</v></c></row>`, rows)
}
