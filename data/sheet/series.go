package sheet

import (
	"fmt"
	"io"
	"math"

	"stillbright/data"
)

// Series is a run of lux readings as a logger, or a person with a spreadsheet,
// wrote it. Times rise strictly and every lux is positive and finite.
type Series struct {
	Readings []SeriesReading
	Skipped  data.Faults // lines that could not be read, each a warning
	Notes    []string    // how the file was understood
}

// SeriesReading is one reading and the line it stands on.
type SeriesReading struct {
	Line int     // from 1
	Min  float64 // minutes since switch-on: as written where the file has elapsed times, else since the first line
	Lux  float64
}

// SeriesOptions say what a file may leave open.
type SeriesOptions struct {
	Name     string  // the file as the user knows it, for messages
	TimeUnit string  // unit of elapsed times without one: "s", "min", "h"; empty: minutes, while that is plausible
	Column   string  // head of the column with the light, where several could be meant
	FirstMin float64 // minutes the lamp had been lit at the first line, where the times are those of a clock
}

// Limits of a series. Lux and minutes are those that a warm-up can be reduced
// from; a file beyond the size is no series of readings by hand or by logger.
const (
	mostBytes    = 64 << 20
	mostLine     = 64 << 10 // bytes; a line of a logger with hundreds of columns is shorter
	leastLux     = 0.001
	mostLux      = 1e7
	mostMinutes  = 10000
	mostFaults   = 20
	skippedOneIn = 5   // unreadable lines are skipped up to one in so many
	plausibleRun = 180 // minutes; a bare elapsed time beyond is not taken for minutes
	headerWithin = 60  // lines in which a header is looked for
)

// ReadSeries reads a series of lux against time: columns separated by tab,
// semicolon or comma; decimal point or comma; a header with or without units, or
// none; clock times, time stamps, or elapsed seconds, minutes or hours. Blank
// lines and lines that begin with #, % or // are passed over. Lines that cannot
// be read are skipped and listed as long as they are at most one in five of the
// lines with data. Everything else that is wrong (times out of order, lux that is
// zero, negative or not finite, units that clash, no readings) is returned as
// data.Faults with line and column, and no reading is.
func ReadSeries(r io.Reader, o SeriesOptions) (Series, error) {
	p := &seriesParser{options: o}
	lines, err := p.lines(r)
	if err != nil {
		return Series{}, err
	}
	p.rows(lines)
	if len(p.faults) == 0 {
		p.header()
	}
	if len(p.faults) == 0 {
		p.numbers()
	}
	if len(p.faults) == 0 {
		p.take()
	}
	if len(p.faults) > 0 {
		return Series{}, p.fewFaults()
	}
	return p.series, nil
}

// seriesParser goes through a file once for its form and once for its values.
type seriesParser struct {
	options   SeriesOptions
	last      int // number of the last line
	separator rune
	data      []row  // rows that are neither blank nor a comment
	head      *row   // the header, if there is one
	columns   layout // where what stands
	decimal   rune   // '.' or ','
	series    Series
	faults    data.Faults
}

// row is one line cut into cells.
type row struct {
	line  int
	cells []cell
}

// cell is the text of one column and where it begins, in characters from 1.
type cell struct {
	text string
	col  int
}

func (p *seriesParser) fault(line, col int, message, hint string) {
	p.faults = append(p.faults, data.Fault{File: p.options.Name, Line: line, Col: col, Message: message, Hint: hint})
}

// fewFaults keeps a screen of faults and says how many more there are.
func (p *seriesParser) fewFaults() data.Faults {
	more := len(p.faults) - mostFaults
	if more <= 0 {
		return p.faults
	}
	few := p.faults[:mostFaults:mostFaults]
	return append(few, data.Fault{File: p.options.Name, Line: p.faults[mostFaults].Line, Col: 1, Message: fmt.Sprintf("%d more faults from here on", more)})
}

func (p *seriesParser) note(format string, values ...any) {
	p.series.Notes = append(p.series.Notes, fmt.Sprintf(format, values...))
}

