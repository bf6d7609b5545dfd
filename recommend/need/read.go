package need

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// Known is what the words of a need are held against.
type Known struct {
	Places []data.Place
	Roads  []string // the driving profiles, in the order in which they are listed
	// RoadsMeant gives the profiles that an everyday word for a road means; nil:
	// no such word is known.
	RoadsMeant func(word string) []string
}

// at is the field of a need that a line is about.
func (f *Fact) at(n *Need) any { return reflect.ValueOf(n).Elem().Field(f.field).Addr().Interface() }

// Take reads a fact as it is typed behind its flag, and sets it. The error, an
// *Error or a *quantity.Error, says what is wrong with the text and does not name
// the flag. A car is not read here: it takes the records.
func (f *Fact) Take(n *Need, text string, known Known) error {
	switch f.Kind {
	case OfCar:
		return nil
	case OfPer:
		return f.takePer(n, text)
	case OfMoney:
		return takeMoney(n, text)
	case OfRoads:
		return takeRoads(n, text, known)
	case OfPlace:
		return takePlace(n, text, known)
	case OfWeights:
		return takeWeights(n, text)
	case OfWord:
		word, err := Legal(f.Flag, text, f.Words)
		if err != nil {
			return err
		}
		setText(f.at(n), word)
	case OfSize:
		setText(f.at(n), text)
	case OfNumber:
		value, err := Within(text, f.Unit, f.Least, f.Most)
		if err != nil {
			return err
		}
		setNumber(f.at(n), value)
		if f.Unit == "km/h" {
			n.Imperial = strings.Contains(strings.ToLower(text), "mph")
		}
	case OfTruth:
		return takeTruth(f.at(n).(**bool), text)
	case OfWish:
		value, err := strconv.ParseBool(text)
		if err != nil {
			return &Error{Message: fmt.Sprintf("%q: must be true, false", text)}
		}
		*f.at(n).(*bool) = value
	}
	return nil
}

// Suppose is the need with an answer of the table's own, as in Likely.
func (f *Fact) Suppose(n Need, answer string) Need {
	if answer == "" {
		return n
	}
	if err := f.Take(&n, answer, Known{Roads: f.Words}); err != nil {
		panic("need: the table's own answer: " + err.Error())
	}
	return n
}

// Legal reads a word of a closed list; hyphens stand for underscores. The flag
// names what to type instead.
func Legal(flag, text string, legal []string) (string, error) {
	if text == "" {
		return "", &Error{Message: "is empty; legal: " + strings.Join(legal, " ")}
	}
	value := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), "-", "_")
	if slices.Contains(legal, value) {
		return value, nil
	}
	wrong := &Error{Message: fmt.Sprintf("%q: must be %s", text, strings.Join(legal, ", "))}
	if near := data.Near(value, legal); len(near) > 0 {
		wrong.Hint = "--" + flag + " " + near[0]
	}
	return "", wrong
}

// Within reads a quantity within bounds; a bare number is in unit, as the bounds
// and the result are.
func Within(text, unit string, least, most float64) (float64, error) {
	value, err := quantity.ParseBare(text, unit)
	if err != nil {
		return 0, err
	}
	if value < least || value > most {
		return 0, &Error{Message: fmt.Sprintf("%s: must be from %s to %s", text,
			quantity.Format(least, unit, 6), quantity.Format(most, unit, 6))}
	}
	return value, nil
}

func setText(field any, text string) {
	switch field := field.(type) {
	case *string:
		*field = text
	case *Word:
		*field = Word(text)
	}
}

func setNumber(field any, value float64) {
	switch field := field.(type) {
	case *float64:
		*field = value
	case **float64:
		*field = &value
	}
}

func takeTruth(field **bool, text string) error {
	yes, no := true, false
	switch strings.ToLower(text) {
	case "true", "yes":
		*field = &yes
	case "false", "no":
		*field = &no
	case "null", "unknown":
		*field = nil
	default:
		return &Error{Message: fmt.Sprintf("%q: must be true, false, unknown", text)}
	}
	return nil
}

func takeMoney(n *Need, text string) error {
	money, err := quantity.ParseMoney(text)
	if err != nil {
		return err
	}
	n.Budget = &Budget{Amount: money.Amount, Currency: Word(money.Currency)}
	return nil
}

func (f *Fact) takePer(n *Need, text string) error {
	per, err := Legal(f.Flag, text, f.Words)
	switch {
	case err != nil:
		return err
	case n.Budget == nil:
		return &Error{Message: "needs --budget", Hint: "--budget 60USD --per " + per}
	}
	budget := *n.Budget
	budget.Per = per
	n.Budget = &budget
	return nil
}

