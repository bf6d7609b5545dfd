package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stillbright/data"
)

// Interpretation is a table understood: what each column means, what each row
// becomes, and what could not be read.
type Interpretation struct {
	Mapping Mapping
	HeadRow int // line of the heads
	Entries []Entry
	Faults  data.Faults // rows that could not be read; Line is the row, Col the column from 1
	Skipped []SkippedRow
	Notes   []string
	Turned  bool // bulbs stand in columns: what is called a row here is one

	examples []string // a few cells of each column, for a saved mapping
}

// Entry is one row, or the rows of one series, as records. Without tests it
// adds the bulb only.
type Entry struct {
	Lines []int     // rows, from 1; nil for a record of another catalog
	Bulb  data.Bulb // without lots; kind and source may be blank
	Lot   data.Lot  // without tests; without a name where the row says none
	Tests []data.Test
	Rigs  []data.Rig // that the row brings along

	single bool      // one reading at most, its time in a column of its own
	at     float64   // that time
	series []instant // the rows of a series
}

func (e Entry) line() int {
	if len(e.Lines) == 0 {
		return 0
	}
	return e.Lines[0]
}

// SkippedRow is a row that is no test and why.
type SkippedRow struct {
	Line int
	Why  string
}

// interpreter holds what does not change from row to row.
type interpreter struct {
	t     Table
	m     Mapping
	h     habits
	rigs  []data.Rig
	made  []data.Rig // of rigs, those that the catalog has not
	bulbs []data.Bulb
	names map[string]string // id -> name of the bulb that has it, in the catalog or above
	sizes []data.Size
	above map[string]string // for fill_down
	// exported: the table was written by Export, whose rows are all records.
	exported bool
	turned   []int // of a turned table: the lines of the rows that are now columns
	stock    []stockRow
	remarks  map[string][]int
	// aRowAReading: the only lux columns are those whose time is in a column.
	aRowAReading bool
	section      section           // what the last title said
	foot         map[string]string // mark -> foot note
	result       *Interpretation
}

// mostlyProse says whether more than half of the rows have nothing in a second
// cell, as the lines of a text that holds a comma here and there, and names the
// first of them. A table may have as many titles and notes between its rows, so
// this alone says nothing.
func mostlyProse(rows []TableRow) (line int, prose bool) {
	alone := 0
	for _, row := range rows {
		if len(row.Cells) == 1 {
			if alone++; alone == 1 {
				line = row.Line
			}
		}
	}
	return line, alone > 2 && 2*alone > len(rows)
}

