package quantity

import (
	"math/big"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is the length in bytes beyond which text is no quantity.
const longest = 64

// part is one number with the unit behind it; unit is empty when none stood there.
type part struct {
	value    *big.Rat
	negative bool
	whole    bool // written without point, exponent or fraction
	unit     string
}

var vulgar = map[rune]*big.Rat{'½': big.NewRat(1, 2), '¼': big.NewRat(1, 4), '¾': big.NewRat(3, 4)}

// scan splits text into numbers and units. It knows no unit; only what a number
// looks like.
func scan(text string) ([]part, *Error) {
	fail := func(reason, hint string) ([]part, *Error) {
		return nil, &Error{Text: text, Reason: reason, Hint: hint}
	}
	rest := strings.TrimSpace(text)
	switch {
	case len(text) > longest:
		return nil, &Error{Text: text[:cut(text, longest)] + "…", Reason: "too long for a number with a unit"}
	case rest == "":
		return fail("empty", "")
	case strings.ContainsRune(rest, ','):
		reason, hint := commaFault(rest)
		return fail(reason, hint)
	case strings.ContainsRune(rest, '_'):
		return fail("an underscore is not part of a number", "write "+strings.ReplaceAll(rest, "_", ""))
	case strings.ContainsRune(rest, ':'):
		return fail("a colon is not part of a quantity", "write 1h30, 90min or 90s for a time")
	}
	lower := strings.ToLower(strings.TrimLeft(rest, "+-−"))
	if strings.HasPrefix(lower, "inf") || strings.HasPrefix(lower, "nan") {
		return fail("not a finite number", "")
	}
	if strings.HasPrefix(lower, "0x") || strings.HasPrefix(lower, "0b") || (strings.HasPrefix(lower, "0o") && digitsLength(lower[2:]) > 0) {
		return fail("only decimal numbers are read", "")
	}
	var parts []part
	for rest != "" {
		p, after, reason := scanNumber(rest)
		if reason != "" {
			return fail(reason, "")
		}
		rest = strings.TrimLeftFunc(after, unicode.IsSpace)
		end := unitEnd(rest)
		p.unit = strings.TrimSpace(rest[:end])
		rest = rest[end:]
		if rest != "" && (p.unit == "-" || p.unit == "–" || p.unit == "..") {
			return fail("a range; one number is wanted", "")
		}
		if rest != "" && p.unit == "" {
			return fail("two numbers with no unit between them", "write one number with its unit")
		}
		parts = append(parts, p)
	}
	return parts, nil
}

// scanNumber reads one number at the start of text: a decimal number, a fraction,
// or a whole number with a fraction behind it. reason is empty on success.
func scanNumber(text string) (p part, rest, reason string) {
	rest = text
	switch {
	case strings.HasPrefix(rest, "+"):
		rest = rest[1:]
	case strings.HasPrefix(rest, "-"), strings.HasPrefix(rest, "−"):
		p.negative = true
		rest = strings.TrimPrefix(strings.TrimPrefix(rest, "-"), "−")
	}
	if first, size := utf8.DecodeRuneInString(rest); vulgar[first] != nil {
		p.value = vulgar[first]
		return p, rest[size:], ""
	}
	length := decimalLength(rest)
	if length == 0 {
		return p, text, "a number must come first"
	}
	digits := rest[:length]
	rest = rest[length:]
	value, reason := decimal(digits)
	if reason != "" {
		return p, text, reason
	}
	p.value = value
	p.whole = !strings.ContainsAny(digits, ".eE")
	if !p.whole {
		return p, rest, ""
	}
	if top, after, ok := fraction(digits, rest); ok {
		if top == nil {
			return p, text, "a fraction divides by zero"
		}
		p.value, p.whole = top, false
		return p, after, ""
	}
	// 2½, 2 ½, 2 1/4, 2-1/4
	tail := strings.TrimLeftFunc(rest, unicode.IsSpace)
	if first, size := utf8.DecodeRuneInString(tail); vulgar[first] != nil {
		p.value, p.whole = new(big.Rat).Add(value, vulgar[first]), false
		return p, tail[size:], ""
	}
	if tail == rest {
		tail = strings.TrimPrefix(rest, "-")
		if tail == rest {
			return p, rest, ""
		}
	}
	second := digitsLength(tail)
	if second == 0 {
		return p, rest, ""
	}
	if add, after, ok := fraction(tail[:second], tail[second:]); ok {
		if add == nil {
			return p, text, "a fraction divides by zero"
		}
		if add.Cmp(big.NewRat(1, 1)) >= 0 {
			return p, text, "the fraction behind a whole number must be below one"
		}
		p.value, p.whole = new(big.Rat).Add(value, add), false
		return p, after, ""
	}
	return p, rest, ""
}

// fraction reads "/d" behind the digits of a numerator. A nil value with ok true
// means a division by zero.
func fraction(top, rest string) (value *big.Rat, after string, ok bool) {
	if !strings.HasPrefix(rest, "/") {
		return nil, rest, false
	}
	length := digitsLength(rest[1:])
	if length == 0 {
		return nil, rest, false
	}
	numerator, _ := new(big.Int).SetString(top, 10)
	denominator, _ := new(big.Int).SetString(rest[1:1+length], 10)
	after = rest[1+length:]
	if denominator.Sign() == 0 {
		return nil, after, true
	}
	return new(big.Rat).SetFrac(numerator, denominator), after, true
}

// decimal turns digits with an optional point and exponent into an exact value.
// A leading zero is only a zero: 010 is ten.
func decimal(digits string) (*big.Rat, string) {
	approximate, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return nil, "too large for a number"
	}
	mantissa, exponent, found := strings.Cut(strings.ToLower(digits), "e")
	if found {
		power, err := strconv.Atoi(exponent)
		if err != nil || power > 30 || power < -30 {
			return nil, "the exponent must lie between -30 and 30"
		}
	}
	if approximate == 0 && strings.ContainsAny(mantissa, "123456789") {
		return nil, "too small for a number"
	}
	value, ok := new(big.Rat).SetString(strings.TrimSuffix(mantissa, ".") + strings.TrimPrefix(strings.ToLower(digits), mantissa))
	if !ok {
		return nil, "not a decimal number"
	}
	return value, ""
}

