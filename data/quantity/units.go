package quantity

import "strings"

// unit is one row of the unit table. A value times num/den is the value in the
// first unit of its kind; temperatures have a zero point besides.
type unit struct {
	name     string
	kind     string
	num, den int64
	zero     int64  // subtracted before the factor; only Fahrenheit has one
	names    string // further spellings, folded, separated by blanks
	words    string // spelled-out words, taken as well
}

// table lists the legal units of each kind in the order they are named to users.
var table = []unit{
	{"mm", "length", 1, 1, 0, "", "millimetre millimeter millimetres millimeters"},
	{"cm", "length", 10, 1, 0, "", "centimetre centimeter centimetres centimeters"},
	{"m", "length", 1000, 1, 0, "", "metre meter metres meters"},
	{"in", "length", 254, 10, 0, "\" ″ ” “ '' ’’ ′′", "inch inches"},
	{"ft", "length", 3048, 10, 0, "' ′ ’", "foot feet"},

	{"min", "time", 1, 1, 0, "mins", "minute minutes"},
	{"s", "time", 1, 60, 0, "sec secs", "second seconds"},
	{"ms", "time", 1, 60000, 0, "", "millisecond milliseconds"},
	{"h", "time", 60, 1, 0, "hr hrs", "hour hours"},

	{"km/h", "speed", 1, 1, 0, "kmh kph kmph km/hr", "kilometres-per-hour"},
	{"mph", "speed", 1609344, 1000000, 0, "mi/h", "miles-per-hour miles"},
	{"m/s", "speed", 36, 10, 0, "", "metres-per-second"},

	{"C", "temperature", 1, 1, 0, "°c degc deg-c", "celsius centigrade degrees-c degrees-celsius"},
	{"F", "temperature", 5, 9, 32, "°f degf deg-f", "fahrenheit degrees-f degrees-fahrenheit"},

	{"V", "voltage", 1, 1, 0, "", "volt volts"},
	{"mV", "voltage", 1, 1000, 0, "", "millivolt millivolts"},

	{"W", "power", 1, 1, 0, "", "watt watts"},

	{"lx", "illuminance", 1, 1, 0, "lux", "luxes luxen"},
	{"klx", "illuminance", 1000, 1, 0, "klux", "kilolux"},
	{"fc", "illuminance", 100000000, 9290304, 0, "", "footcandle footcandles foot-candle foot-candles"},

	{"cd", "luminous intensity", 1, 1, 0, "", "candela candelas candlepower"},
	{"kcd", "luminous intensity", 1000, 1, 0, "", "kilocandela"},

	{"lm", "luminous flux", 1, 1, 0, "", "lumen lumens lum lums"},
	{"klm", "luminous flux", 1000, 1, 0, "", "kilolumen kilolumens"},

	{"K", "colour temperature", 1, 1, 0, "", "kelvin kelvins"},

	{"deg", "angle", 1, 1, 0, "° degs", "degree degrees"},

	{"%", "percentage", 1, 1, 0, "pct", "percent per-cent"},

	{"g", "mass", 1, 1, 0, "", "gram grams gramme grammes"},
	{"kg", "mass", 1000, 1, 0, "", "kilogram kilograms kilo kilos"},
	{"oz", "mass", 28349523125, 1000000000, 0, "", "ounce ounces"},
	{"lb", "mass", 45359237, 100000, 0, "lbs", "pound pounds"},

	{"A", "current", 1, 1, 0, "", "amp amps ampere amperes"},
	{"mA", "current", 1, 1000, 0, "", "milliamp milliamps"},

	{"Hz", "frequency", 1, 1, 0, "", "hertz"},
	{"kHz", "frequency", 1000, 1, 0, "", "kilohertz"},

	{"ohm", "resistance", 1, 1, 0, "ohms ω", ""},
}

