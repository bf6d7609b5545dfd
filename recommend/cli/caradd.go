package cli

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/store"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/sheets"
)

func (env *Env) carAddCommand() *cli.Command {
	flags := []cli.Flag{}
	for _, f := range entry.Fields(data.OfCar) {
		flags = append(flags, f.CLIFlag())
	}
	return &cli.Command{
		Name: "add", Usage: "adds a car of yours by questions that say how to measure, or by flags",
		ArgsUsage: "ID",
		Flags: append(flags,
			&cli.StringSliceFlag{Name: "lamp", Usage: "one lamp, `KEYS` as in help format: size=H11,beam=low,housing=projector,rear_clearance=55mm; once for each lamp", Category: "the car"},
			plainFlag(), noInputFlag(), catalogFlag(),
		),
		Action: env.carAdd,
	}
}

func (env *Env) carAdd(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("car add wants a short name for the car", "stillbright car add my-car")
	}
	w, err := env.writer(c.String("catalog"))
	if err != nil {
		return err
	}
	kept := carEntry{id: c.Args().First(), answers: map[string]string{}}
	for _, f := range entry.Fields(data.OfCar) {
		if value := c.String(f.Flag); value != "" {
			kept.answers[f.Path()] = entry.Truth(value)
		}
	}
	for i, lamp := range c.StringSlice("lamp") {
		if err := kept.lampFlag(i, lamp); err != nil {
			return err
		}
	}
	if kept.lamps() == 0 {
		if err := env.askCar(c, w.Folder(), &kept); err != nil {
			return err
		}
	}
	car, err := kept.record()
	if err != nil {
		return err
	}
	saved, err := w.SaveCar(car)
	env.wrote = err == nil
	if faults := (data.Faults{}); errors.As(err, &faults) && len(faults) > 0 && strings.HasSuffix(faults[0].File, car.ID+".yaml") {
		return usage(faults[0].Path+": "+faults[0].Message, faults[0].Hint) // what was typed, not what is in a file
	}
	if err != nil {
		return err
	}
	if kept.draft != nil {
		if err := kept.draft.Finish(); err != nil {
			return err
		}
	}
	return env.print(fmt.Sprintf("%s written.\nstillbright pick --car %s%s\n", saved.File, car.ID, catalogWord(c.String("catalog"))))
}

// carEntry is a car as far as it was answered: texts by key, lamp0.size for the
// first lamp's size. An empty text is "don't know".
type carEntry struct {
	id      string
	answers map[string]string
	draft   *store.Draft
}

func lampKey(i int, key string) string { return fmt.Sprintf("lamp%d.%s", i, key) }

// mostLamps bounds the questions about lamps.
const mostLamps = 8

// moreKey is the answer to "another lamp" before lamp i.
func moreKey(i int) string { return fmt.Sprintf("more%d", i) }

// hasLamp says whether the answers go on to lamp i.
func hasLamp(answers map[string]string, i int) bool {
	for n := 1; n <= i; n++ {
		more, asked := answers[moreKey(n)]
		if asked && more != ask.Yes || !asked && answers[lampKey(n, "size")] == "" {
			return false
		}
	}
	return true
}

// lamps counts the lamps whose size is known.
func (e *carEntry) lamps() int {
	n := 0
	for n < mostLamps && hasLamp(e.answers, n) && e.answers[lampKey(n, "size")] != "" {
		n++
	}
	return n
}

// lampFlag takes one --lamp key=value,key=value.
func (e *carEntry) lampFlag(i int, text string) error {
	for _, part := range strings.Split(text, ",") {
		key, value, ok := strings.Cut(strings.TrimSpace(part), "=")
		if !ok || key == "" {
			return usage(fmt.Sprintf("--lamp %q: key=value pairs are wanted, separated by commas", text), "--lamp size=H11,beam=low,rear_clearance=55mm")
		}
		e.answers[lampKey(i, key)] = value
	}
	return nil
}

// record reads the answers by the same strict rules as a file.
func (e *carEntry) record() (data.Car, error) {
	var car data.Car
	_, faults := store.Decode("answers", []byte(e.text()), &car)
	if len(faults) > 0 {
		return car, usage(faults[0].Path+": "+faults[0].Message, faults[0].Hint)
	}
	return car, nil
}

// text writes the answers as the car's file.
func (e *carEntry) text() string {
	var text strings.Builder
	fmt.Fprintf(&text, "format: 1\nid: %s\nsource: %s\n", entry.Quoted(e.id), entry.Quoted("measured by the owner"))
	for _, f := range entry.Fields(data.OfCar) {
		if value := e.answers[f.Path()]; value != "" {
			fmt.Fprintf(&text, "%s: %s\n", f.Path(), entry.Quoted(value))
		}
	}
	if e.answers["name"] == "" {
		fmt.Fprintf(&text, "name: %s\n", entry.Quoted(e.id))
	}
	text.WriteString("lamps:\n")
	for i := range e.lamps() {
		prefix := lampKey(i, "")
		mark := "  - "
		for _, key := range slices.Sorted(maps.Keys(e.answers)) {
			if name, ok := strings.CutPrefix(key, prefix); ok && e.answers[key] != "" {
				fmt.Fprintf(&text, "%s%s: %s\n", mark, name, entry.Quoted(e.answers[key]))
				mark = "    "
			}
		}
	}
	return text.String()
}

