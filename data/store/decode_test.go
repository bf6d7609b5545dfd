package store

import (
	"reflect"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/testdata/badfiles"
)

const goodBulb = "format: 1\nid: b\nname: b\nkind: led\nsize: H7\nsource: s\n"

// Each fault: where it stands, what it says, what to do.
func TestDecodeFaults(t *testing.T) {
	for _, test := range []struct{ name, text, at, path, message, hint string }{
		{"unknown key", goodBulb + "nmae: x\n", "7:1", "", `unknown key "nmae"`, "did you mean name?"},
		{"unknown key, nothing near", goodBulb + "colour_of_the_box: x\n", "7:1", "", `unknown key "colour_of_the_box"`, "legal here: format id name"},
		{"unknown key below", goodBulb + "claims: {lumen: 5}\n", "7:10", "claims", `unknown key "lumen"`, "did you mean lumens?"},
		{"missing", "format: 1\nid: b\nname: b\nkind: led\nsize: H7\n", "1:1", "source", "missing: who measured, where it is written down", "add, for example: source: own bench"},
		{"missing below", goodBulb + "lots:\n  - lot: a\n    tests:\n      - rig: r\n", "10:9", "lots[0].tests[0].date", "missing: day of the test, YYYY-MM-DD", "add, for example: date: 2026-03-14"},
		{"missing format", "id: b\nname: b\nkind: led\nsize: H7\nsource: s\n", "1:1", "format", "missing: version", "add: format: 1"},
		{"a comma in a number", goodBulb + "lots: [{lot: a, tests: [{rig: r, date: 2026-01-01, readings: [{at: 0min, lux: 1,190}]}]}]\n", "7:81", "lots[0].tests[0].readings[0]", `unknown key "190"`, "write 1190, not 1,190"},
		{"unit missing", goodBulb + "build: {tip: 40}\n", "7:14", "build.tip", `"40": the unit is missing`, "write 40mm if you mean mm"},
		{"wrong unit", goodBulb + "build:\n  tip: 40W\n", "8:8", "build.tip", `"40W": this is a power; a length is wanted: mm cm m in ft`, "for example 55mm"},
		{"unknown unit", goodBulb + "build: {tip: 40 parsec}\n", "7:14", "build.tip", `unknown unit parsec`, "for example 55mm"},
		{"out of range", goodBulb + "supply: {volts_min: 99}\n", "7:21", "supply.volts_min", "99: must be from 1 to 60V", ""},
		{"not finite", goodBulb + "supply: {volts_min: .nan}\n", "7:21", "supply.volts_min", `".nan": a number must come first`, ""},
		{"infinite", goodBulb + "supply: {volts_min: inf}\n", "7:21", "supply.volts_min", `"inf": not a finite number`, ""},
		{"comma", goodBulb + "build: {tip: '40,5mm'}\n", "7:14", "build.tip", `"40,5mm": a comma is not a decimal point here`, "write 40.5mm"},
		{"text for a number", goodBulb + "supply: {volts_min: low}\n", "7:21", "supply.volts_min", `"low": a number must come first`, ""},
		{"a list for a value", goodBulb + "model: [a]\n", "7:8", "model", "one value is wanted here, not a list or group", ""},
		{"a value for a list", goodBulb + "notes: loud\n", "7:8", "notes", "a list is wanted here", "write - before each item, or [a, b]"},
		{"a value for a group", goodBulb + "claims: many\n", "7:9", "claims", "a group of keys is wanted here: lumens watts cct per", ""},
		{"a list for the file", "- a\n", "1:1", "", "a group of keys is wanted here: format id", ""},
		{"not a word of the list", strings.Replace(goodBulb, "kind: led", "kind: leds", 1), "4:7", "kind", `"leds": must be led, halogen`, "did you mean led?"},
		{"true or false", goodBulb + "supply: {ac: yes}\n", "7:14", "supply.ac", `"yes": true or false is wanted`, ""},
		{"whole number", goodBulb + "lots: [{lot: a, tests: [{rig: r, date: 2026-01-01, samples: 1.5}]}]\n", "7:61", "lots[0].tests[0].samples", `"1.5": a whole number is wanted`, ""},
		{"a date", goodBulb + "lots: [{lot: a, bought: 1.2.2026}]\n", "7:25", "lots[0].bought", "is not a day written YYYY-MM-DD", "the year first: 2026-03-14"},
		{"a day that is none", goodBulb + "lots: [{lot: a, bought: 2026-02-30}]\n", "7:25", "lots[0].bought", "is not a day of the calendar", ""},
		{"money without currency", goodBulb + "price: 60\n", "7:8", "price", `"60" names no currency`, "write it as 60USD"},
		{"money of nowhere", goodBulb + "price: 60XYZ\n", "7:8", "price", "XYZ is not a currency", "for example 60USD"},
		{"no value", goodBulb + "model:\n", "7:7", "model", "no value", "leave it out when it is not known"},
		{"null", goodBulb + "build: {tip: null}\n", "7:14", "build.tip", "no value", "leave it out when it is not known"},
		{"null in a list", goodBulb + "notes:\n  - ~\n", "8:5", "notes[0]", "no value", "leave it out when it is not known"},
		{"empty text", strings.Replace(goodBulb, "source: s", "source: ' '", 1), "6:9", "source", "is empty: who measured", ""},
		{"twice", goodBulb + "name: c\n", "7:1", "name", "given twice", "keep one"},
		{"twice below", goodBulb + "claims: {watts: 5, watts: 5}\n", "7:20", "claims.watts", "given twice", "keep one"},
		{"id", strings.Replace(goodBulb, "id: b", "id: B 1", 1), "2:5", "id", `"B 1" is not a short name`, "use small letters, digits and hyphens, at most 63"},
		{"id with a path", strings.Replace(goodBulb, "id: b", "id: ../b", 1), "2:5", "id", `"../b" is not a short name`, "use small letters"},
		{"alias", goodBulb + "notes: [&a x, *a]\n", "7:9", "notes[0]", "anchors and aliases are not allowed here", "write the value out"},
		{"alias for a group", goodBulb + "claims: *c\nbuild: &c {}\n", "7:9", "", "anchors and aliases are not allowed here: *c", "write the value out"},
		{"text with a star", strings.Replace(goodBulb, "source: s", "source: *best* of all", 1), "6:1", "", "not readable as YAML", "text that begins with * or & goes in quotes"},
		{"alias as key", "&k format: 1\n", "1:1", "", "anchors and aliases are not allowed here", ""},
		{"tag", goodBulb + "model: !!str m\n", "7:8", "model", "explicit type tags are not allowed here", ""},
		{"lone tag", goodBulb + "model: ! m\n", "7:8", "model", "explicit type tags are not allowed here", ""},
		{"lone tag of the file", "!\n" + goodBulb, "1:1", "", "explicit type tags are not allowed here", ""},
		{"merge", goodBulb + "<<: {model: m}\n", "7:1", "", `unknown key "<<"`, "legal here"},
		{"list as key", goodBulb + "? [a]\n: b\n", "7:3", "", "a key is one word, not a list or group", ""},
		{"second document", goodBulb + "---\n" + goodBulb, "7:1", "", "a second document in one file", "put each record in a file of its own"},
		{"second document broken", goodBulb + "---\n[", "", "", "not readable as YAML", ""},
		{"empty file", "", "1:1", "", "file is empty", ""},
		{"comments only", "# nothing\n", "1:1", "", "file is empty", ""},
		{"huge file", goodBulb + strings.Repeat("#", 1<<20), "1:1", "", "file is larger than 1048576 bytes", ""},
		{"too many values", "notes: [" + strings.Repeat("x,", 110_000) + "]\n", "1:1", "", "file holds more than 100000 keys and values", ""},
		{"not UTF-8", "name: \xff\n", "1:1", "", "file is not UTF-8 text", "save it as UTF-8"},
		{"control characters", goodBulb + "notes: [\"a\\eb\"]\n", "7:9", "notes[0]", "text holds control characters", ""},
		{"right to left", goodBulb + "notes: [\"a\u202eb\"]\n", "7:9", "notes[0]", "text holds control characters", ""},
		{"a raw control character", goodBulb + "notes: [a\x01b]\n", "", "", "not readable as YAML: control characters are not allowed", ""},
		{"long text", goodBulb + "notes: [" + strings.Repeat("x", 4001) + "]\n", "7:9", "notes[0]", "text is longer than 4000 bytes", ""},
		{"deep", goodBulb + "lots: " + strings.Repeat("[", 40) + strings.Repeat("]", 40) + "\n", "7:8", "lots[0]", "a group of keys is wanted here", ""},
		{"syntax", "format: 1\nid: [a\n", "2:1", "", "not readable as YAML: did not find expected ',' or ']'", ""},
		{"syntax, a key too far left", goodBulb + "claims:\n    lumens: 1\n  watts: 2\n", "9:1", "", "not readable as YAML: did not find expected key", ""},
		{"syntax, a colon missing", goodBulb + "model m\nper: each\n", "7:1", "", "not readable as YAML: could not find expected ':'", ""},
		{"syntax, two on a line", goodBulb + "model: m per: each\n", "7:1", "", "not readable as YAML: mapping values are not allowed", ""},
		{"syntax, a tab", goodBulb + "claims:\n\tlumens: 1\n", "8:1", "", "not readable as YAML: found character that cannot start any token", "indent with spaces"},
		{"syntax, a tab below a list", goodBulb + "notes:\n  - a\n\tmodel: m\n", "9:1", "", "not readable as YAML: found a tab character that violates indentation", "indent with spaces"},
		{"newer", "format: 2\nwhatever: x\n", "1:9", "format", "2: made by a newer version of this program; this one reads up to 1", "use the newer version"},
		{"older", strings.Replace(goodBulb, "format: 1", "format: 0", 1), "1:9", "format", "0: must be from 1 to 1", ""},
	} {
		t.Run(test.name, func(t *testing.T) {
			var bulb data.Bulb
			_, faults := Decode("bulbs/b.yaml", []byte(test.text), &bulb)
			if len(faults) == 0 {
				t.Fatal("no fault")
			}
			got := faults[0]
			if got.File != "bulbs/b.yaml" || (test.at != "" && got.At() != "bulbs/b.yaml:"+test.at) || got.Path != test.path ||
				!strings.Contains(got.Message, test.message) || !strings.Contains(got.Hint, test.hint) || got.Warning {
				t.Errorf("%s path %q message %q hint %q; want %s path %q message %q hint %q",
					got.At(), got.Path, got.Message, got.Hint, test.at, test.path, test.message, test.hint)
			}
			if test.name != "alias" && test.name != "deep" && test.name != "alias as key" && len(faults) > 1 && !strings.HasPrefix(test.name, "a list for the file") {
				t.Errorf("%d faults where one is meant: %v", len(faults), faults)
			}
		})
	}
}