func digitsLength(text string) int {
	length := 0
	for length < len(text) && text[length] >= '0' && text[length] <= '9' {
		length++
	}
	return length
}

// decimalLength is the length of the decimal number at the start of text; an e is an
// exponent only when digits follow it.
func decimalLength(text string) int {
	length := digitsLength(text)
	seen := length
	if length < len(text) && text[length] == '.' {
		after := digitsLength(text[length+1:])
		if seen == 0 && after == 0 {
			return 0
		}
		seen += after
		length += 1 + after
	}
	if seen == 0 {
		return 0
	}
	if length < len(text) && (text[length] == 'e' || text[length] == 'E') {
		sign := length + 1
		if sign < len(text) && (text[sign] == '+' || text[sign] == '-') {
			sign++
		}
		if after := digitsLength(text[sign:]); after > 0 {
			return sign + after
		}
	}
	return length
}

// unitEnd is where the next number begins, or the end of text.
func unitEnd(text string) int {
	for i, r := range text {
		if (r >= '0' && r <= '9') || vulgar[r] != nil {
			if i > 0 && text[i-1] == '.' && i > 1 && unicode.IsSpace(rune(text[i-2])) {
				return i - 1
			}
			return i
		}
	}
	return len(text)
}

// commaFault says what is wrong with a comma: it might be a decimal comma or mark
// the thousands, and guessing could be wrong by a factor of a thousand.
func commaFault(text string) (reason, hint string) {
	point := strings.Replace(text, ",", ".", 1)
	joined := strings.ReplaceAll(text, ",", "")
	position := strings.IndexByte(text, ',')
	thousands := digitsLength(text[position+1:]) == 3 && position > 0
	switch {
	case strings.Count(text, ",") > 1 || (thousands && strings.ContainsRune(text, '.')):
		return "a comma does not mark thousands here", "write " + joined
	case thousands:
		return "a comma is neither a decimal point nor a thousands mark here", "write " + joined + " or " + point
	default:
		return "a comma is not a decimal point here", "write " + point
	}
}

// cut is the last rune boundary at or before a position.
func cut(text string, position int) int {
	for position > 0 && !utf8.RuneStart(text[position]) {
		position--
	}
	return position
}
