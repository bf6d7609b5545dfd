package sheet

import (
	"bytes"
	"errors"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
)

// TestRecordFaultsHaveAPlace breaks one place of a document at a time; line and
// column are counted here by finding the text.
func TestRecordFaultsHaveAPlace(t *testing.T) {
	c := knowntest.Demo()
	c.Bulbs, c.Cars = c.Bulbs[:2], c.Cars[:1]
	content, err := WriteRecords(c)
	if err != nil {
		t.Fatal(err)
	}
	text := string(content)
	// The second time a text stands there, so that no first line is right by luck.
	second := func(part string) int {
		first := strings.Index(text, part) + len(part)
		return first + strings.Index(text[first:], part)
	}
	for name, fault := range map[string]struct {
		at      int // where the text is changed, and where the fault must be
		cut     int
		put     string
		message string
	}{
		"no number": {second(`"at_min": `) + len(`"at_min": `), 1, `"x"`, "a number is wanted"},
		"syntax":    {second(`"lux_lx": `) + len(`"lux_lx": `), 1, `}`, "is no JSON"},
		"list":      {second(`"tests": `) + len(`"tests": `), 1, `7, "x": [`, "a list is wanted"},
	} {
		changed := text[:fault.at] + fault.put + text[fault.at+fault.cut:]
		_, err := ReadRecords(strings.NewReader(changed), "x.json")
		line := 1 + strings.Count(text[:fault.at], "\n")
		col := fault.at - strings.LastIndexByte(text[:fault.at], '\n')
		var faults data.Faults
		if !errors.As(err, &faults) || faults[0].Line != line || faults[0].Col != col || !strings.Contains(faults[0].Message, fault.message) {
			t.Errorf("%s: %v, want %d:%d and %q", name, err, line, col, fault.message)
		}
	}
	for _, wrong := range []struct{ text, at, message string }{
		{"{\"schema\": \"stillbright/records/1\",\n  \"bulbz\": []}", "x.json:2:12", "no key of this document"},
		{"{\"schema\": \"stillbright/records/1\",\n \"bulbs\": [],\n \"bulbs\": []}", "x.json:3:2", "stands twice"},
		{"{\"schema\": \"stillbright/records/2\"}", "x.json:1:12", "schema must be"},
		{"{\"schema\": \"stillbright/records/1\",\n", "x.json:2:1", "ends too soon"},
		{"[1]\n[2]", "x.json:2:1", "behind the document"},
		{strings.Repeat("[", 100), "x.json:1:33", "deep"},
		{"{\"schema\": \"stillbright/records/1\", \"bulbs\": [{\"id\": \"\u00e9\", \"nmae\": 1}]}", "x.json:1:67", "no key of this record"},
	} {
		_, err := ReadRecords(strings.NewReader(wrong.text), "x.json")
		if err == nil || !strings.HasPrefix(err.Error(), wrong.at+":") || !strings.Contains(err.Error(), wrong.message) {
			t.Errorf("%.40q: %v, want %s %s", wrong.text, err, wrong.at, wrong.message)
		}
	}
}

// TestWrongRecordsHaveAPlace: what is legal JSON and no legal record is found
// where it stands, and the others are taken.
func TestWrongRecordsHaveAPlace(t *testing.T) {
	c := knowntest.Demo()
	content, err := WriteRecords(c)
	if err != nil {
		t.Fatal(err)
	}
	text := string(content)
	const part = `"rig": "h11-projector"`
	at := strings.LastIndex(text, part)
	text = text[:at] + `"rig": "h11-nowhere"` + text[at+len(part):]
	records, err := ReadRecords(strings.NewReader(text), "x.json")
	if err != nil {
		t.Fatal(err)
	}
	back := data.Catalog{}
	failed := 0
	for _, o := range ApplyRecords(&back, records, knowledge(), Choices{}) {
		if o.Fault == nil {
			continue
		}
		failed++
		line := 1 + strings.Count(text[:at], "\n")
		col := at + len(`"rig": `) - strings.LastIndexByte(text[:at], '\n')
		if o.Fault.Line != line || o.Fault.Col != col {
			t.Errorf("%v, want %d:%d", o.Fault, line, col)
		}
	}
	if failed != 1 || len(back.Bulbs) != len(c.Bulbs) {
		t.Errorf("%d failed, %d bulbs of %d", failed, len(back.Bulbs), len(c.Bulbs))
	}
}