// skip lists a line that could not be read.
func (p *seriesParser) skip(line, col int, message string) {
	p.series.Skipped = append(p.series.Skipped, data.Fault{File: p.options.Name, Line: line, Col: col, Message: message, Warning: true})
}

// measured is a row with its light read and its time still as written.
type measured struct {
	row  row
	lux  float64
	time cell
}

// take reads the values of every row.
func (p *seriesParser) take() {
	var rows []measured
	dataRows := 0
	for _, r := range p.data {
		if p.headerAgain(r) {
			continue
		}
		dataRows++
		if m, ok := p.light(r); ok {
			rows = append(rows, m)
		}
	}
	if len(p.faults) > 0 {
		return
	}
	if dataRows == 0 {
		p.empty()
		return
	}
	p.times(rows)
	if len(p.faults) > 0 {
		return
	}
	if bad := len(p.series.Skipped); bad*skippedOneIn > dataRows {
		p.series.Skipped.Sort()
		p.faults = append(p.faults, p.series.Skipped[:min(bad, mostFaults-1)]...)
		for i := range p.faults {
			p.faults[i].Warning = false
		}
		hint := ""
		if p.separator == ',' {
			hint = "decimal commas need a semicolon between the columns"
		}
		p.fault(p.last, 1, fmt.Sprintf("%d of %d lines with data cannot be read; at most one in %d is skipped", bad, dataRows, skippedOneIn), hint)
		return
	}
	p.series.Skipped.Sort()
	if len(p.series.Readings) == 0 {
		p.empty()
	}
}

func (p *seriesParser) empty() {
	p.fault(max(p.last, 1), 1, "holds no readings; a series is time and lux, one reading a line", "0,1001")
}

// light reads the lux of a row. A value that is a number but no light is a
// fault; text that is no number only makes the line unreadable.
func (p *seriesParser) light(r row) (measured, bool) {
	if want := p.columns.width; len(r.cells) < p.columns.least() || len(r.cells) > want && !blankFrom(r.cells, want) {
		p.skip(r.line, 1, fmt.Sprintf("%d columns where there should be %d", len(r.cells), want))
		return measured{}, false
	}
	at := r.cells[p.columns.light]
	value, own, ok := p.number(at.text)
	if !ok || own != "" && lightUnits[fold(own)].name == "" {
		p.skip(r.line, at.col, fmt.Sprintf("%s is not a lux reading", quoted(at.text)))
		return measured{}, false
	}
	unit := &p.columns.lightUnit
	switch named := lightUnits[fold(own)]; {
	case unit.name == "" && own == "":
		*unit = lightUnits["lux"]
		if p.head != nil {
			p.note("the file gives no unit for the light: taken as lux")
		}
	case unit.name == "":
		*unit = named
	case own != "" && named.name != unit.name:
		p.fault(r.line, at.col, fmt.Sprintf("%s clashes with the unit of the lines before, %s", named.name, unit.name), "one file, one unit")
		return measured{}, false
	}
	switch lux := value * unit.factor; {
	case math.IsNaN(lux) || math.IsInf(lux, 0):
		p.fault(r.line, at.col, fmt.Sprintf("%s is not a finite number of lux", quoted(at.text)), "drop the line")
	case lux <= 0:
		p.fault(r.line, at.col, fmt.Sprintf("%s lux: light must be above zero", quoted(at.text)), "drop the lines in which the lamp was off")
	case lux < leastLux || lux > mostLux:
		p.fault(r.line, at.col, fmt.Sprintf("%s: must be %g to %.0f lux", quoted(at.text), leastLux, mostLux), "look at the unit")
	default:
		return measured{row: r, lux: lux, time: p.columns.timeOf(r)}, true
	}
	return measured{}, false
}

func blankFrom(cells []cell, from int) bool {
	for _, c := range cells[from:] {
		if c.text != "" {
			return false
		}
	}
	return true
}

// quoted shows a cell in a message.
func quoted(text string) string {
	const most = 30
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most]) + "…"
	}
	return fmt.Sprintf("%q", text)
}
