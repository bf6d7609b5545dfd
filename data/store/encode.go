package store

import (
	"errors"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// indentStep is how far an inner group stands to the right of its key.
const indentStep = 2

// smallGroup is the most fields a group of plain numbers may have to stand on
// one line.
const smallGroup = 5

// Encode writes a record, a struct with the tags of package data or a pointer
// to one, as YAML: the keys in the order of the struct, quantities with their
// unit, nothing for what is missing. Small groups of numbers stand on one line,
// so that readings come one a line. Decode reads the same record back; a record
// that cannot be read back (a number that is not finite, a word that is not
// legal, a required key that is empty) is returned as faults.
func Encode(record any) ([]byte, error) {
	value := reflect.ValueOf(record)
	for value.Kind() == reflect.Pointer {
		if value.IsNil() {
			return nil, errors.New("store: nothing to encode")
		}
		value = value.Elem()
	}
	if value.Kind() != reflect.Struct {
		return nil, errors.New("store: only a record can be encoded, not a " + value.Kind().String())
	}
	lines := blockLines(value)
	if len(lines) == 0 {
		lines = []string{"{}"}
	}
	text := []byte(strings.Join(lines, "\n") + "\n")
	if err := readsBack(text, value); err != nil {
		return nil, err
	}
	return text, nil
}

// readsBack checks that text means exactly the record.
func readsBack(text []byte, want reflect.Value) error {
	again := reflect.New(want.Type())
	_, faults := Decode("", text, again.Interface())
	if len(faults) > 0 {
		for i := range faults {
			// Lines of a text that nobody has seen would only mislead.
			faults[i].File, faults[i].Line, faults[i].Col = originOf(want), 0, 0
		}
		return faults
	}
	if !same(again.Elem(), want) {
		return data.Faults{{File: originOf(want), Message: "holds a value that the file format cannot hold exactly"}}
	}
	return nil
}

// originOf is the file a record came from, or what to call a new one.
func originOf(record reflect.Value) string {
	if origin := record.FieldByName("Origin"); origin.IsValid() && origin.String() != "" {
		return origin.String()
	}
	return "new record"
}

// blockLines writes a group one key a line.
func blockLines(group reflect.Value) []string {
	var lines []string
	for _, f := range fieldsOf(group.Type()) {
		if value := group.Field(f.index); !omitted(value, f) {
			lines = append(lines, entryLines(f, value)...)
		}
	}
	return lines
}

// entryLines writes one key with its value.
func entryLines(f field, value reflect.Value) []string {
	if onOneLine(value, f) {
		return []string{f.key + ": " + flowText(value, f, false)}
	}
	return append([]string{f.key + ":"}, indent(valueLines(value, f), indentStep)...)
}

// valueLines writes a value as it stands on the lines below its key.
func valueLines(value reflect.Value, f field) []string {
	value = follow(value)
	if onOneLine(value, f) {
		return []string{flowText(value, f, false)}
	}
	var lines []string
	switch value.Kind() {
	case reflect.Slice:
		for i := range value.Len() {
			lines = append(lines, itemLines(value.Index(i), f)...)
		}
	case reflect.Map:
		for _, key := range sortedKeys(value) {
			lines = append(lines, entryLines(field{key: quoteText(key, false)}, value.MapIndex(reflect.ValueOf(key)))...)
		}
	default:
		lines = blockLines(value)
	}
	return lines
}

// itemLines writes one item of a list with its dash.
func itemLines(item reflect.Value, f field) []string {
	lines := indent(valueLines(item, f), indentStep)
	lines[0] = "- " + lines[0][indentStep:]
	return lines
}

func indent(lines []string, by int) []string {
	for i := range lines {
		lines[i] = strings.Repeat(" ", by) + lines[i]
	}
	return lines
}

// onOneLine says whether a value is written behind its key: single values,
// small groups of numbers, and short lists of short words.
func onOneLine(value reflect.Value, f field) bool {
	value = follow(value)
	switch value.Kind() {
	case reflect.Struct:
		return isScalar(value.Type()) || isSmall(value.Type()) || isEmpty(value)
	case reflect.Map:
		return value.Len() == 0
	case reflect.Slice:
		if value.Len() == 0 {
			return true
		}
		if value.Type().Elem().Kind() != reflect.String {
			return false
		}
		text := flowText(value, f, false)
		return len(text) <= 60 && !strings.Contains(text, `"`)
	}
	return true
}

// isSmall says whether a group is a few numbers.
func isSmall(group reflect.Type) bool {
	fields := fieldsOf(group)
	for _, f := range fields {
		kind := group.Field(f.index).Type
		if kind.Kind() == reflect.Pointer {
			kind = kind.Elem()
		}
		if !slices.Contains([]reflect.Kind{reflect.Float64, reflect.Int, reflect.Bool}, kind.Kind()) {
			return false
		}
	}
	return len(fields) <= smallGroup
}

// flowText writes a value on one line; inside says whether brackets are open
// around it.
func flowText(value reflect.Value, f field, inside bool) string {
	value = follow(value)
	if isScalar(value.Type()) {
		return scalarText(value, f, inside)
	}
	var parts []string
	switch value.Kind() {
	case reflect.Slice:
		for i := range value.Len() {
			parts = append(parts, flowText(value.Index(i), f, true))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	case reflect.Map:
		for _, key := range sortedKeys(value) {
			parts = append(parts, quoteText(key, true)+": "+flowText(value.MapIndex(reflect.ValueOf(key)), field{}, true))
		}
	default:
		for _, own := range fieldsOf(value.Type()) {
			if item := value.Field(own.index); !omitted(item, own) {
				parts = append(parts, own.key+": "+flowText(item, own, true))
			}
		}
	}
	return "{" + strings.Join(parts, ", ") + "}"
}

func sortedKeys(table reflect.Value) []string {
	var keys []string
	for _, key := range table.MapKeys() {
		keys = append(keys, key.String())
	}
	slices.Sort(keys)
	return keys
}

func isScalar(kind reflect.Type) bool {
	if kind.Kind() == reflect.Pointer {
		kind = kind.Elem()
	}
	switch kind.Kind() {
	case reflect.Slice, reflect.Map:
		return false
	case reflect.Struct:
		return kind == reflect.TypeFor[quantity.Money]()
	}
	return true
}
