package ask

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/chzyer/readline"

	"stillbright/recommend/plaintext"
)

// screen is the Prompter for a terminal that can move its cursor.
type screen struct {
	input  *os.File // file descriptor 0: promptui sets raw mode on that one
	device *os.File // where it draws
	out    io.Writer
	keys   *keyReader
	bold   bool
	rank   func(query string, folded []string) []int
}

func newScreen(input, device *os.File, bold bool) *screen {
	ignoreResize()
	return &screen{
		input: input, device: device, out: NoBell(device), bold: bold,
		keys: newKeyReader(input.Read), rank: searchFolded,
	}
}

const showCursor = "\x1b[?25h"

// begin sets raw mode, and makes the question end on a signal. The function it
// returns is deferred and leaves the terminal as it was, whatever happens. Raw
// mode is held over a whole sequence of questions: what is typed ahead while
// none is asked would be shown by the terminal, and may be lost. It is
// readline's raw mode, in which line feeds still begin a new line.
func (s *screen) begin(ctx context.Context) (context.Context, func(), error) {
	before, err := readline.MakeRaw(int(s.input.Fd()))
	if err != nil {
		return ctx, nil, fmt.Errorf("the terminal cannot be set up for typing: %w", err)
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	return ctx, func() {
		_ = readline.Restore(int(s.input.Fd()), before)
		_, _ = io.WriteString(s.out, showCursor)
		stop()
	}, nil
}

// stopped is the error for a question that was left.
func stopped(ctx context.Context) error {
	if cause := context.Cause(ctx); cause != nil {
		return fmt.Errorf("%w: %w", ErrCancelled, cause)
	}
	return ErrCancelled
}

// say prints lines above the question.
func (s *screen) say(indent, text string) error {
	columns, _ := Size(s.device)
	_, err := io.WriteString(s.out, paragraph(indent, indent, text, columns-1))
	return err
}

// paragraph wraps text to columns behind what its first and other lines begin
// with, which are equally wide; at least one column is left for it.
func paragraph(first, rest, text string, columns int) string {
	var b strings.Builder
	if columns > 0 {
		columns = max(columns, plaintext.Width(first)+1)
	}
	for _, line := range strings.Split(text, "\n") {
		b.WriteString(strings.Join(plaintext.Hang(first, rest, line, columns), "\n") + "\n")
		first = rest
	}
	return b.String()
}

const indent = "  "

func (s *screen) Select(ctx context.Context, q Question) (Answer, error) {
	return s.choose(ctx, q, nil)
}

func (s *screen) Confirm(ctx context.Context, q Question) (Answer, error) {
	return s.choose(ctx, q.yesNo(), map[rune]int{'y': 0, 'Y': 0, 'n': 1, 'N': 1})
}

func (s *screen) choose(ctx context.Context, q Question, hot map[rune]int) (Answer, error) {
	rows, err := q.choices()
	if err != nil {
		return Answer{}, err
	}
	ctx, end, err := s.begin(ctx)
	if err != nil {
		return Answer{}, err
	}
	defer end()
	if q.Problem != "" {
		if err := s.say(indent, q.Problem); err != nil {
			return Answer{}, err
		}
	}
	keys := hotKeys(hot, rows, q.Search)
	columns, _ := Size(s.device)
	printed, labelled := 0, false
	if q.Problem != "" {
		printed = len(plaintext.Wrap(q.Problem, columns-3))
	}
	var before *list // the same list before a resize
	slot := 0
	for {
		l := &list{
			full: q.Label, label: plaintext.Clean(q.Label), hint: q.keys(), rows: rows, search: q.Search,
			hot: keys, bold: s.bold, rank: s.rank,
			screen: func() (int, int) { return Size(s.device) },
		}
		start, hasDefault := q.start(rows)
		l.start, l.wait = start, q.MustMove && q.Search && !hasDefault
		if before != nil {
			l.start, l.typed, l.pending = slot, before.typed, before.pending
			before = nil
		}
		above := l.layout(printed)
		if above && !labelled {
			if err := s.say("", q.Label); err != nil {
				return Answer{}, err
			}
			labelled = true
		}
		l.prepare()
		row, how, err := runList(ctx, l, s.keys.next, s.out)
		if err == nil && l.shrunk() {
			err = s.clear()
			printed, labelled, above = 0, false, false
		}
		switch {
		case err != nil:
			return Answer{}, err
		case how == cancelled:
			return Answer{}, stopped(ctx)
		case how == wantsHelp:
			err = s.say(indent, q.help())
			columns, _ = Size(s.device)
			printed, labelled = len(plaintext.Wrap(q.help(), columns-3)), false
		case how == resized:
			before, slot = l, row
		case row >= 0:
			return rows[row].answer, s.record(q, rows[row], above)
		}
		if err != nil {
			return Answer{}, err
		}
	}
}

// clear empties the screen: a terminal that became smaller may have broken lines
// anew, and nobody can say where a list began.
func (s *screen) clear() error {
	_, err := io.WriteString(s.out, "\x1b[H\x1b[J")
	return err
}

// hotKeys adds the signs of an entry to the keys that choose at once: "<" for
// back, "-" for "don't know" where nothing is searched.
func hotKeys(hot map[rune]int, rows []choice, search bool) map[rune]int {
	keys := map[rune]int{}
	for r, row := range hot {
		keys[r] = row
	}
	for i, row := range rows {
		if row.answer.State == Back {
			keys['<'] = i
		}
		if row.answer.State == Unknown && !search {
			keys['-'] = i
		}
	}
	return keys
}

// keys tells what may be pressed besides the obvious.
func (q Question) keys() []string {
	pieces := []string{"? explains"}
	if q.AllowBack {
		pieces = append(pieces, "< goes back")
	}
	return append(pieces, "Ctrl-C stops")
}

// record leaves one line for the answer, without the label if that stands
// above already, and the help if the answer is not known.
func (s *screen) record(q Question, row choice, above bool) error {
	before, text := "", q.Label+": "+row.label
	if above {
		before, text = indent, row.label
	}
	if err := s.say(before, text); err != nil {
		return err
	}
	if row.answer.State == Unknown && q.Help != "" {
		return s.say(indent, q.help())
	}
	return nil
}

func (s *screen) Input(ctx context.Context, q Question) (Answer, error) {
	ctx, end, err := s.begin(ctx)
	if err != nil {
		return Answer{}, err
	}
	defer end()
	if q.Problem != "" {
		if err := s.say(indent, q.Problem); err != nil {
			return Answer{}, err
		}
	}
	line := ""
	for {
		typed, above, err := s.line(ctx, q, line)
		if errors.Is(err, errStopped) {
			return Answer{}, stopped(ctx)
		}
		if err != nil {
			return Answer{}, err
		}
		got := q.entry(typed)
		switch got.verdict {
		case taken:
			return got.answer, s.record(q, choice{answer: got.answer, label: got.shown()}, above)
		case explain:
			line, err = "", s.say(indent, q.help())
		case refused:
			line, err = typed, s.say(indent, got.why)
		}
		if err != nil {
			return Answer{}, err
		}
	}
}