// TestRecordsThatDiffer: a rig, a car and a bulb with another fact are reported
// and kept, and changed with Update; what is missing is filled in.
func TestRecordsThatDiffer(t *testing.T) {
	mine, theirs := knowntest.Demo(), knowntest.Demo()
	theirs.Rigs[0].Name, theirs.Cars[0].Name = "another name", "another car"
	theirs.Bulbs[0].Name = "another bulb"
	mine.Bulbs[1].Price = nil
	records := func() Records {
		content, err := WriteRecords(theirs)
		if err != nil {
			t.Fatal(err)
		}
		r, err := ReadRecords(bytes.NewReader(content), "x.json")
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	told := 0
	for _, o := range ApplyRecords(&mine, records(), knowledge(), Choices{}) {
		told += len(o.Differences)
		if o.Fault != nil {
			t.Error(o.Fault)
		}
	}
	if told != 3 || mine.Rigs[0].Name == "another name" || mine.Cars[0].Name == "another car" || mine.Bulbs[0].Name == "another bulb" || mine.Bulbs[1].Price == nil {
		t.Errorf("%d differences told, want 3; rig %q, car %q, bulb %q, price %v", told, mine.Rigs[0].Name, mine.Cars[0].Name, mine.Bulbs[0].Name, mine.Bulbs[1].Price)
	}
	ApplyRecords(&mine, records(), knowledge(), Choices{Update: true})
	if encodeCompact(mine.Rigs) != encodeCompact(theirs.Rigs) || encodeCompact(mine.Cars) != encodeCompact(theirs.Cars) || encodeCompact(mine.Bulbs) != encodeCompact(theirs.Bulbs) {
		t.Error("an update does not bring the records of the file")
	}
}

// TestLongRecords: a record longer than a cell may be stands in several, none
// longer than spreadsheet programs bear, and comes back whole.
func TestLongRecords(t *testing.T) {
	c := benchOf()
	c.Rigs = c.Rigs[:1]
	test := data.Test{Rig: c.Rigs[0].ID, Date: "2026-01-02", Pattern: &data.PatternRecord{Method: "grid", Parts: &data.Parts{Dark: new(float64)}}}
	for i := range 3000 {
		test.Pattern.Notes = append(test.Pattern.Notes, strings.Repeat("\u5149 ", i%9)+"\"quoted\"  ")
	}
	c.Bulbs = []data.Bulb{{Format: 1, ID: "x", Name: "X", Kind: "led", Size: "H11", Source: "me", Lots: []data.Lot{{Name: "one", Tests: []data.Test{test}}}}}
	for _, form := range []string{FormCSV, FormXLSX} {
		content, err := Export(c, form, known.Sizes())
		if err != nil {
			t.Fatal(err)
		}
		table, err := ReadTable(bytes.NewReader(content), "x", "")
		if err != nil {
			t.Fatal(err)
		}
		columns := 0
		for _, head := range table.Rows[0].Cells {
			if head == "more of the test" {
				columns++
			}
		}
		for _, cell := range table.Rows[1].Cells {
			if len([]rune(cell)) > 32767 {
				t.Errorf("%s: a cell of %d characters", form, len([]rune(cell)))
			}
		}
		back := data.Catalog{}
		importTable(t, 0, form, content, &back)
		sameBulbs(t, 0, form, c, back)
		if columns < 2 {
			t.Errorf("%s: the record stands in %d columns, want several", form, columns)
		}
	}
}
