package answer

import (
	"math"
	"slices"
	"strings"

	"stillbright/recommend/warmup"
)

// chart is a run of readings to be drawn: in plain characters here, as a picture
// in benchplot.go.
type chart struct {
	rows     int // height
	readings []warmup.Reading
	dropped  []int         // places of the readings left out as bad
	curve    *warmup.Curve // nil: readings alone
	end      float64       // minutes at the right edge, above 0
	stock    float64       // lux of the stock halogen, 0 for none
}

// Marks of a chart in plain characters.
const (
	markReading = 'o'
	markDropped = 'x'
	markCurve   = '.'
	markBand    = ':' // the two ends of the band
	markStock   = '='
)

// span is what the chart shows of the light: readings, curve and stock, and of
// the band as much as doubles that. A light that hardly moves gets two percent,
// so that noise does not fill the chart.
func (c chart) span(columnsWide int) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	see := func(lux float64) { low, high = min(low, lux), max(high, lux) }
	for _, r := range c.readings {
		see(r.Lux)
	}
	bandLow, bandHigh := math.Inf(1), math.Inf(-1)
	for i := range columnsWide {
		if e, ok := c.curve.At(c.minutes(i, columnsWide)); ok {
			see(e.Lux)
			bandLow, bandHigh = min(bandLow, e.Low), max(bandHigh, e.High)
		}
	}
	if c.stock > 0 {
		see(c.stock)
	}
	if least := 0.02 * high; high-low < least {
		middle := (high + low) / 2
		low, high = middle-least/2, middle+least/2
	}
	room := (high - low) / 2
	return max(0, low-room, min(low, bandLow)), min(high+room, max(high, bandHigh))
}

func (c chart) minutes(column, columnsWide int) float64 {
	return c.end * float64(column) / float64(columnsWide-1)
}

// Lines draws the chart in plain characters. It is empty where there is nothing
// to draw or no room.
func (c chart) Lines(width int) []string {
	rows := c.rows
	wide := min(width-chartLabel, 72)
	if len(c.readings) == 0 || wide < leastColumn || rows < 3 || !(c.end > 0) {
		return nil
	}
	low, high := c.span(wide)
	g := newGrid(wide, rows, c.end, low, high)
	for _, at := range g.at() {
		if c.stock > 0 {
			g.put(at, c.stock, markStock)
		}
	}
	for _, at := range g.at() {
		if e, ok := c.curve.At(at); ok {
			g.put(at, e.High, markBand)
			g.put(at, e.Low, markBand)
			g.put(at, e.Lux, markCurve)
		}
	}
	for i, r := range c.readings {
		mark := markReading
		if slices.Contains(c.dropped, i) {
			mark = markDropped
		}
		g.put(r.Min, r.Lux, mark)
	}
	lines := g.lines(func(lux float64) string { return significant(lux, 4) }, 0, (rows-1)/2, rows-1)
	return append(lines, strings.Repeat(" ", chartLabel)+c.axis(wide))
}

// axis writes the minutes at round places.
func (c chart) axis(wide int) string {
	cells := []rune(strings.Repeat(" ", wide))
	step := roundStep(c.end / 6)
	after := 0
	for at := 0.0; at <= c.end*1.0001; at += step {
		text := significant(at, 4)
		column := int(math.Round(at / c.end * float64(wide-1)))
		if from := max(0, min(column-len(text)/2, wide-len(text))); from >= after {
			copy(cells[from:], []rune(text))
			after = from + len(text) + 1
		}
	}
	if unit := []rune("min"); after+len(unit) <= wide {
		copy(cells[after:], unit)
	}
	return strings.TrimRight(string(cells), " ")
}

// roundStep is the next of 1, 2, 5, 10, … at or above a size.
func roundStep(size float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(size)))
	for _, factor := range []float64{1, 2, 5} {
		if factor*power >= size {
			return factor * power
		}
	}
	return 10 * power
}

// legend says what the marks of this chart mean.
func (c chart) legend() string {
	parts := []string{"o reading"}
	if len(c.dropped) > 0 {
		parts = append(parts, "x left out")
	}
	if c.curve != nil {
		parts = append(parts, ". curve", ": ends of the 95 % band")
	}
	if c.stock > 0 {
		parts = append(parts, "= stock")
	}
	return "lux against minutes; " + strings.Join(parts, ", ")
}