// Interpret reads the rows of a table. given may be empty; catalog tells the
// rigs and bulbs that are there. Rows that fail are in Faults, and the others
// in Entries. The error is data.Faults when no heads are found.
func Interpret(t Table, given Mapping, catalog data.Catalog, sizes []data.Size) (Interpretation, error) {
	r := Interpretation{Notes: slices.Clone(t.Notes), Faults: data.Faults{}}
	if len(t.Rows) == 0 {
		return r, fileFault(t.File, 1, 1, "holds no rows", "")
	}
	if t.typed && given.Decimal == "comma" {
		return r, fileFault(t.File, 1, 1, "the numbers of a workbook have no decimal mark, so a comma cannot be theirs", "leave out --decimal, or decimal in the mapping")
	}
	heads, ok := findHeads(t, given)
	lines := t.Rows
	if ok {
		lines = t.Rows[heads.at+1:]
	}
	var turned []int
	if other, from := turn(t); len(from) > 0 {
		if otherHeads, found := findHeads(other, given); found && otherHeads.known > max(heads.known, 2) {
			lines = t.Rows
			t, heads, ok, turned, r.Turned = other, otherHeads, true, from, true
			r.Notes = append(r.Notes, "the bulbs stand in columns; each column is read as a row")
		}
	}
	if !ok {
		return r, fileFault(t.File, t.Rows[0].Line, 1, "no row of headings is found in the first thirty: at least two columns must be understood", "name the columns, for example: Bulb, Size, Date, Lux @ 0min, Lux @ 30min")
	}
	r.HeadRow = t.Rows[heads.first].Line
	for _, row := range t.Rows[:heads.first] {
		r.Skipped = append(r.Skipped, SkippedRow{row.Line, "stands above the headings"})
	}
	r.Mapping = complete(t, heads, given)
	if left := besideLux(t, heads, r.Mapping); left != "" {
		r.Notes = append(r.Notes, left)
	}
	r.examples = examplesOf(t, heads, len(r.Mapping.Columns))
	for _, g := range given.Columns {
		if !slices.ContainsFunc(r.Mapping.Columns, func(c Column) bool { return sameHead(c.Head, g.Head) }) {
			r.Notes = append(r.Notes, fmt.Sprintf("the mapping names a column %s that the table has not", quoted(g.Head)))
		}
	}
	p := &interpreter{t: t, m: r.Mapping, h: habitsOf(t, heads, r.Mapping), rigs: slices.Clone(catalog.Rigs), bulbs: catalog.Bulbs, sizes: sizes, above: map[string]string{}, turned: turned, remarks: map[string][]int{}, foot: map[string]string{}, result: &r}
	p.names = map[string]string{}
	for _, b := range catalog.Bulbs {
		p.names[b.ID] = b.Name
	}
	p.exported = slices.ContainsFunc(r.Mapping.Columns, func(c Column) bool { return c.Means == meansTestMore })
	var hidden []int
	for _, row := range t.Rows[heads.at+1:] {
		if _, found := slices.BinarySearch(t.hidden, row.Line); found {
			hidden = append(hidden, row.Line)
		}
	}
	if len(hidden) > 0 && turned == nil {
		r.Notes = append(r.Notes, p.lines(hidden)+": hidden in the workbook, and read like the others")
	}
	for _, row := range t.Rows[:heads.first] {
		p.takeSection(row)
	}
	p.aRowAReading = !slices.ContainsFunc(r.Mapping.Columns, func(c Column) bool { return c.Means == meansLux && c.At != nil || c.Means == meansReadings })
	other := 0 // line of headings that are not those of this table
	for _, row := range t.Rows[heads.at+1:] {
		switch {
		case p.exported:
		case p.passOver(row, heads.heads) == "repeats the headings":
			other = 0
		case p.otherHeads(row):
			other = row.Line
			p.fault(row.Line, 1, errors.New("another row of headings, with other columns; what is under it is not read"), "put it on a sheet, or in a file, of its own")
			continue
		}
		if other > 0 {
			p.fault(row.Line, 1, fmt.Errorf("stands under the other headings of row %d", other), "")
			continue
		}
		p.row(row, heads.heads)
	}
	r.Entries = gather(r.Entries)
	if line, prose := mostlyProse(lines); prose && len(r.Entries) == 0 {
		return r, fileFault(t.File, line, 1, "most lines are not set apart into columns and no test is found, so this is a text and no table", "save the table itself as CSV, or as a workbook")
	}
	p.shareStock()
	p.addFootNotes()
	p.remark()
	if len(r.Entries)+len(r.Faults) == 0 {
		r.Faults = append(r.Faults, data.Fault{File: t.File, Line: r.HeadRow, Col: 1, Message: "no test stands under these headings"})
	}
	slices.SortStableFunc(r.Skipped, func(a, b SkippedRow) int { return a.Line - b.Line })
	r.Faults.Sort()
	return r, nil
}

func (p *interpreter) fault(line, col int, err error, hint string) {
	fault := data.Fault{File: p.t.File, Line: line, Col: col, Path: p.head(col), Message: err.Error(), Hint: hint}
	if p.turned != nil && col >= 1 && col <= len(p.turned) {
		fault.Line, fault.Col = p.turned[col-1], line
	}
	p.result.Faults = append(p.result.Faults, fault)
}

// column is the number of the first column of some meanings; 1 when there is none.
func (p *interpreter) column(means []string) int {
	for _, want := range means {
		if i := slices.IndexFunc(p.m.Columns, func(c Column) bool { return c.Means == want }); i >= 0 {
			return i + 1
		}
	}
	return 1
}

func (p *interpreter) head(col int) string {
	if col < 1 || col > len(p.m.Columns) {
		return ""
	}
	return p.m.Columns[col-1].Head
}

var totals = []string{"total", "totals", "average", "averages", "avg", "mean", "sum", "median", "summe", "mittel", "mittelwert", "durchschnitt", "count", "moyenne", "max", "min", "subtotal"}

