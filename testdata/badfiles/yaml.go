// Package badfiles makes files that try to break the readers. They are made in
// code, so that the repository stays small and no scanner takes offence.
package badfiles

import (
	"fmt"
	"strings"
)

// Records are YAML texts of a bulb, each broken for one reason, which is the key.
// Those of Honest are legal all the same.
func Records() map[string]string {
	long := strings.Repeat
	head := "format: 1\nid: b\nname: b\nkind: led\nsize: H7\nsource: s\n"
	seeds := map[string]string{
		"empty": "", "blank": " \n\n\t\n", "comment only": "# nothing\n", "document mark": "---\n", "end mark": "...\n", "null": "~\n", "scalar": "just text\n", "number": "12\n",
		"list": "- a\n- b\n", "tab indent": "format: 1\nclaims:\n\tlumens: 1\n", "not utf-8": "name: \xff\xfe\n", "utf-16": "\xff\xfen\x00a\x00", "utf-16 plain": "n\x00a\x00:\x00",
		"nul": "name: a\x00b\n", "escape": head + "notes: [\"\\e[2J\"]\n", "escape raw": head + "notes: [\"\x1b[2J\"]\n", "bell": head + "notes: [\"\\a\"]\n", "delete": head + "notes: [\"\x7f\"]\n",
		"bidi": head + "notes: [\"\u202egnp.exe\"]\n", "bidi key": "\u202egnp: 1\n", "line separator": head + "notes: [\"a\\Lb\"]\n", "c1 control": head + "notes: [\"a\\x9b2Jb\"]\n", "surrogate": head + "notes: [\"\\ud800\"]\n",
		"escape key": "\"\\e[31m\": 1\n", "newline key": "\"a\\nb\": 1\n", "empty key": "\"\": 1\n", "replacement": head + "notes: [\"\ufffd\"]\n",
		"billion laughs": "a: &a [x, x, x, x, x, x, x, x, x]\nb: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a]\nc: &c [*b, *b, *b, *b, *b, *b, *b, *b, *b]\nd: [*c, *c, *c, *c, *c, *c, *c, *c, *c]\n",
		"bomb of maps":   "a: &a {x: 1}\nb: &b {<<: *a, y: *a}\nc: {<<: [*a, *b]}\n", "self alias": "a: &a [*a]\n", "unknown alias": "name: *nobody\n", "anchor": "name: &n Tarn\n", "alias as key": "&k name: x\n*k : y\n",
		"merge": head + "<<: {notes: [x]}\n", "tag": "name: !!str x\n", "own tag": "name: !evil x\n", "binary": "name: !!binary aGk=\n", "python tag": "name: !!python/object/apply:os.system [x]\n", "tag directive": "%TAG ! tag:x,2000:\n---\nname: x\n",
		"second document": head + "---\n" + head, "second broken": head + "---\n[", "third": head + "...\n---\n...\n---\n", "unknown version": "%YAML 9.9\n---\n" + head,
		"deep lists": long("[", 5000) + long("]", 5000), "deep groups": long("{a: ", 3000) + "1" + long("}", 3000), "deep unclosed": long("[", 200_000), "deep dashes": long("- ", 20_000) + "x", "deep indent": deep(400),
		"deep in a record": head + "lots: " + long("[", 200) + long("]", 200) + "\n", "huge": long("# comment\n", 120_000), "one long line": "name: " + long("x", 1<<20), "long line within": "name: " + long("x", 900_000) + "\n",
		"many keys": Lines(40_000, "k%d: 1\n"), "one key often": long("name: x\n", 45_000), "many items": head + "notes:\n" + long("  - x\n", 40_000), "many flow items": head + "notes: [" + long("x,", 150_000) + "]\n", "many comments": head + long("# c\n", 100_000),
		"comments in items": head + "notes:\n" + long("  # c\n  - x\n", 30_000), "long key": long("k", 2000) + ": 1\n", "many quotes": "name: " + long(`"`, 300_000), "many colons": long("a: ", 100_000), "many questions": long("? ", 100_000),
		"open quote": `name: "open` + "\n", "open single": "name: 'open\n", "open list": "notes: [a, b\n", "open group": "claims: {lumens: 1\n", "bad escape": `name: "\q"` + "\n", "reserved at": "name: @x\n", "reserved tick": "name: `x`\n",
		"no space": "name:x\n", "bad indent": "claims:\n    lumens: 1\n  watts: 2\n", "list under text": "name: x\n  - y\n", "dash as value": "name: -\n", "key list": "? [a, b]\n: c\n", "key group": "? {a: b}\n: c\n", "null key": "? \n: c\n",
		"carriage returns": strings.ReplaceAll(head, "\n", "\r"), "mark inside": "name: a\ufeffb\n\ufeffid: x\n", "path in id": "id: ../../etc/passwd\n", "absolute id": "id: /etc/passwd\n", "dot id": "id: .\n", "id with nul": "id: \"a\\0b\"\n",
		"windows id": "id: 'c:\\x'\n", "device id": "id: con\n", "capital id": "id: Tarn\n", "long id": "id: " + long("a", 200) + "\n", "hidden id": "id: .tarn\n", "shell id": "id: $(reboot)\n",
		"newer": "format: 2\n", "much newer": "format: 99999999999999999999\n", "negative format": "format: -1\n", "word format": "format: one\n", "float format": "format: 1.0\n", "format list": "format: [1]\n", "format null": "format:\n",
	}
	numbers := []string{
		"nan", ".nan", ".NaN", "inf", "-inf", ".inf", "+.Inf", "1e999", "-1e999", "1e-999", "0x1F", "0o17", "0b11", "1_000", "1,5", "1.000,5", "١٢", "１２", "12V12", "--1", "+-1", "1e", "e1", ".", "", "~", "null", "true", "yes", "[1]", "{a: 1}", "\"\"",
		"1 2", "1..2", "99999999999999999999999999999999", long("9", 400), "1/0", "½", "12 parsec", "12 mm", "-12", "0", "1e30", "1e-30", "13.2 V 5", "12:30", "2026-01-01", "!!float 1", "&a 1", "0x", "1p5", "$12", "12 lx lx", "=1+1", "\"\\u0000\"",
	}
	for _, number := range numbers {
		name := number[:min(len(number), 12)]
		seeds["volts "+name] = head + "supply: {volts_min: " + number + "}\n"
		seeds["length "+name] = head + "build:\n  rear_length: " + number + "\n"
		seeds["price "+name] = head + "per: pair\nprice: " + number + "\n"
	}
	return seeds
}

// Honest are the records that are large or odd, and legal all the same.
func Honest() []string {
	return []string{"many items", "length 12 mm", "price $12", "many comments", "comments in items", "carriage returns"}
}

// deep is a group in a group in a group.
func deep(levels int) string {
	var out strings.Builder
	for i := range levels {
		out.WriteString(strings.Repeat(" ", i) + "a:\n")
	}
	return out.String()
}

// Lines is a format filled in with 0, 1, 2 and so on.
func Lines(count int, format string) string {
	var out strings.Builder
	for i := range count {
		fmt.Fprintf(&out, format, i)
	}
	return out.String()
}
