package store

import (
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"stillbright/data"
	"stillbright/data/quantity"
)

// scalarText writes one value. A number whose key names its unit stands bare,
// any other quantity carries its unit; all digits that are needed to read the
// same number back are written, and no more.
func scalarText(value reflect.Value, f field, inside bool) string {
	switch value.Type() {
	case reflect.TypeFor[quantity.Money]():
		return value.Interface().(quantity.Money).String()
	case reflect.TypeFor[data.Date]():
		return value.String()
	}
	switch value.Kind() {
	case reflect.Bool:
		return strconv.FormatBool(value.Bool())
	case reflect.Int:
		return strconv.FormatInt(value.Int(), 10)
	case reflect.Float64:
		if f.unit != "" && !f.bare {
			return quantity.Format(value.Float(), f.unit, 0)
		}
		return numberText(value.Float())
	}
	if slices.Contains(f.enum, value.String()) {
		return value.String()
	}
	return quoteText(value.String(), inside)
}

// numberText writes a plain number; very large and very small ones with an
// exponent.
func numberText(value float64) string {
	if size := math.Abs(value); size != 0 && (size < 1e-6 || size >= 1e15) {
		return strconv.FormatFloat(value, 'g', -1, 64)
	}
	return strconv.FormatFloat(value, 'f', -1, 64)
}

// wordsOfOld are read as true or false by older YAML readers.
var wordsOfOld = []string{"y", "n", "yes", "no", "on", "off"}

// quoteText writes free text: as it is where every YAML reader takes it for
// that text, else in double quotes.
func quoteText(text string, inside bool) string {
	if isPlain(text, inside) {
		return text
	}
	var out strings.Builder
	out.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			out.WriteByte('\\')
			out.WriteRune(r)
		case r == '\n':
			out.WriteString(`\n`)
		case r == '\t':
			out.WriteString(`\t`)
		case r == ' ' || (unicode.IsPrint(r) && r != '\uFEFF'):
			out.WriteRune(r)
		case r <= 0xFFFF:
			out.WriteString(`\u` + hex(r, 4))
		default:
			out.WriteString(`\U` + hex(r, 8))
		}
	}
	out.WriteByte('"')
	return out.String()
}

func hex(r rune, digits int) string {
	text := strings.ToUpper(strconv.FormatInt(int64(r), 16))
	return strings.Repeat("0", digits-len(text)) + text
}

// isPlain says whether text may stand without quotes.
func isPlain(text string, inside bool) bool {
	for i, r := range text {
		switch {
		case i == 0 && !unicode.IsLetter(r) && !unicode.IsDigit(r):
			return false
		case r != ' ' && !unicode.IsPrint(r):
			return false
		case inside && strings.ContainsRune(",[]{}?:", r):
			return false
		}
	}
	if text == "" || strings.HasSuffix(text, " ") || strings.HasSuffix(text, ":") ||
		strings.Contains(text, ": ") || strings.Contains(text, " #") {
		return false
	}
	if slices.Contains(wordsOfOld, strings.ToLower(text)) {
		return false
	}
	node := yaml.Node{Kind: yaml.ScalarNode, Value: text}
	return node.ShortTag() == "!!str"
}
