package store

import (
	"reflect"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// commentWidth is where the lines of a comment are broken.
const commentWidth = 96

// template writes a record as an example, with what the tags say of each key
// above it; keys the example does not use are named in a comment.
func template(intro string, record any) string {
	lines := comment(intro + " What is not known is left out; only the keys marked needed have to be there.")
	lines = append(lines, templateGroup(reflect.ValueOf(record))...)
	return strings.Join(lines, "\n") + "\n"
}

func templateGroup(group reflect.Value) []string {
	var lines []string
	for _, f := range fieldsOf(group.Type()) {
		value := follow(group.Field(f.index))
		if omitted(value, f) {
			lines = append(lines, comment(f.key+": "+explain(f))...)
			continue
		}
		lines = append(lines, comment(explain(f))...)
		lines = append(lines, templateEntry(f, value)...)
	}
	return lines
}

func templateEntry(f field, value reflect.Value) []string {
	item := value.Type()
	if item.Kind() == reflect.Slice {
		item = item.Elem()
	}
	if item.Kind() != reflect.Struct || isScalar(item) {
		return entryLines(f, value)
	}
	if isSmall(item) {
		var lines []string
		for _, own := range fieldsOf(item) {
			lines = append(lines, comment("  "+own.key+": "+explain(own))...)
		}
		return append(lines, entryLines(f, value)...)
	}
	lines := []string{f.key + ":"}
	if value.Kind() != reflect.Slice {
		return append(lines, indent(templateGroup(value), indentStep)...)
	}
	for i := range value.Len() {
		lines = append(lines, indent([]string{"-"}, indentStep)...)
		lines = append(lines, indent(templateGroup(value.Index(i)), 2*indentStep)...)
	}
	return lines
}

// explain is what the tags say of a key.
func explain(f field) string {
	parts := []string{f.doc}
	if f.enum != nil {
		parts = append(parts, "one of "+strings.Join(f.enum, ", "))
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) + f.unit }
	if f.min != nil && f.max != nil && *f.min < *f.max {
		parts = append(parts, number(*f.min)+" to "+number(*f.max))
	}
	if f.required {
		parts = append(parts, "needed")
	}
	return strings.Join(parts, "; ")
}

// comment breaks text into comment lines, the second and later ones further in;
// blanks in front are kept.
func comment(text string) []string {
	body := strings.TrimLeft(text, " ")
	lead := "# " + text[:len(text)-len(body)]
	further := lead + "  "
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(body) {
		if line != "" && len(lead)+len(line)+1+len(word) > commentWidth {
			lines = append(lines, lead+line)
			line, lead = "", further
		}
		line = strings.TrimPrefix(line+" "+word, " ")
	}
	return append(lines, lead+line)
}

func some[T any](value T) *T { return &value }

// The examples are invented.

func exampleBulb() data.Bulb {
	return data.Bulb{
		Format: currentFormat, ID: "example-led-h11", Name: "Example LED H11", Model: "example-led", Kind: data.KindLED, Size: "H11", AlsoFits: []string{"H8", "H9"},
		Price: &quantity.Money{Amount: 60, Currency: "USD"}, Per: "pair",
		Claims: data.Claims{Lumens: some(6000.0), Watts: some(50.0), CCT: some(6000.0), Per: "pair"},
		Build:  data.Build{Collar: "removable", Clocking: "adjustable", BodyDia: some(38.0), Emitter: some(25.0), Rear: some(57.0), Cooling: "fan", IngressBody: "IP54"},
		Supply: data.Supply{Driver: "internal", VoltsMin: some(9.0), VoltsMax: some(16.0), Watts: some(22.0), BulbOut: "none"},
		Lots: []data.Lot{{Name: "spring", Bought: "2026-03-02", Tests: []data.Test{{
			Rig: "example-projector", Date: "2026-03-14", Volts: some(13.2),
			Stock:    data.StockReading{First: some(905.0), Last: some(900.0), Volts: some(13.2)},
			Readings: []data.Reading{{At: 0, Lux: 1210}, {At: 5, Lux: 1105}, {At: 30, Lux: 1050}},
			Point:    "fixed", Cap: "on", Ambient: some(21.0), Body: some(88.0), Surface: "taped", FoldBack: "none", Watts: some(21.5), Seatings: 3, Spread: some(4.0), Samples: 1,
			Pattern: &data.PatternRecord{Method: "grade", Marks: &data.Marks{Cutoff: some(3), HotSpot: some(2), Stray: some(2), Dark: some(3), Width: some(3)}},
		}}}},
		Source: "own bench, example", Notes: []string{"the collar is stiff"},
	}
}

func exampleRig() data.Rig {
	return data.Rig{
		Format: currentFormat, ID: "example-projector", Name: "Example projector H11", Size: "H11", Beam: data.BeamLow, Housing: data.Projector,
		Distance: some(5.0), Meter: "C", Point: "fixed", Source: "own bench, example",
	}
}

func exampleCar() data.Car {
	return data.Car{
		Format: currentFormat, ID: "example-car", Name: "Example car", Where: "GB", Climate: "mild", Volts: some(13.4), Canbus: some(true), Load: "driver",
		Lamps: []data.Lamp{{
			Size: "H11", Beam: data.BeamLow, Housing: data.Projector, Technology: "halogen", Rear: some(62.0), Cap: "hard", Front: some(70.0), Retention: "twist",
			Feed: "steady", Polarity: "normal", Height: some(650.0), Dip: some(1.2), Marking: "HC",
		}},
		Source: "measured by the owner, example",
	}
}
