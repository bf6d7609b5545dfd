package entry

import (
	"maps"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend/ask"
)

// Answers is the state of the questions; steps change their own copy.
type Answers = map[string]string

type Step = ask.Step[Answers]

// keep is the half of a step that takes an answer: on the disk first.
func (e *Entry) keep(key string, check func(string) error, normal func(string) string) func(Answers, ask.Answer) (Answers, error) {
	return func(state Answers, a ask.Answer) (Answers, error) {
		if check != nil {
			if err := check(a.Value); err != nil {
				return state, err
			}
		}
		value := a.Value
		if normal != nil {
			value = normal(value)
		}
		if err := e.set(key, value); err != nil {
			return state, err
		}
		next := maps.Clone(state)
		next[key] = value
		return next, nil
	}
}

// step asks one field, unless it was answered before or does not apply.
func (e *Entry) step(f Field, preset func(Answers) string, when func(Answers) bool) Step {
	answered := e.has(f.Key)
	return Step{
		Ask: func(state Answers) (ask.Question, bool) {
			q := f.Question("--" + f.Flag)
			if preset != nil {
				q.Default = preset(state)
			}
			return q, when == nil || when(state)
		},
		Given: givenIf(answered, f.Key),
		Keep:  e.keep(f.Key, f.Check, f.Normal),
	}
}

// givenIf is the answer of an entry that is taken up again, or of a flag.
func givenIf(answered bool, key string) func(Answers) (ask.Answer, bool) {
	return func(state Answers) (ask.Answer, bool) {
		answer, ok := Given(key)(state)
		return answer, ok && answered
	}
}

// steps asks fields in their order, all under one condition.
func (e *Entry) steps(fields []Field, when func(Answers) bool) []Step {
	var steps []Step
	for _, f := range fields {
		steps = append(steps, e.step(f, nil, when))
	}
	return steps
}

// choice asks which of the records there are, or a new one.
func (e *Entry) choice(key string, question func(Answers) (ask.Question, bool)) Step {
	answered := e.has(key)
	return Step{
		Ask: func(state Answers) (ask.Question, bool) {
			return question(state)
		},
		Given: givenIf(answered, key),
		Keep:  e.keep(key, nil, nil),
	}
}

func (e *Entry) BulbStep(b *data.Catalog) Step {
	return e.choice("bulb", func(Answers) (ask.Question, bool) {
		q := ask.Question{Label: "Which bulb", Flag: "--bulb", Search: true, Help: "The bulbs of your catalog. A new one is described by a few questions."}
		q.Options = []ask.Option{{Value: Fresh, Label: "a new bulb", Other: true}}
		for _, bulb := range b.Bulbs {
			q.Options = append(q.Options, ask.Option{Value: bulb.ID, Label: bulb.Name, Note: bulb.ID + ", " + bulb.Size})
		}
		return q, true
	})
}

func (e *Entry) RigStep(b *data.Catalog) Step {
	return e.choice("rig", func(Answers) (ask.Question, bool) {
		q := ask.Question{Label: "Which rig", Flag: "--rig", Search: true, Help: "The lamp on the bench. A new one is described by a few questions."}
		for _, rig := range b.Rigs {
			q.Options = append(q.Options, ask.Option{Value: rig.ID, Label: rig.Name, Note: rig.ID + ", " + rig.Size + " " + rig.Housing})
		}
		q.Options = append(q.Options, ask.Option{Value: Fresh, Label: "a new rig", Other: true})
		return q, true
	})
}

