package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/data"
	"stillbright/recommend/sheets"
)

// AimOptions shape the screen of an aim.
type AimOptions struct {
	Unit string // unit of marks on the wall: mm, cm or in
	Full bool   // every step, and what the figure rests on
}

// Aim is where a beam belongs on the wall: the answer in one line, where it comes
// from, a picture, what to do before, the setting, the check after. Unless all is
// asked for, it fits a screen of the width; notes give way first.
func Aim(s *sheets.AimSheet, o AimOptions, width int) Document {
	for notes := len(s.Notes); ; notes-- {
		if d := aimAnswers(s, o, notes); o.Full || notes == 0 || d.rows(width) <= screenRows {
			return d
		}
	}
}

func aimAnswers(s *sheets.AimSheet, o AimOptions, notes int) Document {
	p := new(page)
	if len(s.Seen) > 0 {
		p.seen(s, o.Unit)
		p.say(aimAnswer(s, o.Unit))
	} else {
		p.head(aimAnswer(s, o.Unit), "")
	}
	p.say(aimOrigin(s))
	if text := aimMarks(s, o.Unit); text != "" {
		p.say(text)
	}
	p.say("The wall from the driver's seat, not to scale:")
	p.put(Picture{Of: wallPicture{s, o.Unit}, Alt: aimAnswer(s, o.Unit)})
	if o.Full {
		p.aimFull(s)
	} else {
		p.aimShort(s, s.Notes[:notes])
	}
	if s.Plot != "" {
		p.say(fmt.Sprintf("Wall sheet: %s. Print it at 100 %%, check its 100 mm bar with a ruler, hang one for each lamp.", s.Plot))
	}
	if s.Catalog != nil {
		p.invented(*s.Catalog)
	}
	return p.doc
}

func (p *page) aimFull(s *sheets.AimSheet) {
	p.numbered("Before the swap", s.Before)
	p.numbered("The setting", s.Steps)
	p.numbered("After it", s.After)
	p.gap()
	for _, note := range s.Notes {
		p.say("Note: " + note)
	}
	if s.Source != "" {
		p.say("Source: " + string(s.Source))
	}
	for _, caution := range s.Cautions {
		p.caution(caution)
	}
}

// aimShort is the same in a few lines.
func (p *page) aimShort(s *sheets.AimSheet, notes []string) {
	feature, part := "stock cutoff and its step", "the flat part of the cutoff"
	switch {
	case s.Feature == "hot_spot":
		feature, part = "middle of the stock hot spot", "the hot spot"
	case s.Beam == data.BeamFog:
		feature, part = "stock cutoff", "the cutoff"
	}
	goal := "to the mark"
	switch {
	case s.DropMM == nil:
		goal = "onto its tape"
	case s.TargetMM == nil:
		goal = "onto its tape, between the limits"
	}
	p.say("Before: level floor, tyres at pressure, a person in the driver's seat. With the old halogens warm, tape the " +
		feature + " of each lamp; lock the exposure of the photo.")
	p.say("Setting: fit, warm up, then bring " + part + ", with the vertical screw, " + goal + ". If the shape does not come back, put the halogen back.")
	p.say("After: check again hot, when a usual trip has passed, and after a week.")
	for _, note := range notes {
		p.say("Note: " + note)
	}
	p.say("Do not look into a lit lamp. Every step and source: ", command("stillbright aim --full"), Span{Text: "."})
}

// aimAnswer is the answer in one line.
func aimAnswer(s *sheets.AimSheet, unit string) string {
	feature := aimFeature(s)
	below := " below the lamp centre at " + wallDistance(s.DistanceMM, unit) + "."
	switch {
	case s.TargetMM != nil && *s.TargetMM == 0:
		return fmt.Sprintf("Put the %s level with the lamp centre (0 %s below) at %s.", feature, unit, wallDistance(s.DistanceMM, unit))
	case s.TargetMM != nil:
		return "Put the " + feature + " " + inBoth(unit, func(u string) string { return length(*s.TargetMM, u) }) + below
	case s.DropMM != nil:
		return "Keep the " + feature + " " + inBoth(unit, func(u string) string { return span(*s.DropMM, u) }) + below
	}
	return fmt.Sprintf("No aim figure is known for this lamp: tape the stock %s before the swap.", shortFeature(s))
}

