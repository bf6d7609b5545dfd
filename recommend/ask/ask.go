// Package ask is everything that talks to a person at the terminal by questions.
//
// A caller describes a Question and gives it to a Prompter; Open returns the
// one that suits the terminal: lists to type into, or numbered lists for
// screen readers and poor terminals. Walk runs a sequence of questions with a
// way back. Questions are drawn on standard error or on the controlling
// terminal, never on standard output.
package ask

import (
	"context"
	"errors"
	"fmt"

	"stillbright/recommend/plaintext"
)

// ErrCancelled is returned when the person stops: Ctrl-C, Ctrl-D at an empty
// prompt, a hang-up or a cancelled context. The program ends with code 130.
var ErrCancelled = errors.New("cancelled")

// ErrNotInteractive is returned by Open when nobody can be asked. The wrapped
// text says why; the caller adds the flag that replaces the question.
var ErrNotInteractive = errors.New("cannot ask")

// Yes and No are the values of an Answer to a question of kind YesNo.
const (
	Yes = "yes"
	No  = "no"
)

// Kind says how Walk puts a question.
type Kind int

// The kinds of question.
const (
	List  Kind = iota // one of Options, by Prompter.Select
	Text              // a line of text, by Prompter.Input
	YesNo             // yes or no, by Prompter.Confirm
)

// Option is one choice of a list.
type Option struct {
	Value string // what the caller gets
	Label string // what the person reads; Value if empty
	Note  string // shown beside the label; searched too (aliases belong here)
	Other bool   // what is in no other row: it stays where nothing matches
}

// Question is what is asked. Texts may come from files: control characters are
// removed before they are shown.
type Question struct {
	// Kind is read by Walk only; the methods of a Prompter say it themselves.
	Kind Kind
	// Label is the question on one line, without the final colon. Up to 38
	// columns it fits every terminal; a longer one is shown in full above the list.
	Label string
	// Flag is the flag that gives the same answer, with its dashes. It is shown with Help.
	Flag string
	// Help says how to find out. It is shown when the person enters "?" and
	// when the answer is "don't know".
	Help string
	// Options of a list, in the order of the catalog. Select refuses an empty list.
	Options []Option
	// Default is the value taken by an empty entry, or the option the list
	// starts on. Empty, or a value that is no option, means none.
	Default string
	// Search lets the person type to narrow the list.
	Search bool
	// MustMove makes Enter take nothing before the person has typed or moved,
	// where the list has no default: for long lists whose first option is as
	// unlikely as any other.
	MustMove bool
	// AllowUnknown offers "don't know", as the last option of a list.
	AllowUnknown bool
	// AllowBack offers one step back: "back" in a list, "<" in an entry. Walk sets it.
	AllowBack bool
	// Validate checks an entry of Input: nil accepts everything. It must be
	// pure; its error is shown and the question is asked again.
	Validate func(string) error
	// Problem says why the last answer was not taken. Walk sets it.
	Problem string
}

// State tells an answer from the two ways of not giving one.
type State int

// The states of an answer.
const (
	Answered State = iota // Value holds the answer
	Unknown               // the person does not know; Help has been shown
	Back                  // the person wants the question before this one
)

// Answer is what a person gave. Value is empty unless State is Answered.
type Answer struct {
	State State
	Value string
}

// Prompter asks one question and waits. The error is ErrCancelled when the
// person stopped; any other error says that the terminal failed or that the
// question is not well formed.
type Prompter interface {
	// Select asks for one of q.Options and returns its Value.
	Select(ctx context.Context, q Question) (Answer, error)
	// Input asks for a line of text, without the spaces around it.
	Input(ctx context.Context, q Question) (Answer, error)
	// Confirm asks for Yes or No. It ignores q.Options.
	Confirm(ctx context.Context, q Question) (Answer, error)
}

const (
	backLabel    = "back"
	unknownLabel = "don't know"
)

// choice is one row of a list: an option, or one of the two ways out.
type choice struct {
	answer Answer
	label  string
	note   string
	option bool
	other  bool
}

// text is the row as one line.
func (c choice) text() string {
	if c.note == "" {
		return c.label
	}
	return c.label + " (" + c.note + ")"
}

// choices lists the rows of q: the options, back, and "don't know" last.
func (q Question) choices() ([]choice, error) {
	if len(q.Options) == 0 {
		return nil, fmt.Errorf("question %q has no options", q.Label)
	}
	rows := make([]choice, 0, len(q.Options)+2)
	for _, o := range q.Options {
		label := o.Label
		if label == "" {
			label = o.Value
		}
		rows = append(rows, choice{Answer{Answered, o.Value}, plaintext.Clean(label), plaintext.Clean(o.Note), true, o.Other})
	}
	if q.AllowBack {
		rows = append(rows, choice{answer: Answer{State: Back}, label: backLabel, note: "to the question before"})
	}
	if q.AllowUnknown {
		note := ""
		if q.Help != "" {
			note = "says how to find out"
		}
		rows = append(rows, choice{answer: Answer{State: Unknown}, label: unknownLabel, note: note})
	}
	return rows, nil
}

// start is the row of the default; 0 and false without one.
func (q Question) start(rows []choice) (row int, ok bool) {
	for i, row := range rows {
		if q.Default != "" && row.answer == (Answer{Answered, q.Default}) {
			return i, true
		}
	}
	return 0, false
}

// yesNo turns q into the list that Confirm asks.
func (q Question) yesNo() Question {
	q.Options = []Option{{Value: Yes}, {Value: No}}
	q.Search = false
	return q
}

// help is the text behind "?": how to find out, and the flag.
func (q Question) help() string {
	text := q.Help
	if text == "" {
		text = "There is no more to say about this question."
	}
	if q.Flag != "" {
		text += "\nFlag: " + q.Flag
	}
	return text
}
