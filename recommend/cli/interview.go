package cli

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/need"
	"stillbright/recommend/plaintext"
)

// interview asks for what the flags leave open, as far as it can still change
// the answer, and returns the completed need. Without a terminal it names what
// is missing, with its flag. The second result is the command line that gives
// the same answer.
func (env *Env) interview(c *cli.Context, b *bench, n recommend.Need) (recommend.Need, string, error) {
	prompter, err := env.prompter(c)
	if err != nil {
		if errors.Is(err, ask.ErrNotInteractive) {
			return n, "", usage("the bulb size is missing: --size ("+err.Error()+")", "it is printed on the base of the old bulb: stillbright pick --size H11; or name a car of stillbright car list: --car CAR")
		}
		return n, "", err
	}
	env.note("A few questions about the lamp and the drive. Where you do not know, say so: the answer then counts the worst and says what to measure.")
	state := interviewState{need: n}
	state, err = ask.Walk(c.Context, prompter, state, env.interviewSteps(c, b))
	line := need.Command(state.need)
	line += catalogWord(c.String("catalog"))
	switch {
	case errors.Is(err, ask.ErrCancelled) && state.need.Size != "":
		fmt.Fprintln(env.Err, "What was answered so far: "+plaintext.Clean(line))
		return state.need, line, err
	case err != nil:
		return state.need, line, err
	case state.need.Size == "":
		return state.need, line, usage("without the bulb size nothing can be said",
			"take the old bulb out when it is cold and read its base, then: stillbright pick; stillbright size lists the sizes")
	}
	fmt.Fprintln(env.Err, sameByFlags+plaintext.Clean(line))
	return state.need, line, nil
}

const sameByFlags = "The same by flags: "

// catalogWord is the flag of a catalog folder for a command that is to be copied,
// with a blank before it; empty where no folder was named.
func catalogWord(folder string) string {
	if folder == "" {
		return ""
	}
	return " --catalog " + need.ShellWord(folder)
}

func (env *Env) prompter(c *cli.Context) (ask.Prompter, error) {
	if env.Prompter != nil {
		return env.Prompter, nil
	}
	stdin, _ := env.In.(*os.File)
	stderr, _ := env.Err.(*os.File)
	if stdin == nil {
		return nil, fmt.Errorf("%w: standard input is not a terminal", ask.ErrNotInteractive)
	}
	return ask.Open(ask.Options{Stdin: stdin, Stderr: stderr, NoInput: c.Bool("no-input"), Plain: c.Bool("plain"), Getenv: env.Getenv})
}

// interviewState is what was answered so far; steps change their own copy.
type interviewState struct {
	need  recommend.Need
	car   string
	lamps []data.Lamp // of the car, until one of them is chosen
}

type interviewStep = ask.Step[interviewState]

const notListed = "not listed"

// interviewSteps are the questions in the order in which a tester would ask.
func (env *Env) interviewSteps(c *cli.Context, b *bench) (steps []interviewStep) {
	for _, f := range need.Interview() {
		switch f.Kind {
		case need.OfCar:
			steps = append(steps, carStep(f, b, needOfLamp(c, b)), lampStep(needOfLamp(c, b)))
		case need.OfRoads:
			steps = append(steps, drivingStep(f, b, false), drivingStep(f, b, true))
		default:
			steps = append(steps, factStep(f, b))
		}
	}
	return steps
}

// needOfLamp gives the need of a lamp of a car, in which the flags of the
// command line come first as they do without questions.
func needOfLamp(c *cli.Context, b *bench) func(car string, lamp data.Lamp) (recommend.Need, error) {
	return func(car string, lamp data.Lamp) (recommend.Need, error) {
		for name, value := range map[string]string{"car": car, "size": lamp.Size, "beam": lamp.Beam} {
			if err := c.Set(name, value); err != nil {
				return recommend.Need{}, err
			}
		}
		return needFromFlags(c, b)
	}
}

func carStep(f *need.Fact, b *bench, ofLamp func(string, data.Lamp) (recommend.Need, error)) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			// The cars of the demo are invented: nobody drives one.
			if b.catalog.Invented {
				return ask.Question{}, false
			}
			options := []ask.Option{{Value: notListed, Label: "my car is not listed"}}
			for _, car := range b.catalog.Cars {
				options = append(options, ask.Option{Value: car.ID, Label: car.Name, Note: lampNote(car)})
			}
			return ask.Question{Label: f.Label, Flag: "--" + f.Flag, Options: options, Search: true, Help: f.Explain}, len(b.catalog.Cars) > 0
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.Value == notListed || a.State != ask.Answered {
				return s, nil
			}
			car, err := b.car(a.Value)
			if err != nil {
				return s, err
			}
			s.car = car.ID
			if len(car.Lamps) > 1 {
				s.lamps = car.Lamps
				return s, nil
			}
			s.need, err = ofLamp(car.ID, car.Lamps[0])
			return s, err
		},
	}
}

