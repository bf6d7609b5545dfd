package sheet

import (
	"cmp"
	"fmt"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
)

func baseName(file string) string {
	return path.Base(strings.ReplaceAll(file, "\\", "/"))
}

// instant is one row of a series.
type instant struct {
	at   float64
	test data.Test
}

// gather makes one test of rows that hold one reading each, a row for every
// minute: the rows of one bulb, lot, rig, beam and day. A time that comes again
// begins another test.
func gather(entries []Entry) []Entry {
	var list []Entry
	open := map[string]int{} // occasion -> place in list of the test that grows
	for _, e := range entries {
		if !e.single {
			list = append(list, e)
			continue
		}
		for _, t := range e.Tests {
			own := e
			own.Tests = []data.Test{t}
			key := strings.Join([]string{e.Bulb.ID, e.Lot.Name, t.Rig, t.Beam, string(t.Date)}, "|")
			at, there := open[key]
			if !there || slices.ContainsFunc(list[at].series, func(i instant) bool { return i.at == e.at }) {
				open[key] = len(list)
				own.series = []instant{{e.at, t}}
				list = append(list, own)
				continue
			}
			into := &list[at]
			into.Lines = append(slices.Clip(into.Lines), e.Lines...)
			into.series = append(into.series, instant{e.at, t})
			fillBlank(&into.Bulb, e.Bulb)
			fillBlank(&into.Lot, e.Lot)
		}
	}
	for i := range list {
		if len(list[i].series) > 1 {
			list[i].Tests = []data.Test{oneOfSeries(list[i].series)}
		}
		list[i].series = nil
	}
	return list
}

// oneOfSeries is the test of a series of rows. A figure that changed on the way
// is that of the last minute, except the stock reading, which is the first; all
// its values are kept in a note.
func oneOfSeries(series []instant) data.Test {
	slices.SortStableFunc(series, func(a, b instant) int { return cmp.Compare(a.at, b.at) })
	t := data.Test{}
	for _, row := range slices.Backward(series) {
		fillBlank(&t, row.test)
	}
	t.Readings, t.Notes = nil, nil
	for _, row := range series {
		if row.test.Stock.First != nil {
			t.Stock.First = row.test.Stock.First
			break
		}
	}
	for _, row := range series {
		t.Readings = append(t.Readings, row.test.Readings...)
		for _, note := range row.test.Notes {
			if !slices.Contains(t.Notes, note) {
				t.Notes = append(t.Notes, note)
			}
		}
	}
	for _, m := range meanings() {
		if !m.ofTest || m.number == nil {
			continue
		}
		var parts []string
		values := map[float64]bool{}
		for _, row := range series {
			if x := *m.number(&slot{Test: row.test}); x != nil {
				values[*x] = true
				parts = append(parts, fmt.Sprintf("%s at %s", plainNumber(*x), plainNumber(row.at)))
			}
		}
		if len(values) > 1 {
			t.Notes = append(t.Notes, fmt.Sprintf("%s, %s at min: %s", m.head, m.unit, strings.Join(parts, ", ")))
		}
	}
	return t
}

// stockRow is a row that holds the lamp's own halogen instead of a bulb.
type stockRow struct {
	line                     int
	date                     data.Date
	rig, size, housing, beam string
	lux, volts               *float64
	uses                     []int // rows whose tests it serves
}

var stockNameWords = []string{"stock", "halogen", "halogens", "oem", "factory", "baseline", "original", "serie", "reference", "ref", "bulb", "bulbs", "lamp", "before", "after", "start", "end", "again", "recheck", "check", "the", "my"}

// isStockName says whether a name is that of the lamp's own halogen and of no
// product: every word says stock, or is a size or a power.
func (p *interpreter) isStockName(name string) bool {
	says := false
	for _, word := range headWords(name) {
		switch {
		case slices.Contains(saysStock, word) || word == "halogens":
			says = true
		case slices.Contains(stockNameWords, word):
		default:
			digits, unit := splitNumber(word)
			_, _, isSize := data.FindSize(p.sizes, word)
			if !isSize && !(digits != "" && (unit == "w" || unit == "")) {
				return false
			}
		}
	}
	return says
}

