package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"stillbright/data"
)

// Mapping is what the columns of a table mean; it can be saved, reviewed and
// used again.
type Mapping struct {
	Format   int      `yaml:"format" req:"1" min:"1" max:"1" doc:"version of this file format; 1"`
	Columns  []Column `yaml:"columns" req:"1" doc:"what each column means, by its head"`
	At       *float64 `yaml:"lux_at" unit:"min" min:"0" max:"1440" doc:"time lit of lux columns that do not say theirs"`
	Date     string   `yaml:"date" doc:"day of tests whose row has none, YYYY-MM-DD"`
	Lot      string   `yaml:"lot" doc:"lot of bulbs whose row names none"`
	Currency string   `yaml:"currency" doc:"currency of prices without one"`
	Decimal  string   `yaml:"decimal" enum:"point|comma" doc:"decimal mark, where the file does not show it"`
	Days     string   `yaml:"days" enum:"day_first|month_first" doc:"how 3/4/2026 is meant, where the file does not show it"`
	FillDown bool     `yaml:"fill_down" doc:"a blank bulb, size or date means the one above"`
	Rigs     []string `yaml:"rigs" doc:"ids of the rigs that tests were made in, found by size and housing"`
	NewRigs  bool     `yaml:"new_rigs" doc:"a rig is made for a size and housing that no rig of the catalog serves"`
}

// Column is what one column means.
type Column struct {
	Head    string   `yaml:"head" req:"1" doc:"head of the column; a title above it stands before it"`
	Means   string   `yaml:"means" req:"1" doc:"field of a record, or lux, hot_at, readings, housing, price, currency, maker, a mark by eye (mark_cutoff, mark_hot_spot, mark_stray, mark_dark, mark_width), note, derived (not read), ignore"`
	Unit    string   `yaml:"unit" doc:"unit of cells without one"`
	At      *float64 `yaml:"at" unit:"min" min:"0" max:"1440" doc:"time lit of a lux column"`
	Housing string   `yaml:"housing" enum:"projector|reflector" doc:"housing that the column is about"`
	Beam    string   `yaml:"beam" enum:"low|high|fog" doc:"beam that the column is about"`
	Per     string   `yaml:"per" enum:"each|pair" doc:"what a price buys"`
}

// Validate checks what the tags cannot say.
func (m Mapping) Validate(file string) data.Faults {
	var faults data.Faults
	for i, c := range m.Columns {
		_, isField := meaningOf(c.Means)
		special := []string{meansLux, meansHotAt, meansReadings, meansHousing, meansPrice, meansCurrency, meansMaker, meansNote, meansDerived, meansIgnore, meansBulbMore, meansTestMore, meansRigMore}
		special = append(special, slices.Sorted(maps.Keys(eyeMarks))...)
		if c.Means != "" && !isField && !slices.Contains(special, c.Means) {
			faults = append(faults, data.Fault{File: file, Path: fmt.Sprintf("columns[%d].means", i), Message: fmt.Sprintf("%s is no meaning of a column", quoted(c.Means)), Hint: "one of " + strings.Join(append(fieldKeys(), special...), " ")})
		}
	}
	if m.Date != "" {
		if _, err := data.ParseDate(m.Date); err != nil {
			faults = append(faults, data.Fault{File: file, Path: "date", Message: err.Error()})
		}
	}
	return faults
}

func fieldKeys() []string {
	var keys []string
	for _, m := range meanings() {
		keys = append(keys, m.key)
	}
	return keys
}

// headRow is where the heads of a table stand.
type headRow struct {
	first int // index in Table.Rows
	at    int // the last of them, where there are two
	known int // heads that are understood
	heads []string
}

// findHeads takes the row, of the first thirty, in which most cells are heads
// that are understood; a row of titles straight above it is put before them.
func findHeads(t Table, given Mapping) (headRow, bool) {
	best, most := -1, 1
	knownIn := map[int]int{}
	for i, row := range t.Rows[:min(len(t.Rows), 30)] {
		known := 0
		seen := map[string]bool{}
		for _, cell := range row.Cells {
			if len(cell) > 80 || looksNumeric(cell) {
				continue
			}
			c := propose(cell)
			if slices.ContainsFunc(given.Columns, func(g Column) bool { return sameHead(g.Head, cell) }) {
				c.Means = "given " + cell
			}
			if c.Means == meansNote && !has(headWords(cell), saysNote) || cell == "" {
				continue
			}
			if key := fmt.Sprint(c.Means, c.Housing, c.Beam, c.At != nil); !seen[key] {
				seen[key] = true
				known++
			}
		}
		if knownIn[i] = known; known > most {
			best, most = i, known
		}
	}
	if best < 0 {
		return headRow{}, false
	}
	if best > 0 && knownIn[best-1] > 1 {
		if _, second := underHeads(t.Rows[best-1].Cells, t.Rows[best]); second {
			best--
		}
	}
	heads := slices.Clone(t.Rows[best].Cells)
	if best > 0 {
		heads = withTitles(t.Rows[best-1].Cells, heads)
	}
	last := best
	if best+1 < len(t.Rows) {
		if joined, second := underHeads(heads, t.Rows[best+1]); second {
			heads, last = joined, best+1
		}
	}
	return headRow{best, last, most, heads}, true
}

// hasHeads says whether a table, as it is or turned, has heads that are
// understood.
func hasHeads(t Table) bool {
	if _, ok := findHeads(t, Mapping{}); ok {
		return true
	}
	other, _ := turn(t)
	_, ok := findHeads(other, Mapping{})
	return ok
}

