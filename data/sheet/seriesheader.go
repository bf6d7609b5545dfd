package sheet

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// layout says which column is what, and what the header says of the units.
type layout struct {
	width     int // columns of a row
	date      int // -1 without a column for the day alone
	time      int
	light     int
	lightUnit lightUnit // without a name: not said
	timeUnit  string    // "s", "min", "h", or "" where the header does not say
	elapsed   bool      // the header says that the time counts from switch-on
	clockForm string    // "hh:mm" or "mm:ss" where the header says so
}

func (l layout) least() int { return max(l.date, l.time, l.light) + 1 }

// timeOf is the time of a row as written; a day and a clock time in two columns
// are put together.
func (l layout) timeOf(r row) cell {
	at := r.cells[l.time]
	if l.date >= 0 {
		at = cell{r.cells[l.date].text + " " + at.text, r.cells[l.date].col}
	}
	return at
}

type lightUnit struct {
	name   string
	factor float64
}

// lightUnits brings a unit to lux. A foot-candle is one lumen per square foot,
// 1/0.3048^2 lx exactly.
var lightUnits = map[string]lightUnit{
	"lux": {"lux", 1}, "lx": {"lux", 1}, "luxes": {"lux", 1}, "lm/m2": {"lux", 1}, "lm/m²": {"lux", 1},
	"klx": {"klx", 1000}, "klux": {"klx", 1000}, "kilolux": {"klx", 1000},
	"fc": {"fc", 1 / (0.3048 * 0.3048)}, "ftcd": {"fc", 1 / (0.3048 * 0.3048)}, "footcandle": {"fc", 1 / (0.3048 * 0.3048)}, "footcandles": {"fc", 1 / (0.3048 * 0.3048)},
}

// minutesOf brings a unit of time to minutes.
var minutesOf = map[string]float64{"ms": 1.0 / 60000, "s": 1.0 / 60, "min": 1, "h": 60}

var timeUnits = map[string]string{
	"ms": "ms", "msec": "ms", "milliseconds": "ms",
	"s": "s", "sec": "s", "secs": "s", "second": "s", "seconds": "s", "sek": "s", "sekunde": "s", "sekunden": "s", "seconde": "s", "secondes": "s", "segundos": "s",
	"min": "min", "mins": "min", "minute": "min", "minutes": "min", "minuten": "min", "minutos": "min", "minuti": "min",
	"h": "h", "hr": "h", "hrs": "h", "hour": "h", "hours": "h", "std": "h", "stunde": "h", "stunden": "h", "heures": "h",
}

// Words that name a column. The first list is sure, the second may be something else.
var (
	lightWords = []string{"lux", "lx", "klx", "klux", "fc", "footcandle", "footcandles", "illuminance", "illumination", "beleuchtungsstärke", "beleuchtungsstaerke", "éclairement", "eclairement", "iluminancia", "illuminamento"}
	lightMaybe = []string{"e", "ev", "light", "licht", "value", "wert", "reading", "messwert", "luz", "lumière", "measurement"}
	countWords = []string{"elapsed", "since", "lit", "duration", "dauer", "minutes", "minuten", "seconds", "sekunden", "minute", "warmup", "warm"}
	clockWords = []string{"time", "t", "zeit", "timestamp", "uhrzeit", "datetime", "zeitstempel", "temps", "tiempo", "hora", "heure", "clock", "stamp"}
	dateWords  = []string{"date", "datum", "fecha", "data", "day", "tag"}
)

// wordsOf cuts a heading into its words: "elapsed_min" and "t [s]" have two.
func wordsOf(text string) []string {
	return strings.FieldsFunc(fold(text), func(r rune) bool { return !unicode.IsLetter(r) && r != '²' && r != '°' })
}

func fold(text string) string { return strings.ToLower(strings.TrimSpace(text)) }

func hasAny(words, wanted []string) bool {
	return slices.ContainsFunc(words, func(word string) bool { return slices.Contains(wanted, word) })
}