// inBoth gives millimetres in centimetres too and the other way round, since tapes
// show either.
func inBoth(unit string, text func(unit string) string) string {
	switch unit {
	case "mm":
		return text("mm") + " (" + text("cm") + ")"
	case "cm":
		return text("cm") + " (" + text("mm") + ")"
	}
	return text(unit)
}

func aimFeature(s *sheets.AimSheet) string {
	if s.Feature == "hot_spot" {
		return "middle of the hot spot"
	}
	return "cutoff"
}

// aimOrigin is the rule behind the figure and how it is known.
func aimOrigin(s *sheets.AimSheet) string {
	switch s.From {
	case "none":
		return "A figure stands on the plate of the car or lamp (--dip) or on the lens (--marking); without one, none is made up."
	case "plate":
		return "From the " + s.Rule + "."
	}
	return fmt.Sprintf("Rule (%s): %s.", howKnown(string(s.Confidence)), s.Rule)
}

// aimMarks is what to mark on the wall, and what may differ from it.
func aimMarks(s *sheets.AimSheet, unit string) string {
	var parts []string
	if s.HeightMM != nil {
		text := fmt.Sprintf("Above the floor: lamp centre %s", length(*s.HeightMM, unit))
		switch {
		case s.TargetMM != nil:
			text += fmt.Sprintf(", %s %s", shortFeature(s), length(*s.HeightMM-*s.TargetMM, unit))
		case s.DropMM != nil:
			text += fmt.Sprintf(", limits %s and %s", length(*s.HeightMM-s.DropMM.Least, unit), length(*s.HeightMM-s.DropMM.Most, unit))
		}
		parts = append(parts, text+".")
	}
	if s.ToleranceMM != nil {
		parts = append(parts, fmt.Sprintf("Tolerance: %s either way.", length(*s.ToleranceMM, unit)))
	}
	if s.TargetMM != nil && s.DropMM != nil && s.DropMM.Least != s.DropMM.Most {
		parts = append(parts, fmt.Sprintf("The rule's range is %s below.", span(*s.DropMM, unit)))
	}
	if s.InspectionMM != nil && s.TargetMM != nil {
		parts = append(parts, fmt.Sprintf("The inspection lets pass %s below.", span(*s.InspectionMM, unit)))
	}
	return strings.Join(parts, " ")
}

func shortFeature(s *sheets.AimSheet) string {
	if s.Feature == "hot_spot" {
		return "hot spot"
	}
	return "cutoff"
}

// inUnit is a length in mm in the unit of the marks.
func inUnit(mm float64, unit string) float64 {
	switch unit {
	case "in":
		return mm / 25.4
	case "cm":
		return mm / 10
	}
	return mm
}

// wallNumber rounds to what can be marked on a wall: a tenth of an inch or of a
// centimetre, a millimetre.
func wallNumber(mm float64, unit string) string {
	digits := 1
	if unit == "mm" {
		digits = 0
	}
	text := fixed(inUnit(mm, unit), digits)
	text = strings.TrimSuffix(text, ".0")
	if text == "-0" {
		return "0"
	}
	return text
}

func length(mm float64, unit string) string { return wallNumber(mm, unit) + " " + unit }

func span(drop sheets.AimDrop, unit string) string {
	if drop.Least < 0 {
		return fmt.Sprintf("from %s above to %s", length(-drop.Least, unit), length(drop.Most, unit))
	}
	return wallNumber(drop.Least, unit) + " to " + length(drop.Most, unit)
}

func wallDistance(mm float64, unit string) string {
	if unit == "in" {
		return significant(mm/304.8, 4) + " ft"
	}
	return significant(mm/1000, 4) + " m"
}

// wallRow is one line of the picture.
type wallRow struct {
	cells []rune
	label string
}

// wallPicture is the wall as it is to be seen.
type wallPicture struct {
	sheet *sheets.AimSheet
	unit  string
}