// takeStock keeps the readings of a stock row for the tests of its day.
func (p *interpreter) takeStock(r *rowReading) {
	base := stockRow{line: r.row.Line, date: r.all.Test.Date, size: p.category(r.all.Bulb.Size), housing: r.housing, beam: r.all.Test.Beam}
	if base.date == "" {
		base.date = data.Date(p.m.Date)
	}
	if r.all.Test.Rig == "" && len(r.order) == 0 {
		p.fromSection(&base.housing, p.section.housing)
	}
	if written := r.all.Test.Rig; written != "" {
		if rig, ok := p.rigCalled(written); ok {
			base.rig = rig.ID
		} else if base.housing = housingIn(written); base.housing == "" {
			base.rig = written
		}
	}
	add := func(s stockRow, t data.Test) {
		sortReadings(t.Readings)
		s.volts = t.Volts
		if s.volts == nil {
			s.volts = r.all.Test.Volts
		}
		s.lux = t.Stock.First
		if n := len(t.Readings); n > 0 {
			s.lux = &t.Readings[n-1].Lux
		}
		if s.lux != nil {
			p.stock = append(p.stock, s)
		}
	}
	for _, u := range r.untimed {
		t := r.part(Column{Housing: u.key.housing, Beam: u.key.beam})
		t.Readings = append(t.Readings, data.Reading{At: 1440, Lux: u.lux})
	}
	before := len(p.stock)
	add(base, r.all.Test)
	for _, key := range r.order {
		s := base
		if key.housing != "" {
			s.housing = key.housing
		}
		if key.beam != "" {
			s.beam = key.beam
		}
		add(s, *r.parts[key])
	}
	if len(p.stock) == before {
		p.result.Skipped = append(p.result.Skipped, SkippedRow{r.row.Line, "is a stock row without a reading"})
	}
}

// serves says whether a stock row is about the lamp and day of a test.
func (s *stockRow) serves(l testedLamp) bool {
	return (s.date == "" || s.date == l.date) && s.ofLamp(l)
}

func (s *stockRow) ofLamp(l testedLamp) bool {
	return (s.rig == "" || s.rig == l.rig) && (s.housing == "" || s.housing == l.housing) &&
		(s.size == "" || s.size == l.size) && (s.beam == "" || s.beam == l.beam)
}

// testedLamp is what a stock row has to be of to serve a test; it is looked up
// once, since every stock row of the sheet is held against it.
type testedLamp struct {
	date                     data.Date
	rig, size, housing, beam string
}

func (p *interpreter) lampOf(t data.Test) testedLamp {
	rig, _ := p.rigCalled(t.Rig)
	l := testedLamp{t.Date, rig.ID, p.category(rig.Size), rig.Housing, t.Beam}
	if l.beam == "" {
		l.beam = rig.Beam
	}
	return l
}

// shareStock gives each test without a stock reading that of the stock row
// above it, and of the one of the same day below it.
func (p *interpreter) shareStock() {
	for i := range p.result.Entries {
		e := &p.result.Entries[i]
		for n := range e.Tests {
			t := &e.Tests[n]
			if t.Stock.First != nil || t.Stock.Last != nil {
				continue
			}
			above, below := -1, -1
			lamp := p.lampOf(*t)
			for k := range p.stock {
				s := &p.stock[k]
				switch {
				case !s.serves(lamp):
				case s.line < e.line():
					above = k
				case below < 0 && s.line > e.Lines[len(e.Lines)-1]:
					below = k
				}
			}
			if below >= 0 && p.stock[below].date == "" {
				if above < 0 {
					above = below // one for all, at the end
				}
				below = -1
			}
			if above < 0 && below < 0 {
				if above = p.onlyStock(lamp); above >= 0 {
					t.Notes = append(slices.Clip(t.Notes), fmt.Sprintf("stock reading of %s, the only one of this lamp in the sheet", p.stock[above].date))
				}
			}
			for _, side := range []struct {
				place int
				into  **float64
			}{{above, &t.Stock.First}, {below, &t.Stock.Last}} { // the one before the test has the say on the volts
				if side.place < 0 {
					continue
				}
				s := &p.stock[side.place]
				*side.into = s.lux
				if t.Stock.Volts == nil {
					t.Stock.Volts = s.volts
				}
				s.uses = append(s.uses, e.line())
			}
		}
	}
	lines := map[int][]int{}
	for _, s := range p.stock {
		lines[s.line] = append(lines[s.line], s.uses...)
	}
	for _, line := range slices.Sorted(maps.Keys(lines)) {
		uses := slices.Compact(slices.Sorted(slices.Values(lines[line])))
		if len(uses) == 0 {
			p.result.Skipped = append(p.result.Skipped, SkippedRow{line, "is a stock reading, and no test of its lamp and day needs it"})
			continue
		}
		p.result.Notes = append(p.result.Notes, fmt.Sprintf("%s %d is the stock halogen, read for %s", p.unit(), line, p.lines(uses)))
	}
}

// onlyStock is the one stock row of a test's lamp, whatever its day; -1 when
// there is none, or several to choose from.
func (p *interpreter) onlyStock(lamp testedLamp) int {
	only := -1
	for k := range p.stock {
		if !p.stock[k].ofLamp(lamp) {
			continue
		}
		if only >= 0 {
			return -1
		}
		only = k
	}
	return only
}

