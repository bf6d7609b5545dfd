package cli

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/warmup"
)

// typedLines reads lines in the background, one when it is asked for, so that a
// later question finds the keyboard free.
type typedLines struct {
	from    *bufio.Reader
	pending chan typedLine
}

type typedLine struct {
	text string
	err  error // io.EOF with the last line, which may be empty
}

func newTypedLines(from io.Reader) *typedLines { return &typedLines{from: bufio.NewReader(from)} }

// next is the channel of the next line; the same one until it was taken.
func (t *typedLines) next() <-chan typedLine {
	if t.pending == nil {
		pending := make(chan typedLine, 1)
		t.pending = pending
		go func() {
			text, err := t.from.ReadString('\n')
			pending <- typedLine{text, err}
		}()
	}
	return t.pending
}

// taken forgets the line that was received.
func (t *typedLines) taken() { t.pending = nil }

// more says whether another line is here already.
func (t *typedLines) more() bool {
	waiting, _ := t.from.Peek(t.from.Buffered())
	return bytes.IndexByte(waiting, '\n') >= 0
}

// pipeRun counts the lines of a pipe.
type pipeRun struct {
	*benchRun
	line     int
	data     int // lines that are neither blank nor comment nor header
	unread   int // of these, not to be read at all
	wrong    int // of these, with a value or time that cannot be
	firstBad int
}

const pipeName = "standard input"

// fromPipe takes minute,lux from a pipe until it ends. Each reading is said to be
// kept once it is on the disk.
func (r *benchRun) fromPipe() error {
	lines := newTypedLines(r.env.In)
	p := &pipeRun{benchRun: r}
	for {
		select {
		case <-r.c.Context.Done():
			r.sayKept()
			return fmt.Errorf("%w: %w", ask.ErrCancelled, context.Cause(r.c.Context))
		case got := <-lines.next():
			lines.taken()
			if got.text != "" {
				p.line++
				if err := p.take(got.text, lines.more() || got.err != nil); err != nil {
					return err
				}
			}
			if got.err != nil {
				if !errors.Is(got.err, io.EOF) {
					return fmt.Errorf("%s cannot be read: %w", pipeName, got.err)
				}
				return p.end()
			}
		}
	}
}

// take keeps one line. The figures are left out while more lines wait.
func (p *pipeRun) take(text string, more bool) error {
	text = strings.TrimSpace(strings.TrimPrefix(text, "\uFEFF"))
	if text == "" || strings.HasPrefix(text, "#") {
		return nil
	}
	if p.data == 0 && !strings.ContainsAny(text, "0123456789") {
		return nil // a header
	}
	p.data++
	reading, isNumbers, err := parsePipeLine(text)
	if err == nil && p.keptBefore(reading) {
		fmt.Fprintf(p.env.Err, "kept before: %s min %s lux\n", quantity.Number(reading.Min), quantity.Number(reading.Lux))
		return nil
	}
	if err == nil {
		err, isNumbers = p.keep(reading), true
	}
	var lost *keepError
	if errors.As(err, &lost) {
		return err
	}
	if err != nil {
		p.bad(isNumbers, err)
		return nil
	}
	n := len(p.readings)
	said := fmt.Sprintf("kept %d: %s min %s lux", n, quantity.Number(p.readings[n-1].Min), quantity.Number(p.readings[n-1].Lux))
	if !more {
		run, err := p.figures()
		if err != nil {
			return err
		}
		said += ". " + answer.LiveFigures(run) + " " + answer.LiveBand(run)
	}
	fmt.Fprintln(p.env.Err, said)
	return nil
}

// keptBefore says whether a line repeats a reading of the run that is gone on with.
func (p *pipeRun) keptBefore(reading warmup.Reading) bool {
	for _, before := range p.readings {
		if before.Min == entry.Tidy(reading.Min) {
			return before.Lux == entry.Tidy(reading.Lux)
		}
	}
	return false
}

func (p *pipeRun) bad(isNumbers bool, err error) {
	if isNumbers {
		p.wrong++
	} else {
		p.unread++
	}
	if p.firstBad == 0 {
		p.firstBad = p.line
	}
	fmt.Fprintln(p.env.Err, plaintext.Clean(fmt.Sprintf("%s:%d: %v; not taken", pipeName, p.line, err)))
}

// end saves the record, unless a line held what cannot be, or too many could not
// be read: then a person has to look, and what was good is kept.
func (p *pipeRun) end() error {
	const skippedOneIn = 5
	fault := func(line int, message, hint string) error {
		return data.Faults{{File: pipeName, Line: max(1, line), Col: 1, Message: message, Hint: hint}}
	}
	bad := p.unread + p.wrong
	switch {
	case len(p.readings) == 0 && bad == 0:
		return fault(p.line, "holds no readings; minute,lux is wanted on each line", "0,1001")
	case p.wrong == 0 && p.unread*skippedOneIn <= p.data && len(p.readings) > 0:
		return p.save(false)
	}
	p.sayKept()
	return fault(p.firstBad, fmt.Sprintf("%d of %s refused, so no record is written", bad, countOf(p.data, "line", "lines")), "look at them; then --finish saves what was kept, and --new starts over")
}

// parsePipeLine reads "12,980", "12.5min;980lx" or "5:30	980". isNumbers says of
// a line that is refused whether it was two numbers.
func parsePipeLine(text string) (reading warmup.Reading, isNumbers bool, err error) {
	separator := " "
	for _, s := range []string{"\t", ";", ","} {
		if strings.Contains(text, s) {
			separator = s
			break
		}
	}
	fields := strings.Split(text, separator)
	if separator == " " {
		fields = strings.Fields(text)
	}
	if len(fields) != 2 {
		return reading, false, fmt.Errorf("%q: minute,lux is wanted", shortened(text))
	}
	for i := range fields {
		fields[i] = strings.Trim(strings.TrimSpace(fields[i]), `"`)
		if separator != "," {
			fields[i] = strings.ReplaceAll(fields[i], ",", ".")
		}
	}
	isNumbers = isNumber64(fields[0]) && isNumber64(fields[1])
	reading, err = timedReading(fields[0], fields[1])
	return reading, isNumbers, err
}

// timedReading reads a time, as minutes or as a clock shows it, and a light.
func timedReading(at, light string) (warmup.Reading, error) {
	if minutes, seconds, ok := strings.Cut(at, ":"); ok {
		m, errM := strconv.ParseUint(minutes, 10, 16)
		s, errS := quantity.ParseBare(seconds, "s")
		if errM != nil || errS != nil || s >= 60 {
			return warmup.Reading{}, fmt.Errorf("the time %q: minutes:seconds is wanted, such as 5:30", shortened(at))
		}
		at = quantity.Number(float64(m) + s/60)
	}
	reading, err := entry.ReadingOf(at, light)
	return warmup.Reading{Min: reading.At, Lux: reading.Lux}, err
}

// isNumber64 says whether text is a number of any kind, finite or not.
func isNumber64(text string) bool {
	_, err := strconv.ParseFloat(text, 64)
	return err == nil || errors.Is(err, strconv.ErrRange)
}

func shortened(text string) string {
	const most = 40
	if runes := []rune(text); len(runes) > most {
		return string(runes[:most]) + "…"
	}
	return text
}
