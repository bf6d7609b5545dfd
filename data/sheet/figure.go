package sheet

import (
	"math"
	"strconv"
	"strings"
	"time"
	"unicode"

	"stillbright/data"
)

// aboutWords stand before a figure that was not read exactly.
var aboutWords = []string{"approximately", "approx.", "approx", "about", "around", "circa", "roughly", "abt.", "abt", "ca.", "ca", "c.", "~", "≈", "±"}

// footMarks stand behind a figure and point to a remark.
const footMarks = "*†‡§#¹²³⁴⁵⁶⁷⁸⁹?!"

// behindFigure is a remark in brackets behind a figure: 1071 (hot), 1071 [2].
var behindFigure = data.LateRegexp(`^(.*\S)\s*[(\[][^()\[\]]*[)\]]$`)

// plainFigure takes a word like "about", a foot mark or a remark in brackets
// off a figure. marked says that something was taken off, so that the cell can
// be kept as it was written.
func plainFigure(text string) (plain string, marked bool) {
	plain = strings.TrimSpace(text)
	lower := strings.ToLower(plain)
	if len(lower) != len(plain) {
		return plain, false
	}
	for _, word := range aboutWords {
		rest, ok := strings.CutPrefix(lower, word)
		if rest = strings.TrimSpace(rest); ok && rest != "" && (unicode.IsDigit([]rune(rest)[0]) || strings.ContainsAny(rest[:1], "$£€")) {
			plain, marked = strings.TrimSpace(plain[len(plain)-len(rest):]), true
			break
		}
	}
	if m := behindFigure().FindStringSubmatch(plain); m != nil && looksNumeric(m[1]) {
		plain, marked = m[1], true
	}
	if off := strings.TrimSpace(strings.TrimRight(plain, footMarks)); off != plain && off != "" {
		plain, marked = off, true
	}
	return plain, marked
}

// firstSerial and lastSerial bound the days that spreadsheets count from
// 1899-12-30: 1990-01-01 to 2199-12-31.
const (
	firstSerial = 32_874
	lastSerial  = 109_574
)

// serialDay reads a day that lost its format and stands as a count.
func serialDay(text string) (string, bool) {
	days, err := strconv.ParseFloat(text, 64)
	if err != nil || !(days >= firstSerial && days < lastSerial+1) {
		return "", false
	}
	return time.Date(1899, 12, 30, 0, 0, 0, 0, time.UTC).AddDate(0, 0, int(math.Floor(days))).Format(time.DateOnly), true
}

// sixDigits rounds a converted figure: the rest is the converter's, not the meter's.
func sixDigits(x float64) float64 {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil {
		return x
	}
	return rounded
}

// withoutQuote is a message of package quantity without the text it quotes
// first, which is not the cell as it was written.
func withoutQuote(err error) string {
	message := err.Error()
	if rest, ok := strings.CutPrefix(message, `"`); ok {
		if _, what, ok := strings.Cut(rest, `": `); ok {
			return what
		}
	}
	return message
}

// behindPrice is what a price buys, said in its cell: 59 USD/pair, $30 each.
var behindPrice = data.LateRegexp(`(?i)\s*(?:/|\bper\s|\ba\s|\s)\s*(pair|pr|set|each|ea|bulb|single|2|1)\.?\s*$`)

// perIn takes off a price what it buys.
func perIn(text string) (price, per string) {
	m := behindPrice().FindStringSubmatchIndex(text)
	if m == nil {
		return text, ""
	}
	return strings.TrimSpace(text[:m[0]]), perWords[strings.ToLower(text[m[2]:m[3]])]
}

// endedWords stand where a reading was never made because the bulb gave up.
var endedWords = []string{"dnf", "died", "dead", "failed", "fail", "burnt", "burned", "off", "shut off", "shutdown"}

// unsureError is a cell that can be meant in two ways.
type unsureError struct{ message, hint string }

func (e *unsureError) Error() string { return e.message }
