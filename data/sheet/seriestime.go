package sheet

import (
	"fmt"
	"math"
	"strings"
	"time"

	"stillbright/data"
)

// timeReader reads the times of a file in one form.
type timeReader struct {
	name   string // for the note, empty for the obvious
	kind   timeKind
	read   func(text string) (minutes float64, ok bool)
	refuse func() // names why it reads nothing, where nothing else reads either
}

type timeKind int

const (
	elapsedTime timeKind = iota // counts from switch-on
	clockTime                   // a time of day, which begins anew at midnight
	stampTime                   // day and time
)

// times reads the time of every row in the form that most of them have, counts
// clock times and stamps from the first, and checks that they rise.
func (p *seriesParser) times(rows []measured) {
	if len(rows) == 0 {
		return
	}
	reader, ok := p.timeForm(rows)
	if !ok {
		return
	}
	var kept []SeriesReading
	var cols []int
	first, midnight := math.NaN(), 0.0
	before := math.NaN()
	for _, m := range rows {
		at, ok := reader.read(m.time.text)
		if !ok {
			p.skip(m.row.line, m.time.col, fmt.Sprintf("%s is not a time as the others are", quoted(m.time.text)))
			continue
		}
		if reader.kind == clockTime {
			if at+midnight < before-720 { // more than half a day back: the next day
				midnight += 1440
			}
			at += midnight
			before = at
		}
		if math.IsNaN(first) {
			first = at
		}
		if reader.kind != elapsedTime {
			at = at - first + p.options.FirstMin
		}
		kept, cols = append(kept, SeriesReading{m.row.line, at, m.lux}), append(cols, m.time.col)
	}
	if midnight > 0 {
		p.note("the clock passes midnight")
	}
	if reader.name != "" {
		p.note("%s", reader.name)
	}
	switch clock := reader.kind != elapsedTime; {
	case clock && p.options.FirstMin == 0 && len(kept) > 0:
		p.note("the times are counted from line %d; --first says how long the lamp had been lit then", kept[0].Line)
	case !clock && p.options.FirstMin != 0:
		p.note("the file has elapsed times, so the time lit at its first line is not used")
	}
	p.ordered(kept, cols, reader.kind)
}

// ordered checks that times rise. Several lines with the same clock time, from a
// logger that is faster than its clock, are averaged.
func (p *seriesParser) ordered(kept []SeriesReading, cols []int, kind timeKind) {
	merged, count := 0, 0
	list := p.series.Readings
	for i, r := range kept {
		switch {
		case r.Min < 0:
			p.fault(r.Line, cols[i], fmt.Sprintf("%.6g min: a time before switch-on", r.Min), "")
			continue
		case r.Min > mostMinutes:
			p.fault(r.Line, cols[i], fmt.Sprintf("%.6g min: must be 0 to %d min", r.Min, mostMinutes), "look at the unit of the time: --time-unit s")
			continue
		}
		if len(list) > 0 {
			last := &list[len(list)-1]
			switch {
			case r.Min == last.Min && kind != elapsedTime:
				merged++
				count++
				last.Lux += (r.Lux - last.Lux) / float64(count)
				continue
			case r.Min == last.Min:
				p.fault(r.Line, cols[i], fmt.Sprintf("the time of line %d again, %.6g min: one time, one reading", last.Line, r.Min), "")
				continue
			case r.Min < last.Min:
				p.fault(r.Line, cols[i], fmt.Sprintf("%.6g min is before line %d (%.6g min): times must rise", r.Min, last.Line, last.Min), "one run, one file, in the order of time")
				continue
			}
		}
		list = append(list, r)
		count = 1
	}
	if merged > 0 {
		p.note("%d lines with the time of the line before are averaged with it", merged)
	}
	p.series.Readings = list
}