// takeRoads reads the roads. An everyday word for one of them ("town", "motorway")
// is answered with the name it has here; it is not taken for it, since a script
// that typed it should be put right once.
func takeRoads(n *Need, text string, known Known) error {
	var list []string
	for _, word := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ' ' }) {
		word = strings.ToLower(word)
		if !slices.Contains(known.Roads, word) {
			wrong := &Error{Message: fmt.Sprintf("%q: must be %s", word, strings.Join(known.Roads, ", "))}
			if near := data.Near(word, known.Roads); len(near) > 0 {
				wrong.Hint = "--driving " + near[0]
			} else if known.RoadsMeant != nil {
				if meant := known.RoadsMeant(word); len(meant) > 0 {
					wrong.Hint = "--driving " + strings.Join(meant, ",")
				}
			}
			return wrong
		}
		if !slices.Contains(list, word) {
			list = append(list, word)
		}
	}
	n.Driving = list
	return nil
}

func takePlace(n *Need, text string, known Known) error {
	place, near, ok := data.FindPlace(known.Places, text)
	if !ok {
		hint := "a country code such as GB, or a region such as US-VA"
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return &Error{Message: fmt.Sprintf("%q is not a place that is known", text), Hint: hint}
	}
	n.Where = Word(place.Code)
	return nil
}

// takeWeights reads output=…,pattern=…,heat=… in any order; all three are needed.
func takeWeights(n *Need, text string) error {
	fault := func(what string, args ...any) error {
		return &Error{Message: fmt.Sprintf(what, args...), Hint: "--weights output=0.5,pattern=0.3,heat=0.2"}
	}
	values := map[string]float64{}
	for _, part := range strings.Split(text, ",") {
		name, number, ok := strings.Cut(strings.TrimSpace(part), "=")
		value, plain := quantity.Plain(strings.TrimSpace(number))
		if !ok || !plain || !slices.Contains([]string{"output", "pattern", "heat"}, name) {
			return fault("%q: three numbers named output, pattern and heat are wanted", text)
		}
		if _, twice := values[name]; twice {
			return fault("%q: %s is given twice", text, name)
		}
		values[name] = value
	}
	if len(values) != 3 {
		return fault("%q: all three of output, pattern and heat are wanted", text)
	}
	if err := n.SetWeights(Weights{Output: values["output"], Pattern: values["pattern"], Heat: values["heat"]}); err != nil {
		return fault("%s", err)
	}
	return nil
}

// Hear takes over what was understood of plain words: a struct whose keys in a
// document are the slots. What was said is read as it would be typed, so that
// nothing can be said that no flag takes; the facts whose number is out of bounds
// are left open and returned. Numbers are rounded to a hundredth, since most come
// from a conversion.
func Hear(n *Need, understood any, known Known) (leftOut []*Fact) {
	value := reflect.ValueOf(understood)
	for i := range value.NumField() {
		f := bySlot[Slot(value.Type().Field(i).Tag.Get("json"))]
		if f == nil {
			continue
		}
		field := value.Field(i)
		switch f.Kind {
		case OfMoney:
			hearMoney(n, field)
		case OfNumber:
			if field.IsNil() {
				continue
			}
			if heard := hundredths(field.Elem().Float()); heard >= f.Least && heard <= f.Most {
				setNumber(f.at(n), heard)
			} else {
				leftOut = append(leftOut, f)
			}
		default:
			if text := typed(field); text != "" {
				_ = f.Take(n, text, known) // a word that no flag takes is not one of the need
			}
		}
	}
	return leftOut
}

// typed is a value that was understood, as it would be typed.
func typed(field reflect.Value) string {
	switch field.Kind() {
	case reflect.Pointer:
		if field.IsNil() {
			return ""
		}
		return typed(field.Elem())
	case reflect.String:
		return field.String()
	case reflect.Bool:
		return strconv.FormatBool(field.Bool())
	case reflect.Slice:
		words := make([]string, field.Len())
		for i := range words {
			words[i] = field.Index(i).String()
		}
		return strings.Join(words, ",")
	}
	return ""
}

// hearMoney takes over an amount with its currency and what it is for.
func hearMoney(n *Need, field reflect.Value) {
	if field.IsNil() {
		return
	}
	money := field.Elem()
	if amount := money.FieldByName("Amount").Float(); amount > 0 {
		n.Budget = &Budget{Amount: hundredths(amount), Currency: Word(money.FieldByName("Currency").String()), Per: money.FieldByName("Per").String()}
	}
}

func hundredths(v float64) float64 { return math.Round(100*v) / 100 }
