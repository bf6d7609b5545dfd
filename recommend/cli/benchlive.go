package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/warmup"
)

// terminal is what a live run draws on and reads from.
type terminal struct {
	lines *typedLines
	out   io.Writer
	size  func() (columns, rows int)
	moves bool // the cursor can be moved: the clock runs while one types
}

// Smallest terminal on which a screen is drawn; on others lines follow each other.
const (
	leastLiveColumns = 40
	leastLiveRows    = 14
)

// liveTerminal finds the terminal of a live run. It keeps to whole lines, as the
// terminal gives them, so that a killed program leaves a terminal that works.
func (env *Env) liveTerminal(c *cli.Context) (*terminal, bool) {
	in, _ := env.In.(*os.File)
	if !ask.IsTerminal(in) || c.Bool("no-input") {
		return nil, false
	}
	device, _ := env.Err.(*os.File)
	if !ask.IsTerminal(device) {
		var err error
		if device, err = os.OpenFile("/dev/tty", os.O_RDWR, 0); err != nil {
			return nil, false
		}
	}
	t := &terminal{lines: newTypedLines(in), out: ask.NoBell(device), size: func() (int, int) { return ask.Size(device) }}
	columns, rows := t.size()
	kind := env.Getenv("TERM")
	t.moves = !c.Bool("plain") && kind != "" && kind != "dumb" && columns >= leastLiveColumns && rows >= leastLiveRows
	return t, true
}

// liveRun is a run on a terminal.
type liveRun struct {
	*benchRun
	t       *terminal
	clock   Clock
	title   string
	message string
	doubted float64 // an unlikely reading, taken when it is typed again
	told    float64 // the planned minute that was announced last
	drawn   bool
}

func (r *benchRun) onTerminal(t *terminal) error {
	bulb, _ := r.b.catalog.Bulb(r.e.Answers["bulb"])
	l := &liveRun{benchRun: r, t: t, clock: r.env.clock(), told: -1}
	l.title = fmt.Sprintf("%s, lot %s, in %s", bulb.Name, r.e.LotName(), r.e.Answers["rig"])
	done, err := l.switchOn()
	if err == nil && !done {
		err = l.loop()
	}
	if err != nil {
		l.leave()
		r.sayKept()
		return err
	}
	l.leave()
	if len(r.readings) == 0 {
		return usage("the run ended without a reading", "stillbright bench run BULB --rig RIG")
	}
	prompter, err := r.env.prompter(r.c)
	if err == nil && !r.c.Bool("yes") {
		if err = r.e.Walk(r.c, prompter, append(r.e.AfterSteps(), r.e.NoteStep())); err != nil {
			r.sayKept()
			return err
		}
	} else if err != nil && !errors.Is(err, ask.ErrNotInteractive) {
		return err
	}
	return r.save(err == nil && !r.c.Bool("yes"))
}

// switchOn starts the clock, unless it runs since before a kill. done says that
// the person ended the run at once.
func (l *liveRun) switchOn() (done bool, err error) {
	if !l.start.IsZero() {
		return false, nil
	}
	for {
		fmt.Fprint(l.t.out, "Meter on the hot spot? Switch the bulb on and press Enter at the same moment: ")
		text, err := l.line(nil)
		if err != nil {
			return false, err
		}
		switch strings.TrimSpace(text) {
		case "":
			now := l.clock.Now()
			if err := l.journalFacts(); err != nil {
				return false, err
			}
			if err := l.draft.Append(keyStart, now.Format(time.RFC3339Nano)); err != nil {
				return false, err
			}
			l.start = now
			return false, nil
		case "end", "done":
			return true, nil
		}
		fmt.Fprintln(l.t.out, "Enter starts the clock; end stops.")
	}
}

// line waits for a line. tick, if given, is called about once a second.
func (l *liveRun) line(tick func()) (string, error) {
	for {
		var wait <-chan time.Time
		if tick != nil {
			wait = l.clock.After(l.untilNext())
		}
		select {
		case <-l.c.Context.Done():
			return "", fmt.Errorf("%w: %w", ask.ErrCancelled, context.Cause(l.c.Context))
		case got := <-l.t.lines.next():
			l.t.lines.taken()
			if got.err != nil {
				return "", ask.ErrCancelled // Ctrl-D, or the terminal has gone
			}
			return strings.TrimRight(got.text, "\r\n"), nil
		case <-wait:
			tick()
		}
	}
}