// lampStep asks which of several lamps of a car is meant.
func lampStep(ofLamp func(string, data.Lamp) (recommend.Need, error)) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			q := ask.Question{Label: "Which lamp of it", Flag: "--size, --beam", Search: true,
				Help: "Each lamp has an answer of its own. The low beam is what you drive with most."}
			for i, lamp := range s.lamps {
				q.Options = append(q.Options, ask.Option{Value: strconv.Itoa(i), Label: lamp.Beam, Note: lamp.Size})
			}
			return q, len(s.lamps) > 0
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			i, err := strconv.Atoi(a.Value)
			if err != nil {
				return s, err
			}
			lamp := s.lamps[i]
			s.lamps = nil
			s.need, err = ofLamp(s.car, lamp)
			return s, err
		},
	}
}

func lampNote(car data.Car) string {
	var parts []string
	for _, lamp := range car.Lamps {
		parts = append(parts, lamp.Size+" "+lamp.Beam)
	}
	return strings.Join(parts, ", ")
}

// factStep asks for one fact of the need while it is open.
func factStep(f *need.Fact, b *bench) interviewStep {
	parse := func(n *recommend.Need, text string) error {
		err := f.Take(n, text, b.toKnow())
		if err == nil {
			return nil
		}
		hint, message := wrong.HintOf(err)
		if hint != "" {
			message += "; " + hint
		}
		return errors.New(message)
	}
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			q := ask.Question{Label: f.Label, Flag: "--" + f.Flag, Help: f.Explain, AllowUnknown: true}
			if f.Example != "" {
				q.Label += " (e.g. " + f.Example + ")"
			}
			switch f.Kind {
			case need.OfTruth:
				q.Kind = ask.YesNo
			case need.OfNumber, need.OfMoney:
				q.Kind = ask.Text
				q.Validate = func(text string) error { n := s.need; return parse(&n, text) }
			default:
				q.Options, q.Search = choices(f, b, s.need), true
				q.MustMove = f.Kind == need.OfSize || f.Kind == need.OfPlace
				if len(q.Options) < 2 {
					return q, false
				}
			}
			return q, asksFor(f, b, s.need)
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.State != ask.Answered {
				return s, nil
			}
			text := a.Value
			if f.Kind == need.OfTruth {
				text = strconv.FormatBool(text == ask.Yes)
			}
			err := parse(&s.need, text)
			if err == nil && f.Kind == need.OfMoney {
				s.need.Budget.Per = "pair" // as the question says
			}
			return s, err
		},
	}
}

// asksFor says whether a fact is worth a question: it is open, and always asked or
// its answer can still change something.
func asksFor(f *need.Fact, b *bench, n recommend.Need) bool {
	switch {
	case !f.Open(n):
		return false
	case f.Always:
		return n.Size != "" || f.Kind == need.OfSize
	}
	return n.Size != "" && recommend.Worth(&b.known, &b.catalog, n, f.Slot) > 0
}

// choices are what is offered for a fact. A beam is one that the size serves.
func choices(f *need.Fact, b *bench, n recommend.Need) (options []ask.Option) {
	switch f.Kind {
	case need.OfSize:
		return entry.SizeOptions(slices.DeleteFunc(slices.Clone(b.known.Sizes), func(size data.Size) bool { return size.Discharge }))
	case need.OfPlace:
		return entry.PlaceOptions(b.known.Places)
	}
	words := f.Words
	if f.Choices != nil {
		words = f.Choices
	}
	if f.Slot == need.Beam {
		match, _, _ := data.FindSize(b.known.Sizes, n.Size)
		words = slices.DeleteFunc(match.Size.Serves(), func(beam string) bool { return !slices.Contains(f.Words, beam) })
	}
	for _, word := range words {
		options = append(options, ask.Option{Value: word, Label: word, Note: f.Means[word]})
	}
	return options
}

// drivingStep asks for the main environment, then for a second one.
func drivingStep(f *need.Fact, b *bench, second bool) interviewStep {
	const none = "nothing else"
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			if s.need.Size == "" || second != (len(s.need.Driving) == 1) || !second && len(s.need.Driving) > 0 {
				return ask.Question{}, false
			}
			q := ask.Question{Label: f.Label, Flag: "--" + f.Flag, Search: true, AllowUnknown: !second, Help: f.Explain}
			if second {
				q.Label = "What else is usual there"
				q.Options = []ask.Option{{Value: none, Label: none}}
			}
			for _, name := range b.toKnow().Roads {
				if !slices.Contains(s.need.Driving, name) {
					q.Options = append(q.Options, ask.Option{Value: name, Label: name, Note: f.Means[name]})
				}
			}
			return q, true
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.State == ask.Answered && a.Value != none {
				s.need.Driving = append(slices.Clone(s.need.Driving), a.Value)
			}
			return s, nil
		},
	}
}
