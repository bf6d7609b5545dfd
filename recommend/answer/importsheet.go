package answer

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/sheets"
)

// Import is the screen of `catalog import`: on a dry run what each column means
// and what each row becomes, then in any case what differs from the records on
// file, the rows that failed and a count.
func Import(s sheets.ImportSheet) Document {
	p := new(page)
	if s.DryRun {
		p.importColumns(s)
		p.importRows(s)
	}
	p.importDifferences(s)
	p.importFaults(s)
	for _, note := range s.Notes {
		p.say("note: " + note)
	}
	if !s.DryRun {
		p.importFiles(s.Files)
	}
	p.say(importCount(s))
	if s.DryRun && s.Added+s.Updated > 0 {
		p.say("Nothing is written yet: run it again without --dry-run.")
	}
	return p.doc
}

func importCount(s sheets.ImportSheet) string {
	unit := importUnit(s)
	added, updated := "added", "updated"
	if s.DryRun {
		added, updated = "would be added", "would be updated"
	}
	text := fmt.Sprintf("%s: %s %s", s.File, plural(s.Added, unit, unit+"s"), added)
	for _, part := range []struct {
		n    int
		text string
	}{{s.Updated, updated}, {s.Known, "already there"}, {s.Differ, "on file with other figures and not taken"}, {s.Failed, "failed"}, {len(s.Skipped), "passed over"}} {
		if part.n > 0 || part.text == "already there" || part.text == "failed" {
			text += fmt.Sprintf(", %d %s", part.n, part.text)
		}
	}
	return text + "."
}

// importUnit is what a record stands in.
func importUnit(s sheets.ImportSheet) string {
	switch {
	case s.Turned:
		return "column"
	case len(s.Columns) == 0:
		return "record"
	}
	return "row"
}

func (p *page) importColumns(s sheets.ImportSheet) {
	p.say("Headings in " + s.File + ":")
	t := Table{Head: []string{"", "heading", "means"}, Shrink: 1}
	for _, c := range s.Columns {
		means := []string{strings.ReplaceAll(c.Means, "_", " ")}
		if c.AtMin != nil {
			means = append(means, "at "+strconv.FormatFloat(*c.AtMin, 'g', 6, 64)+" min")
		}
		for _, word := range []recommend.Word{c.Housing, c.Beam} {
			if word != "" {
				means = append(means, string(word))
			}
		}
		if !slices.Contains([]string{"", "lux", "lx", "v", "volt", "volts", "w", "watt", "watts"}, strings.ToLower(string(c.Unit))) {
			means = append(means, "in "+string(c.Unit))
		}
		switch c.Means {
		case "note":
			means = []string{"note, kept with the test"}
		case "derived":
			means = []string{"computed from others, not read"}
		case "ignore":
			means = []string{"not read"}
		}
		t.add(strconv.Itoa(c.Column), c.Head, strings.Join(means, ", "))
	}
	p.put(t)
	p.gap()
}

func importLines(s sheets.ImportSheet, lines []int) string {
	switch n := len(lines); {
	case n == 0:
		return ""
	case n == 1:
		return fmt.Sprintf("%s %d", importUnit(s), lines[0])
	case lines[n-1]-lines[0] == n-1:
		return fmt.Sprintf("%ss %d to %d", importUnit(s), lines[0], lines[n-1])
	default:
		return fmt.Sprintf("%ss %d to %d (%d of them)", importUnit(s), lines[0], lines[n-1], n)
	}
}

func (p *page) importRows(s sheets.ImportSheet) {
	for _, r := range s.Rows {
		if r.State == "failed" {
			continue
		}
		text := r.Kind + " " + r.ID
		if where := importLines(s, r.Lines); where != "" {
			text = where + ": " + r.ID
		}
		if r.New {
			text += ", new " + r.Kind
		}
		switch r.State {
		case "known":
			text += ", already there"
		case "differs":
			text += ", on file with other figures, not taken"
		case "updated":
			text += ", updates what is on file"
		}
		p.say(text)
		for _, t := range r.Tests {
			p.importTest(t)
		}
	}
	for _, skip := range s.Skipped {
		p.say(fmt.Sprintf("%s %d: passed over, it %s", importUnit(s), skip.Line, skip.Why))
	}
	p.gap()
}

