// Package asktest helps to test programs that ask questions: a scripted
// ask.Prompter, and a screen to run a program on. Only tests import it.
package asktest

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"testing"

	"stillbright/recommend/ask"
)

// Line is one question that is expected and the answer it gets.
type Line struct {
	question  string
	answer    ask.Answer
	byDefault bool
	err       error
}

// Take answers a question with a value: the Value of an option, a text, or
// ask.Yes or ask.No. The question is named by its Label or its Flag.
func Take(question, value string) Line {
	return Line{question: question, answer: ask.Answer{Value: value}}
}

// Default takes the default of the question.
func Default(question string) Line { return Line{question: question, byDefault: true} }

// Unknown answers "don't know".
func Unknown(question string) Line {
	return Line{question: question, answer: ask.Answer{State: ask.Unknown}}
}

// Back goes to the question before.
func Back(question string) Line {
	return Line{question: question, answer: ask.Answer{State: ask.Back}}
}

// Cancel leaves at the question with ask.ErrCancelled.
func Cancel(question string) Line { return Line{question: question, err: ask.ErrCancelled} }

// Script is a Prompter that answers from a list and holds the questions to the
// rules of the real ones.
type Script struct {
	t     testing.TB
	mutex sync.Mutex
	lines []Line
	asked []ask.Question
}

var _ ask.Prompter = (*Script)(nil)

// New returns a Script. The test fails on a question that is not the next in
// lines, on an answer the question does not allow, and on lines left at its end.
func New(t testing.TB, lines ...Line) *Script {
	t.Helper()
	s := &Script{t: t, lines: lines}
	t.Cleanup(func() {
		s.mutex.Lock()
		defer s.mutex.Unlock()
		for _, line := range s.lines {
			t.Errorf("question %q was not asked", line.question)
		}
	})
	return s
}

// Asked returns the questions asked so far.
func (s *Script) Asked() []ask.Question {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return slices.Clone(s.asked)
}

// Select answers a list.
func (s *Script) Select(ctx context.Context, q ask.Question) (ask.Answer, error) {
	if len(q.Options) == 0 {
		return ask.Answer{}, s.fail("question %q has no options", q.Label)
	}
	return s.answer(ctx, q, func(value string) error {
		for _, option := range q.Options {
			if option.Value == value {
				return nil
			}
		}
		return fmt.Errorf("%q is not an option", value)
	})
}

// Input answers a text.
func (s *Script) Input(ctx context.Context, q ask.Question) (ask.Answer, error) {
	return s.answer(ctx, q, func(value string) error {
		if value == "" {
			return fmt.Errorf("an empty text is never taken")
		}
		if q.Validate != nil {
			return q.Validate(value)
		}
		return nil
	})
}

// Confirm answers yes or no.
func (s *Script) Confirm(ctx context.Context, q ask.Question) (ask.Answer, error) {
	return s.answer(ctx, q, func(value string) error {
		if value != ask.Yes && value != ask.No {
			return fmt.Errorf("%q is neither %s nor %s", value, ask.Yes, ask.No)
		}
		return nil
	})
}

func (s *Script) answer(ctx context.Context, q ask.Question, legal func(value string) error) (ask.Answer, error) {
	s.t.Helper()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	s.asked = append(s.asked, q)
	if ctx.Err() != nil {
		return ask.Answer{}, fmt.Errorf("%w: %w", ask.ErrCancelled, ctx.Err())
	}
	if len(s.lines) == 0 {
		return ask.Answer{}, s.fail("question %q (%s) was not expected, the script is at its end", q.Label, q.Flag)
	}
	line := s.lines[0]
	if line.question != q.Label && line.question != q.Flag {
		return ask.Answer{}, s.fail("question %q (%s) was not expected, the next in the script is %q", q.Label, q.Flag, line.question)
	}
	s.lines = s.lines[1:]
	if line.err != nil {
		return ask.Answer{}, line.err
	}
	answer := line.answer
	if line.byDefault {
		answer = ask.Answer{Value: q.Default}
	}
	switch {
	case answer.State == ask.Unknown && !q.AllowUnknown:
		return answer, s.fail("question %q does not allow \"don't know\"", q.Label)
	case answer.State == ask.Back && !q.AllowBack:
		return answer, s.fail("question %q does not allow a step back", q.Label)
	case answer.State == ask.Answered:
		if err := legal(answer.Value); err != nil {
			return answer, s.fail("question %q does not take %q: %v", q.Label, answer.Value, err)
		}
	}
	return answer, nil
}

// fail reports to the test and returns the same as an error, so that the
// program under test stops asking.
func (s *Script) fail(format string, values ...any) error {
	s.t.Helper()
	err := fmt.Errorf(format, values...)
	s.t.Error(err)
	return err
}
