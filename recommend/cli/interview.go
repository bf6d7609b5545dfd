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
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/ask"
)

// interview asks for what the flags leave open, as far as it can still change
// the answer, and returns the completed need. Without a terminal it names what
// is missing, with its flag. The second result is the command line that gives
// the same answer.
func (env *Env) interview(c *cli.Context, b *bench, need recommend.Need) (recommend.Need, string, error) {
	prompter, err := env.prompter(c)
	if err != nil {
		if errors.Is(err, ask.ErrNotInteractive) {
			return need, "", usage("the bulb size is missing: --size ("+err.Error()+")", "it is printed on the base of the old bulb: stillbright pick --size H11; or name a car of stillbright car list: --car CAR")
		}
		return need, "", err
	}
	env.note("A few questions about the lamp and the drive. Where you do not know, say so: the answer then counts the worst and says what to measure.")
	state := interviewState{need: need}
	state, err = ask.Walk(c.Context, prompter, state, env.interviewSteps(c, b))
	line := recommend.CommandLine(state.need, state.car)
	line += catalogWord(c.String("catalog"))
	switch {
	case errors.Is(err, ask.ErrCancelled) && state.need.Size != "":
		fmt.Fprintln(env.Err, "What was answered so far: "+ask.Clean(line))
		return state.need, line, err
	case err != nil:
		return state.need, line, err
	case state.need.Size == "":
		return state.need, line, usage("without the bulb size nothing can be said",
			"take the old bulb out when it is cold and read its base, then: stillbright pick; stillbright size lists the sizes")
	}
	fmt.Fprintln(env.Err, sameByFlags+ask.Clean(line))
	return state.need, line, nil
}

const sameByFlags = "The same by flags: "

// shellWord quotes a word for a shell where it needs that.
func shellWord(word string) string {
	plain := func(r rune) bool {
		return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_./=,:+@%", r)
	}
	if word != "" && strings.IndexFunc(word, func(r rune) bool { return !plain(r) }) < 0 {
		return word
	}
	return "'" + strings.ReplaceAll(word, "'", `'\''`) + "'"
}

// catalogWord is the flag of a catalog folder for a command that is to be copied,
// with a blank before it; empty where no folder was named.
func catalogWord(folder string) string {
	if folder == "" {
		return ""
	}
	return " --catalog " + shellWord(folder)
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
func (env *Env) interviewSteps(c *cli.Context, b *bench) []interviewStep {
	matters := func(s interviewState, slot recommend.Slot) bool {
		return s.need.Size != "" && recommend.Worth(&b.known, &b.catalog, s.need, slot) > 0
	}
	return []interviewStep{
		carStep(b, needOfLamp(c, b)),
		lampStep(needOfLamp(c, b)),
		sizeStep(b),
		beamStep(b),
		housingStep(),
		drivingStep(b, false),
		drivingStep(b, true),
		quantityStep(recommend.SlotTrip, "Length of the usual drive", "--trip", "27min, 1h", "min", 1, 24*60,
			"Count from switch-on to arrival, one way. An LED loses light as it warms up.", matters,
			func(n *recommend.Need, v float64) { n.TripMin = v }),
		quantityStep(recommend.SlotRear, "Room behind the bulb", "--rear-clearance", "55mm, 2.25in", "mm", 0, 500,
			"Take the cap off. Measure from the bulb's flange to the rim, then add the depth of the cap. A strip of paper and a calliper will do.", matters,
			func(n *recommend.Need, v float64) { n.RearClearanceMM = &v }),
		yesNoStep(recommend.SlotCanbus, "Does the car warn when a bulb is out", "--canbus",
			"Look in the handbook for \"bulb failure\", or unplug one bulb with the lights on and look at the dash.", matters,
			func(n *recommend.Need, yes bool) { n.Canbus = &yes }),
		wordStep(recommend.SlotClimate, "Climate where it is driven", "--climate", []string{"hot", "mild", "cold"},
			"Hot: summers above 35 C; cold: winters below -15 C.", matters,
			func(n *recommend.Need, word string) { n.Climate = recommend.Word(word) }),
		wordStep(recommend.SlotDriver, "Where may a driver box sit", "--driver", []string{"any", "internal", "inline", "external"},
			"Some bulbs have a small box on the cable that needs a safe place.", matters,
			func(n *recommend.Need, word string) { n.Driver = recommend.Word(word) }),
		budgetStep(b, matters),
		whereStep(b),
	}
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

func carStep(b *bench, need func(string, data.Lamp) (recommend.Need, error)) interviewStep {
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
			return ask.Question{Label: "Your car", Flag: "--car", Options: options, Search: true,
				Help: "These are the cars of the catalog. Any other car is described by its bulb size."}, len(b.catalog.Cars) > 0
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
			s.need, err = need(car.ID, car.Lamps[0])
			return s, err
		},
	}
}

