package badfiles

import (
	"bytes"
	"encoding/json"
	"strings"
)

// tableHead has the heads of a table of tests that is understood.
const tableHead = "Bulb,Size,Date,Projector lux 0 min\n"

// Tables are texts that no table of tests can be: one reason each. Each has at
// most one row.
func Tables() map[string][]byte {
	long := strings.Repeat
	row := func(cells string) string { return tableHead + cells + "\n" }
	texts := map[string]string{
		"empty": "", "blank": " \n,,,\n;;\n", "spaces": long(" ", 1<<20), "line ends": long("\n", 1<<20), "commas": long(",", 1<<20), "quotes": long(`"`, 1<<20), "quotes apart": long(`" `, 1<<19), "returns": long("\r", 1<<20), "tabs": long("\t", 1<<20),
		"head only twice": tableHead + tableHead, "letter": "Dear all,\nnothing here\n", "page": "<html><body><table><tr><td>Bulb</td></tr></table></body></html>\n", "script": "#!/bin/sh\nrm -rf /\n", "pdf": "%PDF-1.7\n1 0 obj\n", "json in a table": `{"bulbs": []}` + "\n",
		"zero": "Bulb\x00,Size\nx,H11\n", "zero in a row": row("a\x00,H11,2026-01-01,700"), "zero at the end": tableHead + "\x00", "only zeros": long("\x00", 1<<16), "binary": "\x7fELF\x02\x01\x01\x00\x00\x00",
		"utf-16 odd": "\xff\xfeB\x00u\x00l", "utf-16 mark": "\xff\xfe", "utf-16 half pair": "\xff\xfe\x00\xd8\x00\xd8", "utf-32": "B\x00\x00\x00u\x00\x00\x00",
		"open quote": row(`"open,H11,2026-01-01,700`) + "b,H11,2026-01-01,700\n", "open quote of many lines": tableHead + `"` + long("x\n", 100_000), "quote in the head": "\"Bulb,Size\nx,H11\n", "text behind a quote": row(`"a"b,"H11"x,2026-01-01,700`), "quote at the end": row(`a,H11,2026-01-01,"`),
		"huge cell": row(long("x", 40_000) + ",H11,2026-01-01,700"), "huge head": long("Lux ", 20_000) + ",Bulb\n1,2\n", "one long line": long("x", 15<<20), "one long line of cells": long("1,", 7<<20), "line of 50 MB": long("x", 50<<20), "line of 50 MB behind a head": tableHead + long("1,", 25<<20),
		"100000 columns": long("Lux 0min,", 100_000) + "\n" + long("1,", 100_000) + "\n", "500 columns": row(long("1,", 500)), "1000 lines of 5000 columns": long(long(",", 5000)+"\n", 1000), "60000 rows": tableHead + long("a,H11,2026-01-01,700\n", 60_000), "too large": long("a,b\n", 5<<20),
		"sep of nothing": "sep=\nBulb\nx\n", "sep of a quote": "sep=\"\nBulb\"Size\n", "sep of a line": "sep=\x00\n",
	}
	for name, lux := range map[string]string{
		"not a number": "NaN", "endless": "inf", "minus endless": "-Infinity", "too large a number": "1e999", "400 nines": long("9", 400), "beyond the limits": "99999999999", "below zero": "-5", "hexadecimal": "0x2bc", "two points": "1.2.3", "letters": "bright", "formula": "=1+1", "plus formula": "+cmd|' /C calc'!A0", "at formula": "@SUM(A1:A9)",
		"unit of power": "700 W", "unit unknown": "700 qx", "escape in a number": "7\x1b[2J00", "another script": "\u0667\u0660\u0660", "bytes that are no text": "7\xff\xfe0", "bidi in a number": "7\u202e00", "two numbers": "700 and 800 lx or so", "fraction": "7/0", "one digit too many": "1,1,1", "word of a program": "undefined", "spreadsheet error": "#REF!",
	} {
		texts["lux "+name] = row(`a,H11,2026-01-01,"` + lux + `"`)
	}
	for name, day := range map[string]string{
		"of nothing": "", "31 February": "2026-02-31", "month 13": "2026-13-01", "year 0": "0000-00-00", "year 99999": "99999-01-01", "two days": "3/4/2026", "word": "yesterday", "endless": long("9", 300), "escape": "\x1b]0;owned\x07", "before lamps": "1066-10-14", "formula": "=TODAY()", "minus": "-2026-01-01",
	} {
		texts["day "+name] = row("a,H11," + day + ",700")
	}
	for name, size := range map[string]string{
		"unknown": "H99", "path": "../../H11", "formula": "=H11", "escape": "\x1b[31mH11", "line end": "\"H\n11\"", "long": long("H", 3000), "bidi": "H\u202e11",
	} {
		texts["size "+name] = row("a," + size + ",2026-01-01,700")
	}
	for name, bulb := range map[string]string{
		"of nothing": "", "of signs only": "../..", "of dots": "...", "escape only": "\x1b\x1b", "of hyphens": "-----", "other script": "\u706f",
	} {
		texts["bulb "+name] = row(bulb + ",H11,2026-01-01,700")
	}
	for name, more := range map[string]string{
		"no json": "{", "list": "[]", "deep": long(`{"claims":`, 500), "unknown key": `{"launch":true}`, "wrong type": `{"claims":7}`, "key twice": `{"claims":{},"claims":{}}`, "endless": `{"price_usd":1e999}`, "path as id": `{"id":"../../etc/passwd"}`, "absolute id": `{"id":"/etc/passwd"}`, "device as id": `{"id":"con.yaml"}`, "escape in text": `{"connector":"\u001b[2J"}`, "surrogate": `{"connector":"\ud800\u001b"}`, "long": `{"connector":"` + long("x", 30_000) + `"}`,
	} {
		texts["record "+name] = "id,name,size,source,more of the bulb\na,a,H11,s,\"" + strings.ReplaceAll(more, `"`, `""`) + "\"\n"
	}
	const noted = "Bulb,Size,Date,Projector lux 0 min,Notes"
	texts["note with an escape"] = noted + "\na,H11,2026-01-01,700,\"a\x1b[2Jb\x1b]0;owned\x07c\"\n"
	texts["note with a C1 escape"] = noted + "\na,H11,2026-01-01,700,\"a\u009b2Jb\u2028c\"\n"
	texts["note with a turned text"] = noted + "\na,H11,2026-01-01,700,\"a\u202egnp.b\u2066c\"\n"
	texts["head with an escape"] = strings.Replace(noted, "Notes", "\x1b[31mShade\u202e", 1) + "\na,H11,2026-01-01,700,blue\n"
	texts["head with a line end and a title"] = strings.Replace(noted, "Notes", "\"Shade\x1b]0;owned\x07\nof it\"", 1) + "\na,H11,2026-01-01,700,blue\n"
	files := map[string][]byte{"old workbook": []byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1 EncryptedPackage"), "compressed": {0x1f, 0x8b, 8, 0, 0, 0, 0, 0}, "rar": []byte("Rar!\x1a\x07\x00")}
	for name, text := range texts {
		files[name] = []byte(text)
	}
	return files
}

// Documents are JSON texts that are no records: one reason each.
func Documents() map[string][]byte {
	long := strings.Repeat
	bulb := func(keys string) string {
		return `{"schema":"stillbright/records/1","bulbs":[{"format":1,"id":"b","name":"b","kind":"led","size":"H11","source":"s"` + keys + `}]}`
	}
	id := func(id string) string {
		text, _ := json.Marshal(id)
		return strings.Replace(bulb(""), `"id":"b"`, `"id":`+string(text), 1)
	}
	texts := map[string]string{
		"empty": "", "null": "null", "number": "12", "list": "[]", "group": "{}", "text": `"x"`, "half": `{"schema":"stillbright/records/1","bulbs":[`, "no json": "bulbs: []", "two documents": bulb("") + bulb(""), "tail": bulb("") + "x", "comment": "// x\n" + bulb(""), "comma at the end": `{"schema":"stillbright/records/1",}`, "single quotes": `{'schema':1}`,
		"newer": `{"schema":"stillbright/records/2","bulbs":[]}`, "other schema": `{"schema":"stillbright/pick/1"}`, "schema of a group": `{"schema":{}}`, "schema with an escape": `{"schema":"\u001b[2J"}`, "unknown key": `{"schema":"stillbright/records/1","\u001b[2J":1}`, "key twice": `{"schema":"stillbright/records/1","bulbs":[],"bulbs":[]}`, "schema twice": `{"schema":"stillbright/records/1","schema":"stillbright/records/1"}`,
		"deep lists": long("[", 100_000), "deep groups": long(`{"a":`, 100_000), "deep in a record": bulb(`,"lots":` + long("[", 500) + long("]", 500)), "long key": `{"` + long("k", 1<<20) + `":1}`, "many keys": `{"schema":"stillbright/records/1"` + Lines(100_000, `,"k%d":1`) + "}", "many numbers": `{"schema":"stillbright/records/1","bulbs":[` + long("1,", 1<<20) + "1]}", "too large": long(" ", 65<<20),
		"bulbs of a group": `{"schema":"stillbright/records/1","bulbs":{}}`, "bulb of a number": `{"schema":"stillbright/records/1","bulbs":[1]}`, "bulb of null": `{"schema":"stillbright/records/1","bulbs":[null]}`, "bulb of nothing": `{"schema":"stillbright/records/1","bulbs":[{}]}`, "rig of nothing": `{"schema":"stillbright/records/1","rigs":[{}]}`, "car of nothing": `{"schema":"stillbright/records/1","cars":[{}]}`, "car path": `{"schema":"stillbright/records/1","cars":[{"format":1,"id":"../car","name":"x","lamps":[]}]}`, "rig path": `{"schema":"stillbright/records/1","rigs":[{"format":1,"id":"a/b","name":"x","size":"H11","housing":"projector","beam":"low","source":"s"}]}`,
		"format newer": strings.Replace(bulb(""), `"format":1`, `"format":2`, 1), "format endless": strings.Replace(bulb(""), `"format":1`, `"format":1e400`, 1), "format of text": strings.Replace(bulb(""), `"format":1`, `"format":"1"`, 1),
		"escape in a note": bulb(`,"notes":["\u001b[2J"]`), "C1 in a note": bulb(`,"notes":["\u009b2J"]`), "bidi in a note": bulb(`,"notes":["\u202egnp"]`), "long note": bulb(`,"notes":["` + long("x", 9000) + `"]`), "surrogate": bulb(`,"notes":["\ud800"]`), "raw escape": bulb(",\"notes\":[\"\x1b[2J\"]"), "not utf-8": bulb(",\"notes\":[\"\xff\xfe\"]"), "notes of a text": bulb(`,"notes":"x"`),
		"claims of a list": bulb(`,"claims":[]`), "lumens endless": bulb(`,"claims":{"lumens_lm":1e999}`), "lumens of text": bulb(`,"claims":{"lumens_lm":"many"}`), "lumens not a number": bulb(`,"claims":{"lumens_lm":NaN}`), "size unknown": strings.Replace(bulb(""), "H11", "H99", 1), "kind unknown": strings.Replace(bulb(""), `"led"`, `"laser"`, 1),
		"test in no rig":     bulb(`,"lots":[{"name":"l","tests":[{"rig":"nowhere","date":"2026-01-01","readings":[{"at_min":0,"lux_lx":700}]}]}]`),
		"test of no day":     bulb(`,"lots":[{"name":"l","tests":[{"rig":"a-projector","readings":[{"at_min":0,"lux_lx":700}]}]}]`),
		"lux below zero":     bulb(`,"lots":[{"name":"l","tests":[{"rig":"a-projector","date":"2026-01-01","readings":[{"at_min":0,"lux_lx":-1}]}]}]`),
		"lux endless":        bulb(`,"lots":[{"name":"l","tests":[{"rig":"a-projector","date":"2026-01-01","readings":[{"at_min":0,"lux_lx":1e309}]}]}]`),
		"time below zero":    bulb(`,"lots":[{"name":"l","tests":[{"rig":"a-projector","date":"2026-01-01","readings":[{"at_min":-1,"lux_lx":700}]}]}]`),
		"key of a prototype": bulb(`,"__proto__":{"x":1}`),
	}
	for name, bad := range map[string]string{"up": "../x", "absolute": "/etc/passwd", "drive": `c:\x`, "device": "CON", "dot": ".", "dots": "..", "nothing": "", "hidden": ".b", "zero": "a\x00b", "line end": "a\nb", "escape": "\x1b[2J", "space": "a b", "long": long("a", 200), "slash": "a/b", "percent": "%2e%2e", "shell": "$(reboot)", "capital": "Tarn", "other script": "\u0430b", "wide": "\uff0e\uff0e\uff0f"} {
		texts["id "+name] = id(bad)
	}
	files := map[string][]byte{"utf-16": []byte("\xff\xfe{\x00}\x00"), "zeros": bytes.Repeat([]byte{0}, 1<<16)}
	for name, text := range texts {
		files[name] = []byte(text)
	}
	return files
}

// Mappings are YAML texts that are no mapping of columns: one reason each.
func Mappings() map[string][]byte {
	files := map[string][]byte{}
	for name, text := range map[string]string{
		"empty": "", "list": "- a\n", "newer": "format: 2\ncolumns: []\n", "unknown meaning": "format: 1\ncolumns:\n  - {head: Bulb, means: nonsense}\n", "escape as meaning": "format: 1\ncolumns:\n  - {head: Bulb, means: \"\\e[2J\"}\n", "bidi as head": "format: 1\ncolumns:\n  - {head: \"\\u202eBulb\", means: name}\n", "unknown key": "format: 1\ncolumns: []\nrun: rm\n",
		"time not a number": "format: 1\ncolumns:\n  - {head: Lux, means: lux, at: .nan}\n", "time endless": "format: 1\ncolumns:\n  - {head: Lux, means: lux, at: 1e999}\n", "time of years": "format: 1\ncolumns:\n  - {head: Lux, means: lux, at: 99999999 h}\n", "no day": "format: 1\ncolumns: []\ndate: 2026-02-31\n", "mark": "format: 1\ncolumns: []\ndecimal: dot\n",
		"bomb": "format: 1\na: &a [x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a]\nc: [*b,*b,*b,*b,*b,*b,*b,*b]\n", "alias of itself": "format: 1\ncolumns: &c [*c]\n", "deep": "format: 1\ncolumns: " + strings.Repeat("[", 100_000), "huge": strings.Repeat("# c\n", 400_000), "not utf-8": "format: 1\ncolumns:\n  - {head: \xff, means: name}\n", "zero": "format: 1\x00\n", "two documents": "format: 1\ncolumns: []\n---\nformat: 1\n", "tab": "format: 1\ncolumns:\n\t- head: x\n",
	} {
		files[name] = []byte(text)
	}
	return files
}
