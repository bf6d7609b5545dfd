package main

import (
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/data/sheet"
)

// catalogFiles are the files a person writes, by the short name of their
// schema. A partial one is laid over values that are there already.
var catalogFiles = []struct {
	name    string
	record  any
	partial bool
	doc     string
}{
	{"yaml-catalog-1", data.CatalogHead{}, false, "catalog.yaml: the head of a catalog"},
	{"yaml-bulb-1", data.Bulb{}, false, "bulbs/ID.yaml: one bulb with its lots and tests"},
	{"yaml-rig-1", data.Rig{}, false, "rigs/ID.yaml: one lamp on the bench"},
	{"yaml-car-1", data.Car{}, false, "cars/ID.yaml: one car with its lamps"},
	{"yaml-rules-1", data.Rules{}, true, "rules.yaml: thresholds and weights of your own"},
	{"yaml-words-1", data.Words{}, false, "words.yaml: words of your own for the reading of questions"},
	{"yaml-check-1", data.CheckRules{}, true, "check.yaml: when a legal figure is called implausible"},
	{"yaml-columns-1", sheet.Mapping{}, false, "a saved map of what the columns of a table mean (catalog import --map)"},
}

// fileSchemas builds one JSON Schema for each kind of file from the tags by
// which it is read. It never refuses a file that the reader takes, but for a
// number or a true that stands in quotes; what a schema cannot say (references,
// ranges of quantities with units) is left to the reader. Draft 7 is what
// editors know.
func fileSchemas(sizes []data.Size) (map[string][]byte, error) {
	files := map[string][]byte{}
	for _, file := range catalogFiles {
		w := fileWriter{}
		for _, size := range sizes {
			w.sizes = append(w.sizes, size.Category)
		}
		root := append(ordered{{"$schema", "http://json-schema.org/draft-07/schema#"}, {"$id", "stillbright/" + file.name}, {"title", file.doc}},
			w.group(reflect.TypeOf(file.record), file.partial)...)
		if len(w.kinds) > 0 {
			root = append(root, pair{"definitions", w.kinds})
		}
		text, err := json.MarshalIndent(root, "", "  ")
		if err != nil {
			return nil, fmt.Errorf("%s: %w", file.name, err)
		}
		files[file.name+".json"] = append(text, '\n')
	}
	return files, nil
}

// fileWriter collects what is said once for a whole schema.
type fileWriter struct {
	sizes []string // offered where a size is wanted
	kinds ordered  // kinds of quantities that are used
}

// group describes the keys of a record.
func (w *fileWriter) group(of reflect.Type, partial bool) ordered {
	var properties ordered
	required := []string{}
	for i := range of.NumField() {
		field := of.Field(i)
		key := field.Tag.Get("yaml")
		if key == "" || key == "-" {
			continue
		}
		value := w.value(field.Type, field.Tag, partial)
		if key == "size" || key == "also_fits" {
			value = append(value, pair{"examples", w.sizes})
		}
		if doc := field.Tag.Get("doc"); doc != "" {
			value = append(ordered{{"description", doc}}, value...)
		}
		properties = append(properties, pair{key, value})
		if field.Tag.Get("req") != "" && (!partial || of == reflect.TypeFor[data.Judged]()) {
			required = append(required, key)
		}
	}
	return ordered{{"type", "object"}, {"properties", properties}, {"required", required}, {"additionalProperties", false}}
}

func (w *fileWriter) value(of reflect.Type, tag reflect.StructTag, partial bool) ordered {
	for of.Kind() == reflect.Pointer {
		of = of.Elem()
	}
	switch of {
	case reflect.TypeFor[quantity.Money]():
		return ordered{{"type", "string"}, {"pattern", `[0-9]`}, {"examples", []string{"60USD", "45GBP", "$60"}}}
	case reflect.TypeFor[data.Date]():
		return ordered{{"type", "string"}, {"pattern", `^[0-9]{4}-[0-9]{2}-[0-9]{2}$`}}
	}
	switch of.Kind() {
	case reflect.Struct:
		return w.group(of, partial)
	case reflect.Slice:
		// An item of a list is new, even where the list is laid over another.
		return ordered{{"type", "array"}, {"items", w.value(of.Elem(), tag, false)}}
	case reflect.Map:
		return ordered{{"type", "object"}, {"additionalProperties", w.value(of.Elem(), tag, false)}}
	case reflect.Bool:
		return ordered{{"type", "boolean"}}
	case reflect.Int:
		return append(ordered{{"type", "integer"}}, bounds(tag)...)
	case reflect.Float64:
		return w.number(tag)
	case reflect.String:
		return fileText(tag)
	}
	panic("gen: no schema for " + of.String())
}

// fileText is a text; YAML may take a plain 9005 or no for another type.
func fileText(tag reflect.StructTag) ordered {
	if words := tag.Get("enum"); words != "" {
		legal := []any{}
		for _, word := range strings.Split(words, "|") {
			legal = append(legal, word)
		}
		return ordered{{"enum", legal}}
	}
	text := ordered{{"type", []string{"string", "number", "boolean"}}}
	if tag.Get("id") != "" {
		text = append(text, pair{"pattern", `^[a-z0-9][a-z0-9-]{0,62}$`})
	} else if tag.Get("req") != "" {
		text = append(text, pair{"pattern", `[^ \t]`})
	}
	return text
}

// number is a plain number, or a quantity with its unit.
func (w *fileWriter) number(tag reflect.StructTag) ordered {
	unit := tag.Get("unit")
	if unit == "" {
		return append(ordered{{"type", "number"}}, bounds(tag)...)
	}
	kind, ok := quantity.Kind(unit)
	if !ok {
		panic("gen: unknown unit " + unit)
	}
	if !slices.ContainsFunc(w.kinds, func(p pair) bool { return p.key == kind }) {
		w.kinds = append(w.kinds, pair{kind, ordered{{"type", "string"}, {"pattern", unitPattern(kind)}}})
	}
	with := ordered{{"$ref", "#/definitions/" + strings.ReplaceAll(kind, " ", "%20")}}
	any := []ordered{with}
	if tag.Get("bare") != "" {
		any = append(any, append(ordered{{"type", "number"}}, bounds(tag)...))
	}
	return ordered{{"anyOf", any}, {"examples", []string{"12" + unit}}}
}

// unitPattern matches a number with a unit of the kind behind it, and perhaps
// smaller ones (1 h 30 min).
func unitPattern(kind string) string {
	spellings := quantity.SpellingsOf(kind)
	slices.SortStableFunc(spellings, func(a, b string) int { return len(b) - len(a) })
	var parts []string
	for _, spelling := range spellings {
		var part strings.Builder
		for _, r := range spelling {
			lower, upper := unicode.ToLower(r), unicode.ToUpper(r)
			switch {
			case r == '-':
				part.WriteString(`[-\s]+`)
			case lower != upper:
				part.WriteString("[" + string(lower) + string(upper) + "]")
			case strings.ContainsRune(`.*+?()[]{}|^$\`, r):
				part.WriteString(`\` + string(r))
			default:
				part.WriteRune(r)
			}
		}
		parts = append(parts, part.String())
	}
	return `[0-9½¼¾⅓⅔⅛⅜⅝⅞][^A-Za-z0-9]*(` + strings.Join(parts, "|") + `)([^A-Za-z]|$)`
}
