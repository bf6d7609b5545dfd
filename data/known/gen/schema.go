package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"stillbright/data/sheet"
	"stillbright/fitment"
	"stillbright/recommend"
	"stillbright/recommend/need"
	"stillbright/recommend/reply"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

// documents are the JSON documents of the program, by the name in "schema".
func documents() []any {
	return []any{
		sheets.PatternSheet{}, sheets.LimitList{},
		recommend.Pick{}, sheets.FitSheet{}, sheets.ShowSheet{}, sheets.SizeSheet{}, sheets.SizeList{},
		sheets.MarkingSheet{}, sheets.LawSheet{}, sheets.AimSheet{}, recommend.CompareSheet{}, sheets.BulbList{}, sheets.CarList{}, sheets.BenchSheet{}, sheets.CheckSheet{}, sheets.CarSheet{}, recommend.Problem{},
		reply.Reply{}, reply.Replies{}, reply.Tally{},
		sheets.ImportSheet{}, sheets.VersionSheet{}, sheet.RecordsSheet{},
	}
}

// enums of types that carry no tag of their own.
var typeEnums = map[reflect.Type][]string{
	reflect.TypeFor[fitment.Verdict](): {"fits", "needs_work", "does_not_fit", "unknown"},
	reflect.TypeFor[warmup.Shape]():    {"one", "two", "flat", "rising", "step", "unsettled"},
	reflect.TypeFor[need.Slot]():       slots(),
}

// slots are the facts of a need that an owner may be asked for.
func slots() (names []string) {
	for _, f := range need.Asked() {
		names = append(names, string(f.Slot))
	}
	return names
}

// nullable types marshal their empty value as null.
var nullable = map[reflect.Type]bool{
	reflect.TypeFor[recommend.Word](): true,
	reflect.TypeFor[warmup.Shape]():   true,
}

// schemas builds one JSON Schema (draft 2020-12) for each document, from its
// type and tags: enum, min, max, doc. A pointer may be null, a list may not.
func schemas() (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, document := range documents() {
		of := reflect.TypeOf(document)
		name := schemaName(of)
		root := schemaOf(of, "")
		root = append(ordered{{"$schema", "https://json-schema.org/draft/2020-12/schema"}, {"$id", name}}, root...)
		text, err := json.MarshalIndent(root, "", "  ")
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		files[strings.ReplaceAll(strings.TrimPrefix(name, "stillbright/"), "/", "-")+".json"] = append(text, '\n')
	}
	return files, nil
}

func schemaName(of reflect.Type) string {
	for i := range of.NumField() {
		if of.Field(i).Tag.Get("json") == "schema" {
			return of.Field(i).Tag.Get("enum")
		}
	}
	panic("gen: " + of.String() + " is no document: it has no schema field")
}

func schemaOf(of reflect.Type, tag reflect.StructTag) ordered {
	doc := tag.Get("doc")
	var s ordered
	if doc != "" {
		s = append(s, pair{"description", doc})
	}
	null := nullable[of] || sheet.RecordOptional(tag) && of.Kind() != reflect.Slice && of.Kind() != reflect.Struct
	if of.Kind() == reflect.Pointer {
		null = true
		of = of.Elem()
	}
	switch of.Kind() {
	case reflect.Struct:
		return append(s, object(of, null)...)
	case reflect.Slice:
		return append(s, pair{"type", "array"}, pair{"items", schemaOf(of.Elem(), reflect.StructTag(`enum:"`+tag.Get("enum")+`"`))})
	case reflect.String:
		s = append(s, typed("string", null))
		if words := enumOf(of, tag); words != nil {
			var legal []any
			for _, word := range words {
				legal = append(legal, word)
			}
			if null {
				legal = append(legal, nil)
			}
			s = append(s, pair{"enum", legal})
		}
		return s
	case reflect.Bool:
		return append(s, typed("boolean", null))
	case reflect.Int:
		s = append(s, typed("integer", null))
	case reflect.Float64:
		s = append(s, typed("number", null))
	default:
		panic("gen: no schema for " + of.String())
	}
	return append(s, bounds(tag)...)
}

func enumOf(of reflect.Type, tag reflect.StructTag) []string {
	if words := tag.Get("enum"); words != "" {
		return strings.Split(words, "|")
	}
	return typeEnums[of]
}

func bounds(tag reflect.StructTag) ordered {
	var s ordered
	for _, bound := range []struct{ tag, key string }{{"min", "minimum"}, {"max", "maximum"}} {
		if text := tag.Get(bound.tag); text != "" {
			value, err := strconv.ParseFloat(text, 64)
			if err != nil {
				panic("gen: bad " + bound.tag + " tag " + text)
			}
			s = append(s, pair{bound.key, value})
		}
	}
	return s
}

// object describes a struct: every key is required, and no other is allowed.
func object(of reflect.Type, null bool) ordered {
	var properties ordered
	required := []string{}
	for _, field := range fieldsOf(of) {
		key, _, _ := strings.Cut(field.Tag.Get("json"), ",")
		if !field.IsExported() || key == "-" {
			continue
		}
		if key == "" {
			key = sheet.RecordKey(field)
		}
		if key == "" {
			panic(fmt.Sprintf("gen: %s.%s has no json tag", of, field.Name))
		}
		properties = append(properties, pair{key, schemaOf(field.Type, field.Tag)})
		required = append(required, key)
	}
	return ordered{typed("object", null), {"properties", properties}, {"required", required}, {"additionalProperties", false}}
}

// fieldsOf lists the fields of a struct; those of an embedded one stand in its
// place, as encoding/json writes them.
func fieldsOf(of reflect.Type) []reflect.StructField {
	var fields []reflect.StructField
	for i := range of.NumField() {
		field := of.Field(i)
		if field.Anonymous {
			fields = append(fields, fieldsOf(field.Type)...)
		} else {
			fields = append(fields, field)
		}
	}
	return fields
}

func typed(name string, null bool) pair {
	if null {
		return pair{"type", []string{name, "null"}}
	}
	return pair{"type", name}
}

// ordered is a JSON object whose keys keep their order.
type ordered []pair

type pair struct {
	key   string
	value any
}

// MarshalJSON writes the pairs in order.
func (o ordered) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for i, p := range o {
		if i > 0 {
			out.WriteByte(',')
		}
		key, err := json.Marshal(p.key)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(p.value)
		if err != nil {
			return nil, err
		}
		out.Write(key)
		out.WriteByte(':')
		out.Write(value)
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}