// passOver says why a row is no test, or nothing.
func (p *interpreter) passOver(row TableRow, heads []string) string {
	filled, first := 0, ""
	for _, cell := range row.Cells {
		if cell != "" {
			if filled == 0 {
				first = cell
			}
			filled++
		}
	}
	same := 0
	for i, cell := range row.Cells {
		if cell != "" && i < len(heads) && (sameHead(cell, heads[i]) || strings.HasSuffix(strings.ToLower(heads[i]), "/ "+strings.ToLower(cell))) {
			same++
		}
	}
	w := headWords(first)
	switch {
	case filled > 1 && same == filled:
		return "repeats the headings"
	case len(w) > 0 && slices.Contains(totals, w[0]) && len(w) <= 3:
		return "is a total"
	case filled == 1:
		return "holds one cell only: " + quoted(first)
	}
	return ""
}

// parts of a row that have a housing or a beam of their own.
type partKey struct{ housing, beam string }

func (p *interpreter) row(row TableRow, heads []string) {
	if why := p.passOver(row, heads); why != "" && !p.exported {
		p.footNote(row)
		p.takeSection(row)
		p.result.Skipped = append(p.result.Skipped, SkippedRow{row.Line, why})
		return
	}
	before := len(p.result.Faults)
	r := rowReading{p: p, row: row, parts: map[partKey]*data.Test{}}
	bulb, has := p.bulbNamed(row)
	other := bulb != "" && !sameName(bulb, p.above["name"]) // the id above is then not its own
	sameBulb := has && bulb == ""
	for i, c := range p.m.Columns {
		text := unguard(row.cell(i))
		if p.m.FillDown {
			text = p.filledDown(c.Means, text, other, sameBulb)
		}
		if isBlankCell(text) || c.Means == meansDerived || c.Means == meansIgnore || c.Means == meansCurrency {
			continue
		}
		if err := r.take(i, c, text); err != nil {
			hint := ""
			if unsure := (*unsureError)(nil); errors.As(err, &unsure) {
				hint = unsure.hint
			}
			p.fault(row.Line, i+1, err, hint)
		}
	}
	if len(p.result.Faults) > before {
		return
	}
	if !p.exported && r.all.Bulb.ID == "" && r.all.Bulb.Kind != data.KindLED && p.isStockName(r.all.Bulb.Name) {
		p.takeStock(&r)
		return
	}
	r.all.Test.Notes = append(r.all.Test.Notes, r.marked...)
	entry, err := r.entry()
	if err != nil {
		p.fault(row.Line, p.column(r.about), err, r.hint)
		return
	}
	p.result.Entries = append(p.result.Entries, entry)
}

// rowReading collects the cells of one row.
type rowReading struct {
	p       *interpreter
	row     TableRow
	all     slot
	parts   map[partKey]*data.Test // what belongs to one housing or beam only
	order   []partKey
	untimed []timed // readings whose time stands elsewhere
	hotAt   *float64
	housing string
	maker   string
	more    [3]string // record columns: bulb, test, rig
	hint    string
	about   []string // meanings that the error of a row is about, most likely first
	marked  []string // figures as written, with their marks
}

type timed struct {
	key partKey
	lux float64
}

func (r *rowReading) part(c Column) *data.Test {
	key := partKey{c.Housing, c.Beam}
	if key == (partKey{}) {
		return &r.all.Test
	}
	if r.parts[key] == nil {
		r.parts[key] = &data.Test{}
		r.order = append(r.order, key)
	}
	return r.parts[key]
}