// timeForm finds how the times are written: the form that reads most rows.
func (p *seriesParser) timeForm(rows []measured) (timeReader, bool) {
	readers := []timeReader{p.elapsedReader(rows), p.colonReader(rows)}
	for _, form := range []struct{ name, days string }{
		{"", "2006-1-2 2006/1/2"},
		{"days are read as day.month.year", "2.1.2006 2.1.06"},
	} {
		readers = append(readers, timeReader{name: form.name, kind: stampTime, read: stampReader(strings.Fields(form.days))})
	}
	dayFirst := timeReader{name: "days are read as day/month/year", kind: stampTime, read: stampReader([]string{"2/1/2006", "2/1/06", "2-1-2006", "2-1-06"})}
	monthFirst := timeReader{name: "days are read as month/day/year", kind: stampTime, read: stampReader([]string{"1/2/2006", "1/2/06", "1-2-2006", "1-2-06"})}
	readers = append(readers, dayFirst, monthFirst)
	sample := rows[:min(len(rows), data.SeparatorSample)]
	best, most := timeReader{}, 0
	for _, reader := range readers {
		if n := countRead(reader, sample); n > most {
			best, most = reader, n
		}
	}
	if most == 0 {
		if readers[0].refuse != nil {
			readers[0].refuse()
			return best, false
		}
		c := rows[0]
		p.fault(c.row.line, c.time.col, fmt.Sprintf("%s is not a time; legal are minutes, seconds, 12:00:05, 2026-03-01 12:00:05, 01.03.2026 12:00:05", quoted(c.time.text)), "")
		return best, false
	}
	if best.name != dayFirst.name && best.name != monthFirst.name {
		return best, true
	}
	byDay, byMonth := countRead(dayFirst, rows), countRead(monthFirst, rows)
	switch {
	case byDay > byMonth:
		return dayFirst, true
	case byMonth > byDay:
		return monthFirst, true
	case severalDays(rows):
		c := rows[0]
		p.fault(c.row.line, c.time.col, fmt.Sprintf("%s can be day/month or month/day, and the run goes over more than one day", quoted(c.time.text)), "write days as 2026-03-01")
		return best, false
	}
	best.name = "" // all on one day: the order does not matter
	return best, true
}

func countRead(reader timeReader, rows []measured) int {
	n := 0
	for _, m := range rows {
		if _, ok := reader.read(m.time.text); ok {
			n++
		}
	}
	return n
}

func severalDays(rows []measured) bool {
	day := func(m measured) string {
		d, _, _ := strings.Cut(m.time.text, " ")
		return d
	}
	for _, m := range rows {
		if day(m) != day(rows[0]) {
			return true
		}
	}
	return false
}

