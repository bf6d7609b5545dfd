package answer

import (
	"fmt"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

// CheckDocument is the document of `catalog check`.
func CheckDocument(folder string, faults data.Faults) sheets.CheckSheet {
	sheet := sheets.CheckSheet{Schema: "stillbright/check/1", Folder: folder, Faults: []sheets.FaultLine{}}
	for _, f := range faults {
		severity := "wrong"
		if f.Warning {
			severity = "implausible"
		}
		sheet.Faults = append(sheet.Faults, sheets.FaultLine{
			Severity: severity, File: f.File, Line: f.Line, Col: f.Col, Path: recommend.Word(f.Path), Message: f.Message, Hint: recommend.Word(f.Hint)})
	}
	return sheet
}

// checkPlaces is how many places of one and the same remark are listed.
const checkPlaces = 3

// Check is the screen of `catalog check`: faults first, then what is
// implausible, each with place, reason and hint. A remark that many places
// share stands once, with the first places; full lists them all.
func Check(folder string, c data.Catalog, faults data.Faults, full bool) Document {
	p := new(page)
	wrong := faults.Wrong()
	for _, f := range wrong {
		p.fault(f)
	}
	shared := map[string][]data.Fault{}
	key := func(f data.Fault) string { return f.Message + "\n" + f.Hint }
	for _, f := range faults {
		if f.Warning {
			shared[key(f)] = append(shared[key(f)], f)
		}
	}
	for _, f := range faults {
		places := shared[key(f)]
		switch {
		case !f.Warning || places == nil:
		case full || len(places) <= checkPlaces+1:
			p.fault(f)
		default:
			p.sharedFault(places)
			shared[key(f)] = nil
		}
	}
	if len(faults) > 0 {
		p.gap()
	}
	tests := 0
	for _, b := range c.Bulbs {
		for _, lot := range b.Lots {
			tests += len(lot.Tests)
		}
	}
	absent, lack := 0, ""
	for _, f := range faults {
		if f.Absent {
			absent++
		}
	}
	if absent > 0 {
		lack = fmt.Sprintf(", %d missing", absent)
	}
	p.say(fmt.Sprintf("%s: %s, %s implausible%s; %s, %s, %s, %s.", folder,
		plural(len(wrong), "fault", "faults"), plural(len(faults)-len(wrong)-absent, "figure", "figures"), lack,
		plural(len(c.Bulbs), "bulb", "bulbs"), plural(tests, "test", "tests"), plural(len(c.Rigs), "rig", "rigs"), plural(len(c.Cars), "car", "cars")))
	return p.doc
}

// sharedFault lists the places of one remark under it.
func (p *page) sharedFault(places []data.Fault) {
	f := places[0]
	what := f.Path[strings.LastIndexByte(f.Path, '.')+1:]
	mark := "implausible in"
	if f.Absent {
		mark = "in"
	}
	p.say(strings.TrimSpace(fmt.Sprintf("%s %d places: %s %s", mark, len(places), what, f.Message)))
	if f.Hint != "" {
		p.item("hint: " + f.Hint)
	}
	for _, f := range places[:checkPlaces] {
		p.item(f.At())
	}
	p.item(fmt.Sprintf("and %d more; --full lists them", len(places)-checkPlaces))
}

func (p *page) fault(f data.Fault) {
	mark := ""
	if f.Warning && !f.Absent {
		mark = "implausible: "
	}
	text := f.At() + ": "
	if f.Path != "" {
		text += f.Path + ": "
	}
	p.say(text + mark + f.Message)
	if f.Hint != "" {
		p.item("hint: " + f.Hint)
	}
}

// Difference shows how a small file would change, line by line: removed lines
// with -, added ones with +, and one line of context.
func Difference(name string, before, after []byte) string {
	old, fresh := strings.Split(string(before), "\n"), strings.Split(string(after), "\n")
	start := 0
	for start < len(old) && start < len(fresh) && old[start] == fresh[start] {
		start++
	}
	end := 0
	for end < len(old)-start && end < len(fresh)-start && old[len(old)-1-end] == fresh[len(fresh)-1-end] {
		end++
	}
	var text strings.Builder
	fmt.Fprintf(&text, "%s\n", plaintext.Clean(name))
	if start > 0 {
		fmt.Fprintf(&text, "  %4d   %s\n", start, plaintext.Clean(old[start-1]))
	}
	for i, line := range old[start : len(old)-end] {
		fmt.Fprintf(&text, "  %4d - %s\n", start+i+1, plaintext.Clean(line))
	}
	for i, line := range fresh[start : len(fresh)-end] {
		fmt.Fprintf(&text, "  %4d + %s\n", start+i+1, plaintext.Clean(line))
	}
	return text.String()
}