// Everything wrong is told at once, in the order of the lines.
func TestDecodeTellsAllFaults(t *testing.T) {
	text := "format: 1\nid: B\nname: b\nkind: led\nsize: H7\nclaims:\n  lumens: bright\n  watts: 5000\nbuild: {tip: 40, nose: 1}\nlots:\n  - bought: soon\n"
	var bulb data.Bulb
	_, faults := Decode("b.yaml", []byte(text), &bulb)
	var at []string
	for _, fault := range faults {
		at = append(at, strings.TrimPrefix(fault.At(), "b.yaml:")+" "+fault.Path)
	}
	want := []string{"1:1 source", "2:5 id", "7:11 claims.lumens", "8:10 claims.watts", "9:14 build.tip", "9:18 build", "11:5 lots[0].lot", "11:13 lots[0].bought"}
	if !reflect.DeepEqual(at, want) {
		t.Errorf("faults at\n%v\nwant\n%v", at, want)
	}
}

// What people write is taken as they mean it.
func TestDecodeAccepts(t *testing.T) {
	text := "format: 1\nid: b\nname: no\nkind: led\nsize: 9005\nsource: 012\nalso_fits: [1.10, '9006']\nprice: $49.50\nbuild:\n  tip: 2 1/4 in\n  cup: false\nsupply: {volts_min: 9, watts: 22W}\n" +
		"lots: [{lot: 007, bought: 2026-01-05, tests: [{rig: r, date: 2026-01-06, body: 110F, readings: [{at: 30s, lux: 93fc}]}]}]\n"
	var b data.Bulb
	if _, faults := Decode("b.yaml", []byte("\ufeff"+text), &b); len(faults) > 0 {
		t.Fatal(faults)
	}
	test := b.Lots[0].Tests[0]
	if b.Name != "no" || b.Size != "9005" || b.Source != "012" || b.AlsoFits[0] != "1.10" || b.Price.String() != "49.50USD" || b.Lots[0].Name != "007" {
		t.Errorf("texts were changed: %+v", b)
	}
	// 2 1/4 in = 57.15 mm; 110 F = 43.33 C; 93 fc = 93 lm/ft2 / 0.09290304 m2 (NIST SP 811).
	if *b.Build.Tip != 57.15 || *b.Build.Cup || *b.Supply.Watts != 22 || *test.Body != (110.0-32)*5/9 || test.Readings[0].At != 0.5 || test.Readings[0].Lux != 93/0.09290304 {
		t.Errorf("numbers: tip %v body %v readings %v", *b.Build.Tip, *test.Body, test.Readings)
	}
	if b.Build.Rear != nil || b.Supply.AC != nil {
		t.Error("what is missing became a value")
	}
}