// lampStep asks which of several lamps of a car is meant.
func lampStep(need func(string, data.Lamp) (recommend.Need, error)) interviewStep {
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
			s.need, err = need(s.car, lamp)
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

// sizeOptions lists the sizes that say what they are for.
func sizeOptions(sizes []data.Size) (options []ask.Option) {
	for _, size := range sizes {
		if len(size.Functions) > 0 && size.ReadAs == "" {
			options = append(options, ask.Option{Value: size.Category, Label: size.Category,
				Note: strings.Join(append(slices.Clone(size.Aliases), size.Beams...), " ")})
		}
	}
	return options
}

func placeOptions(places []data.Place) (options []ask.Option) {
	for _, place := range places {
		options = append(options, ask.Option{Value: place.Code, Label: place.Name, Note: strings.Join(append([]string{place.Code}, place.Aliases...), " ")})
	}
	return options
}

func sizeStep(b *bench) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			options := sizeOptions(slices.DeleteFunc(slices.Clone(b.known.Sizes), func(size data.Size) bool { return size.Discharge }))
			return ask.Question{Label: "Bulb size", Flag: "--size", Options: options, Search: true, MustMove: true, AllowUnknown: true,
				Help: "It is printed on the base of the old bulb, in the handbook, and on many US lenses (HB3, H11)."}, s.need.Size == ""
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			s.need.Size = a.Value
			return s, nil
		},
	}
}

var beamNotes = map[string]string{
	data.BeamLow: "dipped beam", data.BeamHigh: "main beam", data.BeamFog: "front fog lamp", data.BeamBoth: "one bulb does low and high",
}

func beamStep(b *bench) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			match, _, ok := data.FindSize(b.known.Sizes, s.need.Size)
			if !ok || s.need.Beam != "" {
				return ask.Question{}, false
			}
			var options []ask.Option
			for _, beam := range match.Size.Serves() {
				if beam != data.BeamDRL {
					options = append(options, ask.Option{Value: beam, Label: beam, Note: beamNotes[beam]})
				}
			}
			return ask.Question{Label: "What this lamp does", Flag: "--beam", Options: options, Search: true, AllowUnknown: true,
				Help: "low: the dipped beam; high: the main beam; fog: the front fog lamp; both: one bulb does low and high."}, len(options) > 1
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			s.need.Beam = a.Value
			return s, nil
		},
	}
}

func housingStep() interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			return ask.Question{Label: "Kind of lamp", Flag: "--housing", Search: true, AllowUnknown: true,
				Options: []ask.Option{{Value: data.Projector, Label: "projector", Note: "a round glass lens in front of the bulb"}, {Value: data.Reflector, Label: "reflector", Note: "a mirrored bowl round the bulb"}},
				Help:    "Look in from the front with the lamp off. A round glass lens of about 6 to 8 cm is a projector; a wide mirror in which you see the bulb is a reflector."}, s.need.Size != "" && s.need.Housing == ""
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			s.need.Housing = recommend.Word(a.Value)
			return s, nil
		},
	}
}

// drivingNotes say the words of --driving to somebody who has not read the help.
var drivingNotes = map[string]string{
	"city": "street lamps nearly everywhere", "suburban": "street lamps here and there", "rural": "unlit roads",
	"highway": "fast and long, mostly unlit", "mountain": "bends and slopes", "rain": "wet roads", "offroad": "tracks, no traffic",
}

