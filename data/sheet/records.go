package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/store"
)

// recordsSchema names the document that holds all records of a catalog.
const recordsSchema = "stillbright/records/1"

// RecordsSheet is the document of `catalog export FILE.json`: every record with
// every field, so that nothing is lost.
type RecordsSheet struct {
	Schema   string      `json:"schema" enum:"stillbright/records/1" doc:"document and version"`
	Name     string      `json:"name" doc:"name of the catalog"`
	Invented bool        `json:"invented" doc:"made-up data"`
	Rigs     []data.Rig  `json:"rigs" doc:"lamps on the bench"`
	Bulbs    []data.Bulb `json:"bulbs" doc:"bulbs with their lots and tests"`
	Cars     []data.Car  `json:"cars" doc:"the user's cars"`
}

// WriteRecords writes all records of a catalog as one JSON document.
func WriteRecords(c data.Catalog) ([]byte, error) {
	var out bytes.Buffer
	fmt.Fprintf(&out, "{%q:%q,%q:", "schema", recordsSchema, "name")
	encodeText(&out, c.Name)
	fmt.Fprintf(&out, ",%q:%v,%q:", "invented", c.Invented, "rigs")
	encodeRecord(&out, reflect.ValueOf(c.Rigs), true)
	fmt.Fprintf(&out, ",%q:", "bulbs")
	encodeRecord(&out, reflect.ValueOf(c.Bulbs), true)
	fmt.Fprintf(&out, ",%q:", "cars")
	encodeRecord(&out, reflect.ValueOf(c.Cars), true)
	out.WriteString("}\n")
	var text bytes.Buffer
	if err := json.Indent(&text, out.Bytes(), "", " "); err != nil {
		return nil, fmt.Errorf("the records cannot be written as JSON: %w", err)
	}
	return text.Bytes(), nil
}

// Records are those of a JSON document, and where each stands in it.
type Records struct {
	Catalog data.Catalog

	file    string
	content []byte
	root    *jsonNode
}

// fault is a fault of the document at an offset.
func (r Records) fault(at int, path, message, hint string) data.Fault {
	line, col := placeOf(r.content, at)
	return data.Fault{File: r.file, Line: line, Col: col, Path: path, Message: message, Hint: hint}
}

// ReadRecords reads what WriteRecords wrote. Faults have a position.
func ReadRecords(r io.Reader, name string) (Records, error) {
	content, err := io.ReadAll(io.LimitReader(r, recordsBytes+1))
	records := Records{file: name, content: content}
	if err != nil {
		return records, fmt.Errorf("%s cannot be read: %w", name, err)
	}
	if len(content) > recordsBytes {
		return records, fileFault(name, 1, 1, fmt.Sprintf("is larger than %d MB", recordsBytes>>20), "")
	}
	text := bytes.TrimPrefix(content, []byte("\xEF\xBB\xBF"))
	records.content = text
	const hint = "catalog import reads CSV, XLSX and what catalog export FILE.json wrote"
	var wrong *jsonFault
	if records.root, err = parseJSON(text); errors.As(err, &wrong) {
		return records, data.Faults{records.fault(wrong.at, wrong.path, wrong.message, hint)}
	}
	group, ok := records.root.value.(jsonGroup)
	if schema := group.nodes["schema"]; !ok || schema == nil || schema.value != recordsSchema {
		at := records.root.at
		if schema != nil {
			at = schema.at
		}
		return records, data.Faults{records.fault(at, "", "is no document of records: schema must be "+recordsSchema, "write one with: stillbright catalog export FILE.json")}
	}
	c := &records.Catalog
	for _, key := range group.keys {
		into, known := map[string]any{"name": &c.Name, "invented": &c.Invented, "rigs": &c.Rigs, "bulbs": &c.Bulbs, "cars": &c.Cars}[key]
		switch {
		case key == "schema":
			continue
		case !known:
			return records, data.Faults{records.fault(group.nodes[key].at, "", quoted(key)+" is no key of this document", "name, invented, rigs, bulbs, cars")}
		}
		if err := decodeRecord(group.nodes[key], into, key); errors.As(err, &wrong) {
			return records, data.Faults{records.fault(wrong.at, wrong.path, wrong.message, "")}
		}
	}
	return records, nil
}