func looksNumeric(cell string) bool {
	digits, _ := splitNumber(strings.TrimLeft(cell, "$£€ "))
	return digits != ""
}

// isLampTitle says whether a title is about a lamp, and so about every head
// under it; one of a quantity is only about heads that name none.
func isLampTitle(w []string) bool {
	return oneOf(w, housingWords) != "" || oneOf(w, beamWords) != "" || has(w, saysStock)
}

func isTitle(w []string) bool { return isLampTitle(w) || has(w, saysLux) || has(w, saysTemp) }

// withTitles puts merged titles before the heads under them. A row is one of
// titles when at least one of its cells names a housing, a beam, stock, lux or temperature and it
// leaves cells blank, as merged cells do.
func withTitles(above, heads []string) []string {
	titles, blanks := 0, len(heads)-len(above)
	for i, cell := range above {
		if i == 0 && cell != "" && len(above) == 1 {
			return heads
		}
		w := headWords(cell)
		switch {
		case cell == "":
			blanks++
		case isTitle(w):
			titles++
		}
	}
	if titles == 0 || blanks <= 0 {
		return heads
	}
	title := ""
	for i := range heads {
		if i < len(above) && above[i] != "" {
			title = above[i]
		}
		w := headWords(title)
		under := headWords(heads[i])
		if title != "" && heads[i] != "" && (isLampTitle(w) || isTitle(w) && (isBareTime(under) || len(under) == 1 && (has(under, saysCold) || has(under, saysHot)))) {
			heads[i] = title + " / " + heads[i]
		}
	}
	return heads
}

// byCells looks at the cells of a column of words: most of them have to be legal
// words of what the head promises, else it is a note. "Type" may be the housing
// or the kind of bulb.
func byCells(t Table, heads headRow, column int, means string) string {
	fits := func(words map[string]string) (fit, filled int) {
		for _, row := range t.Rows[heads.at+1:] {
			cell := strings.ToLower(row.cell(column))
			if isBlankCell(cell) || slices.Contains(totals, cell) || column < len(heads.heads) && sameHead(cell, heads.heads[column]) {
				continue
			}
			filled++
			if words[cell] != "" || oneOf(headWords(cell), words) != "" {
				fit++
			}
		}
		return fit, filled
	}
	words := map[string]string{}
	if m, ok := meaningOf(means); ok {
		words = m.words
	} else if means == meansHousing {
		words = housingWords
	}
	if len(words) == 0 {
		return means
	}
	fit, filled := fits(words)
	if filled == 0 || 2*fit >= filled {
		return means
	}
	if means == meansHousing {
		if fit, filled := fits(kindWords); 2*fit >= filled {
			return "kind"
		}
	}
	return meansNote
}

// isTimeLit says whether the cells under a head are minutes and not the time of
// day.
func isTimeLit(t Table, heads headRow, column int) bool {
	for _, row := range t.Rows[heads.at+1:] {
		cell := row.cell(column)
		if strings.Contains(cell, ":") || cell != "" && !looksNumeric(cell) && !has(headWords(cell), saysCold) {
			return false
		}
	}
	return true
}

func sameHead(a, b string) bool {
	return strings.EqualFold(strings.Join(strings.Fields(a), " "), strings.Join(strings.Fields(b), " "))
}

// complete makes the mapping of this table: what was given counts, the other
// heads are proposed. A field that two columns would fill goes to the first;
// the second is kept as a note.
func complete(t Table, heads headRow, given Mapping) Mapping {
	m := given
	m.Format, m.Columns = 1, nil
	seen := map[string]bool{}
	width := len(heads.heads)
	for _, row := range t.Rows[heads.at+1:] {
		width = max(width, len(row.Cells))
	}
	for i := range width {
		head := ""
		if i < len(heads.heads) {
			head = heads.heads[i]
		}
		c, isGiven := propose(head), false
		if g := slices.IndexFunc(given.Columns, func(g Column) bool { return sameHead(g.Head, head) }); g >= 0 && head != "" {
			c, isGiven = given.Columns[g], true
		}
		if head == "" {
			c.Head = fmt.Sprintf("(column %d)", i+1)
		}
		if !isGiven {
			c.Means = byCells(t, heads, i, c.Means)
		}
		if !isGiven && c.Means == meansNote && tellsState(t, heads, i) {
			c.Means, c.Unit = meansHotAt, "min"
		}
		if c.Means == meansTime {
			c.Means = meansNote
			if isTimeLit(t, heads, i) {
				c.Means = meansHotAt
			}
		}
		key := c.Means + "/" + c.Housing + "/" + c.Beam
		if c.At != nil {
			key += fmt.Sprint("/", *c.At)
		}
		if seen[key] && !slices.Contains([]string{meansNote, meansDerived, meansIgnore, meansBulbMore, meansTestMore, meansRigMore}, c.Means) {
			c = Column{Head: c.Head, Means: meansNote}
		}
		seen[key] = true
		m.Columns = append(m.Columns, c)
	}
	if !seen["name//"] && !seen["id//"] {
		// Names often stand in a first column without a head.
		for i := range m.Columns {
			if blank := i < len(heads.heads) && heads.heads[i] == ""; m.Columns[i].Means == meansMaker || strings.EqualFold(m.Columns[i].Head, "lamp") || blank && i == 0 && m.Columns[i].Means == meansNote {
				m.Columns[i].Means = "name"
				break
			}
		}
	}
	return m
}
