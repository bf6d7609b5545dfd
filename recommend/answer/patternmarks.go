package answer

import (
	"math"
	"strconv"

	"stillbright/recommend/answer/draw"
	"stillbright/recommend/beam"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

// frame draws title, border and axes in degrees.
func (p panel) frame(title string) {
	s, pen := p.sheet, draw.Pen{Thick: 0.25}
	s.Text(p.x, p.y-2, title, draw.Type{Size: 3.8})
	s.Outline([]draw.Point{{X: p.x, Y: p.y}, {X: p.x + p.width, Y: p.y}, {X: p.x + p.width, Y: p.y + p.height}, {X: p.x, Y: p.y + p.height}}, pen)
	for h := math.Ceil(p.left/5) * 5; h <= p.right+1e-9; h += 5 {
		at := p.at(h, p.down)
		s.Line(at.X, at.Y, at.X, at.Y+1.2, pen)
		s.Text(at.X, at.Y+4.8, degreeTick(h), draw.Type{Size: mapType, Anchor: draw.Middle})
	}
	for v := math.Ceil(p.down/2) * 2; v <= p.up+1e-9; v += 2 {
		at := p.at(p.left, v)
		s.Line(at.X-1.2, at.Y, at.X, at.Y, pen)
		s.Text(at.X-2, at.Y+1.1, degreeTick(v), draw.Type{Size: mapType, Anchor: draw.End})
	}
	s.Text(p.x+p.width/2, p.y+p.height+9, "degrees right of the axis", draw.Type{Size: mapType, Anchor: draw.Middle})
	s.Text(p.x-8.5, p.y+p.height/2, "degrees up", draw.Type{Size: mapType, Anchor: draw.Middle, Upward: true})
	thin := draw.Pen{Ink: draw.Grey(0.75), Thick: 0.2, Dash: []float64{0.8, 0.8}}
	if zero := p.at(0, 0); p.inside(0, 0) {
		s.Line(zero.X, p.y, zero.X, p.y+p.height, thin)
		s.Line(p.x, zero.Y, p.x+p.width, zero.Y, thin)
	}
}

func degreeTick(deg float64) string { return strconv.Itoa(int(math.Round(deg))) }

// inside says whether a direction lies on the map.
func (p panel) inside(h, v float64) bool {
	return h >= p.left && h <= p.right && v >= p.down && v <= p.up
}

// haloed draws a line that is seen on dark and on bright: black within white.
func (p panel) haloed(points []draw.Point, thick float64, dash []float64) {
	p.sheet.Path(points, draw.Pen{Ink: draw.White, Thick: 2.4 * thick})
	p.sheet.Path(points, draw.Pen{Thick: thick, Dash: dash})
}

// cross marks a place.
func (p panel) cross(h, v *float64) {
	if h == nil || v == nil || !p.inside(*h, *v) {
		return
	}
	at := p.at(*h, *v)
	const size = 4
	p.sheet.Mark(draw.Plus, at.X, at.Y, size+0.5, draw.Black, draw.Pen{Ink: draw.White, Thick: 0.9})
	p.sheet.Mark(draw.Plus, at.X, at.Y, size, draw.Black, draw.Pen{Thick: 0.35})
}

// stockCutoff is a broken line at the height of the stock cutoff.
func (p panel) stockCutoff(s *sheets.PatternSheet) {
	if v := s.Cutoff.StockV; v != nil && *v > p.down && *v < p.up {
		p.haloed([]draw.Point{p.at(p.left, *v), p.at(p.right, *v)}, 0.3, []float64{1.6, 1.6})
	}
}

// bulbCutoff joins the inflection points that were found.
func (p panel) bulbCutoff(s *sheets.PatternSheet) {
	const apart = 1.5 // degrees; over a wider gap there is no line
	var line []draw.Point
	last := math.Inf(-1)
	for _, point := range s.Drawing.Cutoff {
		if !p.inside(point.H, point.V) || point.H-last > apart {
			p.haloed(line, 0.55, nil)
			line = nil
		}
		if p.inside(point.H, point.V) {
			line = append(line, p.at(point.H, point.V))
		}
		last = point.H
	}
	p.haloed(line, 0.55, nil)
}

// photoMarks shows what the program understood of a picture: the outline of the region
// judged for stray light, the marks with their numbers, and what is white.
func (p panel) photoMarks(s *sheets.PatternSheet, white []beam.Point) {
	half := s.Drawing.Bulb.Step / 2
	for _, cell := range white {
		if a, b := p.at(cell.H-half, cell.V+half), p.at(cell.H+half, cell.V-half); p.inside(cell.H, cell.V) {
			p.sheet.Rect(a.X, a.Y, b.X-a.X, b.Y-a.Y, whiteInk)
		}
	}
	var outline []draw.Point
	for _, corner := range s.Drawing.Region {
		outline = append(outline, p.at(min(max(corner.H, p.left), p.right), min(max(corner.V, p.down), p.up)))
	}
	if len(outline) > 0 {
		p.haloed(append(outline, outline[0]), 0.25, []float64{0.4, 0.8})
	}
	for _, mark := range s.Drawing.Marks {
		if p.inside(mark.H, mark.V) {
			at := p.at(mark.H, mark.V)
			p.sheet.Label(at.X, at.Y, strconv.Itoa(int(mark.Value)), 3)
		}
	}
}

// whiteInk marks what is white in a picture; it is on no ramp.
var whiteInk = draw.Ink{R: 214, G: 30, B: 60}

// boxes outlines areas and numbers them.
func (p panel) boxes(areas []beam.Area, letter string, dash []float64) {
	for i, a := range areas {
		left, right, down, up := max(a.Left, p.left), min(a.Right, p.right), max(a.Down, p.down), min(a.Up, p.up)
		if left >= right || down >= up {
			continue
		}
		corners := []draw.Point{p.at(left, up), p.at(right, up), p.at(right, down), p.at(left, down), p.at(left, up)}
		p.haloed(corners, 0.35, dash)
		p.sheet.Label(corners[1].X-2, max(p.y+2, corners[1].Y-2.2), letter+strconv.Itoa(i+1), 2.6)
	}
}

// legend explains colours and marks from a place on, and returns where it ends.
func legend(sheet *draw.Sheet, s *sheets.PatternSheet, x, y, peak float64) float64 {
	unit, factor := lightUnit(s, peak)
	type tick struct {
		share float64
		text  string
	}
	bar := func(of ramp, title string, ticks []tick) {
		const long, thick = 100.0, 5.0
		sheet.Text(x, y, title, draw.Type{Size: mapType})
		p := panel{sheet: sheet, x: x, y: y + 2, width: long, height: thick, right: 1, up: 1}
		p.paint(of, func(h, _ float64) (float64, bool) { return h, true })
		for _, t := range ticks {
			at := x + t.share*long
			sheet.Line(at, y+2, at, y+3+thick, draw.Pen{Thick: 0.25})
			sheet.Text(at, y+6.4+thick, t.text, draw.Type{Size: 2.8, Anchor: draw.Middle})
		}
		y += 18
	}
	var ticks []tick
	for _, level := range isoLevels(peak * factor) {
		ticks = append(ticks, tick{1 + math.Log10(level/(peak*factor))/decades, thousands(level)})
	}
	bar(lightRamp, "Light, "+unit+"; grey: not measured", ticks)
	if s.Drawing.Stock != nil {
		bar(differenceRamp, "Bulb over stock; line solid at 2 times, broken at half",
			[]tick{{0, "1/4"}, {0.25, "1/2"}, {0.5, "1"}, {0.75, "2"}, {1, "4"}})
	}
	lines := []string{"+ hot spot   thick line: cutoff   broken line: stock cutoff", "D: dark spot (broken box)   S: stray patch (solid box)"}
	if len(s.Drawing.Region) > 0 {
		lines = append(lines, "dotted outline: where stray light is judged")
	}
	if len(s.Drawing.Marks) > 0 {
		lines = append(lines, "numbers: the marks on the wall, their pages left out")
	}
	if len(s.Drawing.BulbWhite)+len(s.Drawing.StockWhite) > 0 {
		lines = append(lines, "red: white in the picture")
	}
	for _, text := range lines {
		sheet.Text(x, y, text, draw.Type{Size: mapType})
		y += 4.6
	}
	return y
}

// figures writes what was measured under the maps and returns where it ends.
func figures(sheet *draw.Sheet, s *sheets.PatternSheet, y float64) float64 {
	face := draw.Type{Size: mapType}
	for _, row := range patternRows(s) {
		sheet.Text(mapsMargin, y, row[0], face)
		for _, line := range plaintext.Wrap(row[1], 130) {
			sheet.Text(mapsMargin+24, y, line, face)
			y += 4.6
		}
	}
	sheet.Text(mapsMargin, y, "Information for a tester, never a claim of compliance.", face)
	return y + 5
}
