package ask

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/recommend/plaintext"
)

// verdict is what becomes of a line that was entered.
type verdict int

const (
	taken verdict = iota
	explain
	refused
)

type entered struct {
	verdict verdict
	answer  Answer
	why     string
}

// shown is the answer as a person reads it.
func (e entered) shown() string {
	switch e.answer.State {
	case Back:
		return backLabel
	case Unknown:
		return unknownLabel
	}
	return e.answer.Value
}

// Signs with a meaning in every entry.
const (
	helpSign    = "?"
	backSign    = "<"
	unknownSign = "-"
)

// command recognises the entries that are not answers.
func (q Question) command(line string) (entered, bool) {
	switch plain := strings.ReplaceAll(strings.ToLower(line), "\u2019", "'"); {
	case line == helpSign:
		return entered{verdict: explain}, true
	case line == backSign && q.AllowBack:
		return entered{answer: Answer{State: Back}}, true
	case line == backSign:
		return entered{verdict: refused, why: "there is no question before this one"}, true
	case q.AllowUnknown && (plain == unknownSign || plain == unknownLabel || plain == "dont know" || plain == "unknown"):
		return entered{answer: Answer{State: Unknown}}, true
	}
	return entered{}, false
}

// entry judges a line typed for Input.
func (q Question) entry(line string) entered {
	line = strings.TrimSpace(plaintext.Clean(line))
	if got, ok := q.command(line); ok {
		return got
	}
	if line == "" {
		line = q.Default
	}
	if line == "" {
		return entered{verdict: refused, why: "nothing entered; " + q.legalText()}
	}
	if q.Validate != nil {
		if err := q.Validate(line); err != nil {
			return entered{verdict: refused, why: err.Error()}
		}
	}
	if line == unknownSign { // elsewhere it is "don't know", and no answer to keep
		return entered{verdict: refused, why: "this has to be known to go on; " + q.legalText()}
	}
	return entered{answer: Answer{Answered, line}}
}

// legalText names what may be typed besides an answer.
func (q Question) legalText() string {
	pieces := []string{helpSign + " explains"}
	if q.AllowUnknown {
		pieces = append(pieces, unknownSign+" "+unknownLabel)
	}
	if q.AllowBack {
		pieces = append(pieces, backSign+" goes back")
	}
	return strings.Join(pieces, ", ")
}

// pick judges a line typed for a numbered list. Without a single match it
// returns the rows that come near, for the person to choose from.
func (q Question) pick(rows []choice, line string) (got entered, near []int) {
	line = strings.TrimSpace(plaintext.Clean(line))
	if got, ok := q.command(line); ok {
		return got, nil
	}
	if line == "" {
		if start, ok := q.start(rows); ok {
			return entered{answer: rows[start].answer}, nil
		}
		return entered{verdict: refused, why: "nothing entered; " + q.legalRows(rows)}, nil
	}
	if number, ok := rowNumber(line, len(rows)); ok {
		return entered{answer: rows[number].answer}, nil
	}
	if exact := rowsLike(rows, line, func(name, typed string) bool { return name == typed }); len(exact) == 1 {
		return entered{answer: rows[exact[0]].answer}, nil
	}
	if named := rowsNoted(rows, line); len(named) == 1 {
		return entered{answer: rows[named[0]].answer}, nil
	}
	near = rowsLike(rows, line, strings.HasPrefix)
	if len(near) == 1 {
		return entered{answer: rows[near[0]].answer}, nil
	}
	if len(near) == 0 {
		near = found(rows, line)
	}
	if len(near) == 0 {
		return entered{verdict: refused, why: fmt.Sprintf("nothing here is called %q; %s", line, q.legalRows(rows))}, nil
	}
	return entered{verdict: refused, why: fmt.Sprintf("%q could be one of these; %s", line, q.legalRows(rows))}, near
}

// found lists the options that the search finds.
func found(rows []choice, line string) (options []int) {
	if fold(line) == "" {
		return nil
	}
	l := &list{rows: rows, rank: searchFolded}
	l.prepare()
	for _, row := range l.lookup(line) {
		if row >= 0 && rows[row].option {
			options = append(options, row)
		}
	}
	return options
}

// rowNumber reads a number from 1 to count; "010" is ten.
func rowNumber(line string, count int) (row int, ok bool) {
	if len(line) > 9 {
		return 0, false
	}
	for _, r := range line {
		if r < '0' || r > '9' {
			return 0, false
		}
		row = row*10 + int(r-'0')
	}
	return row - 1, row >= 1 && row <= count
}

// rowsLike lists the rows whose label or value is like what was typed.
func rowsLike(rows []choice, typed string, like func(name, typed string) bool) (found []int) {
	typed = fold(typed)
	for i, row := range rows {
		if typed != "" && (like(fold(row.label), typed) || row.answer.Value != "" && like(fold(row.answer.Value), typed)) {
			found = append(found, i)
		}
	}
	return found
}

// rowsNoted lists the options whose note has what was typed as a word of its
// own: another name of the same thing.
func rowsNoted(rows []choice, typed string) (found []int) {
	typed = fold(typed)
	for i, row := range rows {
		if typed != "" && row.option && slices.Contains(strings.Fields(fold(row.note)), typed) {
			found = append(found, i)
		}
	}
	return found
}

// legalRows names what may be typed for a numbered list.
func (q Question) legalRows(rows []choice) string {
	return fmt.Sprintf("enter a number from 1 to %d or the beginning of a name; %s", len(rows), q.legalText())
}
