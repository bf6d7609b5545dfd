package store

import (
	"fmt"
	"reflect"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// FormatHelp describes every record file of a catalog folder, key by key, from
// the same tags that the reader uses.
func FormatHelp() string {
	var out strings.Builder
	out.WriteString("The files of a catalog folder. A * marks a key that must be there; leave out what\nis not known. Lengths and other quantities carry their unit; where the key names\nthe unit (lux, watts, volts), a bare number is allowed.\n")
	for _, file := range []struct {
		name   string
		record any
	}{
		{HeadFile, data.CatalogHead{}}, {bulbsDir + "/ID.yaml", data.Bulb{}}, {rigsDir + "/ID.yaml", data.Rig{}}, {carsDir + "/ID.yaml", data.Car{}},
	} {
		fmt.Fprintf(&out, "\n%s\n", file.name)
		describe(&out, reflect.TypeOf(file.record), "  ")
	}
	fmt.Fprintf(&out, "\n%s: any keys of the program's own rules, to override them (stillbright help rules)\n%s: more words, as the program's own\n", RulesFile, WordsFile)
	return out.String()
}

// RulesHelp lists every judged threshold with its value and its reason.
func RulesHelp(rules data.Rules) string {
	var out strings.Builder
	out.WriteString("Judged thresholds; override any in rules.yaml of your own catalog.\n\n")
	describeRules(&out, reflect.ValueOf(rules), "")
	return out.String()
}

func describe(out *strings.Builder, record reflect.Type, indent string) {
	for _, f := range fieldsOf(record) {
		of := record.Field(f.index).Type
		mark := " "
		if f.required {
			mark = "*"
		}
		fmt.Fprintf(out, "%s%s %s: %s%s\n", indent, mark, f.key, f.doc, legal(of, f))
		if inner := recordType(of); inner != nil {
			describe(out, inner, indent+"    ")
		}
	}
}

// legal says in brackets what a value may be.
func legal(of reflect.Type, f field) string {
	var parts []string
	switch {
	case f.enum != nil:
		parts = append(parts, strings.Join(f.enum, " | "))
	case f.unit != "":
		kind, _ := quantity.Kind(f.unit)
		text := strings.ReplaceAll(kind, "_", " ") + ", for example 12" + f.unit
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
			fmt.Fprintf(out, "%s: %v\n    %s\n    why: %s\n", at, judged.Value, f.doc, judged.Why)
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
