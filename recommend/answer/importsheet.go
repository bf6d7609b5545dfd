package answer

import (
	"fmt"
	"strconv"
	"strings"

	"stillbright/recommend"
)

// Import is the screen of `catalog import`: on a dry run what each column means
// and what each row becomes, then in any case the rows that failed and a count.
func Import(s recommend.ImportSheet, width int) string {
	p := newPage(width)
	if s.DryRun {
		p.importColumns(s)
		p.importRows(s)
	}
	for _, f := range s.Faults {
		text := fmt.Sprintf("%s:%d:%d: ", s.File, f.Line, f.Col)
		if f.Head != "" {
			text += oneLine(string(f.Head)) + ": "
		}
		p.wrap(text+oneLine(f.Message), "  ")
		if f.Hint != "" {
			p.wrap("  hint: "+string(f.Hint), "    ")
		}
	}
	for _, note := range s.Notes {
		p.wrap("note: "+note, "  ")
	}
	for _, file := range s.Files {
		p.line("  " + file)
	}
	verb := "added"
	if s.DryRun {
		verb = "would be added"
	}
	p.wrap(fmt.Sprintf("%s: %s %s, %d already there, %d failed, %d passed over.", s.File, plural(s.Added, "row", "rows"), verb, s.Known, s.Failed, len(s.Skipped)), "  ")
	return p.String()
}

// oneLine makes a cell of a stranger's file safe to print: no line ends, no
// control characters.
func oneLine(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return ' '
		}
		return r
	}, text)
}

func (p *page) importColumns(s recommend.ImportSheet) {
	t := table{head: []string{"Col", "Head", "Means"}, shrink: 1}
	for _, c := range s.Columns {
		means := []string{c.Means}
		if c.AtMin != nil {
			means = append(means, "at "+strconv.FormatFloat(*c.AtMin, 'g', 6, 64)+" min")
		}
		for _, word := range []recommend.Word{c.Housing, c.Beam} {
			if word != "" {
				means = append(means, string(word))
			}
		}
		if c.Unit != "" {
			means = append(means, "in "+string(c.Unit))
		}
		switch c.Means {
		case "note":
			means = []string{"note (kept as text)"}
		case "derived", "ignore":
			means = []string{c.Means + " (not read)"}
		}
		t.add(strconv.Itoa(c.Column), oneLine(c.Head), strings.Join(means, ", "))
	}
	p.table(t)
	p.blank()
}

func (p *page) importRows(s recommend.ImportSheet) {
	for _, r := range s.Rows {
		if r.State == "failed" {
			continue
		}
		text := fmt.Sprintf("row %d: %s", r.Line, r.Bulb)
		if r.NewBulb {
			text += " (new)"
		}
		if r.State == "known" {
			text += " (already there)"
		}
		p.line(text)
		for _, t := range r.Tests {
			var facts []string
			for _, reading := range t.Readings {
				facts = append(facts, fmt.Sprintf("%s lx at %s min", significant(reading.Lux, 6), significant(reading.AtMin, 6)))
			}
			for _, f := range []struct {
				name, unit string
				value      *float64
			}{{"stock", "lx", t.StockFirst}, {"stock after", "lx", t.StockLast}, {"body", "C", t.Body}, {"plug", "V", t.Volts}} {
				if f.value != nil {
					facts = append(facts, fmt.Sprintf("%s %s %s", f.name, significant(*f.value, 4), f.unit))
				}
			}
			p.wrap(fmt.Sprintf("  %s %s: %s", t.Date, strings.TrimSpace(t.Rig+" "+string(t.Beam)), strings.Join(facts, ", ")), "    ")
			for _, note := range t.Notes {
				p.wrap("    "+oneLine(note), "      ")
			}
		}
	}
	for _, skip := range s.Skipped {
		p.wrap(fmt.Sprintf("row %d: passed over, it %s", skip.Line, oneLine(skip.Why)), "  ")
	}
	p.blank()
}
