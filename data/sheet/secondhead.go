package sheet

import (
	"slices"
	"strconv"
	"strings"
)

// unitsUnderHeads are of the kinds that columns have.
var unitsUnderHeads = []string{"lx", "lm", "V", "W", "C", "K", "mm", "min", "%"}

// isUnit says whether a cell is a unit or a currency and nothing else.
func isUnit(cell string) bool {
	if cell == "" || strings.ContainsAny(cell, "0123456789") {
		return false
	}
	return currencyIn(strings.ToUpper(cell)) != "" || slices.ContainsFunc(unitsUnderHeads, func(want string) bool { return unitIn(cell, want) == cell })
}

// underHeads takes a second row of heads, as merged cells leave it: times lit, or
// cold and hot, under one head of light that spans them, or the units of all
// columns. A row with anything else in it is none, nor is one with a single cell.
func underHeads(heads []string, below TableRow) ([]string, bool) {
	joined := slices.Clone(heads)
	for len(joined) < len(below.Cells) {
		joined = append(joined, "")
	}
	filled, title := 0, ""
	for i := range joined {
		own := joined[i] != ""
		if own {
			title = joined[i]
		}
		cell := strings.TrimSpace(below.cell(i))
		if cell == "" {
			continue
		}
		filled++
		switch unit := strings.Trim(cell, "[]() "); {
		case isUnit(unit):
			if own && !strings.ContainsAny(title, "[(") {
				joined[i] = title + " [" + unit + "]"
			}
		case isTimeOrState(cell) && (has(headWords(title), saysLux) || isLampTitle(headWords(title))):
			joined[i] = title + " / " + cell
		default:
			return heads, false
		}
	}
	return joined, filled > 1
}

// isTimeOrState says whether a cell is a time lit with its unit, or cold or hot, and
// nothing else.
func isTimeOrState(cell string) bool {
	w := headWords(cell)
	if at := timeIn(cell); at != nil {
		return isBareTime(w) && strings.ContainsFunc(cell, func(r rune) bool { return r == '\'' || r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' })
	}
	return len(w) == 1 && (has(w, saysCold) || has(w, saysHot))
}

// saysState are heads of a column that tells cold rows from hot ones.
var saysState = []string{"state", "phase", "stage", "condition", "zustand"}

// tellsState says whether the cells under such a head say when each row was read.
func tellsState(t Table, heads headRow, column int) bool {
	if column >= len(heads.heads) || !has(headWords(heads.heads[column]), saysState) {
		return false
	}
	some := false
	for _, row := range t.Rows[heads.at+1:] {
		cell := row.cell(column)
		if isBlankCell(cell) || column < len(heads.heads) && sameHead(cell, heads.heads[column]) {
			continue
		}
		if w := headWords(cell); !has(w, saysCold) && !has(w, saysHot) && timeIn(cell) == nil {
			return false
		}
		some = true
	}
	return some
}

// timeOfState reads a cell that is no bare number: cold, hot 30min, hot.
func (p *interpreter) timeOfState(text string) (at *float64, err error) {
	w := headWords(text)
	switch {
	case has(w, saysCold):
		return new(float64), nil
	case timeIn(text) != nil:
		return timeIn(text), nil
	case has(w, saysHot) && p.m.At != nil:
		return p.m.At, nil
	case has(w, saysHot):
		return nil, &unsureError{quoted(text) + " does not say how long the bulb had been lit", "say it for the whole file: --lux-at 30min"}
	}
	return nil, nil
}

// besideLux says which columns without a head stand right of a lux column and hold
// numbers: readings, most likely, of which nobody knows the time.
func besideLux(t Table, heads headRow, m Mapping) string {
	var columns []string
	beside := false
	for i, c := range m.Columns {
		bare := i >= len(heads.heads) || heads.heads[i] == ""
		beside = c.Means == meansLux || beside && bare
		if !beside || !bare || c.Means != meansNote {
			continue
		}
		if slices.ContainsFunc(t.Rows[heads.at+1:], func(row TableRow) bool { return looksNumeric(row.cell(i)) }) {
			columns = append(columns, strconv.Itoa(i+1))
		}
	}
	if len(columns) == 0 {
		return ""
	}
	return "numbers without a heading right of the lux column, kept as notes: column " + strings.Join(columns, ", ") + "; if they are readings, name them, for example: Lux @ 30min"
}
