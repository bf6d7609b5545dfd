package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend/answer/draw"
	"stillbright/recommend/beam"
	"stillbright/recommend/sheets"
)

// PatternPlotKinds are the kinds of picture of a pattern, by file ending.
func PatternPlotKinds() []string { return []string{"png", "svg"} }

// PatternPlot draws both beams as maps in degrees with lines of equal light, the
// cutoff, the hot spot, dark spots and stray patches, and the map of their
// difference. kind is one of PatternPlotKinds.
func PatternPlot(s *sheets.PatternSheet, kind string) ([]byte, error) {
	sheet := patternDrawing(s)
	switch kind {
	case "svg":
		return sheet.SVG(), nil
	case "png":
		return sheet.PNG()
	}
	return nil, fmt.Errorf("picture %q: must be %s", kind, strings.Join(PatternPlotKinds(), ", "))
}

// PatternLine is the picture in one line.
func PatternLine(s *sheets.PatternSheet) string {
	what := "The bulb's beam as a map."
	if s.Drawing.Stock != nil {
		what = "Stock left, bulb right, below it bulb over stock."
	}
	parts := []string{what + " " + patternHead(s)}
	for _, row := range patternRows(s) {
		parts = append(parts, row[0]+": "+row[1])
	}
	return strings.Join(parts, " · ")
}

// Places on the sheet, mm.
const (
	mapsMargin = 14.0
	mapWidth   = 128.0
	mapsGap    = 14.0 // between two maps, room for the axis of the right one
	mapsWidth  = 2*mapsMargin + 2*mapWidth + mapsGap
	mapsRight  = mapsMargin + mapWidth + mapsGap
	mapsTop    = 20.0
	mapCell    = 0.5 // side of a cell of a map; whole dots of a PNG
	// mapStretch makes a degree up longer than one right: what matters lies close
	// above each other.
	mapStretch = 1.7
	mapType    = 3.2
)

// Scales of the maps.
const (
	decades   = 3.0 // of light from the peak down
	doublings = 2.0 // of the difference, either way
	isoStep   = 0.25
)

// panel is one map on the sheet.
type panel struct {
	sheet                 *draw.Sheet
	x, y, width, height   float64 // mm
	left, right, down, up float64 // degrees
}

func (p panel) at(h, v float64) draw.Point {
	return draw.Point{X: p.x + (h-p.left)/(p.right-p.left)*p.width, Y: p.y + (p.up-v)/(p.up-p.down)*p.height}
}

func patternDrawing(s *sheets.PatternSheet) *draw.Sheet {
	sheet := draw.New("stillbright pattern: "+patternHead(s), mapsWidth, 0)
	sheet.Description = PatternLine(s)
	f, stock := s.Drawing.Bulb, s.Drawing.Stock
	left, right, down, up := beamBox(f.H0, f.H(f.NH-1), f.V0, f.V(f.NV-1))
	height := math.Ceil(min(mapWidth, mapStretch*mapWidth*(up-down)/(right-left))/mapCell) * mapCell
	mapAt := func(x, y float64) panel {
		return panel{sheet: sheet, x: x, y: y, width: mapWidth, height: height, left: left, right: right, down: down, up: up}
	}
	sheet.Text(mapsMargin, 8, patternHead(s), draw.Type{Size: 4.4})
	peak, below := peakOf(f), mapsTop+height+20
	var end float64
	if stock != nil {
		peak = max(peak, peakOf(stock))
		mapAt(mapsMargin, mapsTop).stockMap(s, peak)
		mapAt(mapsRight, mapsTop).bulbMap(s, peak)
		mapAt(mapsMargin, below).differenceMap(s)
		end = max(legend(sheet, s, mapsRight, below, peak), below+height+14)
	} else {
		mapAt(mapsMargin, mapsTop).bulbMap(s, peak)
		end = max(legend(sheet, s, mapsRight, mapsTop, peak), mapsTop+height+14)
	}
	sheet.Height = figures(sheet, s, end+2)
	return sheet
}

func peakOf(f *beam.Field) float64 {
	peak := 0.0
	for _, value := range f.Values {
		peak = max(peak, value)
	}
	return peak
}

// paint fills the map from a share of the ramp for each direction. Each run of one
// shade is drawn on to the end of the row and a little under the next row, so that
// no viewer shows seams between neighbours.
func (p panel) paint(of ramp, share func(h, v float64) (share float64, ok bool)) {
	rows, columns := int(p.height/mapCell+0.5), int(p.width/mapCell+0.5)
	const none = -1
	for y := range rows {
		last := none - 1
		for x := range columns {
			h := p.left + (float64(x)+0.5)/float64(columns)*(p.right-p.left)
			v := p.up - (float64(y)+0.5)/float64(rows)*(p.up-p.down)
			shade := none
			if value, ok := share(h, v); ok {
				shade = step(value)
			}
			if shade == last {
				continue
			}
			last = shade
			ink := notMeasured
			if shade != none {
				ink = of.ink(shade)
			}
			from := float64(x) * mapCell
			tall := mapCell
			if y < rows-1 {
				tall *= 1.4
			}
			p.sheet.Rect(p.x+from, p.y+float64(y)*mapCell, p.width-from, tall, ink)
		}
	}
}

// nearest is the value of a field at a direction, negative where not measured.
func nearest(f *beam.Field, h, v float64) float64 {
	ih, iv := int(math.Round((h-f.H0)/f.Step)), int(math.Round((v-f.V0)/f.Step))
	if ih < 0 || iv < 0 || ih >= f.NH || iv >= f.NV {
		return beam.Missing
	}
	return f.Values[iv*f.NH+ih]
}

