package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// RecordKey is the JSON key of a record's field: the key of the file with its
// unit, or the small name of a field without tags; empty when the field is not
// part of the record.
func RecordKey(field reflect.StructField) string {
	key := field.Tag.Get("yaml")
	switch key {
	case "-":
		return ""
	case "":
		return strings.ToLower(field.Name)
	}
	unit := strings.ToLower(field.Tag.Get("unit"))
	if unit == "%" {
		unit = "pct"
	}
	if unit == "" || unit == key {
		return key
	}
	return key + "_" + unit
}

var keysOfRecords sync.Map // reflect.Type -> map[string]int

// recordKeys are the fields of a record by their JSON keys.
func recordKeys(of reflect.Type) map[string]int {
	if keys, ok := keysOfRecords.Load(of); ok {
		return keys.(map[string]int)
	}
	keys := map[string]int{}
	for i := range of.NumField() {
		if key := RecordKey(of.Field(i)); key != "" {
			keys[key] = i
		}
	}
	keysOfRecords.Store(of, keys)
	return keys
}

// RecordOptional says whether a field of a record may be missing: null in JSON.
func RecordOptional(tag reflect.StructTag) bool {
	return tag.Get("yaml") != "" && tag.Get("req") == ""
}

// encodeRecord writes a record as JSON, its keys in the order of the struct.
// full: a missing value is null with its key, and lists are never null; else
// what is missing is left out.
func encodeRecord(out *bytes.Buffer, v reflect.Value, full bool) {
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			out.WriteString("null")
			return
		}
		encodeRecord(out, v.Elem(), full)
	case reflect.Slice:
		out.WriteByte('[')
		for i := range v.Len() {
			if i > 0 {
				out.WriteByte(',')
			}
			encodeRecord(out, v.Index(i), full)
		}
		out.WriteByte(']')
	case reflect.Struct:
		out.WriteByte('{')
		first := true
		for i := range v.NumField() {
			field := v.Type().Field(i)
			key := RecordKey(field)
			if key == "" || !full && RecordOptional(field.Tag) && isMissing(v.Field(i)) {
				continue
			}
			if !first {
				out.WriteByte(',')
			}
			first = false
			fmt.Fprintf(out, "%q:", key)
			if full && RecordOptional(field.Tag) && v.Field(i).Kind() != reflect.Struct && v.Field(i).Kind() != reflect.Slice && v.Field(i).Kind() != reflect.Bool && v.Field(i).IsZero() {
				out.WriteString("null")
				continue
			}
			encodeRecord(out, v.Field(i), full)
		}
		out.WriteByte('}')
	case reflect.String:
		encodeText(out, v.String())
	case reflect.Float64:
		out.WriteString(strconv.FormatFloat(v.Float(), 'g', -1, 64))
	default:
		fmt.Fprint(out, v.Interface())
	}
}

func encodeText(out *bytes.Buffer, text string) {
	encoder := json.NewEncoder(out)
	encoder.SetEscapeHTML(false)
	_ = encoder.Encode(text) // a string always encodes, into memory
	out.Truncate(out.Len() - 1)
}

func isMissing(v reflect.Value) bool {
	switch v.Kind() {
	case reflect.Slice:
		return v.Len() == 0
	case reflect.Struct:
		for i := range v.NumField() {
			if RecordKey(v.Type().Field(i)) != "" && !isMissing(v.Field(i)) {
				return false
			}
		}
		return true
	}
	return v.IsZero()
}

// encodeCompact writes what a record holds; equal records give equal text.
func encodeCompact(record any) string {
	var out bytes.Buffer
	encodeRecord(&out, reflect.ValueOf(record), false)
	return out.String()
}

// encodeRest writes the fields in which a record differs from what is known of
// it already; empty when there is none.
func encodeRest(record, known any) string {
	var out bytes.Buffer
	if !encodeDifference(&out, reflect.ValueOf(record), reflect.ValueOf(known)) {
		return ""
	}
	return out.String()
}

