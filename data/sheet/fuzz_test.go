package sheet

import (
	"bytes"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/store"
)

// canBeWritten wants a catalog that checks, and whose records the store writes; it
// reads each of them back before it is written, so no number is not finite.
func canBeWritten(t *testing.T, c data.Catalog) {
	t.Helper()
	for _, b := range c.Bulbs {
		if _, err := store.Encode(b); err != nil {
			t.Fatalf("bulb %q cannot be written: %v", b.ID, err)
		}
	}
	for _, r := range c.Rigs {
		if _, err := store.Encode(r); err != nil {
			t.Fatalf("rig %q cannot be written: %v", r.ID, err)
		}
	}
	for _, car := range c.Cars {
		if _, err := store.Encode(car); err != nil {
			t.Fatalf("car %q cannot be written: %v", car.ID, err)
		}
	}
	if faults := c.Validate(known.Sizes(), known.Places()).Wrong(); len(faults) > 0 {
		t.Fatal(faults)
	}
}

// FuzzJSONRecords: any text gives records or faults with a place, and what is
// taken can be written.
func FuzzJSONRecords(f *testing.F) {
	f.Add([]byte(`{"schema":"stillbright/records/1","bulbs":[{"format":1,"id":"b","name":"b","kind":"led","size":"H11","source":"s"}],"rigs":[],"cars":[]}`))
	if content, err := WriteRecords(generated(f, 1)); err == nil {
		f.Add(content)
	}
	f.Fuzz(func(t *testing.T, content []byte) {
		read, err := ReadRecords(bytes.NewReader(content), "x.json")
		if err != nil {
			return
		}
		c := benchOf()
		ApplyRecords(&c, read, knowledge(), Choices{})
		canBeWritten(t, c)
	})
}

// FuzzSheetPart: the part of a workbook that holds the cells, and its texts, are
// any bytes; what is taken can be written.
func FuzzSheetPart(f *testing.F) {
	f.Add([]byte(workbookTop+`<row r="5"><c r="A5" t="s"><v>7</v></c><c r="B5" t="inlineStr"><is><t>H11</t></is></c><c r="C5" s="1"><v>46036</v></c><c r="D5"><v>702</v></c><c r="E5"><v>1190.5</v></c></row>`), []byte(workbookHeads))
	f.Fuzz(func(t *testing.T, rows, shared []byte) {
		table, err := ReadTable(bytes.NewReader(foreign(t, string(rows), string(shared))), "x.xlsx", "")
		if err != nil {
			return
		}
		c := benchOf()
		read, err := Interpret(table, Mapping{}, c, known.Sizes())
		if err != nil {
			return
		}
		Apply(&c, "x.xlsx", read.Entries, knowledge(), Choices{})
		canBeWritten(t, c)
	})
}

// FuzzMapping: any YAML is a mapping or faults, and a table read with it gives
// records that can be written.
func FuzzMapping(f *testing.F) {
	f.Add([]byte("format: 1\ncolumns:\n- head: Bulb\n  means: name\n- head: Reading\n  means: lux\n  at: 5min\n  housing: projector\nlux_at: 27min\ndate: 2026-03-01\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		var m Mapping
		_, faults := store.Decode("m.yaml", content, &m)
		if len(append(faults, m.Validate("m.yaml")...).Wrong()) > 0 {
			return
		}
		table, err := ReadTable(bytes.NewReader([]byte("Bulb,Size,Date,Reading,Projector lux 0 min,Price\nVesper,H11,2026-01-14,700,900,12\nOther,H7,3/4/2026,\"1,200\",1.000,\n")), "x.csv", "")
		if err != nil {
			t.Fatal(err)
		}
		c := benchOf()
		read, err := Interpret(table, m, c, known.Sizes())
		if err != nil {
			return
		}
		Apply(&c, "x.csv", read.Entries, knowledge(), Choices{})
		canBeWritten(t, c)
	})
}