// header finds the header and the columns, or takes two columns without one.
func (p *seriesParser) header() {
	for i := range p.data[:min(len(p.data), headerWithin)] {
		r := p.data[i]
		if !p.looksLikeHeader(r, i) {
			continue
		}
		p.head = &r
		if i > 0 {
			p.note("lines %d to %d before the header are not read", p.data[0].line, p.data[i-1].line)
		}
		p.data = p.data[i+1:]
		p.readHeader(r)
		return
	}
	p.noHeader()
}

// looksLikeHeader: a column for the light and another for the time, and no
// numbers; the surer words are looked for in every row, the others in the first.
func (p *seriesParser) looksLikeHeader(r row, place int) bool {
	light, time := -1, -1
	for i, c := range r.cells {
		if digits, _ := splitNumber(c.text); digits != "" {
			return false
		}
		words := wordsOf(c.text)
		sure := hasAny(words, lightWords) || p.isWanted(c)
		switch {
		case sure || place == 0 && light < 0 && hasAny(words, lightMaybe):
			light = i
		case isTimeHead(words):
			time = i
		}
	}
	return light >= 0 && time >= 0
}

func (p *seriesParser) isWanted(c cell) bool {
	return p.options.Column != "" && fold(c.text) == fold(p.options.Column)
}

func isTimeHead(words []string) bool {
	return hasAny(words, countWords) || hasAny(words, clockWords) || hasAny(words, dateWords) || timeUnitOf(words) != ""
}

func timeUnitOf(words []string) string {
	for _, word := range words {
		if unit := timeUnits[word]; unit != "" {
			return unit
		}
	}
	return ""
}

// readHeader takes columns and units from the header.
func (p *seriesParser) readHeader(r row) {
	l := layout{width: len(r.cells), date: -1, time: -1, light: -1}
	for l.width > 1 && r.cells[l.width-1].text == "" { // a separator at the end of every line
		l.width--
	}
	l.light = p.lightColumn(r)
	if l.light < 0 {
		return
	}
	best := 0
	for i, c := range r.cells {
		words := wordsOf(c.text)
		if i == l.light {
			continue
		}
		rank := 0
		switch {
		case hasAny(words, countWords):
			rank = 4
		case hasAny(words, clockWords):
			rank = 3
		case hasAny(words, dateWords):
			if l.date < 0 {
				l.date = i
			}
		case timeUnitOf(words) != "":
			rank = 1
		}
		if rank > best {
			best, l.time = rank, i
		}
	}
	switch {
	case l.time < 0: // a day with the time in one column
		l.time, l.date = l.date, -1
	case best != 3:
		l.date = -1 // elapsed times need no day
	case l.date >= 0 && p.wholeStamps(l.time):
		l.date = -1
	}
	p.columns = l
	p.headerUnits(r)
	var unread []string
	for i, c := range r.cells {
		if i != l.light && i != l.time && i != l.date && c.text != "" {
			unread = append(unread, c.text)
		}
	}
	if len(unread) > 0 {
		p.note("columns not read: %s", strings.Join(unread, ", "))
	}
}

// wholeStamps says whether the clock column holds the day as well.
func (p *seriesParser) wholeStamps(column int) bool {
	for _, r := range p.data[:min(len(p.data), 5)] {
		if column < len(r.cells) && isDate(r.cells[column].text) {
			return true
		}
	}
	return false
}

// lightColumn is the column of the light: the one named by the user, else the
// only one that is named for light.
func (p *seriesParser) lightColumn(r row) int {
	var sure, maybe []int
	for i, c := range r.cells {
		words := wordsOf(c.text)
		switch {
		case p.isWanted(c):
			return i
		case hasAny(words, lightWords):
			sure = append(sure, i)
		case hasAny(words, lightMaybe):
			maybe = append(maybe, i)
		}
	}
	var names []string
	for _, c := range r.cells {
		names = append(names, quoted(c.text))
	}
	if p.options.Column != "" {
		p.fault(r.line, 1, fmt.Sprintf("there is no column %s; the columns are %s", quoted(p.options.Column), strings.Join(names, ", ")), "")
		return -1
	}
	if len(sure) == 0 {
		sure = maybe
	}
	if len(sure) == 1 {
		return sure[0]
	}
	p.fault(r.line, r.cells[sure[1]].col, fmt.Sprintf("%d columns could be the light: %s and %s", len(sure), quoted(r.cells[sure[0]].text), quoted(r.cells[sure[1]].text)),
		"name one: --column "+strings.TrimSpace(r.cells[sure[0]].text))
	return -1
}

