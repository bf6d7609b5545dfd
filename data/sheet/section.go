package sheet

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
)

// section is what a title says of the rows under it: "H11 projector, low beam".
type section struct {
	size, housing, beam string
	line                int
}

// takeSection reads a row of one cell as the title of what follows. A title
// that names both housings says nothing.
func (p *interpreter) takeSection(row TableRow) {
	title := ""
	for _, cell := range row.Cells {
		if cell != "" && title != "" {
			return
		}
		title += cell
	}
	w := headWords(title)
	if len(w) > 12 || p.exported {
		return
	}
	var s section
	named := map[string]bool{}
	for _, word := range w {
		if housing := oneOf([]string{word}, housingWords); housing != "" {
			s.housing, named[housing] = housing, true
		}
		if beam := oneOf([]string{word}, beamWords); beam != "" && word != "main" {
			named[beam] = true
			s.beam = beam
		}
	}
	if named[data.Projector] && named[data.Reflector] {
		s.housing = ""
	}
	if named[data.BeamLow] && named[data.BeamHigh] {
		s.beam = ""
	}
	s.size = p.sizeIn(title)
	if s == (section{}) {
		return
	}
	// A later title goes on where it says nothing of its own.
	if s.size == "" {
		s.size = p.section.size
	}
	s.line = row.Line
	p.section = s
}

// fromSection fills in what a title said, and remembers that it was needed.
func (p *interpreter) fromSection(into *string, said string) {
	if *into != "" || said == "" {
		return
	}
	*into = said
	text := fmt.Sprintf("%s %d: %s counts for what is under it", p.unit(), p.section.line, quoted(strings.Join(strings.Fields(strings.Join([]string{p.section.size, p.section.housing, p.section.beam}, " ")), " ")))
	if !slices.Contains(p.result.Notes, text) {
		p.result.Notes = append(p.result.Notes, text)
	}
}

// otherHeads says whether a row is one of headings: three cells and most of
// them are understood, and none is a figure.
func (p *interpreter) otherHeads(row TableRow) bool {
	filled, known := 0, map[string]bool{}
	for _, cell := range row.Cells {
		if cell == "" {
			continue
		}
		filled++
		if len(cell) > 80 || looksNumeric(cell) {
			if timeIn(cell) == nil {
				return false
			}
		}
		if c := propose(cell); c.Means != meansNote || has(headWords(cell), saysNote) {
			known[fmt.Sprint(c.Means, c.Housing, c.Beam, c.At != nil)] = true
		}
	}
	return len(known) >= 3 && 2*len(known) > filled
}
