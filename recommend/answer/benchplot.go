package answer

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/recommend/sheets"
)

// BenchPlotKinds are the kinds of file a run can be drawn as, by file ending.
func BenchPlotKinds() []string { return []string{"svg", "png"} }

// BenchPlot draws a run: readings, curve, band and the stock reading. kind is one
// of BenchPlotKinds.
func BenchPlot(r *sheets.BenchRun, kind string) ([]byte, error) {
	d := benchDrawing(r)
	switch kind {
	case "svg":
		return d.sheet().SVG(), nil
	case "png":
		return d.sheet().PNG()
	}
	return nil, fmt.Errorf("plot %q: must be %s", kind, strings.Join(BenchPlotKinds(), ", "))
}

// Places on the picture, mm.
const (
	plotWidth, plotHeight = 180.0, 122.0
	plotLeft, plotRight   = 20.0, 174.0
	plotTop, plotBottom   = 26.0, 104.0
	plotSteps             = 154 // columns of the band and pieces of the curve
	bandGrey, gridGrey    = 0.82, 0.9
)

// benchAxes brings minutes and lux to places on the picture.
type benchAxes struct{ end, low, high float64 }

func (a benchAxes) x(minutes float64) float64 {
	return plotLeft + (plotRight-plotLeft)*minutes/a.end
}

func (a benchAxes) y(lux float64) float64 {
	return plotBottom - (plotBottom-plotTop)*(min(max(lux, a.low), a.high)-a.low)/(a.high-a.low)
}

func benchDrawing(r *sheets.BenchRun) *drawing {
	c := benchChart(r)
	if !(c.end > 0) {
		c.end = 1
	}
	d := &drawing{title: "stillbright bench: lux against minutes", width: plotWidth, height: plotHeight}
	d.write(4, 7, 4, benchFigure(r))
	d.write(4, 13, 3.2, benchShape(r.Sheet)+" "+benchEnough(r))
	a := benchAxes{end: c.end}
	a.low, a.high = c.span(plotSteps)
	if margin := 0.04 * (a.high - a.low); margin > 0 {
		a.low, a.high = max(0, a.low-margin), a.high+margin
	}
	c.drawBand(d, a)
	d.axes(a)
	c.drawCurve(d, a)
	if c.stock > 0 {
		d.dashed(plotLeft, a.y(c.stock), plotRight, a.y(c.stock), 0.4, 2.5)
		d.write(plotRight-34, a.y(c.stock)-1.2, 3, "stock, as read: "+lux(c.stock))
	}
	c.drawReadings(d, a)
	d.benchLegend(c)
	return d
}

// drawBand fills the band in narrow columns, each as high as the band in its middle.
func (c chart) drawBand(d *drawing, a benchAxes) {
	wide := (plotRight - plotLeft) / plotSteps
	for i := range plotSteps {
		at := a.end * (float64(i) + 0.5) / plotSteps
		if e, ok := c.curve.At(at); ok {
			top, bottom := a.y(e.High), a.y(e.Low)
			d.areas = append(d.areas, area{plotLeft + float64(i)*wide, top, wide, bottom - top, bandGrey})
		}
	}
}

func (c chart) drawCurve(d *drawing, a benchAxes) {
	was, before := false, 0.0
	for i := 0; i <= plotSteps; i++ {
		at := a.end * float64(i) / plotSteps
		e, ok := c.curve.At(at)
		if ok && was {
			d.line(a.x(at-a.end/plotSteps), a.y(before), a.x(at), a.y(e.Lux), 0.45)
		}
		was, before = ok, e.Lux
	}
}

// drawReadings draws a cross for a reading, and a slanting one for a reading left
// out.
func (c chart) drawReadings(d *drawing, a benchAxes) {
	arm := 1.1
	if len(c.readings) > 200 { // a logger's: the crosses would hide the curve
		arm = 0.4
	}
	for i, r := range c.readings {
		x, y := a.x(r.Min), a.y(r.Lux)
		if slices.Contains(c.dropped, i) {
			d.line(x-arm, y-arm, x+arm, y+arm, 0.35)
			d.line(x-arm, y+arm, x+arm, y-arm, 0.35)
			continue
		}
		d.line(x-arm, y, x+arm, y, 0.35)
		d.line(x, y-arm, x, y+arm, 0.35)
	}
}

// axes draws the frame with round figures on both sides.
func (d *drawing) axes(a benchAxes) {
	for _, edge := range [][4]float64{{plotLeft, plotTop, plotLeft, plotBottom}, {plotLeft, plotBottom, plotRight, plotBottom}} {
		d.line(edge[0], edge[1], edge[2], edge[3], 0.3)
	}
	step := roundStep((a.high - a.low) / 6)
	for lux := math.Ceil(a.low/step) * step; lux <= a.high; lux += step {
		y := a.y(lux)
		d.areas = append(d.areas, area{plotLeft, y - 0.06, plotRight - plotLeft, 0.12, gridGrey})
		d.line(plotLeft-1.2, y, plotLeft, y, 0.3)
		text := significant(lux, 5)
		d.write(plotLeft-2-1.75*float64(len(text)), y+1.1, 3, text)
	}
	step = roundStep(a.end / 8)
	for at := 0.0; at <= a.end*1.0001; at += step {
		d.line(a.x(at), plotBottom, a.x(at), plotBottom+1.2, 0.3)
		text := significant(at, 4)
		d.write(a.x(at)-0.85*float64(len(text)), plotBottom+5, 3, text)
	}
	d.write(4, plotTop-3, 3, "lux")
	d.write((plotLeft+plotRight)/2-20, plotBottom+9.5, 3, "minutes since switch-on")
}

func (d *drawing) benchLegend(c chart) {
	y := plotHeight - 2.5
	d.line(plotLeft-1.1, y-1, plotLeft+1.1, y-1, 0.35)
	d.line(plotLeft, y-2.1, plotLeft, y+0.1, 0.35)
	d.write(plotLeft+3, y, 3, "reading")
	x := plotLeft + 18
	if len(c.dropped) > 0 {
		d.line(x-1.1, y-2.1, x+1.1, y+0.1, 0.35)
		d.line(x-1.1, y+0.1, x+1.1, y-2.1, 0.35)
		d.write(x+3, y, 3, "left out")
		x += 20
	}
	d.line(x, y-1, x+8, y-1, 0.45)
	d.write(x+10, y, 3, "fitted curve")
	d.areas = append(d.areas, area{x + 32, y - 2.2, 8, 2.6, bandGrey})
	d.write(x+42, y, 3, "95 % band")
}