// headerUnits takes the units of the header and refuses two for one column.
func (p *seriesParser) headerUnits(r row) {
	l := &p.columns
	for _, word := range wordsOf(r.cells[l.light].text) {
		unit, known := lightUnits[word]
		switch {
		case !known:
		case l.lightUnit.name != "" && l.lightUnit.name != unit.name:
			p.fault(r.line, r.cells[l.light].col, fmt.Sprintf("%s names two units, %s and %s", quoted(r.cells[l.light].text), l.lightUnit.name, unit.name), "name one")
		default:
			l.lightUnit = unit
		}
	}
	head := r.cells[l.time]
	words := wordsOf(head.text)
	l.elapsed = hasAny(words, countWords)
	switch text := fold(head.text); {
	case strings.Contains(text, "mm:ss") && !strings.Contains(text, "hh:mm") && !strings.Contains(text, "h:mm"):
		l.clockForm = "mm:ss"
		return
	case strings.Contains(text, "h:mm"):
		l.clockForm = "hh:mm"
		return
	}
	for _, word := range words {
		unit := timeUnits[word]
		switch {
		case unit == "":
		case l.timeUnit != "" && l.timeUnit != unit:
			p.fault(r.line, head.col, fmt.Sprintf("%s names two units, %s and %s", quoted(head.text), l.timeUnit, unit), "name one")
		default:
			l.timeUnit = unit
		}
	}
	if o := p.options.TimeUnit; o != "" && l.timeUnit != "" && o != l.timeUnit {
		p.fault(r.line, head.col, fmt.Sprintf("%s clashes with the unit given, %s", quoted(head.text), o), "leave out --time-unit")
	}
}

// noHeader takes time and lux in this order, or day, time and lux.
func (p *seriesParser) noHeader() {
	first := p.data[0]
	if p.options.Column != "" {
		p.fault(first.line, 1, fmt.Sprintf("there is no header, so no column %s", quoted(p.options.Column)), "")
		return
	}
	width := len(first.cells)
	for width > 1 && first.cells[width-1].text == "" {
		width--
	}
	switch {
	case width == 2:
		p.columns = layout{width: 2, date: -1, time: 0, light: 1}
	case width == 3 && isDate(first.cells[0].text) && strings.Contains(first.cells[1].text, ":"):
		p.columns = layout{width: 3, date: 0, time: 1, light: 2}
	default:
		if digits, _ := splitNumber(first.cells[0].text); digits == "" {
			p.fault(first.line, 1, "no header names the columns of time and light, and the first line is no reading", "a header such as: t [s],E [lx]")
			return
		}
		p.fault(first.line, 1, fmt.Sprintf("%d columns and no header, so the light cannot be told from the rest", width), commaHint(p.separator, width, "a header such as: t [s],E [lx]"))
	}
	if digits, _ := splitNumber(first.cells[0].text); digits == "" && len(p.data) > 1 && width == 2 {
		// One line of words in front of two columns: their order is the usual one.
		p.note("the heads %s and %s are not known words: time and lux are taken in this order", quoted(first.cells[0].text), quoted(first.cells[1].text))
		p.head, p.data = &first, p.data[1:]
	}
}

// commaHint: decimal commas between commas give twice the columns.
func commaHint(separator rune, width int, otherwise string) string {
	if separator == ',' && width == 4 {
		return "decimal commas need a semicolon between the columns"
	}
	return otherwise
}

// headerAgain passes over a header that a logger repeats when it starts anew. One
// with other units is a fault.
func (p *seriesParser) headerAgain(r row) bool {
	if p.head == nil || !p.looksLikeHeader(r, 1) {
		return false
	}
	if !slices.EqualFunc(r.cells, p.head.cells, func(a, b cell) bool { return a.text == b.text }) {
		p.fault(r.line, 1, fmt.Sprintf("a second header that differs from that of line %d: columns or units change within the file", p.head.line), "one run, one file")
	}
	return true
}
