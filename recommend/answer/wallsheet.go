package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/data"
	"stillbright/recommend/answer/draw"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

// WallSheetKinds are the kinds of file a wall sheet can be, by file ending.
func WallSheetKinds() []string { return []string{"svg", "pdf", "png"} }

// WallSheet is a sheet to hang on the wall, at true scale, one for each lamp: the
// height of the lamp centre, where the cutoff belongs, what may differ, a ruler
// and a bar to check the print with. kind is one of WallSheetKinds.
func WallSheet(s *sheets.AimSheet, o AimOptions, kind string) ([]byte, error) {
	d := wallDrawing(s, o.Unit)
	switch kind {
	case "svg":
		return d.sheet().SVG(), nil
	case "png":
		return d.sheet().PNG()
	case "pdf":
		on := draw.A4
		if sheets.FootPlace(s.Where) || s.Where == "" && o.Unit == "in" {
			on = draw.Letter
		}
		return d.sheet().PDF(on), nil
	}
	return nil, fmt.Errorf("wall sheet %q: must be %s", kind, strings.Join(WallSheetKinds(), ", "))
}

// Places on the sheet, mm. The width fits between the margins of A4 and Letter.
const (
	sheetWidth  = 190.0
	rulerX      = 12.0
	leftX       = 26.0 // where lines and labels start, right of the ruler's figures
	rightX      = 186.0
	middleX     = (leftX + rightX) / 2 // straight ahead of the lamp
	smallType   = 3.4
	bareBelowMM = 250.0 // ruler of a sheet without a figure
)

// stepSlope is the rise of the step of a UN low beam, 15 degrees (from memory).
// It is only drawn as a hint: the taped stock cutoff has the true shape.
var stepSlope = math.Tan(15 * math.Pi / 180)

func wallDrawing(s *sheets.AimSheet, unit string) *drawing {
	d := &drawing{title: "stillbright aim: wall sheet", width: sheetWidth}
	top := d.sheetHead(s, unit)
	above, below := sheetRange(s)
	centre := top + above + 10
	d.height = centre + below + 12
	d.toleranceArea(s, centre)
	d.ruler(centre, above, below, unit)
	d.dashed(middleX, centre-above-6, middleX, d.height-6, 0.25, 4)
	d.write(middleX+1.5, centre-above-3, smallType, "straight ahead of the lamp")
	d.line(leftX, centre, rightX, centre, 0.35)
	d.write(leftX, centre-1.2, smallType, heightLabel("lamp centre", s.HeightMM, 0, unit)+floorTail(s))
	d.limits(s, centre, unit)
	d.target(s, centre, unit)
	return d
}

func floorTail(s *sheets.AimSheet) string {
	if s.HeightMM == nil {
		return " at this line"
	}
	return " above the floor"
}

// sheetHead writes what the sheet is and the bars to check the print with. It
// returns how far down it goes.
func (d *drawing) sheetHead(s *sheets.AimSheet, unit string) float64 {
	d.write(4, 7, 5, "Wall sheet, true scale: print at 100 %, hang one for each lamp")
	y := 13.0
	lines := plaintext.Wrap(fmt.Sprintf("Wall %s from the lamp, %s beam. %s", wallDistance(s.DistanceMM, unit), s.Beam, aimOrigin(s)), 104)
	if s.Catalog != nil && s.Catalog.Invented {
		lines = append(lines, "Invented demo data: no real car.")
	}
	for _, line := range lines {
		d.write(4, y, smallType, line)
		y += 4.6
	}
	y += 3
	d.bar(4, y, 100, "100 mm")
	if unit == "in" {
		y += 8
		d.bar(4, y, 101.6, "4 in")
	}
	return y + 4
}

func (d *drawing) bar(x, y, long float64, text string) {
	d.line(x, y, x+long, y, 0.5)
	d.line(x, y-2, x, y+2, 0.3)
	d.line(x+long, y-2, x+long, y+2, 0.3)
	d.write(x+long+3, y+1.2, smallType, text+"; measure it on the paper")
}

// sheetRange is how far the sheet goes above and below the lamp centre, mm.
func sheetRange(s *sheets.AimSheet) (above, below float64) {
	above, below = 10, bareBelowMM
	if s.DropMM == nil {
		return above, below
	}
	below = 60
	include := func(drop float64) { above, below = max(above, 8-drop), max(below, drop+8) }
	include(s.DropMM.Most)
	if s.TargetMM != nil {
		spread := 0.0
		if s.ToleranceMM != nil {
			spread = *s.ToleranceMM
		}
		include(*s.TargetMM - spread)
		include(*s.TargetMM + spread)
	}
	return above, below
}