func (p *page) importTest(t sheets.ImportTest) {
	var facts []string
	for i, reading := range t.Readings {
		if n := len(t.Readings); n > 6 && i >= 3 && i < n-2 {
			if i == 3 {
				facts = append(facts, fmt.Sprintf("%d more", n-5))
			}
			continue
		}
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
	p.item(fmt.Sprintf("%s %s: %s", t.Date, strings.TrimSpace(t.Rig+" "+string(t.Beam)), strings.Join(facts, ", ")))
	for _, note := range t.Notes {
		p.under("note: " + note)
	}
}

// importDifferences lists what the sheet and the records tell differently.
func (p *page) importDifferences(s sheets.ImportSheet) {
	kept, tests, last := 0, 0, ""
	for _, r := range s.Rows {
		for _, d := range r.Differences {
			where := importLines(s, r.Lines)
			if where == "" {
				where = r.Kind
			}
			of := where + ": " + r.ID
			if d.Of != r.ID {
				of += ", " + d.Of
			}
			if of != last {
				p.say(of + ":")
				last = of
			}
			text := fmt.Sprintf("%s: %s on file, %s in the sheet", d.What, d.OnFile, d.Row)
			if d.Taken {
				text = fmt.Sprintf("%s: %s in place of %s", d.What, d.Row, d.OnFile)
			} else {
				kept++
			}
			p.item(text)
		}
		if r.State == "differs" && r.Kind == "bulb" && len(r.Tests) > 0 {
			tests++
		}
	}
	if kept > 0 {
		p.say("What is on file was kept. To take the sheet's figures: --update.")
	}
	if tests > 0 {
		p.say("If a row is another test of the same day: --second.")
	}
}

// importFiles names the files that were written, a folder once.
func (p *page) importFiles(files []sheets.ImportFile) {
	const most = 12
	folder := ""
	for i, file := range files {
		if i == most && len(files) > most+1 {
			p.item(fmt.Sprintf("and %d more", len(files)-most))
			break
		}
		if own := folderOf(folderOf(file.File)); own != folder {
			folder = own
			p.say("Written in " + folder + ":")
		}
		within := func(name string) string {
			if rest, ok := strings.CutPrefix(name, folder); ok && folder != "." {
				return strings.TrimLeft(rest, separators)
			}
			return name
		}
		text := within(file.File)
		if file.Copy != "" {
			text += ", before in " + within(string(file.Copy))
		}
		p.item(text)
	}
}

// separators part the folders of a file's name, on any system.
const separators = `/\`

// folderOf is the folder that a file's name begins with.
func folderOf(file string) string {
	if at := strings.LastIndexAny(file, separators); at > 0 {
		return file[:at]
	}
	return "."
}

// importFaults lists the rows that failed, with line and column; a fault that
// many rows share stands once, with all its places.
func (p *page) importFaults(s sheets.ImportSheet) {
	key := func(f sheets.ImportFault) string { return fmt.Sprint(f.Head, "\n", f.Message, "\n", f.Hint) }
	places := map[string][]string{}
	for _, f := range s.Faults {
		places[key(f)] = append(places[key(f)], fmt.Sprintf("%d:%d", f.Line, f.Col))
	}
	for _, f := range s.Faults {
		at := places[key(f)]
		if at == nil {
			continue // told with the first
		}
		text := fmt.Sprintf("%s:%s: ", s.File, at[0])
		if f.Head != "" {
			text += string(f.Head) + ": "
		}
		p.say(text + f.Message)
		if len(at) > 1 {
			p.item("the same at " + strings.Join(at[1:], ", "))
		}
		if f.Hint != "" {
			p.item("hint: " + string(f.Hint))
		}
		places[key(f)] = nil
	}
}
