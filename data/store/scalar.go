package store

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"stillbright/data"
	"stillbright/data/quantity"
)

var idPattern = data.LateRegexp(`^[a-z0-9][a-z0-9-]{0,62}$`)

// setScalar parses one scalar into target by the field's tags.
func setScalar(target reflect.Value, node *yaml.Node, f field) (hint string, err error) {
	text := node.Value
	switch target.Type() {
	case reflect.TypeFor[quantity.Money]():
		money, err := quantity.ParseMoney(text)
		if err == nil && money.Currency == "" {
			err = fmt.Errorf("%q names no currency", clip(text, 40))
			return "write it as 60USD", err
		}
		target.Set(reflect.ValueOf(money))
		return split(err)
	case reflect.TypeFor[data.Date]():
		date, err := data.ParseDate(text)
		target.SetString(string(date))
		if err != nil {
			return "the year first: 2026-03-14", err
		}
		return "", nil
	}
	switch target.Kind() {
	case reflect.String:
		target.SetString(text)
		return checkText(text, f)
	case reflect.Bool:
		if text != "true" && text != "false" {
			return "", fmt.Errorf("%q: true or false is wanted", clip(text, 40))
		}
		target.SetBool(text == "true")
		return "", nil
	case reflect.Int:
		value, err := strconv.Atoi(text)
		if err != nil {
			return "", fmt.Errorf("%q: a whole number is wanted", clip(text, 40))
		}
		target.SetInt(int64(value))
		return "", checkRange(float64(value), text, f)
	case reflect.Float64:
		value, hint, err := parseNumber(text, f)
		if err != nil {
			return hint, err
		}
		target.SetFloat(value)
		return "", checkRange(value, text, f)
	}
	return "", fmt.Errorf("store: a field of type %s has no reader", target.Type())
}

func parseNumber(text string, f field) (value float64, hint string, err error) {
	if value, ok := plainNumber(text, f); ok {
		return value, "", nil
	}
	switch {
	case f.unit != "" && f.bare:
		value, err = quantity.ParseBare(text, f.unit)
	case f.unit != "":
		value, err = quantity.Parse(text, f.unit)
	default:
		var ok bool
		if value, ok = quantity.Plain(text); !ok {
			return 0, "", fmt.Errorf("%q: a plain number is wanted", clip(text, 40))
		}
	}
	hint, err = split(err)
	return value, hint, err
}

// plainNumber reads the usual way of writing a quantity, digits with the field's
// own unit, without the exact arithmetic that fractions and other units need;
// half the time of reading a large catalog went there. Anything else, and a
// field whose range is not known, is left to package quantity.
func plainNumber(text string, f field) (float64, bool) {
	if f.unit == "" || f.min == nil || f.max == nil || *f.min < 0 || len(text) > 20 {
		return 0, false
	}
	digits, named := strings.CutSuffix(text, f.unit)
	if !named && !f.bare {
		return 0, false
	}
	for i := range len(digits) {
		if (digits[i] < '0' || digits[i] > '9') && (digits[i] != '.' || i == 0 || i == len(digits)-1) {
			return 0, false
		}
	}
	value, err := strconv.ParseFloat(digits, 64)
	return value, err == nil
}

// split takes the hint out of a quantity error, so that both can be shown in
// their own places.
func split(err error) (hint string, plain error) {
	var bad *quantity.Error
	if errors.As(err, &bad) {
		return bad.Hint, errors.New(bad.Message())
	}
	return "", err
}

func checkRange(value float64, text string, f field) error {
	low, high := f.min, f.max
	if (low == nil || value >= *low) && (high == nil || value <= *high) {
		return nil
	}
	unit := f.unit
	switch {
	case low == nil:
		return fmt.Errorf("%s: must be at most %v%s", clip(text, 40), *high, unit)
	case high == nil:
		return fmt.Errorf("%s: must be at least %v%s", clip(text, 40), *low, unit)
	}
	return fmt.Errorf("%s: must be from %v to %v%s", clip(text, 40), *low, *high, unit)
}

func checkText(text string, f field) (hint string, err error) {
	switch {
	case len(text) > maxTextBytes:
		return "", fmt.Errorf("text is longer than %d bytes", maxTextBytes)
	case strings.ContainsFunc(text, hostile):
		return "", errors.New("text holds control characters")
	case f.required && strings.TrimSpace(text) == "":
		return "", errors.New("is empty: " + f.doc)
	case f.id && !idPattern().MatchString(text):
		return "use small letters, digits and hyphens, at most 63", fmt.Errorf("%q is not a short name", clip(text, 40))
	case f.enum != nil && !slices.Contains(f.enum, text):
		if near := data.Near(text, f.enum); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return hint, fmt.Errorf("%q: must be %s", clip(text, 40), strings.Join(f.enum, ", "))
	}
	return "", nil
}

// hostile says whether a character could move a terminal's cursor or hide text.
func hostile(r rune) bool {
	return r != '\n' && r != '\t' && data.Commands(r) || r == utf8.RuneError
}

func keyList(fields []field) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	return strings.Join(names, " ")
}

func join(path, key string) string {
	if path == "" {
		return clip(key, 60)
	}
	return path + "." + clip(key, 60)
}

// clip shortens text from a file for a message and shows control characters as
// escapes.
func clip(text string, most int) string {
	if len(text) > most {
		text = strings.ToValidUTF8(text[:most], "") + "…"
	}
	if strings.ContainsFunc(text, hostile) {
		text = strings.Trim(strconv.Quote(text), `"`)
	}
	return text
}