// take puts one cell where it belongs.
func (r *rowReading) take(i int, c Column, text string) error {
	switch c.Means {
	case meansLux:
		if slices.Contains(endedWords, strings.ToLower(text)) {
			r.marked = append(r.marked, c.Head+": "+text)
			return nil
		}
		value, err := r.p.h.number(r.figure(c, text), c.Unit, "lx")
		if err != nil {
			return err
		}
		if c.At != nil {
			t := r.part(c)
			t.Readings = append(t.Readings, data.Reading{At: *c.At, Lux: value})
		} else {
			r.part(c)
			r.untimed = append(r.untimed, timed{partKey{c.Housing, c.Beam}, value})
		}
		return nil
	case meansHotAt:
		if !looksNumeric(text) {
			if at, err := r.p.timeOfState(text); at != nil || err != nil {
				r.hotAt = at
				return err
			}
		}
		value, err := r.p.h.number(r.figure(c, text), c.Unit, "min")
		r.hotAt = &value
		return err
	case meansReadings:
		return r.readings(text)
	case meansHousing:
		r.housing = housingIn(text)
		if r.housing == "" {
			return fmt.Errorf("%s is neither projector nor reflector", quoted(text))
		}
		return nil
	case meansPrice:
		price, per := perIn(r.figure(c, text))
		unit := c.Unit
		if own := r.p.column([]string{meansCurrency}); r.p.m.Columns[own-1].Means == meansCurrency && !isBlankCell(r.row.cell(own-1)) {
			unit = unguard(r.row.cell(own - 1))
		}
		money, err := r.p.h.money(price, unit)
		r.all.Bulb.Price = &money
		if per == "" {
			per = c.Per
		}
		if per != "" {
			r.all.Bulb.Per = per
		}
		return err
	case meansBulbMore, meansTestMore, meansRigMore:
		// A long record goes on in the next column of the same head.
		r.more[slices.Index([]string{meansBulbMore, meansTestMore, meansRigMore}, c.Means)] += text
		return nil
	case markCutoff, markHotSpot, markStray, markDark, markWidth:
		r.mark(c, text)
		return nil
	case meansMaker:
		r.maker = text
		return nil
	case meansNote:
		note := text
		if !has(headWords(c.Head), saysNote) || c.Housing != "" {
			note = c.Head + ": " + text
		}
		r.all.Test.Notes = append(r.all.Test.Notes, note)
		return nil
	}
	return r.field(c, text)
}

// figure takes marks off a figure, and keeps the cell as written in a note. The
// stronger parser has the first word: what reads as it is, stays.
func (r *rowReading) figure(c Column, text string) string {
	plain, marked := plainFigure(text)
	if !marked {
		return text
	}
	if _, _, err := r.p.h.split(plain); err != nil && c.Means != meansPrice {
		return text
	}
	r.p.once("marked", r.row.Line)
	r.marked = append(r.marked, c.Head+": "+text)
	return plain
}

func (r *rowReading) readings(text string) error {
	for part := range strings.SplitSeq(text, ";") {
		at, lux, ok := strings.Cut(strings.TrimSpace(part), ":")
		minutes, err1 := strconv.ParseFloat(strings.TrimSpace(at), 64)
		value, err2 := strconv.ParseFloat(strings.TrimSpace(lux), 64)
		if !ok || err1 != nil || err2 != nil {
			return fmt.Errorf("%s is not minutes:lux, as in 0:1190; 30:1071", quoted(part))
		}
		r.all.Test.Readings = append(r.all.Test.Readings, data.Reading{At: minutes, Lux: value})
	}
	return nil
}

// field fills a field of a record.
func (r *rowReading) field(c Column, text string) error {
	m, _ := meaningOf(c.Means)
	into := &r.all
	var own slot
	if m.ofTest && (c.Housing != "" || c.Beam != "") {
		own.Test = *r.part(c)
		into = &own
		defer func() { *r.part(c) = own.Test }()
	}
	switch {
	case m.number != nil:
		value, err := r.p.h.number(r.figure(c, text), c.Unit, m.unit)
		if err != nil {
			return err
		}
		*m.number(into) = &value
	case m.count != nil:
		value, unit, err := r.p.h.split(text)
		if err != nil || unit != "" || value != float64(int(value)) {
			return fmt.Errorf("%s is not a whole number", quoted(text))
		}
		*m.count(into) = int(value)
	case m.list != nil:
		*m.list(into) = strings.Split(text, "\n")
	case m.words != nil:
		word := m.words[strings.ToLower(text)]
		if word == "" && !slices.Contains(wordsIn(m.words), text) {
			return fmt.Errorf("%s is not one of %s", quoted(text), strings.Join(wordsIn(m.words), ", "))
		}
		if word == "" {
			word = text
		}
		*m.text(into) = word
	case m.key == "date" || m.key == "bought":
		if day, ok := serialDay(text); ok {
			r.p.once("serial", r.row.Line)
			text = day
		}
		day, err := r.p.h.day(text)
		if err != nil {
			return err
		}
		*m.text(into) = string(day)
	default:
		*m.text(into) = text
	}
	return nil
}

func wordsIn(words map[string]string) []string {
	var legal []string
	for _, word := range words {
		if !slices.Contains(legal, word) {
			legal = append(legal, word)
		}
	}
	slices.Sort(legal)
	return legal
}