// kindFacts holds, for each kind, an example to type and the range that is taken
// for real, in the first unit of the kind. The upper ends are far beyond any lamp:
// they catch a slip of the keyboard, not an unusual bulb.
var kindFacts = map[string]struct {
	article, example string
	low, high        float64
	signed           bool
}{
	"length":             {"a", "55mm", 0, 1e8, false},
	"time":               {"a", "30min", 0, 1e7, false},
	"speed":              {"a", "90km/h", 0, 2000, false},
	"temperature":        {"a", "47C", -273.15, 5000, true},
	"voltage":            {"a", "13.5V", 0, 1e5, false},
	"power":              {"a", "24W", 0, 1e5, false},
	"illuminance":        {"an", "832lx", 0, 1e7, false},
	"luminous intensity": {"a", "26900cd", 0, 1e9, false},
	"luminous flux":      {"a", "1350lm", 0, 1e8, false},
	"colour temperature": {"a", "6000K", 500, 1e5, false},
	"angle":              {"an", "0.57deg", 0, 360, false},
	"percentage":         {"a", "1.2%", 0, 1e6, false},
	"mass":               {"a", "85g", 0, 1e7, false},
	"current":            {"a", "4.4A", 0, 1e5, false},
	"frequency":          {"a", "200Hz", 0, 1e9, false},
	"resistance":         {"a", "6ohm", 0, 1e9, false},
}

// smaller names the unit that may follow another in one quantity ("5 ft 6 in",
// "1 h 30 min") and how many of it make one of the former.
var smaller = map[string]struct {
	unit string
	per  int64
	bare bool // the unit may be left out: 1h30, 5'6
}{
	"ft":  {"in", 12, true},
	"h":   {"min", 60, true},
	"min": {"s", 60, true},
	"lb":  {"oz", 16, false},
}

// foldUnit brings the spellings of a unit together: letter case, blanks, a dot
// behind an abbreviation.
func foldUnit(text string) string {
	text = strings.Join(strings.Fields(strings.ToLower(text)), "-")
	text = strings.ReplaceAll(text, "°-", "°")
	if len(text) > 1 {
		text = strings.TrimSuffix(text, ".")
	}
	return text
}

// unitNamed finds a unit by any accepted spelling.
func unitNamed(text string) (unit, bool) {
	folded := foldUnit(text)
	for _, u := range table {
		if strings.ToLower(u.name) == folded || hasWord(u.names, folded) || hasWord(u.words, folded) {
			return u, true
		}
	}
	return unit{}, false
}

// canonical finds a unit by its own name only.
func canonical(name string) (unit, bool) {
	for _, u := range table {
		if u.name == name {
			return u, true
		}
	}
	return unit{}, false
}

// nearUnit guesses what an unknown unit was meant to be: the word with the longest common beginning. Units of the wanted kind come first.
func nearUnit(text, kind string) (unit, bool) {
	folded := foldUnit(text)
	best, bestLength := unit{}, 1
	for _, u := range table {
		for _, word := range strings.Fields(strings.ToLower(u.name) + " " + u.names + " " + u.words) {
			length := commonStart(word, folded)
			if 2*length < len(folded) || length < bestLength {
				continue
			}
			if length > bestLength || (u.kind == kind && best.kind != kind) {
				best, bestLength = u, length
			}
		}
	}
	return best, bestLength > 1
}

func commonStart(a, b string) int {
	length := 0
	for length < len(a) && length < len(b) && a[length] == b[length] {
		length++
	}
	return length
}

func hasWord(list, word string) bool {
	for _, candidate := range strings.Fields(list) {
		if candidate == word {
			return true
		}
	}
	return false
}

// Kind is the kind of a canonical unit, such as "length" for "mm"; false when the
// unit is not known.
func Kind(unit string) (string, bool) {
	u, ok := canonical(unit)
	return u.kind, ok
}

// UnitsOf lists the canonical units of a kind, the usual one first; empty when the
// kind is not known.
func UnitsOf(kind string) []string {
	names := []string{}
	for _, u := range table {
		if u.kind == kind {
			names = append(names, u.name)
		}
	}
	return names
}

// SpellingsOf lists the ways in which the units of a kind may be written; letter
// case does not count, and a blank stands for a hyphen. Empty when the kind is
// not known.
func SpellingsOf(kind string) []string {
	var list []string
	for _, u := range table {
		if u.kind == kind {
			list = append(list, u.name)
			list = append(list, strings.Fields(u.names)...)
			list = append(list, strings.Fields(u.words)...)
		}
	}
	return list
}
