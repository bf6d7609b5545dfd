package answer

import (
	"fmt"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/answer/draw"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

// warmSeries is one warm-up to draw: readings and curve in lux, and what to
// divide them by.
type warmSeries struct {
	name     string
	readings []recommend.ReadingLine
	curve    *warmup.Curve // nil: readings alone
	lux      float64       // of the stock halogen, as the comparison has it
	hot      recommend.Hot
}

// warmUp is a picture of warm-ups in the making.
type warmUp struct {
	series  []warmSeries
	missing []string // bulbs that cannot be drawn
	tripMin float64
	stock   string // what the stock line is called
}

// WarmUpPicture draws the warm-up of the compared bulbs against the stock
// halogen.
func WarmUpPicture(s *recommend.CompareSheet) Plot {
	w := comparedWarmUp(s)
	return w.picture("Light while it warms up", needInShort(s.Need), s.Catalog.Invented)
}

func comparedWarmUp(s *recommend.CompareSheet) *warmUp {
	w := &warmUp{tripMin: s.Need.TripMin, stock: "your halogen"}
	for i, b := range s.Bulbs {
		w.add(letter(i)+" "+shortName(b.Name, s.Need.Size), b.Readings, b.Curve, b.Hot)
	}
	return w
}

// ShowPicture draws the warm-up of one bulb, one curve for each test of its
// newest lot.
func ShowPicture(s *sheets.ShowSheet) Plot {
	w := warmUp{stock: "stock halogen"}
	for _, lot := range s.Lots {
		if !lot.Newest {
			continue
		}
		for i, test := range lot.Tests {
			w.tripMin = test.Hot.AtMin
			w.add(letter(i)+" "+test.Rig, test.Readings, test.Figures, test.Hot)
		}
	}
	return w.picture("Light while it warms up: "+s.Name, "one curve for each lamp it was tested in", s.Catalog.Invented)
}

func (w *warmUp) add(name string, readings []recommend.ReadingLine, figures *warmup.Figures, hot recommend.Hot) {
	if figures == nil || hot.VsStock == nil || hot.Lux == nil || *hot.VsStock <= 0 {
		w.missing = append(w.missing, name)
		return
	}
	w.series = append(w.series, warmSeries{name: name, readings: readings, curve: figures.Curve, lux: *hot.Lux / *hot.VsStock, hot: hot})
}

// end is the last minute drawn.
func (w *warmUp) end() float64 {
	end := max(w.tripMin, 1)
	for _, s := range w.series {
		if n := len(s.readings); n > 0 {
			end = max(end, s.readings[n-1].AtMin)
		}
	}
	return end
}

// points is the number of pieces that a curve is drawn in.
const points = 160

// span is the range of times stock that the picture has to hold.
func (w *warmUp) span(end float64) (low, high float64) {
	low, high = 1, 1
	see := func(v float64) { low, high = min(low, v), max(high, v) }
	for _, s := range w.series {
		see(*s.hot.VsStockLow)
		see(*s.hot.VsStockHigh)
		for _, r := range s.readings {
			see(r.Lux / s.lux)
		}
		for i := range points + 1 {
			if e, ok := s.curve.At(end * float64(i) / points); ok {
				see(e.Lux / s.lux)
			}
		}
	}
	room := max(0.06*(high-low), 0.1)
	return max(0, low-room), high + room
}

const warmHigh = 122.0 // mm

var stockPen = draw.Pen{Ink: draw.Grey(0.55), Thick: 1.2}

func (w *warmUp) picture(title, under string, invented bool) Plot {
	s := newPicture(title, under, pictureWide, warmHigh, invented)
	end := w.end()
	a := axes{sheet: s, left: 19, right: 118, top: 22, bottom: 96, x1: end}
	a.y0, a.y1 = w.span(end)
	a.frame("minutes lit", "light, times stock", 8, 9)
	at := a.at(0, 1).Y
	s.Line(a.left, at, a.right, at, stockPen)
	for i, series := range w.series {
		series.band(a, end, draw.SeriesOf(i))
	}
	for i, series := range w.series {
		series.line(a, end, draw.SeriesOf(i))
	}
	w.bars(a)
	if len(w.series) == 0 {
		s.Text((a.left+a.right)/2, (a.top+a.bottom)/2-8, "nothing to draw: no hot light against stock on record", draw.Type{Size: typePlain, Anchor: draw.Middle})
	}
	s.Text(a.left, warmHigh-8, "Shaded: 95 % band of the curve. Bar: 95 % band against stock at "+significant(w.tripMin, 3)+" min,", draw.Type{Size: typeSmall})
	s.Text(a.left, warmHigh-4, "the spread between lamps included.", draw.Type{Size: typeSmall})
	s.Description = w.line()
	return Plot{s}
}

// band shades where the curve may lie, in as many pieces as the curve has.
func (s warmSeries) band(a axes, end float64, look draw.Series) {
	var top, bottom []draw.Point
	flush := func() {
		var corners []draw.Point
		corners = append(corners, top...)
		for i := len(bottom) - 1; i >= 0; i-- {
			corners = append(corners, bottom[i])
		}
		a.sheet.Area(corners, draw.Fill{Ink: look.Ink.See(0.78)})
		top, bottom = nil, nil
	}
	within := func(v float64) float64 { return min(max(v, a.y0), a.y1) }
	for i := range points + 1 {
		at := end * float64(i) / points
		e, ok := s.curve.At(at)
		if !ok {
			flush()
			continue
		}
		top = append(top, a.at(at, within(e.High/s.lux)))
		bottom = append(bottom, a.at(at, within(e.Low/s.lux)))
	}
	flush()
}

// line draws the curve and the readings it was fitted to.
func (s warmSeries) line(a axes, end float64, look draw.Series) {
	pen := draw.Pen{Ink: look.Ink, Thick: 0.6, Dash: look.Dash}
	var path []draw.Point
	for i := range points + 1 {
		at := end * float64(i) / points
		e, ok := s.curve.At(at)
		if p := a.at(at, e.Lux/s.lux); ok && a.holds(p) {
			path = append(path, p)
			continue
		}
		a.sheet.Path(path, pen)
		path = nil
	}
	a.sheet.Path(path, pen)
	every := 1 + len(s.readings)/25 // a logger's marks would hide the curve
	for i, r := range s.readings {
		if p := a.at(r.AtMin, r.Lux/s.lux); i%every == 0 && a.holds(p) {
			a.sheet.Mark(look.Shape, p.X, p.Y, 2.2, draw.White, draw.Pen{Ink: look.Ink, Thick: 0.4})
		}
	}
}

// bars draws the whole doubt against stock beside the end of the trip, and names
// the curves and the stock line.
func (w *warmUp) bars(a axes) {
	heights := []float64{a.at(0, 1).Y}
	for _, s := range w.series {
		heights = append(heights, a.at(0, *s.hot.VsStock).Y)
	}
	labels := spread(heights, 9, a.top+2, a.bottom-4)
	left := a.right + 6 + 2.6*float64(len(w.series))
	w.label(a, a.right, left, heights[0], labels[0], stockPen, w.stock, "1, by definition")
	for i, s := range w.series {
		look := draw.SeriesOf(i)
		x := a.right + 3 + 2.6*float64(i)
		pen := draw.Pen{Ink: look.Ink, Thick: 0.5}
		low, high := a.at(0, *s.hot.VsStockLow).Y, a.at(0, *s.hot.VsStockHigh).Y
		a.sheet.Line(x, low, x, high, pen)
		a.sheet.Line(x-0.8, low, x+0.8, low, pen)
		a.sheet.Line(x-0.8, high, x+0.8, high, pen)
		w.label(a, x, left, heights[i+1], labels[i+1], draw.Pen{Ink: look.Ink, Thick: 0.6, Dash: look.Dash}, s.name, hotText(s.hot)+" times")
		for _, at := range []draw.Point{{X: x, Y: heights[i+1]}, {X: left + 4, Y: labels[i+1] - 1}} {
			a.sheet.Mark(look.Shape, at.X, at.Y, 2.2, draw.White, draw.Pen{Ink: look.Ink, Thick: 0.4})
		}
	}
}

// label names a line right of the frame: a leader, a piece of the line, words.
func (w *warmUp) label(a axes, x, left, from, to float64, pen draw.Pen, name, figures string) {
	a.sheet.Line(x, from, left-0.5, to-1, draw.Pen{Ink: pen.Ink, Thick: 0.2})
	a.sheet.Line(left, to-1, left+8, to-1, pen)
	a.sheet.Text(left+9.5, to, fitText(name, pictureWide-left-11, typePlain), draw.Type{Size: typePlain})
	a.sheet.Text(left+9.5, to+3.8, figures, draw.Type{Size: typeSmall, Ink: draw.Grey(0.25)})
}

func (w *warmUp) line() string {
	var parts []string
	for _, s := range w.series {
		text := fmt.Sprintf("%s %s times stock", s.name, hotText(s.hot))
		if s.hot.RetainedPct != nil {
			text += ", " + percent(*s.hot.RetainedPct) + " of its light at switch-on"
		}
		parts = append(parts, text)
	}
	text := fmt.Sprintf("Light against stock over the minutes lit. After %s min: %s.", significant(w.tripMin, 3), strings.Join(parts, "; "))
	if len(w.series) == 0 {
		text = "Light against stock over the minutes lit: nothing can be drawn."
	}
	if len(w.missing) > 0 {
		text += " Not drawn, no hot light against stock on record: " + strings.Join(w.missing, ", ") + "."
	}
	return text
}
