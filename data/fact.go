package data

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	"stillbright/data/quantity"
)

// Part is the group of questions to which a fact belongs.
type Part int

// The parts, each asked in the order of its facts.
const (
	NotAsked Part = iota
	NewBulb
	OfBulb // by flag alone: a person who describes a new bulb is not asked
	NewRig
	OfLot
	BeforeTest // known before the bulb is lit
	AfterTest
	OfPattern
	OfMarks
	OfParts
	OfCar
	OfLamp
)

// Fact is what is known of one field of a record beside its tags, which say its
// unit, bounds, legal words and meaning: how it is asked for, shown, and written in
// a spreadsheet. A field without a fact is read, checked, shown and kept all the
// same.
type Fact struct {
	Key string // record and key: bulb.build.rear_length

	Part   Part
	Flag   string // of bench add and car add, without dashes
	Needed bool   // "don't know" is no answer
	Ask    string // on one line
	How    string // how it is found out

	Name string // on a sheet; empty: from the key

	// A column of a spreadsheet: what a mapping calls it, its head in an export, its
	// place there (0: none), and what people write for its words.
	Column, Head string
	Place        int
	Words        map[string]string

	Field // filled in from the key
}

// Field is a field of a record.
type Field struct {
	Tag  reflect.StructTag
	Type reflect.Type
	path []int
}

// records are those that the first part of a key names.
var records = map[string]reflect.Type{
	"bulb": reflect.TypeFor[Bulb](), "rig": reflect.TypeFor[Rig](), "lot": reflect.TypeFor[Lot](), "test": reflect.TypeFor[Test](),
	"car": reflect.TypeFor[Car](), "lamp": reflect.TypeFor[Lamp](),
}

func init() {
	for i := range facts {
		field, ok := fieldAt(facts[i].Key)
		if !ok {
			panic("data: no field " + facts[i].Key) // a slip in the table
		}
		facts[i].Field = field
	}
}

// fieldAt finds the field that a key names.
func fieldAt(key string) (found Field, ok bool) {
	parts := strings.Split(key, ".")
	of := records[parts[0]]
	for _, part := range parts[1:] {
		if of.Kind() == reflect.Pointer {
			of = of.Elem()
		}
		i := 0
		for ; i < of.NumField() && of.Field(i).Tag.Get("yaml") != part; i++ {
		}
		if i == of.NumField() {
			return found, false
		}
		found.path = append(found.path, i)
		found.Tag, of = of.Field(i).Tag, of.Field(i).Type
	}
	found.Type = of
	return found, true
}

// Facts are the lines of the table. They are shared and must not be changed.
func Facts() []Fact { return facts }

// FactsOf are the facts of some parts, in the order of asking.
func FactsOf(parts ...Part) (list []Fact) {
	for _, part := range parts {
		for _, f := range facts {
			if f.Part == part {
				list = append(list, f)
			}
		}
	}
	return list
}

// Record is the record that holds the fact: bulb, rig, lot, test, car or lamp.
func (f *Fact) Record() string { record, _, _ := strings.Cut(f.Key, "."); return record }

// Path is the key of the fact within its record.
func (f *Fact) Path() string { _, path, _ := strings.Cut(f.Key, "."); return path }

// Unit is that of a number; empty for anything else.
func (f *Fact) Unit() string { return f.Tag.Get("unit") }

// Legal has the words of a closed list; nil for anything else.
func (f *Fact) Legal() []string {
	if words := f.Tag.Get("enum"); words != "" {
		return strings.Split(words, "|")
	}
	return nil
}

// IsTruth says whether the fact is true or false.
func (f *Fact) IsTruth() bool {
	return f.Type.Kind() == reflect.Bool || f.Type.Kind() == reflect.Pointer && f.Type.Elem().Kind() == reflect.Bool
}

// IsSize says whether the fact is a bulb size.
func (f *Fact) IsSize() bool { return f.Path() == "size" }

// At is a pointer to the field in a record, itself a pointer to a struct.
func (f *Fact) At(record any) any {
	return reflect.ValueOf(record).Elem().FieldByIndex(f.path).Addr().Interface()
}