// untilNext is the time to the next whole second of the run.
func (l *liveRun) untilNext() time.Duration {
	return time.Second - l.clock.Now().Sub(l.start)%time.Second
}

func (l *liveRun) elapsed() float64 { return l.clock.Now().Sub(l.start).Minutes() }

// Around a planned minute: a reading typed within these counts at that minute,
// because the meter was read when it came.
const (
	earlyMin = 5.0 / 60
	lateMin  = 20.0 / 60
)

// next is the planned minute to read at next; false when the plan is done. A
// minute that was missed is passed over when the one after it is nearer.
func (l *liveRun) next() (float64, bool) {
	last := -1.0
	if n := len(l.readings); n > 0 {
		last = l.readings[n-1].Min
	}
	now := l.elapsed()
	for i, minute := range l.plan {
		if minute <= last+earlyMin && last >= 0 {
			continue
		}
		if i == len(l.plan)-1 || now < (minute+l.plan[i+1])/2 {
			return minute, true
		}
	}
	return 0, false
}

// loop reads until the plan is done or the person ends it.
func (l *liveRun) loop() error {
	l.message = "Type the lux and Enter. ? explains, undo takes the last back, end finishes."
	if l.wentOn != "" {
		l.message = l.wentOn + " So does the clock: if the lamp went out, start over."
	}
	for {
		if _, more := l.next(); !more {
			return nil
		}
		if err := l.draw(); err != nil {
			return err
		}
		text, err := l.line(l.tick)
		if err != nil {
			return err
		}
		end, err := l.typed(strings.TrimSpace(text))
		if end || err != nil {
			return err
		}
	}
}

// typed takes one entry. Its error ends the run; what is merely wrong becomes the
// message.
func (l *liveRun) typed(text string) (end bool, err error) {
	switch strings.ToLower(text) {
	case "":
		l.message = ""
		return false, nil
	case "end", "done":
		return true, nil
	case "?":
		l.message = "Lux, or time and lux: 980, 5:30 980, 12 980. A reading within 20 s of a planned minute counts at that minute. undo; end; Ctrl-C stops, the readings stay."
		return false, nil
	case "undo":
		if err = l.undo(); err == nil {
			l.message = "the last reading is taken back"
		}
	default:
		var reading warmup.Reading
		if reading, err = l.reading(text); err == nil {
			err = l.keep(reading)
		}
		if err == nil {
			l.doubted = 0
			l.message = fmt.Sprintf("kept %d: %s %s lux", len(l.readings), answer.ClockText(reading.Min), quantity.Number(reading.Lux))
		}
	}
	var lost *keepError
	if errors.As(err, &lost) {
		return false, err
	}
	if err != nil {
		l.message = err.Error()
	}
	return false, nil
}

// reading reads what was typed: lux at this moment, or a time and lux.
func (l *liveRun) reading(text string) (warmup.Reading, error) {
	now := l.elapsed()
	fields := strings.Fields(strings.NewReplacer("=", " ", ",", " ", ";", " ").Replace(text))
	switch len(fields) {
	case 1:
		lux, err := quantity.ParseBare(fields[0], "lx")
		if err != nil {
			_, message := wrong.HintOf(err)
			return warmup.Reading{}, errors.New(message)
		}
		reading, err := entry.CheckedReading(data.Reading{At: l.minuteOf(now), Lux: lux})
		if err != nil {
			return warmup.Reading{}, err
		}
		return warmup.Reading{Min: reading.At, Lux: reading.Lux}, l.doubt(reading.Lux)
	case 2:
		reading, err := timedReading(fields[0], fields[1])
		if err != nil {
			return reading, err
		}
		if reading.Min > now+earlyMin {
			return reading, fmt.Errorf("%s min is later than the clock, %s; a decimal fraction is written with a point", quantity.Number(reading.Min), answer.ClockText(now))
		}
		return reading, l.doubt(reading.Lux)
	}
	return warmup.Reading{}, fmt.Errorf("%q: lux, or time and lux, is wanted", shortened(text))
}