func TestManyFaultsAreCut(t *testing.T) {
	var b data.Bulb
	_, faults := Decode("b.yaml", []byte(badfiles.Lines(5000, "k%d: 1\n")), &b)
	if len(faults) != maxFaults+1 || faults[0].Message != "more than 200 faults; these are the first" || faults[0].At() != "b.yaml" {
		t.Errorf("%d faults, first %v", len(faults), faults[0])
	}
}

func TestLocate(t *testing.T) {
	text := "# head\n" + goodBulb + "lots:\n  - lot: a\n    tests:\n      - rig: r\n        date: 2026-01-01\n"
	var b data.Bulb
	places, faults := Decode("b.yaml", []byte(text), &b)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for path, want := range map[string]string{
		"lots[0].tests[0].rig": "11:14", "lots[0].tests[0]": "11:9", "lots[0].tests[0].pattern.parts": "11:9", "lots[0].lot": "9:10", "lots": "9:3", "price": "2:1", "": "2:1", "kind": "5:7",
	} {
		fault := places.Locate(data.Fault{Path: path})
		if fault.At() != "b.yaml:"+want {
			t.Errorf("%q is at %s, want %s", path, fault.At(), want)
		}
	}
	if fault := (Places{}).Locate(data.Fault{Path: "a.b"}); fault.Line != 1 || fault.Col != 1 {
		t.Errorf("a path of no file is at %d:%d", fault.Line, fault.Col)
	}
}