// Recorded is one recorded figure, as a sheet shows it.
type Recorded struct {
	Name  string `json:"name" doc:"key of the record"`
	Value string `json:"value" doc:"value as text"`
}

// Shown lists what is recorded in a record, a struct, and the names of what is not,
// in the order of the record, units included; name is the first part of its keys.
// What a sheet says elsewhere is left out by its key.
func Shown(name string, record any, but ...string) (known []Recorded, unknown []string) {
	s := shower{known: []Recorded{}, unknown: []string{}, but: but}
	s.show(name, reflect.ValueOf(record))
	return s.known, s.unknown
}

type shower struct {
	known   []Recorded
	unknown []string
	but     []string
}

func (s *shower) show(key string, value reflect.Value) {
	for i := range value.NumField() {
		field := value.Type().Field(i)
		yaml := field.Tag.Get("yaml")
		at, inner := key+"."+yaml, value.Field(i)
		if yaml == "" || yaml == "-" || slices.Contains(s.but, at) {
			continue
		}
		if inner.Kind() == reflect.Pointer && inner.Type().Elem().Kind() == reflect.Struct && inner.Type() != reflect.TypeFor[*quantity.Money]() {
			if inner.IsNil() {
				continue
			}
			inner = inner.Elem()
		}
		if inner.Kind() == reflect.Struct {
			s.show(at, inner)
			continue
		}
		if text := RecordedText(inner, field.Tag); text != "" {
			s.known = append(s.known, Recorded{shownName(at), text})
		} else {
			s.unknown = append(s.unknown, shownName(at))
		}
	}
}

// shownName is what a sheet calls a field: its own name, else the key; in a group
// other than what a bulb is built of, with the group before it.
func shownName(key string) string {
	if i := slices.IndexFunc(facts, func(f Fact) bool { return f.Key == key }); i >= 0 && facts[i].Name != "" {
		return facts[i].Name
	}
	parts := strings.Split(key, ".")
	switch last := parts[len(parts)-1]; {
	case parts[0] == "car" || parts[0] == "lamp":
		return last
	case len(parts) > 2 && parts[1] != "build" && parts[1] != "supply":
		return strings.ReplaceAll(parts[len(parts)-2]+" "+last, "_", " ")
	default:
		return strings.ReplaceAll(last, "_", " ")
	}
}

// RecordedText is a value of a record; empty for one that is not known.
func RecordedText(value reflect.Value, tag reflect.StructTag) string {
	switch value.Kind() {
	case reflect.Pointer:
		if value.IsNil() {
			return ""
		}
		if money, ok := value.Interface().(*quantity.Money); ok {
			return money.String()
		}
		if value = value.Elem(); value.Kind() == reflect.Int {
			return fmt.Sprint(value.Int()) // a mark may be 0
		}
		if value.Kind() == reflect.Bool && !value.Bool() {
			return "no"
		}
		return RecordedText(value, tag)
	case reflect.Float64:
		return quantity.Format(value.Float(), tag.Get("unit"), 4)
	case reflect.Int:
		if value.Int() != 0 {
			return fmt.Sprint(value.Int())
		}
	case reflect.Bool:
		if value.Bool() {
			return "yes"
		}
	case reflect.String:
		if tag.Get("enum") == "" {
			return value.String()
		}
		return strings.ReplaceAll(value.String(), "_", " ")
	case reflect.Slice:
		texts := make([]string, value.Len())
		for i := range texts {
			texts[i] = RecordedText(value.Index(i), tag)
		}
		return strings.Join(texts, "; ")
	case reflect.Struct:
		var texts []string
		for i := range value.NumField() {
			if text := RecordedText(value.Field(i), value.Type().Field(i).Tag); text != "" {
				texts = append(texts, text)
			}
		}
		return strings.Join(texts, " ")
	}
	return ""
}

// Sentence is the question of a fact as the end of a line of help.
func (f *Fact) Sentence() string {
	_, first := utf8.DecodeRuneInString(f.Ask)
	return strings.ToLower(f.Ask[:first]) + f.Ask[first:]
}