// drivingStep asks for the main environment, then for a second one.
func drivingStep(b *bench, second bool) interviewStep {
	const none = "nothing else"
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			if s.need.Size == "" || second != (len(s.need.Driving) == 1) || !second && len(s.need.Driving) > 0 {
				return ask.Question{}, false
			}
			q := ask.Question{Label: "Where you drive in the dark", Flag: "--driving", Search: true, AllowUnknown: !second,
				Help: "Take what is most usual; a second one is asked for. It decides how much light, pattern and heat count: distance on an unlit road, little glare in town, rain and fog."}
			if second {
				q.Label = "What else is usual there"
				q.Options = []ask.Option{{Value: none, Label: none}}
			}
			for _, profile := range b.known.Rules.Driving {
				if !slices.Contains(s.need.Driving, profile.Name) {
					q.Options = append(q.Options, ask.Option{Value: profile.Name, Label: profile.Name, Note: drivingNotes[profile.Name]})
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

func quantityStep(slot recommend.Slot, label, flag, example, unit string, least, most float64, help string,
	matters func(interviewState, recommend.Slot) bool, set func(*recommend.Need, float64)) interviewStep {
	parse := func(text string) (float64, error) {
		value, err := quantity.ParseBare(text, unit)
		if err != nil {
			hint, message := hintOf(err)
			if hint != "" {
				message += "; " + hint
			}
			return 0, errors.New(message)
		}
		if value < least || value > most {
			return 0, fmt.Errorf("%s: must be from %s to %s", text, quantity.Format(least, unit, 6), quantity.Format(most, unit, 6))
		}
		return value, nil
	}
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			return ask.Question{Kind: ask.Text, Label: fmt.Sprintf("%s (e.g. %s)", label, example), Flag: flag, Help: help, AllowUnknown: true,
				Validate: func(text string) error { _, err := parse(text); return err }}, matters(s, slot)
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.State != ask.Answered {
				return s, nil
			}
			value, err := parse(a.Value)
			if err != nil {
				return s, err
			}
			set(&s.need, value)
			return s, nil
		},
	}
}

func yesNoStep(slot recommend.Slot, label, flag, help string, matters func(interviewState, recommend.Slot) bool, set func(*recommend.Need, bool)) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			return ask.Question{Kind: ask.YesNo, Label: label, Flag: flag, Help: help, AllowUnknown: true}, matters(s, slot)
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.State == ask.Answered {
				set(&s.need, a.Value == ask.Yes)
			}
			return s, nil
		},
	}
}

func wordStep(slot recommend.Slot, label, flag string, words []string, help string, matters func(interviewState, recommend.Slot) bool, set func(*recommend.Need, string)) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			q := ask.Question{Label: label, Flag: flag, Help: help, Search: true, AllowUnknown: true}
			for _, word := range words {
				q.Options = append(q.Options, ask.Option{Value: word, Label: word})
			}
			return q, matters(s, slot)
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.State == ask.Answered {
				set(&s.need, a.Value)
			}
			return s, nil
		},
	}
}

func budgetStep(b *bench, matters func(interviewState, recommend.Slot) bool) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			return ask.Question{Kind: ask.Text, Label: "Most you will pay for a pair (e.g. 60USD)", Flag: "--budget", AllowUnknown: true,
				Help:     "Amount and currency, such as 60USD or 45GBP; a bare amount is in the currency of the record. \"Don't know\" sets no limit.",
				Validate: func(text string) error { _, err := quantity.ParseMoney(text); return err }}, matters(s, recommend.SlotBudget)
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			if a.State != ask.Answered {
				return s, nil
			}
			money, err := quantity.ParseMoney(a.Value)
			if err != nil {
				return s, err
			}
			s.need.Budget = &recommend.Budget{Amount: money.Amount, Currency: recommend.Word(money.Currency), Per: "pair"}
			return s, nil
		},
	}
}

func whereStep(b *bench) interviewStep {
	return interviewStep{
		Ask: func(s interviewState) (ask.Question, bool) {
			options := placeOptions(b.known.Places)
			return ask.Question{Label: "Place whose law applies", Flag: "--where", Options: options, Search: true, MustMove: true, AllowUnknown: true,
				Help: "Where the car is registered. Without it the answer assumes that the LED is not allowed."}, s.need.Size != "" && s.need.Where == ""
		},
		Keep: func(s interviewState, a ask.Answer) (interviewState, error) {
			s.need.Where = recommend.Word(a.Value)
			return s, nil
		},
	}
}
