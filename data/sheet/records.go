package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"

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

// ReadRecords reads what WriteRecords wrote. Faults have a position.
func ReadRecords(r io.Reader, name string) (data.Catalog, error) {
	var c data.Catalog
	content, err := io.ReadAll(io.LimitReader(r, workbookBytes+1))
	if err != nil {
		return c, fmt.Errorf("%s cannot be read: %w", name, err)
	}
	if len(content) > workbookBytes {
		return c, fileFault(name, 1, 1, fmt.Sprintf("is larger than %d MB", workbookBytes>>20), "")
	}
	decoder := json.NewDecoder(bytes.NewReader(content))
	decoder.UseNumber()
	var document map[string]any
	err = decoder.Decode(&document)
	if err == nil {
		if _, more := decoder.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("something stands behind the document")
		}
	}
	if err != nil {
		at := min(int(decoder.InputOffset()), len(content))
		var wrong *json.SyntaxError
		if errors.As(err, &wrong) {
			at = min(int(wrong.Offset), len(content))
		}
		before := content[:at]
		return c, fileFault(name, 1+bytes.Count(before, []byte("\n")), max(1, len(before)-bytes.LastIndexByte(before, '\n')-1), "is no JSON document: "+err.Error(), "catalog import reads CSV, XLSX and what catalog export FILE.json wrote")
	}
	if document["schema"] != recordsSchema {
		return c, fileFault(name, 1, 1, fmt.Sprintf("is no document of records: schema must be %s", recordsSchema), "write one with: stillbright catalog export FILE.json")
	}
	for _, part := range []struct {
		key  string
		into any
	}{{"name", &c.Name}, {"invented", &c.Invented}, {"rigs", &c.Rigs}, {"bulbs", &c.Bulbs}, {"cars", &c.Cars}} {
		if err := decodeInto(document[part.key], reflect.ValueOf(part.into).Elem(), part.key); err != nil {
			return c, fileFault(name, 1, 1, err.Error(), "")
		}
	}
	return c, nil
}

// ApplyRecords adds the records of another catalog, each whole or not at all.
// Rigs and cars that are there with other facts are not changed and fail.
func ApplyRecords(c *data.Catalog, file string, from data.Catalog, known store.Knowledge) []Outcome {
	var list []Outcome
	fail := func(path, id, message string) {
		list = append(list, Outcome{State: StateFailed, Bulb: id, Fault: &data.Fault{File: file, Path: path, Message: message}})
	}
	for i, rig := range from.Rigs {
		path := fmt.Sprintf("rigs[%d]", i)
		have, there := c.Rig(rig.ID)
		trial := data.Catalog{Rigs: []data.Rig{rig}}
		_, err := store.Encode(rig)
		switch faults := trial.Validate(known.Sizes, known.Places).Wrong(); {
		case there && encodeCompact(have) != encodeCompact(rig):
			fail(path, rig.ID, fmt.Sprintf("rig %q is in the catalog with other facts; it is not changed", rig.ID))
		case err != nil:
			fail(path, rig.ID, err.Error())
		case len(faults) > 0:
			fail(path, rig.ID, faults[0].Message)
		case !there:
			c.Rigs = append(slices.Clip(c.Rigs), rig)
			list = append(list, Outcome{State: StateAdded, Bulb: rig.ID})
		}
	}
	for i, car := range from.Cars {
		path := fmt.Sprintf("cars[%d]", i)
		have, there := c.Car(car.ID)
		trial := data.Catalog{Cars: []data.Car{car}}
		trial.Cars[0].Lamps = slices.Clone(car.Lamps)
		_, err := store.Encode(car)
		switch faults := trial.Validate(known.Sizes, known.Places).Wrong(); {
		case there && encodeCompact(have) != encodeCompact(car):
			fail(path, car.ID, fmt.Sprintf("car %q is in the catalog with other facts; it is not changed", car.ID))
		case err != nil:
			fail(path, car.ID, err.Error())
		case len(faults) > 0:
			fail(path, car.ID, faults[0].Message)
		case !there:
			c.Cars = append(slices.Clip(c.Cars), car)
			list = append(list, Outcome{State: StateAdded, Bulb: car.ID})
		}
	}
	var entries []Entry
	for _, bulb := range from.Bulbs {
		lots := bulb.Lots
		bulb.Lots = nil
		entries = append(entries, Entry{Bulb: bulb})
		for _, lot := range lots {
			entries = append(entries, Entry{Bulb: bulb, Lot: data.Lot{Name: lot.Name, Bought: lot.Bought}, Tests: lot.Tests})
		}
	}
	return append(list, Apply(c, file, entries, known)...)
}
