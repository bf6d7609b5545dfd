package store

import (
	"fmt"
	"reflect"
	"strings"
	"unicode/utf8"

	"stillbright/data"
	"stillbright/data/quantity"
)

// helpWidth is the width of the help; keyWidth is where its texts begin.
const (
	helpWidth = 80
	keyWidth  = 26
)

const formatIntro = `The files of a catalog folder

A * marks a key that must be there; leave out what is not known. [mm] is a
quantity: write 12mm, or another unit of that kind (help units). With "or bare"
a number alone is taken in the unit named. [a | b] are the legal words. An
indented key stands inside the one above it; where that is a [list], each entry
begins with a dash.

stillbright catalog start FOLDER lays out such a folder with examples that
explain every key; catalog check reads it and names each fault with its line.
help format bulb (or catalog, rig, car) prints one file's keys only. An editor
completes and checks the keys by the JSON Schemas that catalog start puts beside
them (help schemas).
`

const formatEnd = `
rules.yaml                thresholds and weights of your own (help rules)
words.yaml                words of your own for the reading of questions
check.yaml                when a legal figure is called implausible
`

// formatFiles are the files whose keys FormatHelp explains, by short name.
var formatFiles = []struct {
	part, name string
	record     any
}{
	{"catalog", HeadFile, data.CatalogHead{}}, {"bulb", bulbsDir + "/ID.yaml", data.Bulb{}},
	{"rig", rigsDir + "/ID.yaml", data.Rig{}}, {"car", carsDir + "/ID.yaml", data.Car{}},
}

// FormatParts are the parts that FormatHelp knows.
func FormatParts() []string {
	var parts []string
	for _, file := range formatFiles {
		parts = append(parts, file.part)
	}
	return parts
}

// FormatHelp lists every key of the files of a catalog, or of one of them, with
// its unit and its legal values. It is false for a part that there is not.
func FormatHelp(part string) (string, bool) {
	var out strings.Builder
	if part == "" {
		out.WriteString(formatIntro)
	}
	found := false
	for _, file := range formatFiles {
		if part == "" || part == file.part {
			found = true
			fmt.Fprintf(&out, "\n%s\n", file.name)
			describe(&out, reflect.TypeOf(file.record), 0)
		}
	}
	if part == "" {
		out.WriteString(formatEnd)
	}
	return strings.TrimPrefix(out.String(), "\n"), found
}

const rulesIntro = `Judged thresholds

Figures that are judgement, each with its reason. To change one, write it in
rules.yaml of your own catalog, with your reason; all others stay:

  format: 1
  gate:
    stray_low: {value: 1.5, why: "narrow roads here"}

A driving profile is given whole. catalog start lays out rules.yaml.example.

`

// RulesHelp lists every judged threshold with its value and its reason.
func RulesHelp(rules data.Rules) string {
	var out strings.Builder
	out.WriteString(rulesIntro)
	describeRules(&out, reflect.ValueOf(rules), "")
	return out.String()
}

func describe(out *strings.Builder, record reflect.Type, depth int) {
	for _, f := range fieldsOf(record) {
		of := record.Field(f.index).Type
		mark := " "
		if f.required {
			mark = "*"
		}
		hang(out, strings.Repeat("  ", depth)+mark+" "+f.key, keyWidth, f.doc+legal(of, f))
		if inner := recordType(of); inner != nil {
			describe(out, inner, depth+1)
		}
	}
}

// hang writes a head and, from the column on, a text broken at blanks.
func hang(out *strings.Builder, head string, column int, text string) {
	line := head + strings.Repeat(" ", max(1, column-len(head)))
	empty := true
	for _, word := range strings.Fields(text) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > helpWidth {
			out.WriteString(line + "\n")
			line, empty = strings.Repeat(" ", column), true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	out.WriteString(strings.TrimRight(line, " ") + "\n")
}

// legal says in brackets what a value may be.
func legal(of reflect.Type, f field) string {
	var parts []string
	switch {
	case f.enum != nil:
		parts = append(parts, strings.Join(f.enum, " | "))
	case f.unit != "":
		text := f.unit
		if f.bare {
			text += " or bare"
		}
		parts = append(parts, text)
	}
	if of.Kind() == reflect.Slice {
		parts = append(parts, "list")
	}
	if len(parts) == 0 {
		return ""
	}
	return " [" + strings.Join(parts, "; ") + "]"
}

// recordType is the struct inside a field, or nil for a plain value.
func recordType(of reflect.Type) reflect.Type {
	for of.Kind() == reflect.Pointer || of.Kind() == reflect.Slice {
		of = of.Elem()
	}
	if of.Kind() != reflect.Struct || of == reflect.TypeFor[quantity.Money]() {
		return nil
	}
	return of
}

func describeRules(out *strings.Builder, value reflect.Value, path string) {
	for _, f := range fieldsOf(value.Type()) {
		inner := value.Field(f.index)
		at := join(path, f.key)
		switch {
		case inner.Type() == reflect.TypeFor[data.Judged]():
			judged := inner.Interface().(data.Judged)
			fmt.Fprintf(out, "%s: %v\n", at, judged.Value)
			hang(out, "   ", 4, f.doc)
			hang(out, "    why:", 9, judged.Why)
		case inner.Kind() == reflect.Struct:
			describeRules(out, inner, at)
		case inner.Kind() == reflect.Slice && recordType(inner.Type()) != nil:
			for i := range inner.Len() {
				name := inner.Index(i).Field(0)
				describeRules(out, inner.Index(i), fmt.Sprintf("%s[%v]", at, name))
			}
		case inner.Kind() == reflect.Float64 && f.key != "format":
			fmt.Fprintf(out, "%s: %v (%s)\n", at, inner.Float(), f.doc)
		}
	}
}