// LotSteps ask for the lot: one there is, or another; and for its day where
// nobody knows it yet.
func (e *Entry) LotSteps(b *data.Catalog) []Step {
	lots := func(state Answers) []data.Lot {
		bulb, _ := b.Bulb(state["bulb"])
		return bulb.Lots
	}
	named := func(state Answers) string {
		if state["lot.lot"] != "" {
			return state["lot.lot"]
		}
		return state["lot"]
	}
	return []Step{
		e.choice("lot", func(state Answers) (ask.Question, bool) {
			q := ask.Question{Label: "Which lot", Flag: "--lot", Search: true, Help: Fields(data.OfLot)[0].How}
			for _, lot := range lots(state) {
				q.Options = append(q.Options, ask.Option{Value: lot.Name, Label: lot.Name, Note: strings.TrimSuffix("bought "+string(lot.Bought), "bought ")})
			}
			q.Options = append(q.Options, ask.Option{Value: Fresh, Label: "another lot", Other: true})
			return q, len(lots(state)) > 0 && state["lot.lot"] == ""
		}),
		e.step(Fields(data.OfLot)[0], nil, func(state Answers) bool { return state["lot"] == Fresh || state["lot"] == "" }),
		e.step(Fields(data.OfLot)[1], nil, func(state Answers) bool {
			i := slices.IndexFunc(lots(state), func(l data.Lot) bool { return l.Name == named(state) })
			return i < 0 || lots(state)[i].Bought == ""
		}),
	}
}

// NewBulbSteps describe a bulb that is not in the catalog.
func (e *Entry) NewBulbSteps(b *data.Catalog) []Step {
	isNew := func(state Answers) bool { return state["bulb"] == Fresh }
	presets := map[string]func(Answers) string{
		"bulb.id":     func(state Answers) string { return data.ShortName(state["bulb.name"]) },
		"bulb.source": func(Answers) string { return ownBench(b) },
		"bulb.per":    func(Answers) string { return "pair" },
	}
	only := map[string]func(Answers) bool{
		"bulb.per": func(state Answers) bool { return state["bulb.price"] != "" },
		"bulb.claims.per": func(state Answers) bool {
			return state["bulb.claims.lumens"] != "" || state["bulb.claims.watts"] != ""
		},
	}
	return e.describe(Fields(data.NewBulb), isNew, presets, only)
}

func (e *Entry) NewRigSteps(b *data.Catalog) []Step {
	isNew := func(state Answers) bool { return state["rig"] == Fresh }
	presets := map[string]func(Answers) string{
		"rig.id":     func(state Answers) string { return data.ShortName(state["rig.name"]) },
		"rig.source": func(Answers) string { return ownBench(b) },
		"rig.size": func(state Answers) string {
			if bulb, ok := b.Bulb(state["bulb"]); ok {
				return bulb.Size
			}
			return state["bulb.size"]
		},
	}
	return e.describe(Fields(data.NewRig), isNew, presets, nil)
}

func (e *Entry) describe(fields []Field, isNew func(Answers) bool, presets map[string]func(Answers) string, only map[string]func(Answers) bool) []Step {
	var steps []Step
	for _, f := range fields {
		steps = append(steps, e.step(f, presets[f.Key], func(state Answers) bool {
			return isNew(state) && (only[f.Key] == nil || only[f.Key](state))
		}))
	}
	return steps
}

// SetUpSteps ask what is known before the bulb is lit.
func (e *Entry) SetUpSteps(b *data.Catalog, today data.Date) []Step {
	var steps []Step
	for _, f := range Fields(data.BeforeTest) {
		switch f.Key {
		case "test.beam":
			steps = append(steps, e.beamStep(b, f))
		case "test.date":
			steps = append(steps, e.step(f, func(Answers) string { return string(today) }, nil))
		case "test.stock.volts":
			steps = append(steps, e.step(f, nil, func(state Answers) bool { return state["test.stock.first"] != "" }))
		default:
			steps = append(steps, e.step(f, nil, nil))
		}
	}
	return steps
}

// beamStep asks for the beam in a rig that does two.
func (e *Entry) beamStep(b *data.Catalog, f Field) Step {
	step := e.step(f, nil, func(state Answers) bool {
		return (&Entry{Answers: state}).RigBeam(b) == data.BeamBoth
	})
	asked := step.Ask
	step.Ask = func(state Answers) (ask.Question, bool) {
		q, wanted := asked(state)
		q.Options = slices.DeleteFunc(q.Options, func(o ask.Option) bool { return o.Value == data.BeamFog })
		return q, wanted
	}
	return step
}

// mostReadingSteps bounds the questions for readings; each takes several.
const mostReadingSteps = 30