// elapsedReader reads plain numbers. Their unit is that of the cell, the header
// or the options; bare numbers are minutes while that is plausible. Numbers from
// a thousand million on are seconds since 1970, from a million million on
// milliseconds.
func (p *seriesParser) elapsedReader(rows []measured) timeReader {
	unit := p.columns.timeUnit
	if unit == "" {
		unit = p.options.TimeUnit
	}
	largest, least, bare := math.Inf(-1), math.Inf(1), false
	for _, m := range rows {
		if v, own, ok := p.number(m.time.text); ok && !math.IsNaN(v) && !math.IsInf(v, 0) {
			largest, least = math.Max(largest, v), math.Min(least, v)
			bare = bare || own == ""
		}
	}
	reader := timeReader{kind: elapsedTime}
	const epoch = 1e9 // seconds: the year 2001
	if least >= epoch && !math.IsInf(least, 0) {
		perMinute := 60.0
		if least >= 1000*epoch {
			perMinute = 60000
		}
		reader.kind, reader.name = stampTime, "the times are read as seconds or milliseconds since 1970"
		reader.read = func(text string) (float64, bool) {
			v, own, ok := p.number(text)
			return v / perMinute, ok && own == "" && finite(v)
		}
		return reader
	}
	if unit == "" && bare {
		unit = "min"
		reader.name = "the file gives no unit for the time: taken as minutes"
		if largest > plausibleRun {
			reader.read = func(text string) (float64, bool) { return 0, false }
			reader.refuse = func() {
				p.fault(rows[0].row.line, rows[0].time.col, fmt.Sprintf("no unit for the time, and it goes up to %.6g: more than %d is not taken for minutes without being told", largest, plausibleRun), "--time-unit s, or a header such as t [s]")
			}
			return reader
		}
	}
	reader.read = func(text string) (float64, bool) {
		v, own, ok := p.number(text)
		if !ok || !finite(v) {
			return 0, false
		}
		factor := minutesOf[unit]
		if own != "" {
			named := timeUnits[fold(own)]
			if named == "" || p.columns.timeUnit != "" && named != p.columns.timeUnit {
				return 0, false
			}
			factor = minutesOf[named]
		}
		return v * factor, true
	}
	return reader
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// colonReader reads 12:00:05, 12:00 and 05:30 (minutes and seconds). Two parts
// are hours and minutes unless the header says otherwise, they pass 23:59, or the
// run would take more than six hours.
func (p *seriesParser) colonReader(rows []measured) timeReader {
	minutesFirst := p.columns.clockForm == "mm:ss"
	two, lowest, highest := 0, math.Inf(1), 0.0
	for _, m := range rows {
		if strings.Count(m.time.text, ":") == 1 {
			if at, ok := readColons(m.time.text, false); ok {
				two++
				lowest, highest = math.Min(lowest, at), math.Max(highest, at)
			}
		}
	}
	const longestRun, day = 360, 1440 // minutes
	if two > 0 && p.columns.clockForm == "" && (highest >= day || highest-lowest > longestRun && lowest < 60) {
		minutesFirst = true
	}
	reader := timeReader{kind: clockTime, read: func(text string) (float64, bool) { return readColons(text, minutesFirst) }}
	switch {
	case p.columns.elapsed || minutesFirst:
		reader.kind = elapsedTime
	}
	if two > 0 && minutesFirst {
		reader.name = "times such as " + rows[0].time.text + " are read as minutes and seconds"
	} else if two > 0 {
		reader.name = "times such as " + rows[0].time.text + " are read as hours and minutes"
	}
	return reader
}

// readColons reads h:m:s, h:m or m:s, the last part with a fraction, with AM or
// PM behind it, as minutes.
func readColons(text string, minutesFirst bool) (float64, bool) {
	upper := strings.ToUpper(strings.TrimSpace(text))
	half := ""
	for _, mark := range []string{"AM", "PM"} {
		if rest, ok := strings.CutSuffix(upper, mark); ok {
			upper, half = strings.TrimSpace(rest), mark
		}
	}
	parts := strings.Split(upper, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, false
	}
	if len(parts) == 2 && minutesFirst {
		parts = append([]string{"0"}, parts...)
	}
	var v [3]float64
	for i, part := range parts {
		digits, rest := splitNumber(part)
		value, ok := parseDecimal(strings.ReplaceAll(digits, ",", "."), '.')
		if digits == "" || rest != "" || !ok || value < 0 || digits[0] == '+' || strings.ContainsAny(digits, "eE") || i < len(parts)-1 && value != math.Trunc(value) || i > 0 && value >= 60 && !(minutesFirst && i == 1) {
			return 0, false
		}
		v[i] = value
	}
	switch {
	case half != "" && (v[0] < 1 || v[0] > 12):
		return 0, false
	case half == "AM" && v[0] == 12:
		v[0] = 0
	case half == "PM" && v[0] < 12:
		v[0] += 12
	}
	return 60*v[0] + v[1] + v[2]/60, true
}

// stampReader reads a day and a time of day, with or without a zone (RFC 3339),
// as minutes since 1970.
func stampReader(days []string) func(string) (float64, bool) {
	var layouts []string
	for _, day := range days {
		for _, between := range []string{"T", " "} {
			for _, clock := range []string{"15:04:05", "15:04", "3:04:05 PM", "3:04 PM", "3:04:05PM", "3:04PM"} {
				for _, zone := range []string{"", "Z07:00", "Z0700", " Z07:00", " -0700"} {
					layouts = append(layouts, day+between+clock+zone)
				}
			}
		}
	}
	last := 0 // the layout that read the row before
	return func(text string) (float64, bool) {
		text = strings.ToUpper(strings.Join(strings.Fields(strings.Replace(text, ", ", " ", 1)), " "))
		for i := range layouts {
			layout := layouts[(last+i)%len(layouts)]
			if at, err := time.Parse(layout, text); err == nil {
				last = (last + i) % len(layouts)
				return float64(at.Unix())/60 + float64(at.Nanosecond())/6e10, true
			}
		}
		return 0, false
	}
}