// lines names rows for a note: rows 4, 5, 7 and 12 more.
func (p *interpreter) lines(list []int) string {
	var texts []string
	for _, line := range list[:min(len(list), 6)] {
		texts = append(texts, fmt.Sprint(line))
	}
	text := p.unit() + " " + texts[0]
	if len(texts) > 1 {
		text = p.unit() + "s " + strings.Join(texts, ", ")
	}
	if more := len(list) - len(texts); more > 0 {
		text += fmt.Sprintf(" and %d more", more)
	}
	return text
}

// unit is what one record stands in: a row, or a column of a turned table.
func (p *interpreter) unit() string {
	if p.turned != nil {
		return "column"
	}
	return "row"
}

// shared settles figures that stand once in a row of two tests. The body is
// hot at the last reading of the later test; where both end alike each keeps
// it with a note. A stock reading belongs to one lamp and is only noted.
func (r *rowReading) shared(tests []data.Test, common data.Test) {
	if len(tests) < 2 {
		return
	}
	var names []string
	latest := 0.0
	for _, t := range tests {
		names = append(names, strings.TrimSpace(t.Rig+" "+t.Beam))
		latest = max(latest, t.Readings[len(t.Readings)-1].At)
	}
	ending := 0
	for i := range tests {
		t := &tests[i]
		if t.Readings[len(t.Readings)-1].At == latest {
			ending++
		} else if t.Body == common.Body {
			t.Body = nil
		}
	}
	for i := range tests {
		t := &tests[i]
		if p := common.Pattern; p != nil { // of which beam, the sheet does not say
			if t.Pattern == p {
				t.Pattern = nil
			}
			t.Notes = append(slices.Clip(t.Notes), marksOf(strings.Join(names, " or "), p))
		}
		if ending > 1 && common.Body != nil && t.Body == common.Body {
			t.Notes = append(slices.Clip(t.Notes), "the sheet has one body temperature for "+strings.Join(names, " and "))
			r.p.once("body", r.row.Line)
		}
		for _, s := range []struct {
			into **float64
			from *float64
			name string
		}{{&t.Stock.First, common.Stock.First, "stock"}, {&t.Stock.Last, common.Stock.Last, "stock after"}} {
			if s.from != nil && *s.into == s.from {
				*s.into = nil
				t.Notes = append(slices.Clip(t.Notes), fmt.Sprintf("the sheet has one reading of the %s, %s lx, for %s; it is not taken", s.name, plainNumber(*s.from), strings.Join(names, " and ")))
				r.p.once("stock", r.row.Line)
			}
		}
		if !reflect.ValueOf(t.Stock).IsZero() && t.Stock.First == nil && t.Stock.Last == nil {
			t.Stock.Volts = nil
		}
	}
}

// once remembers the rows of a remark that is made once for the whole table.
func (p *interpreter) once(remark string, line int) {
	if lines := p.remarks[remark]; len(lines) == 0 || lines[len(lines)-1] != line { // rows come in order
		p.remarks[remark] = append(p.remarks[remark], line)
	}
}

// remark prints what was remembered.
func (p *interpreter) remark() {
	for _, r := range []struct{ key, text string }{
		{"body", "one body temperature stands for two lamps; if it was measured in one of them, say so in a mapping: --save-map, then housing: projector at that column"},
		{"stock", "one stock reading stands for two lamps and is kept as a note only; say in a mapping whose it is: --save-map, then housing: projector at that column"},
		{"marked", "figures with a mark or a word beside them are read, and kept as written in a note"},
		{"serial", "days that stand as a count of days since 1899-12-30 are read as spreadsheets do"},
	} {
		if lines := p.remarks[r.key]; len(lines) > 0 {
			p.result.Notes = append(p.result.Notes, p.lines(lines)+": "+r.text)
		}
	}
}

// footNote keeps a row that explains a mark: * lens wiped before.
func (p *interpreter) footNote(row TableRow) {
	text := strings.TrimSpace(strings.Join(row.Cells, " "))
	mark := text[:len(text)-len(strings.TrimLeft(text, footMarks))]
	if m := bracketMark().FindString(text); m != "" {
		mark = m
	}
	if mark != "" && len(mark) < len(text) && !slices.Contains([]string{"?", "!", "#"}, mark) {
		p.foot[mark] = text
	}
}

// bracketMark is a foot mark in brackets: [1].
var bracketMark = data.LateRegexp(`^[(\[]\d{1,2}[)\]]`)

// addFootNotes puts the foot notes at the tests that point to them.
func (p *interpreter) addFootNotes() {
	marks := slices.Sorted(maps.Keys(p.foot))
	for i := range p.result.Entries {
		for n := range p.result.Entries[i].Tests {
			t := &p.result.Entries[i].Tests[n]
			for _, note := range t.Notes {
				for _, mark := range marks {
					text := p.foot[mark]
					if strings.HasSuffix(note, mark) && !strings.HasSuffix(strings.TrimSuffix(note, mark), mark[:1]) && !slices.Contains(t.Notes, text) {
						t.Notes = append(slices.Clip(t.Notes), text)
					}
				}
			}
		}
	}
}
