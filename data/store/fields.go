package store

import (
	"reflect"
	"strconv"
	"strings"
	"sync"
)

// field is what the tags of a record's field say.
type field struct {
	index    int
	key      string
	unit     string
	bare     bool
	required bool
	id       bool
	enum     []string
	min, max *float64
	doc      string
}

var fieldCache sync.Map // reflect.Type -> []field

// fieldsOf reads the tags of a record type. A field without a yaml tag, or
// with yaml:"-", is not part of the file.
func fieldsOf(record reflect.Type) []field {
	if known, ok := fieldCache.Load(record); ok {
		return known.([]field)
	}
	var list []field
	for i := range record.NumField() {
		tag := record.Field(i).Tag
		key := tag.Get("yaml")
		if key == "" || key == "-" {
			continue
		}
		f := field{
			index: i, key: key, unit: tag.Get("unit"), bare: tag.Get("bare") != "",
			required: tag.Get("req") != "", id: tag.Get("id") != "",
			min: bound(tag.Get("min")), max: bound(tag.Get("max")), doc: tag.Get("doc"),
		}
		if words := tag.Get("enum"); words != "" {
			f.enum = strings.Split(words, "|")
		}
		list = append(list, f)
	}
	fieldCache.Store(record, list)
	return list
}

func bound(text string) *float64 {
	if text == "" {
		return nil
	}
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic("store: bad min or max tag " + text) // a slip in our own source
	}
	return &value
}
