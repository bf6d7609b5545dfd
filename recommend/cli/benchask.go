package cli

import (
	"maps"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend/ask"
)

// benchAnswers is the state of the questions; steps change their own copy.
type benchAnswers = map[string]string

type benchStep = ask.Step[benchAnswers]

// keep is the half of a step that takes an answer: on the disk first.
func (e *benchEntry) keep(key string, check func(string) error, normal func(string) string) func(benchAnswers, ask.Answer) (benchAnswers, error) {
	return func(state benchAnswers, a ask.Answer) (benchAnswers, error) {
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
func (e *benchEntry) step(f recordField, preset func(benchAnswers) string, when func(benchAnswers) bool) benchStep {
	answered := e.has(f.Key)
	return benchStep{
		Ask: func(state benchAnswers) (ask.Question, bool) {
			q := f.question("--" + f.Flag)
			if preset != nil {
				q.Default = preset(state)
			}
			return q, when == nil || when(state)
		},
		Given: givenIf(answered, f.Key),
		Keep:  e.keep(f.Key, f.check, f.normal),
	}
}

// givenIf is the answer of an entry that is taken up again, or of a flag.
func givenIf(answered bool, key string) func(benchAnswers) (ask.Answer, bool) {
	return func(state benchAnswers) (ask.Answer, bool) {
		answer, ok := given(key)(state)
		return answer, ok && answered
	}
}

// steps asks fields in their order, all under one condition.
func (e *benchEntry) steps(fields []recordField, when func(benchAnswers) bool) []benchStep {
	var steps []benchStep
	for _, f := range fields {
		steps = append(steps, e.step(f, nil, when))
	}
	return steps
}

// choice asks which of the records there are, or a new one.
func (e *benchEntry) choice(key string, question func(benchAnswers) (ask.Question, bool)) benchStep {
	answered := e.has(key)
	return benchStep{
		Ask: func(state benchAnswers) (ask.Question, bool) {
			return question(state)
		},
		Given: givenIf(answered, key),
		Keep:  e.keep(key, nil, nil),
	}
}

func (e *benchEntry) bulbStep(b *bench) benchStep {
	return e.choice("bulb", func(benchAnswers) (ask.Question, bool) {
		q := ask.Question{Label: "Which bulb", Flag: "--bulb", Search: true, Help: "The bulbs of your catalog. A new one is described by a few questions."}
		q.Options = []ask.Option{{Value: fresh, Label: "a new bulb", Other: true}}
		for _, bulb := range b.catalog.Bulbs {
			q.Options = append(q.Options, ask.Option{Value: bulb.ID, Label: bulb.Name, Note: bulb.ID + ", " + bulb.Size})
		}
		return q, true
	})
}

func (e *benchEntry) rigStep(b *bench) benchStep {
	return e.choice("rig", func(benchAnswers) (ask.Question, bool) {
		q := ask.Question{Label: "Which rig", Flag: "--rig", Search: true, Help: "The lamp on the bench. A new one is described by a few questions."}
		for _, rig := range b.catalog.Rigs {
			q.Options = append(q.Options, ask.Option{Value: rig.ID, Label: rig.Name, Note: rig.ID + ", " + rig.Size + " " + rig.Housing})
		}
		q.Options = append(q.Options, ask.Option{Value: fresh, Label: "a new rig", Other: true})
		return q, true
	})
}

// lotSteps ask for the lot: one there is, or another; and for its day where
// nobody knows it yet.
func (e *benchEntry) lotSteps(b *bench) []benchStep {
	lots := func(state benchAnswers) []data.Lot {
		bulb, _ := b.catalog.Bulb(state["bulb"])
		return bulb.Lots
	}
	named := func(state benchAnswers) string {
		if state["lot.lot"] != "" {
			return state["lot.lot"]
		}
		return state["lot"]
	}
	return []benchStep{
		e.choice("lot", func(state benchAnswers) (ask.Question, bool) {
			q := ask.Question{Label: "Which lot", Flag: "--lot", Search: true, Help: askedFields(data.OfLot)[0].How}
			for _, lot := range lots(state) {
				q.Options = append(q.Options, ask.Option{Value: lot.Name, Label: lot.Name, Note: strings.TrimSuffix("bought "+string(lot.Bought), "bought ")})
			}
			q.Options = append(q.Options, ask.Option{Value: fresh, Label: "another lot", Other: true})
			return q, len(lots(state)) > 0 && state["lot.lot"] == ""
		}),
		e.step(askedFields(data.OfLot)[0], nil, func(state benchAnswers) bool { return state["lot"] == fresh || state["lot"] == "" }),
		e.step(askedFields(data.OfLot)[1], nil, func(state benchAnswers) bool {
			i := slices.IndexFunc(lots(state), func(l data.Lot) bool { return l.Name == named(state) })
			return i < 0 || lots(state)[i].Bought == ""
		}),
	}
}

// newBulbSteps describe a bulb that is not in the catalog.
func (e *benchEntry) newBulbSteps(b *bench) []benchStep {
	isNew := func(state benchAnswers) bool { return state["bulb"] == fresh }
	presets := map[string]func(benchAnswers) string{
		"bulb.id":     func(state benchAnswers) string { return data.ShortName(state["bulb.name"]) },
		"bulb.source": func(benchAnswers) string { return ownBench(b) },
		"bulb.per":    func(benchAnswers) string { return "pair" },
	}
	only := map[string]func(benchAnswers) bool{
		"bulb.per": func(state benchAnswers) bool { return state["bulb.price"] != "" },
		"bulb.claims.per": func(state benchAnswers) bool {
			return state["bulb.claims.lumens"] != "" || state["bulb.claims.watts"] != ""
		},
	}
	return e.describe(askedFields(data.NewBulb), isNew, presets, only)
}

func (e *benchEntry) newRigSteps(b *bench) []benchStep {
	isNew := func(state benchAnswers) bool { return state["rig"] == fresh }
	presets := map[string]func(benchAnswers) string{
		"rig.id":     func(state benchAnswers) string { return data.ShortName(state["rig.name"]) },
		"rig.source": func(benchAnswers) string { return ownBench(b) },
		"rig.size": func(state benchAnswers) string {
			if bulb, ok := b.catalog.Bulb(state["bulb"]); ok {
				return bulb.Size
			}
			return state["bulb.size"]
		},
	}
	return e.describe(askedFields(data.NewRig), isNew, presets, nil)
}

func (e *benchEntry) describe(fields []recordField, isNew func(benchAnswers) bool, presets map[string]func(benchAnswers) string, only map[string]func(benchAnswers) bool) []benchStep {
	var steps []benchStep
	for _, f := range fields {
		steps = append(steps, e.step(f, presets[f.Key], func(state benchAnswers) bool {
			return isNew(state) && (only[f.Key] == nil || only[f.Key](state))
		}))
	}
	return steps
}

// setUpSteps ask what is known before the bulb is lit.
func (e *benchEntry) setUpSteps(b *bench, today data.Date) []benchStep {
	var steps []benchStep
	for _, f := range askedFields(data.BeforeTest) {
		switch f.Key {
		case "test.beam":
			steps = append(steps, e.beamStep(b, f))
		case "test.date":
			steps = append(steps, e.step(f, func(benchAnswers) string { return string(today) }, nil))
		case "test.stock.volts":
			steps = append(steps, e.step(f, nil, func(state benchAnswers) bool { return state["test.stock.first"] != "" }))
		default:
			steps = append(steps, e.step(f, nil, nil))
		}
	}
	return steps
}

// beamStep asks for the beam in a rig that does two.
func (e *benchEntry) beamStep(b *bench, f recordField) benchStep {
	step := e.step(f, nil, func(state benchAnswers) bool {
		return (&benchEntry{answers: state}).rigBeam(b) == data.BeamBoth
	})
	asked := step.Ask
	step.Ask = func(state benchAnswers) (ask.Question, bool) {
		q, wanted := asked(state)
		q.Options = slices.DeleteFunc(q.Options, func(o ask.Option) bool { return o.Value == data.BeamFog })
		return q, wanted
	}
	return step
}

// mostReadingSteps bounds the questions for readings; each takes several.
const mostReadingSteps = 30

// readingSteps ask for readings until one is answered with "don't know".
func (e *benchEntry) readingSteps() []benchStep {
	var steps []benchStep
	given := len(e.listed("readings"))
	for i := given; i < given+mostReadingSteps && !e.done() && !e.allRead; i++ {
		steps = append(steps, benchStep{
			Ask: func(state benchAnswers) (ask.Question, bool) {
				q := ask.Question{Kind: ask.Text, Label: "Readings, minute=lux (e.g. 0min=1001 30min=832)", Flag: "--reading", AllowUnknown: true, Validate: readingsAfter(state, i),
					Help: "Minutes since switch-on, at the hot spot; the first within seconds. Several in one answer, or one at a time. - ends the list."}
				if i > 0 {
					q.Label = "More readings (- when done)"
				}
				before, answered := state[numbered("readings", i-1)]
				return q, i == given || answered && before != ""
			},
			Keep: func(state benchAnswers, a ask.Answer) (benchAnswers, error) {
				if a.State == ask.Answered {
					if err := readingsAfter(state, i)(a.Value); err != nil {
						return state, err
					}
				}
				return e.keep(numbered("readings", i), nil, nil)(state, a)
			},
		})
	}
	return steps
}

// done says whether the list of readings was ended.
func (e *benchEntry) done() bool {
	for i := 0; e.has(numbered("readings", i)); i++ {
		if e.answers[numbered("readings", i)] == "" {
			return true
		}
	}
	return false
}

// readingsAfter checks that readings follow those before them.
func readingsAfter(state benchAnswers, i int) func(string) error {
	return func(text string) error {
		so := &benchEntry{answers: maps.Clone(state)}
		so.answers[numbered("readings", i)] = text
		_, err := so.readings()
		return err
	}
}

// afterSteps ask what is known once the bulb is hot.
func (e *benchEntry) afterSteps() []benchStep {
	var steps []benchStep
	for _, f := range askedFields(data.AfterTest) {
		steps = append(steps, e.step(f, nil, func(state benchAnswers) bool {
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

// patternSteps ask for the beam: how it was judged, then what goes with that.
func (e *benchEntry) patternSteps() []benchStep {
	method := func(state benchAnswers) string { return state["test.pattern.method"] }
	steps := []benchStep{e.step(askedFields(data.OfPattern)[0], nil, nil)}
	steps = append(steps, e.steps(askedFields(data.OfPattern)[1:3], func(state benchAnswers) bool { return method(state) != "" })...)
	steps = append(steps, e.steps(askedFields(data.OfPattern)[3:], func(state benchAnswers) bool { return method(state) == "grid" || method(state) == "photo" })...)
	for _, f := range askedFields(data.OfMarks) {
		steps = append(steps, e.step(f, nil, func(state benchAnswers) bool {
			// A measured figure and a mark of the same part may not stand together.
			measured := state["test.pattern.stray_vs_stock"] != "" || state["test.pattern.over_limit"] != ""
			return method(state) == "grade" && !(measured && f.Key == "test.pattern.marks.stray")
		}))
	}
	return append(steps, e.steps(askedFields(data.OfParts), func(state benchAnswers) bool { return method(state) == "grid" || method(state) == "photo" })...)
}

func (e *benchEntry) noteStep() benchStep {
	return e.choice(numbered("notes", 0), func(benchAnswers) (ask.Question, bool) {
		return ask.Question{Kind: ask.Text, Label: "A note, if any", Flag: "--note", AllowUnknown: true, Help: "Anything the next reader should know."}, true
	})
}

// walk asks steps and takes the answers over.
func (e *benchEntry) walk(c *cli.Context, prompter ask.Prompter, steps []benchStep) error {
	state, err := ask.Walk(c.Context, prompter, maps.Clone(e.answers), steps)
	e.answers = state
	return err
}
