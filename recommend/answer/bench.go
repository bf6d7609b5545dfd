package answer

import (
	"fmt"
	"strings"

	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

var shapeWords = map[warmup.Shape]string{
	warmup.ShapeUnknown:   "too few readings to name a shape",
	warmup.ShapeOne:       "falls with one time constant",
	warmup.ShapeTwo:       "falls fast, then slowly: two time constants",
	warmup.ShapeFlat:      "flat: no change beyond the scatter of the readings",
	warmup.ShapeRising:    "rises",
	warmup.ShapeStep:      "steps: a sudden change, as when a driver folds back",
	warmup.ShapeUnsettled: "unsettled: it moves about as no warm-up does",
}

// benchRows is the height of the curve on the screen of a reduced run.
const benchRows = 9

// Bench is the screen of a reduced run: the figure, its shape, whether it is
// settled and good enough, the curve, and what it rests on.
func Bench(r *sheets.BenchRun) Document {
	p := new(page)
	p.benchHead(r)
	if c := benchChart(r); len(r.Readings) > 1 {
		p.gap()
		p.put(Picture{Of: c, Caption: c.legend(), Alt: benchFigure(r), Indent: 2})
	}
	if len(r.Sheet.Notes) > 0 {
		p.gap()
	}
	for _, note := range r.Sheet.Notes {
		p.say("Note: " + note)
	}
	return p.doc
}

func benchChart(r *sheets.BenchRun) chart {
	c := chart{rows: benchRows, readings: r.Readings, dropped: r.Figures.DroppedReadings, curve: r.Figures.Curve, stock: r.StockLux, end: r.Sheet.AtMin}
	if n := len(r.Readings); n > 0 {
		c.end = max(c.end, r.Readings[n-1].Min)
	}
	return c
}

func (p *page) benchHead(r *sheets.BenchRun) {
	p.head(benchFigure(r), "")
	if r.Stock != nil {
		p.say(fmt.Sprintf("%s times stock (%s–%s) in this rig.", significant(r.Stock.Mid, 3), significant(r.Stock.Low, 3), significant(r.Stock.High, 3)))
	}
	p.say(benchShape(r.Sheet))
	p.say(benchSettled(r.Sheet))
	p.say(benchEnough(r))
}

// benchFigure is the answer in one line.
func benchFigure(r *sheets.BenchRun) string {
	s := r.Sheet
	at := "At " + minutes(s.AtMin)
	switch {
	case s.Lux != nil:
		text := fmt.Sprintf("%s: %s lux (%s–%s)", at, lux(*s.Lux), lux(*s.LuxLow), lux(*s.LuxHigh))
		if s.RetainedPct != nil {
			text += fmt.Sprintf(", retains %s %% of the light at %s", significant(*s.RetainedPct, 3), minutes(r.Readings[0].Min))
		}
		return text + "."
	case s.LuxLow != nil && s.LuxHigh != nil:
		return fmt.Sprintf("%s: no single figure can honestly be given, only %s to %s lux.", at, lux(*s.LuxLow), lux(*s.LuxHigh))
	}
	return at + ": no figure can honestly be given."
}

func benchShape(s sheets.BenchSheet) string {
	text := "Shape: " + shapeWords[s.Shape]
	if s.TauMin != nil && (s.Shape == warmup.ShapeOne || s.Shape == warmup.ShapeTwo || s.Shape == warmup.ShapeRising) {
		if s.Shape == warmup.ShapeTwo {
			text += ", the slow one"
		}
		text += ", " + minutes(*s.TauMin)
	}
	return text + "."
}

func benchSettled(s sheets.BenchSheet) string {
	const criterion = "less than 3 % change within 15 min, as UN rules have it"
	switch {
	case s.SettledAtMin == nil:
		return "When it settles cannot be said."
	case s.Settled:
		return fmt.Sprintf("Settled from about %s on (%s).", minutes(*s.SettledAtMin), criterion)
	case *s.SettledAtMin <= s.AtMin:
		return fmt.Sprintf("Likely settled from %s on, but not surely (%s).", minutes(*s.SettledAtMin), criterion)
	}
	return fmt.Sprintf("Not settled by then; from about %s on (%s).", minutes(*s.SettledAtMin), criterion)
}

// benchEnough says whether the band is narrow enough to stop reading.
func benchEnough(r *sheets.BenchRun) string {
	wanted := "±" + significant(r.EnoughPC, 3) + " %"
	s := r.Stop
	band := "No figure yet"
	if s.HalfWidthPct != nil {
		band = "Band ±" + significant(*s.HalfWidthPct, 2) + " %"
	}
	switch {
	case s.Enough:
		return fmt.Sprintf("%s: good enough to stop (%s wanted).", band, wanted)
	case s.More > 0 && s.HalfWidthPct != nil && *s.HalfWidthPct <= r.EnoughPC:
		return fmt.Sprintf("%s if it goes on like others: about %s over %s would show its shape.", band, plural(s.More, "more reading", "more readings"), minutes(s.MoreMin))
	case s.More > 0 && s.MoreMin > 0:
		return fmt.Sprintf("%s: about %s over %s would bring it to %s.", band, plural(s.More, "more reading", "more readings"), minutes(s.MoreMin), wanted)
	case s.More > 0:
		return fmt.Sprintf("%s: about %s would bring it to %s.", band, plural(s.More, "more reading", "more readings"), wanted)
	}
	return fmt.Sprintf("%s: %s is not in sight with readings like these.", band, wanted)
}

// minutes prints a time since switch-on; what is under two minutes that is no
// whole one, in seconds.
func minutes(value float64) string {
	if value > 0 && value < 2 && value != 1 {
		return significant(60*value, 2) + " s"
	}
	return significant(value, 3) + " min"
}

// lux prints a light to what a reading carries.
func lux(value float64) string {
	if value >= 1000 {
		return fixed(value, 0)
	}
	return strings.TrimSuffix(significant(value, 4), ".0")
}