func (p panel) stockMap(s *sheets.PatternSheet, peak float64) {
	p.lightMap(s, s.Drawing.Stock, "Stock", peak)
	p.photoMarks(s, s.Drawing.StockWhite)
	p.stockCutoff(s)
	p.cross(s.HotSpot.StockH, s.HotSpot.StockV)
}

func (p panel) bulbMap(s *sheets.PatternSheet, peak float64) {
	p.lightMap(s, s.Drawing.Bulb, "Bulb", peak)
	p.photoMarks(s, s.Drawing.BulbWhite)
	p.stockCutoff(s)
	p.bulbCutoff(s)
	p.cross(s.HotSpot.H, s.HotSpot.V)
	p.boxes(s.Dark, "D", []float64{1, 1})
	p.boxes(s.Stray.Patches, "S", nil)
}

// lightMap draws one beam on a log scale under its peak, with lines of equal light.
func (p panel) lightMap(s *sheets.PatternSheet, f *beam.Field, title string, peak float64) {
	p.paint(lightRamp, func(h, v float64) (float64, bool) {
		value := nearest(f, h, v)
		return 1 + math.Log10(max(value, peak*1e-9)/peak)/decades, value >= 0
	})
	p.frame(title)
	smooth := sampleField(f, p.left, p.right, p.down, p.up, max(isoStep, f.Step))
	unit, factor := lightUnit(s, peak)
	var taken []draw.Point
	for _, level := range isoLevels(peak * factor) {
		lines := smooth.contour(level / factor)
		for _, line := range lines {
			p.path(line, draw.Pen{Ink: draw.White, Thick: 0.5})
			p.path(line, draw.Pen{Thick: 0.18})
		}
		taken = p.label(lines, thousands(level)+" "+unit, taken)
	}
}

func (p panel) path(line []place, pen draw.Pen) {
	points := make([]draw.Point, len(line))
	for i, at := range line {
		points[i] = p.at(at[0], at[1])
	}
	p.sheet.Path(points, pen)
}

// label names a line of equal light near its right end, clear of other names.
func (p panel) label(lines [][]place, text string, taken []draw.Point) []draw.Point {
	const size = 2.4
	wide := draw.TextWidth(text, size)/2 + 1
	best, found := draw.Point{}, false
	for _, line := range lines {
		for _, end := range line {
			at := p.at(end[0], end[1])
			free := at.X > p.x+wide && at.X < p.x+p.width-wide && at.Y > p.y+2 && at.Y < p.y+p.height-2
			for _, t := range taken {
				free = free && (math.Abs(t.X-at.X) > 2*wide+2 || math.Abs(t.Y-at.Y) > 4)
			}
			if free && (!found || at.X > best.X) {
				best, found = at, true
			}
		}
	}
	if !found {
		return taken
	}
	p.sheet.Label(best.X, best.Y, text, size)
	return append(taken, best)
}

// lightUnit is what the lines of equal light are in, and the factor from the field.
func lightUnit(s *sheets.PatternSheet, peak float64) (unit string, factor float64) {
	switch {
	case s.Drawing.Unit == beam.Candela:
		return "cd", 1
	case s.HotSpot.Candela != nil:
		return "cd", *s.HotSpot.Candela / peakOf(s.Drawing.Bulb)
	case s.Drawing.Unit == beam.Lux:
		return "lux", 1
	}
	return "% of peak", 100 / peak
}

// isoLevels are 3 and 1 times the powers of ten, down from a peak.
func isoLevels(peak float64) []float64 {
	var levels []float64
	for e := math.Floor(math.Log10(peak)); e > math.Log10(peak)-decades-1; e-- {
		for _, lead := range []float64{3, 1} {
			if level := lead * math.Pow(10, e); level < 0.95*peak && level > peak/math.Pow(10, decades) {
				levels = append(levels, level)
			}
		}
	}
	return levels
}

// differenceMap shows bulb over stock where either shows light at all. Lines: solid
// where the bulb has twice the light, broken where it has half.
func (p panel) differenceMap(s *sheets.PatternSheet) {
	bulb, stock := s.Drawing.Bulb, s.Drawing.Stock
	least := peakOf(stock) * 3e-4 // under it a ratio is one of two noises
	ratio := func(b, st float64) (float64, bool) {
		if b < 0 || st < 0 || st < least && b < least {
			return beam.Missing, false
		}
		return max(b, least) / max(st, least), true
	}
	p.paint(differenceRamp, func(h, v float64) (float64, bool) {
		r, ok := ratio(nearest(bulb, h, v), nearest(stock, h, v))
		return 0.5 + math.Log2(max(r, 1e-9))/(2*doublings), ok
	})
	p.frame("Bulb over stock")
	cells := sampleField(bulb, p.left, p.right, p.down, p.up, max(isoStep, bulb.Step))
	under := sampleField(stock, p.left, p.right, p.down, p.up, max(isoStep, bulb.Step))
	for i, b := range cells.values {
		cells.values[i], _ = ratio(b, under.values[i])
	}
	for _, line := range cells.contour(2) {
		p.path(line, draw.Pen{Thick: 0.3})
	}
	for _, line := range cells.contour(0.5) {
		p.path(line, draw.Pen{Thick: 0.3, Dash: []float64{1.2, 0.8}})
	}
}