// Lines draws the wall in plain characters: - the height of the lamp
// centres, | straight ahead of each lamp, = where the flat part of the cutoff
// belongs, / or \ its step, . a limit, O the middle of a hot spot.
func (p wallPicture) Lines(width int) []string {
	s, unit := p.sheet, p.unit
	width = min(width, Width)
	const labelWidth = 28
	wall := max(24, width-labelWidth)
	lamps := []int{wall / 4, wall * 3 / 4}
	names := []string{"left lamp", "right lamp"}
	if s.Lamps == 1 {
		lamps, names = []int{wall / 2}, []string{"lamp"}
	}
	w := wallRows{width: wall, lamps: lamps, reach: wall / 6}
	head := w.row(" ", "")
	for i, at := range lamps {
		copy(head.cells[at-len(names[i])/2:], []rune(names[i]))
	}
	centre := w.row("-", heightLabel("lamp centre", s.HeightMM, 0, unit))
	switch {
	case s.TargetMM == nil && s.DropMM != nil:
		w.row(".", "limit "+length(s.DropMM.Least, unit)+" below")
		w.beam(s, w.row(" ", "your tape, between them"))
		w.row(".", "limit "+length(s.DropMM.Most, unit)+" below")
	case s.TargetMM == nil:
		w.row(" ", "")
		w.beam(s, w.row(" ", "your tape of it"))
	case math.Abs(*s.TargetMM) < 1:
		w.row(" ", shortFeature(s)+" at the same height")
		w.beam(s, centre)
	default:
		w.row(" ", "")
		w.beam(s, w.row(" ", shortFeature(s)+" "+length(*s.TargetMM, unit)+" below"))
	}
	w.row(" ", "")
	w.row("_", "floor")
	var lines []string
	for _, row := range w.rows {
		text := strings.TrimRight(string(row.cells), " ")
		if wall+labelWidth > width && row.label != "" {
			lines = append(lines, text, "  "+row.label) // no room beside the wall
			continue
		}
		lines = append(lines, text+pad(row, wall))
	}
	return lines
}

func pad(row *wallRow, wall int) string {
	if row.label == "" {
		return ""
	}
	used := len(strings.TrimRight(string(row.cells), " "))
	return strings.Repeat(" ", wall+1-used) + row.label
}

func heightLabel(what string, heightMM *float64, dropMM float64, unit string) string {
	if heightMM == nil {
		return what
	}
	return what + " " + length(*heightMM-dropMM, unit)
}

type wallRows struct {
	rows  []*wallRow
	lamps []int
	width int
	reach int // columns that a beam's edge is drawn to each side
}

// row adds a line filled with one character, with the lines straight ahead of
// the lamps over it.
func (w *wallRows) row(fill, label string) *wallRow {
	row := &wallRow{cells: []rune(strings.Repeat(fill, w.width)), label: label}
	for _, at := range w.lamps {
		row.cells[at] = '|'
		if fill == "-" {
			row.cells[at] = '+'
		}
	}
	w.rows = append(w.rows, row)
	return row
}

// beam draws the edge of each lamp's beam at a row.
func (w *wallRows) beam(s *sheets.AimSheet, at *wallRow) {
	index := 0
	for i, row := range w.rows {
		if row == at {
			index = i
		}
	}
	for _, x := range w.lamps {
		if s.Feature == "hot_spot" {
			at.cells[x] = 'O'
			continue
		}
		side, step := -1, '/' // the flat part, and the step that rises to the kerb
		if s.Traffic == "left" {
			side, step = 1, '\\'
		}
		stepless := s.Beam == data.BeamFog || s.Traffic == ""
		if s.Marking == "VOR" {
			// Its flat part is on the right; the part on the left lies lower.
			for i := 1; i <= w.reach; i++ {
				at.cells[x+i] = '='
			}
			w.put(index+1, x-1, '/')
			for i := 2; i <= w.reach; i++ {
				w.put(index+1, x-i, '_')
			}
			continue
		}
		for i := 1; i <= w.reach; i++ {
			at.cells[x+side*i] = '='
			if stepless {
				at.cells[x-side*i] = '='
			}
		}
		if stepless {
			continue
		}
		for i := 1; i <= 2 && index-i > 0; i++ {
			w.put(index-i, x-side*(2*i-1), step)
		}
	}
}

func (w *wallRows) put(row, column int, mark rune) {
	if row < 0 || row >= len(w.rows) || column < 0 || column >= w.width {
		return
	}
	w.rows[row].cells[column] = mark
}