// toleranceArea shades what may differ from the target.
func (d *drawing) toleranceArea(s *sheets.AimSheet, centre float64) {
	if s.TargetMM == nil || s.ToleranceMM == nil {
		return
	}
	d.areas = append(d.areas, area{leftX, centre + *s.TargetMM - *s.ToleranceMM, rightX - leftX, 2 * *s.ToleranceMM, 0.9})
}

// limits draws the ends of the grey area, or of a range without a target. The
// labels stand inside.
func (d *drawing) limits(s *sheets.AimSheet, centre float64, unit string) {
	end := func(drop, label float64, text string) {
		d.dashed(leftX, centre+drop, rightX, centre+drop, 0.25, 2)
		d.write(middleX+1.5, centre+drop+label, smallType, text)
	}
	const under, over = 4.0, -1.2
	switch {
	case s.TargetMM != nil && s.ToleranceMM != nil:
		end(*s.TargetMM-*s.ToleranceMM, under, "tolerance "+length(*s.ToleranceMM, unit))
		end(*s.TargetMM+*s.ToleranceMM, over, "tolerance "+length(*s.ToleranceMM, unit))
	case s.DropMM != nil && s.DropMM.Least != s.DropMM.Most:
		end(s.DropMM.Least, under, "limit "+length(s.DropMM.Least, unit)+" below")
		end(s.DropMM.Most, over, "limit "+length(s.DropMM.Most, unit)+" below")
	}
}

// target draws where the cutoff or the hot spot belongs.
func (d *drawing) target(s *sheets.AimSheet, centre float64, unit string) {
	if s.TargetMM == nil {
		y, text := centre+8, "Tape the stock "+shortFeature(s)+" on this sheet."
		if s.DropMM != nil {
			y, text = centre+s.DropMM.Least+8, "Tape the stock "+shortFeature(s)+" between the limits."
		}
		d.write(leftX, y, smallType, text)
		return
	}
	y := centre + *s.TargetMM
	label := aimFeature(s) + " " + length(*s.TargetMM, unit) + " below the lamp centre"
	if s.Feature == "hot_spot" {
		d.line(middleX-10, y, middleX+10, y, 0.6)
		d.line(middleX, y-10, middleX, y+10, 0.6)
		d.write(leftX, y+5, smallType, label)
		return
	}
	flat := -1.0 // side of the flat part
	if s.Marking == "VOR" || s.Traffic == "left" {
		flat = 1
	}
	const long = (rightX - leftX) / 2
	d.line(middleX, y, middleX+flat*long, y, 0.7)
	at := leftX
	if flat > 0 {
		at = middleX + 1.5
	}
	d.write(at, y+4.4, smallType, label)
	switch {
	case s.Marking == "VOR":
		// The part on the left lies lower; how far, the tape shows.
		d.dashed(middleX, y, middleX-30, y+30*stepSlope, 0.4, 2)
	case s.Traffic == "" || s.Beam == data.BeamFog:
		d.line(middleX, y, middleX-flat*long, y, 0.7)
	default:
		rise := min(long, (*s.TargetMM+8)/stepSlope)
		d.dashed(middleX, y, middleX-flat*rise, y-rise*stepSlope, 0.4, 2)
		at := leftX
		if flat < 0 {
			at = middleX + 1.5
		}
		d.write(at, y+4.4, smallType, "the step, as your tape shows it")
	}
}

// ruler counts down from the lamp centre: millimetres with figures every 50, or
// half inches with figures every inch.
func (d *drawing) ruler(centre, above, below float64, unit string) {
	tick, every, size := 10.0, 5, 1.0
	if unit == "in" {
		tick, every, size = 12.7, 2, 25.4
	}
	d.line(rulerX, centre-above, rulerX, centre+below, 0.25)
	for i := -int(above / tick); float64(i)*tick <= below; i++ {
		y, long := centre+float64(i)*tick, 2.0
		if i%every == 0 {
			long = 4
			d.write(1, y+1.2, smallType, fixed(float64(i)*tick/size, 0))
		}
		d.line(rulerX, y, rulerX+long, y, 0.25)
	}
}
