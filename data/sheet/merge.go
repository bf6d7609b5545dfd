package sheet

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// Difference is one figure that the catalog and an imported row tell
// differently.
type Difference struct {
	Of     string // what it belongs to: the bulb, or a test by rig and day
	What   string // the figure: price, body, readings at 30 min
	OnFile string // with its unit, as the catalog holds it
	Row    string // as the row has it
	Taken  bool   // the row's figure was taken
}

// merging lays a row's record over the one on file: what is missing there is
// filled in, what differs is listed, and taken only when update is set.
type merging struct {
	of          string
	update      bool
	filled      bool // something was missing on file
	differences []Difference
}

// merged returns the record on file with the row's laid over it.
func merged[T any](m *merging, onFile, row T) T {
	m.group(reflect.ValueOf(&onFile).Elem(), reflect.ValueOf(row), "")
	return onFile
}

func (m *merging) group(v, row reflect.Value, at string) {
	for i := range v.NumField() {
		field := v.Type().Field(i)
		key := field.Tag.Get("yaml")
		if RecordKey(field) == "" || key == "lots" || key == "format" || key == "id" {
			continue
		}
		m.field(v.Field(i), row.Field(i), strings.TrimSpace(at+" "+strings.ReplaceAll(key, "_", " ")), field.Tag.Get("unit"))
	}
}

func (m *merging) field(v, row reflect.Value, what, unit string) {
	money := reflect.TypeFor[*quantity.Money]()
	switch {
	case isMissing(row):
	case v.Kind() == reflect.Struct:
		m.group(v, row, what)
	case v.Kind() == reflect.Pointer && v.Type() != money && v.Type().Elem().Kind() == reflect.Struct && !v.IsNil():
		own := reflect.New(v.Type().Elem())
		own.Elem().Set(v.Elem()) // never through a pointer that others hold
		v.Set(own)
		m.group(own.Elem(), row.Elem(), what)
	case v.Type() == reflect.TypeFor[[]data.Reading]():
		m.readings(v, row.Interface().([]data.Reading))
	case what == "notes" || strings.HasSuffix(what, " notes"):
		m.notes(v, row.Interface().([]string))
	case isMissing(v):
		v.Set(row)
		m.filled = true
	default:
		if a, b := inWords(v, unit), inWords(row, unit); a != b {
			m.differ(what, a, b)
			if m.update {
				v.Set(row)
			}
		}
	}
}

func (m *merging) differ(what, onFile, row string) {
	m.differences = append(m.differences, Difference{Of: m.of, What: what, OnFile: onFile, Row: row, Taken: m.update})
}

// readings go by their time: those of other times stay.
func (m *merging) readings(v reflect.Value, row []data.Reading) {
	list := slices.Clone(v.Interface().([]data.Reading))
	shared, fresh := 0, 0
	for _, r := range row {
		i := slices.IndexFunc(list, func(o data.Reading) bool { return o.At == r.At })
		switch {
		case i < 0:
			list = append(list, r)
			fresh++
		case list[i].Lux != r.Lux:
			shared++
			m.differ(fmt.Sprintf("lux at %s min", plainNumber(r.At)), plainNumber(list[i].Lux)+" lx", plainNumber(r.Lux)+" lx")
			if m.update {
				list[i].Lux = r.Lux
			}
		default:
			shared++
		}
	}
	if fresh > 0 {
		m.filled = true
		if shared == 0 && v.Len() > 0 {
			m.differ("times of the readings", timesOf(v.Interface().([]data.Reading)), timesOf(row))
		}
	}
	sortReadings(list)
	v.Set(reflect.ValueOf(list))
}

// notes are only ever added to.
func (m *merging) notes(v reflect.Value, row []string) {
	list := slices.Clone(v.Interface().([]string))
	for _, note := range row {
		if !slices.Contains(list, note) {
			list = append(list, note)
			m.filled = true
		}
	}
	v.Set(reflect.ValueOf(list))
}

func timesOf(readings []data.Reading) string {
	var times []string
	for _, r := range readings {
		times = append(times, plainNumber(r.At))
	}
	return strings.Join(times, ", ") + " min"
}

func sortReadings(list []data.Reading) {
	slices.SortStableFunc(list, func(a, b data.Reading) int {
		switch {
		case a.At < b.At:
			return -1
		case a.At > b.At:
			return 1
		}
		return 0
	})
}

func plainNumber(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// inWords is a value for a message.
func inWords(v reflect.Value, unit string) string {
	switch x := v.Interface().(type) {
	case *quantity.Money:
		return x.String()
	case *float64:
		return strings.TrimSpace(plainNumber(*x) + " " + unit)
	case *bool:
		if *x {
			return "yes"
		}
		return "no"
	case []string:
		return strings.Join(x, ", ")
	}
	switch v.Kind() {
	case reflect.Pointer:
		return inWords(v.Elem(), unit)
	case reflect.String:
		return v.String()
	case reflect.Slice, reflect.Struct:
		return encodeCompact(v.Interface())
	}
	return fmt.Sprint(v.Interface())
}
