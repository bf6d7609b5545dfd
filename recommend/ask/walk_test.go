package ask_test

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"stillbright/recommend/ask"
	"stillbright/recommend/ask/asktest"
)

// need is the state of the sequence under test.
type need struct {
	size, housing string
	trip          int
	canbus        string
}

func steps() []ask.Step[need] {
	options := func(values ...string) (list []ask.Option) {
		for _, value := range values {
			list = append(list, ask.Option{Value: value})
		}
		return list
	}
	return []ask.Step[need]{
		{
			Ask: func(need) (ask.Question, bool) {
				return ask.Question{Label: "Size", Flag: "--size", Options: options("H7", "fog only")}, true
			},
			Keep: func(n need, a ask.Answer) (need, error) { n.size = a.Value; return n, nil },
		},
		{
			Ask: func(n need) (ask.Question, bool) { // skipped where it cannot change the answer
				return ask.Question{Label: "Housing", Options: options("projector", "reflector"), AllowUnknown: true}, n.size != "fog only"
			},
			Keep: func(n need, a ask.Answer) (need, error) {
				if n.housing = a.Value; a.State == ask.Unknown {
					n.housing = "unknown"
				}
				return n, nil
			},
		},
		{
			Ask: func(need) (ask.Question, bool) { return ask.Question{Kind: ask.Text, Label: "Trip"}, true },
			Keep: func(n need, a ask.Answer) (need, error) {
				if _, err := fmt.Sscan(a.Value, &n.trip); err != nil {
					return n, fmt.Errorf("%q is not a number of minutes", a.Value)
				}
				return n, nil
			},
		},
		{
			Ask:  func(need) (ask.Question, bool) { return ask.Question{Kind: ask.YesNo, Label: "Canbus"}, true },
			Keep: func(n need, a ask.Answer) (need, error) { n.canbus = a.Value; return n, nil },
		},
	}
}

func TestWalk(t *testing.T) {
	for name, test := range map[string]struct {
		lines []asktest.Line
		want  need
	}{
		"straight on": {
			[]asktest.Line{asktest.Take("--size", "H7"), asktest.Take("Housing", "projector"), asktest.Take("Trip", "30"), asktest.Take("Canbus", ask.Yes)},
			need{"H7", "projector", 30, "yes"},
		},
		"not known": {
			[]asktest.Line{asktest.Take("Size", "H7"), asktest.Unknown("Housing"), asktest.Take("Trip", "30"), asktest.Take("Canbus", ask.No)},
			need{"H7", "unknown", 30, "no"},
		},
		"skipped": {
			[]asktest.Line{asktest.Take("Size", "fog only"), asktest.Take("Trip", "5"), asktest.Take("Canbus", ask.No)},
			need{"fog only", "", 5, "no"},
		},
		"back over a skipped step, and the answer forgotten": {
			[]asktest.Line{
				asktest.Take("Size", "fog only"), asktest.Back("Trip"), asktest.Take("Size", "H7"), asktest.Take("Housing", "reflector"),
				asktest.Back("Trip"), asktest.Back("Housing"), asktest.Take("Size", "fog only"), asktest.Take("Trip", "5"), asktest.Take("Canbus", ask.No),
			},
			need{"fog only", "", 5, "no"},
		},
		"the former answer is the default": {
			[]asktest.Line{
				asktest.Take("Size", "H7"), asktest.Take("Housing", "projector"), asktest.Take("Trip", "30"), asktest.Back("Canbus"),
				asktest.Default("Trip"), asktest.Take("Canbus", ask.Yes),
			},
			need{"H7", "projector", 30, "yes"},
		},
		"asked again": {
			[]asktest.Line{
				asktest.Take("Size", "H7"), asktest.Take("Housing", "projector"), asktest.Take("Trip", "long"), asktest.Take("Trip", "30"), asktest.Take("Canbus", ask.Yes),
			},
			need{"H7", "projector", 30, "yes"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			script := asktest.New(t, test.lines...)
			got, err := ask.Walk(context.Background(), script, need{}, steps())
			if got != test.want || err != nil {
				t.Errorf("got %+v, %v, want %+v", got, err, test.want)
			}
			asked := script.Asked()
			if asked[0].AllowBack || !asked[1].AllowBack {
				t.Error("a step back is offered exactly from the second question on")
			}
			for i, q := range asked[1:] {
				if refused := asked[i].Label == q.Label; refused != (q.Problem != "") {
					t.Errorf("question %q has the problem %q", q.Label, q.Problem)
				}
			}
		})
	}
}

func TestWalkKeepsWhatWasAnswered(t *testing.T) {
	script := asktest.New(t, asktest.Take("Size", "H7"), asktest.Take("Housing", "projector"), asktest.Cancel("Trip"))
	got, err := ask.Walk(context.Background(), script, need{}, steps())
	if !errors.Is(err, ask.ErrCancelled) || got != (need{size: "H7", housing: "projector"}) {
		t.Errorf("got %+v, %v", got, err)
	}
}

// careless goes back although nothing is before.
type careless struct{ ask.Prompter }

func (careless) Select(context.Context, ask.Question) (ask.Answer, error) {
	return ask.Answer{State: ask.Back}, nil
}

func TestWalkRefusesBackAtTheFirstQuestion(t *testing.T) {
	_, err := ask.Walk(context.Background(), careless{}, need{}, steps())
	if err == nil || err.Error() != `question "Size": back, but there is none before it` {
		t.Errorf("got %v", err)
	}
}

func TestWalkWithoutSteps(t *testing.T) {
	got, err := ask.Walk(context.Background(), asktest.New(t), need{trip: 5}, nil)
	if got.trip != 5 || err != nil {
		t.Errorf("got %+v, %v", got, err)
	}
}