// ApplyRecords adds the records of another catalog as Apply does, each whole or
// not at all: what is missing on file is filled in, what differs is reported.
func ApplyRecords(c *data.Catalog, from Records, known store.Knowledge, choices Choices) []Outcome {
	list := applyPlain(&c.Rigs, from, "rig", from.Catalog.Rigs, choices, func(r data.Rig) string { return r.ID }, func(rig data.Rig) data.Faults {
		trial := data.Catalog{Rigs: []data.Rig{rig}}
		return trial.Validate(known.Sizes, known.Places).Wrong()
	})
	list = append(list, applyPlain(&c.Cars, from, "car", from.Catalog.Cars, choices, func(c data.Car) string { return c.ID }, func(car data.Car) data.Faults {
		car.Lamps = slices.Clone(car.Lamps)
		trial := data.Catalog{Cars: []data.Car{car}}
		return trial.Validate(known.Sizes, known.Places).Wrong()
	})...)
	var entries []Entry
	var paths []string
	add := func(e Entry, path string) {
		entries, paths = append(entries, e), append(paths, path)
	}
	for i, bulb := range from.Catalog.Bulbs {
		lots := bulb.Lots
		bulb.Lots = nil
		path := fmt.Sprintf("bulbs[%d]", i)
		add(Entry{Bulb: bulb}, path)
		for j, lot := range lots {
			own := Entry{Bulb: bulb, Lot: data.Lot{Name: lot.Name, Bought: lot.Bought}}
			path := fmt.Sprintf("%s.lots[%d]", path, j)
			if len(lot.Tests) == 0 {
				add(own, path)
			}
			for k, test := range lot.Tests {
				own.Tests = []data.Test{test}
				add(own, fmt.Sprintf("%s.tests[%d]", path, k))
			}
		}
	}
	for i, o := range Apply(c, from.file, entries, known, choices) {
		if o.Fault != nil {
			// The fault speaks of a bulb with this one test.
			path := strings.TrimPrefix(o.Fault.Path, "lots[0].tests[0]")
			if path == o.Fault.Path && path != "" {
				path = strings.TrimPrefix("."+path, ".lots[0]")
				if head, _, _ := strings.Cut(paths[i], ".lots"); path == "."+o.Fault.Path {
					paths[i] = head
				}
			}
			path = paths[i] + path
			fault := from.fault(from.root.find(path).at, path, o.Fault.Message, o.Fault.Hint)
			o.Fault = &fault
		}
		list = append(list, o)
	}
	return list
}

// applyPlain adds records of a kind that are told by their id.
func applyPlain[T any](into *[]T, from Records, kind string, records []T, choices Choices, id func(T) string, check func(T) data.Faults) []Outcome {
	var list []Outcome
	*into = slices.Clip(*into)
	places := map[string]int{}
	for i, have := range slices.Backward(*into) {
		places[id(have)] = i
	}
	for i, record := range records {
		o := Outcome{Kind: kind, ID: id(record), State: StateKnown}
		place, there := places[o.ID]
		if !there {
			place = -1
		}
		o.New = !there
		m := merging{of: o.ID, update: choices.Update}
		if place >= 0 {
			record = merged(&m, (*into)[place], record)
		}
		o.Differences = m.differences
		_, err := store.Encode(record)
		faults := data.Faults{}
		if !errors.As(err, &faults) && err != nil {
			faults = data.Faults{{Message: err.Error()}}
		}
		if len(faults) == 0 {
			faults = check(record)
		}
		switch {
		case len(faults) > 0:
			path := fmt.Sprintf("%ss[%d]", kind, i)
			if faults[0].Path != "" {
				path += "." + faults[0].Path
			}
			fault := from.fault(from.root.find(path).at, path, faults[0].Message, faults[0].Hint)
			o.State, o.Fault = StateFailed, &fault
		case o.New:
			places[o.ID] = len(*into)
			*into = append(*into, record)
			o.State = StateAdded
		case len(m.differences) > 0 && !choices.Update:
			o.State = StateDiffers
		case len(m.differences) > 0:
			(*into)[place], o.State = record, StateUpdated
		case m.filled:
			(*into)[place], o.State = record, StateAdded
		}
		list = append(list, o)
	}
	return list
}
