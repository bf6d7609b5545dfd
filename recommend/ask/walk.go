package ask

import (
	"context"
	"fmt"
)

// Step is one question of a sequence. S is a plain value: a step changes its
// own copy, so that a step back finds the state as it was. Slices and maps in
// it must be copied before they are changed.
type Step[S any] struct {
	// Ask builds the question from the state so far; false skips the step.
	Ask func(state S) (Question, bool)
	// Given is the answer that is there already, of an entry that is taken up
	// again: the step is not asked, but a step back reaches it. It may be nil.
	Given func(state S) (answer Answer, ok bool)
	// Keep returns the state with the answer, which is Answered or Unknown. An
	// error refuses the answer: its text is shown and the question asked again.
	Keep func(state S, answer Answer) (S, error)
}

func (s Step[S]) given(state S) (Answer, bool) {
	if s.Given == nil {
		return Answer{}, false
	}
	return s.Given(state)
}

// visit is a question that was answered: where, the state before, the answer.
type visit[S any] struct {
	step   int
	before S
	answer Answer
}

// Walk asks the steps in order and returns the final state. A step back goes
// to the last question that was asked, as often as wanted, and offers its
// former answer as default. With an error (ErrCancelled among them) the state
// holds what was answered until then, so that nothing typed is lost.
func Walk[S any](ctx context.Context, p Prompter, state S, steps []Step[S]) (S, error) {
	if p, ok := p.(holder); ok {
		held, end, err := p.begin(ctx)
		if err != nil {
			return state, err
		}
		defer end()
		ctx = held
	}
	var trail []visit[S]
	var former *Answer // the answer given last time, after a step back
	problem := ""
	for i := 0; i < len(steps); {
		question, wanted := steps[i].Ask(state)
		if !wanted {
			i++
			former = nil
			continue
		}
		if given, ok := steps[i].given(state); ok && former == nil && problem == "" {
			trail = append(trail, visit[S]{i, state, given})
			i++
			continue
		}
		question.AllowBack = len(trail) > 0
		question.Problem = problem
		if former != nil && former.State == Answered {
			question.Default = former.Value
		}
		answer, err := put(ctx, p, question)
		if err != nil {
			return state, err
		}
		problem = ""
		if answer.State == Back {
			if len(trail) == 0 {
				return state, fmt.Errorf("question %q: back, but there is none before it", question.Label)
			}
			last := trail[len(trail)-1]
			trail = trail[:len(trail)-1]
			i, state, former = last.step, last.before, &last.answer
			continue
		}
		next, err := steps[i].Keep(state, answer)
		if err != nil {
			problem = err.Error()
			continue
		}
		trail = append(trail, visit[S]{i, state, answer})
		state, former = next, nil
		i++
	}
	return state, nil
}

// holder is a Prompter that prepares the terminal for a sequence of questions.
type holder interface {
	begin(ctx context.Context) (held context.Context, end func(), err error)
}

// put asks by the kind of question.
func put(ctx context.Context, p Prompter, q Question) (Answer, error) {
	switch q.Kind {
	case Text:
		return p.Input(ctx, q)
	case YesNo:
		return p.Confirm(ctx, q)
	}
	return p.Select(ctx, q)
}
