package list

import (
	"errors"
	"io"
	"strings"
)

// readRecord reads one record (RFC 4180: quoted cells may hold commas, doubled
// quotes and line ends). A line with broken quotes stands for itself, split at
// every separator, so that it cannot swallow the lines below it.
func (r *rowReader) readRecord() (record, error) {
	first, err := r.lines.next()
	if err != nil {
		return record{}, err
	}
	rec := record{line: first.number}
	if first.cut {
		rec.bad = checked(row{}, true).bad
		return rec, nil
	}
	lines := []textLine{first}
	text := first.text
	for {
		cells, state := splitQuoted(text, r.comma)
		switch state {
		case quotesClosed:
			rec.cells = cells
			return rec, nil
		case quotesOpen:
			if len(lines) < recordMost && len(text) < lineMost {
				line, err := r.lines.next()
				if err == nil && !line.cut {
					lines = append(lines, line)
					text += "\n" + line.text
					continue
				}
				if err == nil {
					lines = append(lines, line)
				} else if !errors.Is(err, io.EOF) {
					return record{}, err
				}
			}
		}
		r.lines.putBack(lines[1:])
		rec.cells = splitLine(first.text, r.comma)
		return rec, nil
	}
}

// How the quotes of a text stand.
const (
	quotesClosed = iota
	quotesOpen   // the last cell is quoted and not closed
	quotesBroken // something stands behind a closing quote
)

// splitQuoted cuts a record into cells.
func splitQuoted(text string, comma byte) (cells []string, state int) {
	for {
		trimmed := strings.TrimLeft(text, " ")
		if !strings.HasPrefix(trimmed, `"`) {
			cell, rest, more := strings.Cut(text, string(comma))
			cells = append(cells, cell)
			if !more {
				return cells, quotesClosed
			}
			text = rest
			continue
		}
		var cell strings.Builder
		rest := trimmed[1:]
		for {
			at := strings.IndexByte(rest, '"')
			if at < 0 {
				return cells, quotesOpen
			}
			cell.WriteString(rest[:at])
			rest = rest[at+1:]
			if !strings.HasPrefix(rest, `"`) {
				break
			}
			cell.WriteByte('"')
			rest = rest[1:]
		}
		cells = append(cells, cell.String())
		rest = strings.TrimLeft(rest, " ")
		switch {
		case rest == "":
			return cells, quotesClosed
		case rest[0] != comma:
			return cells, quotesBroken
		}
		text = rest[1:]
	}
}

// splitLine cuts a line at every separator; quotes round a whole cell go.
func splitLine(text string, comma byte) []string {
	cells := strings.Split(text, string(comma))
	for i, cell := range cells {
		trimmed := strings.TrimSpace(cell)
		if len(trimmed) > 1 && strings.HasPrefix(trimmed, `"`) && strings.HasSuffix(trimmed, `"`) {
			cells[i] = trimmed[1 : len(trimmed)-1]
		}
	}
	return cells
}
