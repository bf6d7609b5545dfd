package ask

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"stillbright/recommend/plaintext"
)

// plain is the Prompter that prints questions and reads lines. It moves no
// cursor, so a screen reader and the poorest terminal can follow.
type plain struct {
	lines   onDemand[string]
	out     io.Writer
	columns func() int // 0: lines are not broken
}

func newPlain(in io.Reader, out io.Writer, columns func() int) *plain {
	reader := bufio.NewReader(in)
	return &plain{
		out: NoBell(out), columns: columns,
		lines: onDemand[string]{read: func() (string, error) {
			line, err := reader.ReadString('\n')
			if line != "" {
				err = nil // the end of the input is met again at the next line
			}
			return line, err
		}},
	}
}

// mostRows is how many rows of a list that can be searched are printed unasked.
const mostRows = 24

const allSign = "*"

func (p *plain) say(first, rest, text string) error {
	_, err := io.WriteString(p.out, paragraph(first, rest, text, p.columns()))
	return err
}

// remark prints an indented text.
func (p *plain) remark(text string) error { return p.say(indent, indent, text) }

// read prints the prompt and waits for a line.
func (p *plain) read(ctx context.Context, prompt string) (string, error) {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	defer stop()
	if _, err := io.WriteString(p.out, prompt); err != nil {
		return "", err
	}
	line, err := p.lines.next(ctx)
	if err != nil {
		_, _ = io.WriteString(p.out, "\n")
		return "", stopped(ctx)
	}
	return line, nil
}

// dialogue says what may be typed and reads lines until one is taken.
func (p *plain) dialogue(ctx context.Context, q Question, prompt string, judge func(line string) (entered, error)) (Answer, error) {
	if err := p.remark(q.legalText()); err != nil {
		return Answer{}, err
	}
	for {
		line, err := p.read(ctx, prompt+": ")
		if err != nil {
			return Answer{}, err
		}
		got, err := judge(line)
		if err != nil {
			return Answer{}, err
		}
		switch got.verdict {
		case taken:
			if got.answer.State == Unknown && q.Help != "" {
				err = p.remark(q.help())
			}
			return got.answer, err
		case explain:
			err = p.remark(q.help())
		case refused:
			err = p.remark(got.why)
		}
		if err != nil {
			return Answer{}, err
		}
	}
}

// open prints the question.
func (p *plain) open(q Question) error {
	if q.Problem != "" {
		if err := p.remark(q.Problem); err != nil {
			return err
		}
	}
	return p.say("", "", q.Label)
}

func (p *plain) Select(ctx context.Context, q Question) (Answer, error) {
	rows, err := q.choices()
	if err != nil {
		return Answer{}, err
	}
	if err := p.open(q); err != nil {
		return Answer{}, err
	}
	long := q.Search && len(rows) > mostRows
	ask := "Number or name"
	if long {
		ask = "Part of the name"
		err = p.remark(fmt.Sprintf("%d choices; enter a part of the name, or %s to list them all.", len(q.Options), allSign))
	} else {
		err = p.print(rows, upTo(len(rows)))
	}
	if err != nil {
		return Answer{}, err
	}
	return p.dialogue(ctx, q, ask+q.bracket(rows), func(line string) (entered, error) {
		if strings.TrimSpace(line) == allSign {
			return entered{verdict: refused, why: q.legalRows(rows)}, p.print(rows, upTo(len(rows)))
		}
		got, near := q.pick(rows, line)
		if len(near) > mostRows {
			got.why = fmt.Sprintf("%d match; %s", len(near), got.why)
			near = near[:mostRows]
		}
		return got, p.print(rows, near)
	})
}

// bracket shows the default of a list.
func (q Question) bracket(rows []choice) string {
	if start, ok := q.start(rows); ok {
		return " [" + rows[start].label + "]"
	}
	return ""
}

// print lists rows with the numbers they always have.
func (p *plain) print(rows []choice, which []int) error {
	width := len(fmt.Sprint(len(rows)))
	for _, i := range which {
		number := fmt.Sprintf("  %*d  ", width, i+1)
		if err := p.say(number, strings.Repeat(" ", len(number)), rows[i].text()); err != nil {
			return err
		}
	}
	return nil
}

// upTo lists 0 to n-1.
func upTo(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

func (p *plain) Confirm(ctx context.Context, q Question) (Answer, error) {
	q = q.yesNo()
	rows, err := q.choices()
	if err != nil {
		return Answer{}, err
	}
	if err := p.open(q); err != nil {
		return Answer{}, err
	}
	return p.dialogue(ctx, q, fmt.Sprintf("%s or %s%s", Yes, No, q.bracket(rows)), func(line string) (entered, error) {
		got, _ := q.pick(rows, line)
		if got.verdict == refused {
			got.why = fmt.Sprintf("enter %s or %s; %s", Yes, No, q.legalText())
		}
		return got, nil
	})
}

func (p *plain) Input(ctx context.Context, q Question) (Answer, error) {
	if err := p.open(q); err != nil {
		return Answer{}, err
	}
	ask := "Answer"
	if q.Default != "" {
		ask += " [" + plaintext.Clean(q.Default) + "]"
	}
	return p.dialogue(ctx, q, ask, func(line string) (entered, error) {
		return q.entry(line), nil
	})
}
