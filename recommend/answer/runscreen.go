package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

// LiveRun is a warm-up under way, as it is shown.
type LiveRun struct {
	Title   string           // bulb, rig and lot
	Run     *sheets.BenchRun // figures of the readings so far; nil without any
	Stock   float64          // stock reading in lux, 0 without one
	End     float64          // last planned minute
	Message string           // about what was typed last
}

// Places of the live screen that are not the curve: title, figure, band, readings
// and message with their room to wrap, and the two lines below for the clock and
// the entry.
const (
	liveFixed      = 11
	leastChartRows = 4
	mostChartRows  = 14
)

// LiveLines is the screen of a run above its clock: figures, curve, the last
// readings, and the message. It takes rows lines at most.
func LiveLines(l *LiveRun, width, rows int) []string {
	var lines []string
	line := func(text string) {
		lines = append(lines, strings.TrimRight(clipTo(plaintext.Clean(text), width), " "))
	}
	line(l.Title)
	if l.Run == nil || len(l.Run.Readings) == 0 {
		line("No reading yet.")
	} else {
		line(LiveFigures(l.Run))
		line(benchEnough(l.Run))
		if l.Run.Sheet.Forecast {
			line("A forecast: a later step, as when the driver folds back, cannot be foreseen.")
		}
		if height := min(rows-liveFixed, mostChartRows); height >= leastChartRows && len(l.Run.Readings) > 1 {
			c := benchChart(l.Run)
			c.stock, c.end, c.rows = l.Stock, max(c.end, l.End), height
			lines = append(append(lines, ""), c.Lines(width-1)...)
			line(c.legend())
		}
		line(lastReadings(l.Run.Readings, width))
	}
	lines = append(lines, plaintext.Hang("", "  ", l.Message, width)...)
	return lines[:min(len(lines), max(1, rows))]
}

// LiveFigures is one line on the readings so far: what is retained, and the light
// at the time wanted with its band.
func LiveFigures(r *sheets.BenchRun) string {
	s, last := r.Sheet, r.Readings[len(r.Readings)-1]
	text := ""
	if s.StartLux != nil && *s.StartLux > 0 && len(r.Readings) > 1 {
		text = fmt.Sprintf("Retains %s %% at %s. ", significant(100*last.Lux / *s.StartLux, 3), minutes(last.Min))
	}
	at := minutes(s.AtMin)
	switch {
	case s.Lux != nil:
		return text + fmt.Sprintf("At %s: %s lux (%s–%s).", at, lux(*s.Lux), lux(*s.LuxLow), lux(*s.LuxHigh))
	case s.LuxLow != nil && s.LuxHigh != nil:
		return text + fmt.Sprintf("At %s: %s to %s lux.", at, lux(*s.LuxLow), lux(*s.LuxHigh))
	}
	return text + fmt.Sprintf("At %s: nothing can be said yet.", at)
}

// LiveBand is benchEnough for one line of a log.
func LiveBand(r *sheets.BenchRun) string { return benchEnough(r) }

// lastReadings lists as many of the last readings as a line holds.
func lastReadings(readings []warmup.Reading, width int) string {
	text := ""
	for i := len(readings) - 1; i >= 0; i-- {
		one := ClockText(readings[i].Min) + " " + lux(readings[i].Lux)
		if i < len(readings)-1 {
			one += "   "
		}
		if columns(one)+columns(text) > width {
			break
		}
		text = one + text
	}
	return text
}

// ClockText is a time since switch-on as a clock shows it: 05:30, 1:02:00.
func ClockText(minutes float64) string {
	seconds := int(math.Round(60 * max(0, minutes)))
	if seconds < 3600 {
		return fmt.Sprintf("%02d:%02d", seconds/60, seconds%60)
	}
	return fmt.Sprintf("%d:%02d:%02d", seconds/3600, seconds/60%60, seconds%60)
}

// LiveClock is the line with the clock, the bar and what comes next. next is the
// minute of the next reading, below 0 for none; due says that it is time.
func LiveClock(elapsed, end, next float64, due bool, width int) string {
	tail := "the plan is done"
	switch {
	case due:
		tail = fmt.Sprintf("READ THE METER NOW: %s", minutes(next))
	case next >= 0:
		tail = fmt.Sprintf("next: %s, in %s", minutes(next), ClockText(next-elapsed))
	}
	head := ClockText(elapsed) + " ["
	share := 0.0
	if end > 0 {
		share = min(1, max(0, elapsed/end))
	}
	room := min(40, width-columns(head)-columns(tail)-10)
	if room < 5 {
		return clipTo(ClockText(elapsed)+"  "+tail, width)
	}
	done := int(share * float64(room))
	return head + strings.Repeat("#", done) + strings.Repeat("-", room-done) + fmt.Sprintf("] %3.0f %%  ", 100*share) + tail
}