// minuteOf is the time a reading typed now is for: the planned minute if it is
// near, else now. Switch-on has no planned minute: the light falls fastest then,
// so the second counts.
func (l *liveRun) minuteOf(now float64) float64 {
	minute, planned := l.next()
	if planned && minute > 0 && now >= minute-earlyMin && now <= minute+lateMin {
		return minute
	}
	const milli = 1000
	return math.Round(now*milli) / milli
}

// doubt asks for a reading again that is far from the one before: a digit too many
// or too few. Typed twice, it is taken.
func (l *liveRun) doubt(lux float64) error {
	const far = 1.5
	n := len(l.readings)
	if n == 0 || lux == l.doubted {
		return nil
	}
	if before := l.readings[n-1].Lux; lux > far*before || lux < before/far {
		l.doubted = lux
		return fmt.Errorf("%s lux after %s? Type it again if it is so", quantity.Number(lux), quantity.Number(before))
	}
	return nil
}

// end is the last planned minute.
func (l *liveRun) end() float64 { return max(l.at, slices.Max(l.plan)) }

// due says whether it is time for the reading of a planned minute.
func (l *liveRun) due(minute, now float64) bool { return now >= minute-earlyMin/2 }

// livePrompt stands before what is typed; the clock above says which minute comes.
const livePrompt = "lux: "

// draw shows the run anew after every entry: the whole screen, or a line where the
// cursor stays.
func (l *liveRun) draw() error {
	screen := &answer.LiveRun{Title: l.title, End: l.end(), Message: l.message, Stock: l.stock()}
	if len(l.readings) > 0 {
		run, err := l.figures()
		if err != nil {
			return err
		}
		screen.Run = run
	}
	columns, rows := l.t.size()
	var text strings.Builder
	if l.t.moves {
		lines := answer.LiveLines(screen, columns-1, rows-3)
		text.WriteString("\x1b[H\x1b[2J" + strings.Join(lines, "\r\n") + "\r\n\r\n" + l.clockLine(columns) + "\r\n" + livePrompt)
		l.drawn = true
	} else {
		text.WriteString(l.message + "\n")
		if screen.Run != nil {
			text.WriteString(answer.LiveFigures(screen.Run) + "\n" + answer.LiveBand(screen.Run) + "\n")
		}
		text.WriteString(l.clockLine(columns) + "\n" + livePrompt)
		if minute, planned := l.next(); planned && l.due(minute, l.elapsed()) {
			l.told = minute
		}
	}
	_, err := io.WriteString(l.t.out, text.String())
	return err
}

func (l *liveRun) clockLine(columns int) string {
	now := l.elapsed()
	minute, planned := l.next()
	if !planned {
		minute = -1
	}
	return answer.LiveClock(now, l.end(), minute, planned && l.due(minute, now), columns-1)
}

// tick moves the clock. The cursor goes up to its line and back, so that what is
// being typed stays.
func (l *liveRun) tick() {
	columns, _ := l.t.size()
	if l.t.moves {
		fmt.Fprintf(l.t.out, "\x1b7\x1b[A\r%s\x1b[K\x1b8", l.clockLine(columns))
		return
	}
	minute, planned := l.next()
	if planned && l.due(minute, l.elapsed()) && minute != l.told {
		l.told = minute
		fmt.Fprintf(l.t.out, "\n%s\n%s", l.clockLine(columns), livePrompt)
	}
}

// leave ends the drawing with a fresh line.
func (l *liveRun) leave() {
	if l.drawn {
		fmt.Fprint(l.t.out, "\r\n")
	}
}

// stock is the stock reading before the bulb, in lux, 0 where it is not known.
func (l *liveRun) stock() float64 {
	lux, err := quantity.ParseBare(l.e.Answers["test.stock.first"], "lx")
	if err != nil {
		return 0
	}
	return lux
}