// ReadingSteps ask for readings until one is answered with "don't know".
func (e *Entry) ReadingSteps() []Step {
	var steps []Step
	given := len(e.Listed("readings"))
	for i := given; i < given+mostReadingSteps && !e.done() && !e.allRead; i++ {
		steps = append(steps, Step{
			Ask: func(state Answers) (ask.Question, bool) {
				q := ask.Question{Kind: ask.Text, Label: "Readings, minute=lux (e.g. 0min=1001 30min=832)", Flag: "--reading", AllowUnknown: true, Validate: readingsAfter(state, i),
					Help: "Minutes since switch-on, at the hot spot; the first within seconds. Several in one answer, or one at a time. - ends the list."}
				if i > 0 {
					q.Label = "More readings (- when done)"
				}
				before, answered := state[Numbered("readings", i-1)]
				return q, i == given || answered && before != ""
			},
			Keep: func(state Answers, a ask.Answer) (Answers, error) {
				if a.State == ask.Answered {
					if err := readingsAfter(state, i)(a.Value); err != nil {
						return state, err
					}
				}
				return e.keep(Numbered("readings", i), nil, nil)(state, a)
			},
		})
	}
	return steps
}

// done says whether the list of readings was ended.
func (e *Entry) done() bool {
	for i := 0; e.has(Numbered("readings", i)); i++ {
		if e.Answers[Numbered("readings", i)] == "" {
			return true
		}
	}
	return false
}

// readingsAfter checks that readings follow those before them.
func readingsAfter(state Answers, i int) func(string) error {
	return func(text string) error {
		so := &Entry{Answers: maps.Clone(state)}
		so.Answers[Numbered("readings", i)] = text
		_, err := so.readings()
		return err
	}
}

// AfterSteps ask what is known once the bulb is hot.
func (e *Entry) AfterSteps() []Step {
	var steps []Step
	for _, f := range Fields(data.AfterTest) {
		steps = append(steps, e.step(f, nil, func(state Answers) bool {
			switch f.Key {
			case "test.stock.last":
				return state["test.stock.first"] != ""
			case "test.surface":
				return state["test.body"] != ""
			case "test.seating_spread":
				return state["test.seatings"] != "" && state["test.seatings"] != "0" && state["test.seatings"] != "1"
			}
			return true
		}))
	}
	return steps
}

// PatternSteps ask for the beam: how it was judged, then what goes with that.
func (e *Entry) PatternSteps() []Step {
	method := func(state Answers) string { return state["test.pattern.method"] }
	steps := []Step{e.step(Fields(data.OfPattern)[0], nil, nil)}
	steps = append(steps, e.steps(Fields(data.OfPattern)[1:3], func(state Answers) bool { return method(state) != "" })...)
	steps = append(steps, e.steps(Fields(data.OfPattern)[3:], func(state Answers) bool { return method(state) == "grid" || method(state) == "photo" })...)
	for _, f := range Fields(data.OfMarks) {
		steps = append(steps, e.step(f, nil, func(state Answers) bool {
			// A measured figure and a mark of the same part may not stand together.
			measured := state["test.pattern.stray_vs_stock"] != "" || state["test.pattern.over_limit"] != ""
			return method(state) == "grade" && !(measured && f.Key == "test.pattern.marks.stray")
		}))
	}
	return append(steps, e.steps(Fields(data.OfParts), func(state Answers) bool { return method(state) == "grid" || method(state) == "photo" })...)
}

func (e *Entry) NoteStep() Step {
	return e.choice(Numbered("notes", 0), func(Answers) (ask.Question, bool) {
		return ask.Question{Kind: ask.Text, Label: "A note, if any", Flag: "--note", AllowUnknown: true, Help: "Anything the next reader should know."}, true
	})
}

// Walk asks steps and takes the answers over.
func (e *Entry) Walk(c *cli.Context, prompter ask.Prompter, steps []Step) error {
	state, err := ask.Walk(c.Context, prompter, maps.Clone(e.Answers), steps)
	e.Answers = state
	return err
}

// Given is the answer of an entry that is taken up again.
func Given(key string) func(map[string]string) (ask.Answer, bool) {
	return func(state map[string]string) (ask.Answer, bool) {
		value, ok := state[key]
		if value == "" {
			return ask.Answer{State: ask.Unknown}, ok
		}
		return ask.Answer{Value: value}, ok
	}
}
