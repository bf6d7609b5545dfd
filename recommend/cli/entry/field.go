package entry

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/quantity"
	"stillbright/data/store"
	"stillbright/recommend/ask"
	"stillbright/recommend/need"
)

// Field is a fact of a record as it is asked for and taken from a flag.
type Field struct{ data.Fact }

// Fields are the fields of some parts, in the order in which they are asked.
func Fields(parts ...data.Part) (fields []Field) {
	for _, fact := range data.FactsOf(parts...) {
		fields = append(fields, Field{fact})
	}
	return fields
}

// CLIFlag makes the flag of a field, with the unit of a bare number and the legal
// words in its help.
func (f Field) CLIFlag() cli.Flag {
	text := f.Sentence()
	if words := f.Legal(); words != nil {
		text += ": " + strings.Join(words, ", ")
	}
	if f.IsTruth() {
		text += ": true, false"
	}
	if f.Unit() != "" {
		text += " (bare: " + f.Unit() + ")"
	}
	category := map[string]string{"bulb": "the bulb", "rig": "a new rig", "lot": "the test", "test": "the test", "car": "the car"}
	return &cli.StringFlag{Name: f.Flag, Usage: text, Category: category[f.Record()]}
}

// Normal writes an answer as the record wants it: yes and no as a record does; and
// of a tester, who types many, a bare number gets the unit that help names, and words
// lose their hyphens.
func (f Field) Normal(text string) string {
	text = strings.TrimSpace(text)
	if f.Part == data.OfCar || f.Part == data.OfLamp {
		if f.IsTruth() {
			return Truth(text)
		}
		return text
	}
	if words := f.Legal(); words != nil {
		if word := strings.ReplaceAll(strings.ToLower(text), "-", "_"); slices.Contains(words, word) {
			return word
		}
		return text
	}
	switch {
	case f.IsSize():
		return strings.ToUpper(text)
	case f.IsTruth():
		return Truth(text)
	case f.Unit() != "":
		if value, err := quantity.ParseBare(text, f.Unit()); err == nil {
			return quantity.Format(Tidy(value), f.Unit(), 0)
		}
	}
	return text
}

// Truth writes yes and no as a record does.
func Truth(text string) string {
	switch strings.ToLower(text) {
	case "yes":
		return "true"
	case "no":
		return "false"
	}
	return text
}

// Tidy takes off the endless digits that a conversion of units leaves.
func Tidy(value float64) float64 {
	const decimals = 1e4
	if rounded := math.Round(value*decimals) / decimals; rounded != 0 {
		return rounded
	}
	return value
}

// emptyRecords make a record for the first part of a key.
var emptyRecords = map[string]func() any{
	"test": func() any { return new(data.Test) }, "bulb": func() any { return new(data.Bulb) }, "rig": func() any { return new(data.Rig) },
	"lot": func() any { return new(data.Lot) }, "car": func() any { return new(data.Car) }, "lamp": func() any { return new(data.Lamp) },
}

// Check reads one answer by the rules of the record, as it would be written there.
// An empty answer is "don't know".
func (f Field) Check(text string) error {
	switch {
	case text == "" && f.Needed:
		return errors.New("an answer is needed here")
	case text == "":
		return nil
	case f.IsSize():
		if _, near, ok := data.FindSize(known.Sizes(), text); !ok {
			return errors.New(strings.TrimSuffix(fmt.Sprintf("size %q is not known; near: %s", text, strings.Join(near, " ")), "; near: "))
		}
		return nil
	case f.Key == "car.where":
		if _, near, ok := data.FindPlace(known.Places(), text); !ok {
			return fmt.Errorf("%q is not a place that is known; near: %s", text, strings.Join(near, ", "))
		}
		return nil
	}
	_, faults := store.Decode("answer", []byte(recordText(map[string]string{f.Path(): f.Normal(text)})), emptyRecords[f.Record()]())
	for _, fault := range faults {
		if fault.Path == f.Path() {
			return errors.New(strings.TrimSuffix(fault.Message+"; "+fault.Hint, "; "))
		}
	}
	return nil
}

// shownAs are words of a record that a person would say otherwise.
var shownAs = map[string]string{"lamp.cap none": "nothing", "lamp.polarity ac": "alternating current"}

// Question asks for the field; flag gives the same answer.
func (f Field) Question(flag string) ask.Question {
	q := ask.Question{Label: f.Ask, Help: f.How, Flag: flag, AllowUnknown: !f.Needed, Kind: ask.Text}
	switch words := f.Legal(); {
	case f.IsTruth():
		q.Kind = ask.YesNo
	case f.Key == "car.where":
		q.Options, q.MustMove = PlaceOptions(known.Places()), true
	case f.Key == "lamp.size":
		q.Options, q.MustMove = SizeOptions(known.Sizes()), true
	case words == nil:
		q.Validate = f.Check
	default:
		for _, word := range words {
			option := ask.Option{Value: word, Label: strings.ReplaceAll(word, "_", " ")}
			if said := shownAs[f.Key+" "+word]; said != "" {
				option.Label = said
			}
			if f.Key == "lamp.beam" {
				option.Note = need.Of(need.Beam).Means[word]
			}
			q.Options = append(q.Options, option)
		}
	}
	if q.Options != nil {
		q.Kind, q.Search = ask.List, true
	}
	return q
}

// SizeOptions lists the sizes that say what they are for.
func SizeOptions(sizes []data.Size) (options []ask.Option) {
	for _, size := range sizes {
		if len(size.Functions) > 0 && size.ReadAs == "" {
			options = append(options, ask.Option{Value: size.Category, Label: size.Category,
				Note: strings.Join(append(slices.Clone(size.Aliases), size.Beams...), " ")})
		}
	}
	return options
}

func PlaceOptions(places []data.Place) (options []ask.Option) {
	for _, place := range places {
		options = append(options, ask.Option{Value: place.Code, Label: place.Name, Note: strings.Join(append([]string{place.Code}, place.Aliases...), " ")})
	}
	return options
}