// askCar asks for the car and its lamps. Every answer is on the disk before the
// next question, and an interrupted entry goes on where it stopped.
func (env *Env) askCar(c *cli.Context, folder string, e *carEntry) error {
	prompter, err := env.prompter(c)
	if errors.Is(err, ask.ErrNotInteractive) {
		return usage("a lamp is missing: --lamp ("+err.Error()+")", "--lamp size=H11,beam=low,housing=projector,rear_clearance=55mm")
	}
	if err != nil {
		return err
	}
	now := time.Now
	if env.Now != nil {
		now = env.Now
	}
	if e.draft, err = store.OpenDraft(folder, "car-"+e.id, now); err != nil {
		return err
	}
	for _, old := range e.draft.Entries {
		e.answers[old.Key] = old.Value
	}
	if n := len(e.draft.Entries); n > 0 {
		env.note(fmt.Sprintf("Going on with the entry of %s that was interrupted after %s.", e.id, countOf(n, "answer", "answers")))
	} else {
		env.note("First the car, then each of its lamps. Every answer is kept at once: after a stop the same command goes on. What is not known can stay so.")
	}
	state, err := ask.Walk(c.Context, prompter, maps.Clone(e.answers), e.steps())
	e.answers = state
	if err == nil {
		return nil
	}
	if errors.Is(err, ask.ErrCancelled) {
		env.kept(c, "The answers are kept.", "stillbright car add "+e.id)
	}
	return errors.Join(err, e.draft.Close())
}

// steps are the questions about the car and its lamps.
func (e *carEntry) steps() []carStepOf {
	var steps []carStepOf
	for _, f := range entry.Fields(data.OfCar) {
		steps = append(steps, e.step(f, f.Path(), "--"+f.Flag, nil))
	}
	for i := range mostLamps {
		if i > 0 {
			steps = append(steps, e.moreStep(i))
		}
		for _, f := range entry.Fields(data.OfLamp) {
			steps = append(steps, e.step(f, lampKey(i, f.Path()), "--lamp ..., "+f.Path()+"=...", func(state map[string]string) bool { return hasLamp(state, i) }))
		}
	}
	return steps
}

type carStepOf = ask.Step[map[string]string]

// step asks one field. What is in the entry already is not asked again, but a
// step back reaches it.
func (e *carEntry) step(f entry.Field, key, flag string, when func(map[string]string) bool) carStepOf {
	return carStepOf{
		Ask: func(state map[string]string) (ask.Question, bool) {
			return f.Question(flag), when == nil || when(state)
		},
		Given: entry.Given(key),
		Keep: func(state map[string]string, a ask.Answer) (map[string]string, error) {
			if err := f.Check(a.Value); err != nil {
				return state, err
			}
			return e.keep(state, key, f.Normal(a.Value))
		},
	}
}

// keep puts an answer on the disk first.
func (e *carEntry) keep(state map[string]string, key, value string) (map[string]string, error) {
	if err := e.draft.Append(key, value); err != nil {
		return state, err
	}
	next := maps.Clone(state)
	next[key] = value
	return next, nil
}

// moreStep asks whether there is a lamp i.
func (e *carEntry) moreStep(i int) carStepOf {
	return carStepOf{
		Ask: func(state map[string]string) (ask.Question, bool) {
			return ask.Question{Kind: ask.YesNo, Label: "Another lamp of this car", Flag: "--lamp", Default: ask.No,
				Help: "Low beam, high beam and fog lamp are lamps of their own."}, hasLamp(state, i-1)
		},
		Given: func(state map[string]string) (ask.Answer, bool) {
			if _, asked := state[moreKey(i)]; !asked && state[lampKey(i, "size")] != "" {
				return ask.Answer{Value: ask.Yes}, true
			}
			return entry.Given(moreKey(i))(state)
		},
		Keep: func(state map[string]string, a ask.Answer) (map[string]string, error) {
			return e.keep(state, moreKey(i), a.Value)
		},
	}
}

func (env *Env) carShowCommand() *cli.Command {
	return &cli.Command{
		Name: "show", Usage: "what is known of a car, and what is still to be measured",
		ArgsUsage: "CAR",
		Flags:     []cli.Flag{jsonFlag(), catalogFlag()},
		Action:    env.carShow,
	}
}

func (env *Env) carShow(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("car show wants one car", "stillbright car list names them")
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	car, err := b.car(c.Args().First())
	if err != nil {
		return err
	}
	sheet := sheets.CarSheetOf(car, &b.catalog)
	if c.Bool("json") {
		return env.printJSON(sheet)
	}
	return env.write(answer.Car(sheet))
}