func encodeDifference(out *bytes.Buffer, v, known reflect.Value) bool {
	start := out.Len()
	out.WriteByte('{')
	first := true
	for i := range v.NumField() {
		field := v.Type().Field(i)
		key := RecordKey(field)
		a, b := v.Field(i), known.Field(i)
		if key == "" || isMissing(a) && isMissing(b) || !isMissing(a) && !isMissing(b) && encodeCompact(a.Interface()) == encodeCompact(b.Interface()) {
			continue
		}
		mark := out.Len()
		if !first {
			out.WriteByte(',')
		}
		fmt.Fprintf(out, "%q:", key)
		switch {
		case isMissing(a) && a.Kind() != reflect.Pointer:
			out.WriteString("null")
		case a.Kind() == reflect.Struct && field.Tag.Get("yaml") != "":
			if !encodeDifference(out, a, b) {
				out.Truncate(mark)
				continue
			}
		default:
			encodeRecord(out, a, false)
		}
		first = false
	}
	out.WriteByte('}')
	if first {
		out.Truncate(start)
	}
	return !first
}

// decodeRecord lays JSON over a record: null makes a field missing, a key that
// is not known is an error. The error is a *jsonFault.
func decodeRecord(node *jsonNode, record any, at string) error {
	return decodeInto(node, reflect.ValueOf(record).Elem(), at)
}

func decodeInto(node *jsonNode, v reflect.Value, at string) error {
	if node == nil || node.value == nil {
		v.SetZero()
		return nil
	}
	wrong := func(want string) error {
		return &jsonFault{node.at, strings.TrimPrefix(at, "."), want + " is wanted"}
	}
	switch v.Kind() {
	case reflect.Pointer:
		if v.IsNil() {
			v.Set(reflect.New(v.Type().Elem()))
		}
		return decodeInto(node, v.Elem(), at)
	case reflect.Slice:
		list, ok := node.value.([]*jsonNode)
		if !ok {
			return wrong("a list")
		}
		v.SetZero()
		for i, item := range list {
			v.Grow(1) // as they come: the first wrong one ends it
			v.SetLen(i + 1)
			if err := decodeInto(item, v.Index(i), fmt.Sprintf("%s[%d]", at, i)); err != nil {
				return err
			}
		}
	case reflect.Struct:
		group, ok := node.value.(jsonGroup)
		if !ok {
			return wrong("a group of keys")
		}
		keys := recordKeys(v.Type())
		for _, key := range group.keys {
			i, known := keys[key]
			if !known {
				return &jsonFault{group.nodes[key].at, strings.TrimPrefix(at, "."), quoted(key) + " is no key of this record"}
			}
			if err := decodeInto(group.nodes[key], v.Field(i), at+"."+key); err != nil {
				return err
			}
		}
	case reflect.String:
		text, ok := node.value.(string)
		if !ok {
			return wrong("text")
		}
		v.SetString(text)
	case reflect.Bool:
		b, ok := node.value.(bool)
		if !ok {
			return wrong("true or false")
		}
		v.SetBool(b)
	case reflect.Int, reflect.Float64:
		number, ok := node.value.(json.Number)
		if !ok {
			return wrong("a number")
		}
		x, err := number.Float64()
		if err != nil || math.IsInf(x, 0) {
			return wrong("a finite number")
		}
		if v.Kind() == reflect.Float64 {
			v.SetFloat(x)
		} else if x != math.Trunc(x) || math.Abs(x) > 1e6 {
			return wrong("a whole number")
		} else {
			v.SetInt(int64(x))
		}
	}
	return nil
}

// fillBlank takes from another record of the same type what is missing.
func fillBlank[T any](record *T, from T) {
	fillMissing(reflect.ValueOf(record).Elem(), reflect.ValueOf(from))
}

func fillMissing(v, from reflect.Value) {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		switch {
		case RecordKey(field) == "":
		case v.Field(i).Kind() == reflect.Struct:
			fillMissing(v.Field(i), from.Field(i))
		case isMissing(v.Field(i)):
			v.Field(i).Set(from.Field(i))
		}
	}
}
