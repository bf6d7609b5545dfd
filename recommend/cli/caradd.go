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
	"stillbright/data/known"
	"stillbright/data/store"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
)

// carField is one question about a car or one of its lamps. The key is that of
// the record, whose tags say what is legal; "don't know" is always allowed but
// for the size and the beam.
type carField struct {
	key, label, help string
	needed           bool
	options          []string
}

var carFields = []carField{
	{key: "name", label: "What you call the car", needed: true, help: "Any name; it is shown in lists."},
	{key: "where", label: "Place whose rules apply (GB, US-VA)", help: "Country or region code where it is registered."},
	{key: "climate", label: "Climate where it is driven", options: []string{"hot", "mild", "cold"}, help: "Hot: summers above 35 C; cold: winters below -15 C."},
	{key: "volts", label: "Volts at the plug (13.4V)", help: "Lamp plug off, engine running, lights on: a meter between the two pins. A 24 V system reads about 28."},
	{key: "canbus", label: "Does it warn when a bulb is out", options: []string{"true", "false"}, help: "Unplug one bulb with the lights on and look at the dash."},
}

var lampFields = []carField{
	{key: "size", label: "Bulb size on the old bulb (H11)", needed: true, help: "It is printed on the base of the old bulb, in the handbook, and on many US lenses."},
	{key: "beam", label: "What this lamp does", needed: true, options: []string{"low", "high", "fog", "both"}, help: "both: one bulb does low and high."},
	{key: "housing", label: "Kind of lamp", options: []string{"projector", "reflector"}, help: "Look in from the front, lamp off: a glass ball is a projector, a mirrored bowl a reflector."},
	{key: "rear_clearance", label: "Flange to the closed cap (55mm)", help: "Lamp off and cold: depth of the closed cap from its rim, plus the depth from the lamp's rim down to the bulb flange."},
	{key: "rear_open", label: "Cap off: flange to the next part (90mm)", help: "Measure straight back from the bulb flange to the battery, wing or pipe."},
	{key: "cap", label: "What closes the lamp behind the bulb", options: []string{"hard", "boot", "vented", "none"}, help: "A hard cap, a rubber boot, a cap with vents, or nothing but the bulb's own seal."},
	{key: "front_clearance", label: "Flange to the shield or lens (48mm)", help: "Old bulb out: push a soft straw gently through the hole to the nearest part and mark it at the flange."},
	{key: "retention", label: "What holds the bulb", options: []string{"wire_clip", "twist", "spring", "carrier"}, help: "Cap off: a wire clip, a quarter turn, a spring, or a carrier that comes out with the bulb."},
	{key: "polarity", label: "How the plug is wired", options: []string{"normal", "reversed", "ground_switched", "ac"}, help: "Lights on low, meter black to battery minus: common pin 0 V and low pin 12 V is normal; common pin 12 V is ground-switched. Alternating current is found on some motorcycles."},
	{key: "feed", label: "How daytime lights feed this lamp", options: []string{"steady", "pulsed", "reduced"}, help: "Film the lit lamp at 240 pictures a second: banding means pulses. About 6 V means a reduced feed."},
	{key: "height", label: "Lamp centre above the ground (650mm)", help: "Level ground, tape measure to the middle of the bulb."},
	{key: "dip", label: "Dip on the plate of car or lamp (1.2%)", help: "A small plate or moulding near the lamp, often with a lamp symbol and a percentage."},
	{key: "marking", label: "Marking on the lens (VOL, VOR, HCR)", help: "Read the letters on the lens; stillbright size LETTERS explains them."},
}

func (env *Env) carAddCommand() *cli.Command {
	flags := []cli.Flag{}
	for _, f := range carFields {
		usage := strings.ToLower(f.label[:1]) + f.label[1:]
		if f.options != nil {
			usage += ": " + strings.Join(f.options, ", ")
		}
		if f.key == "volts" {
			usage += " (bare: V)"
		}
		flags = append(flags, &cli.StringFlag{Name: f.key, Usage: usage, Category: "the car"})
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
	entry := carEntry{id: c.Args().First(), answers: map[string]string{}}
	for _, f := range carFields {
		if value := c.String(f.key); value != "" {
			entry.answers[f.key] = value
		}
	}
	for i, lamp := range c.StringSlice("lamp") {
		if err := entry.lampFlag(i, lamp); err != nil {
			return err
		}
	}
	if entry.lamps() == 0 {
		if err := env.askCar(c, w.Folder(), &entry); err != nil {
			return err
		}
	}
	car, err := entry.record()
	if err != nil {
		return err
	}
	saved, err := w.SaveCar(car)
	if faults := (data.Faults{}); errors.As(err, &faults) && len(faults) > 0 && strings.HasSuffix(faults[0].File, car.ID+".yaml") {
		return usage(faults[0].Path+": "+faults[0].Message, faults[0].Hint) // what was typed, not what is in a file
	}
	if err != nil {
		return err
	}
	if entry.draft != nil {
		if err := entry.draft.Finish(); err != nil {
			return err
		}
	}
	return env.print(fmt.Sprintf("%s written.\nstillbright pick --car %s\n", saved.File, car.ID))
}

// carEntry is a car as far as it was answered: texts by key, lamp0.size for the
// first lamp's size. An empty text is "don't know".
type carEntry struct {
	id      string
	answers map[string]string
	draft   *store.Draft
}

func lampKey(i int, key string) string { return fmt.Sprintf("lamp%d.%s", i, key) }

// lamps counts the lamps whose size is known.
func (e *carEntry) lamps() int {
	n := 0
	for e.answers[lampKey(n, "size")] != "" {
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
	fmt.Fprintf(&text, "format: 1\nid: %s\nsource: %s\n", quoted(e.id), quoted("measured by the owner"))
	for _, f := range carFields {
		if value := e.answers[f.key]; value != "" {
			fmt.Fprintf(&text, "%s: %s\n", f.key, quoted(value))
		}
	}
	if e.answers["name"] == "" {
		fmt.Fprintf(&text, "name: %s\n", quoted(e.id))
	}
	text.WriteString("lamps:\n")
	for i := range e.lamps() {
		prefix := lampKey(i, "")
		mark := "  - "
		for _, key := range slices.Sorted(maps.Keys(e.answers)) {
			if name, ok := strings.CutPrefix(key, prefix); ok && e.answers[key] != "" {
				fmt.Fprintf(&text, "%s%s: %s\n", mark, name, quoted(e.answers[key]))
				mark = "    "
			}
		}
	}
	return text.String()
}

// quoted writes typed text as a YAML scalar that can be nothing else: true and
// false stay words of their own, everything else stands in single quotes.
func quoted(text string) string {
	if text == "true" || text == "false" {
		return text
	}
	return "'" + strings.ReplaceAll(ask.Clean(text), "'", "''") + "'"
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
		fmt.Fprintf(env.Err, "Going on with the entry of %s that was interrupted after %d answers.\n", e.id, n)
	}
	if err := e.walk(c, prompter, carFields, func(key string) string { return key }); err != nil {
		return errors.Join(err, e.draft.Close())
	}
	for i := 0; ; i++ {
		if i > 0 && i >= e.lamps() {
			a, err := prompter.Confirm(c.Context, ask.Question{Label: "Another lamp of this car", Help: "Low beam, high beam and fog lamp are lamps of their own.", Default: ask.No})
			if err != nil {
				return errors.Join(err, e.draft.Close())
			}
			if a.Value != ask.Yes {
				return nil
			}
		}
		if err := e.walk(c, prompter, lampFields, func(key string) string { return lampKey(i, key) }); err != nil {
			return errors.Join(err, e.draft.Close())
		}
	}
}

// walk asks the fields that are not answered yet.
func (e *carEntry) walk(c *cli.Context, prompter ask.Prompter, fields []carField, name func(string) string) error {
	var steps []ask.Step[map[string]string]
	for _, f := range fields {
		key := name(f.key)
		if _, done := e.answers[key]; done {
			continue
		}
		steps = append(steps, ask.Step[map[string]string]{
			Ask: func(map[string]string) (ask.Question, bool) { return f.question(), true },
			Keep: func(state map[string]string, a ask.Answer) (map[string]string, error) {
				if err := f.check(a.Value); err != nil {
					return state, err
				}
				if err := e.draft.Append(key, a.Value); err != nil {
					return state, err
				}
				next := maps.Clone(state)
				next[key] = a.Value
				return next, nil
			},
		})
	}
	state, err := ask.Walk(c.Context, prompter, maps.Clone(e.answers), steps)
	e.answers = state
	return err
}

func (f carField) question() ask.Question {
	q := ask.Question{Label: f.label, Help: f.help, AllowUnknown: !f.needed, Kind: ask.Text}
	if f.options != nil {
		q.Kind, q.Search = ask.List, true
		for _, option := range f.options {
			q.Options = append(q.Options, ask.Option{Value: option, Label: strings.ReplaceAll(option, "_", " ")})
		}
		return q
	}
	q.Validate = f.check
	return q
}

// check reads one answer by the rules of the record.
func (f carField) check(text string) error {
	switch {
	case text == "" && f.needed:
		return errors.New("an answer is needed here")
	case text == "":
		return nil
	case f.key == "size":
		if _, near, ok := data.FindSize(known.Sizes(), text); !ok {
			return fmt.Errorf("size %q is not known; near: %s", text, strings.Join(near, " "))
		}
		return nil
	case f.key == "where":
		if _, near, ok := data.FindPlace(known.Places(), text); !ok {
			return fmt.Errorf("%q is not a place that is known; near: %s", text, strings.Join(near, ", "))
		}
		return nil
	}
	var record any = &data.Lamp{}
	if slices.ContainsFunc(carFields, func(g carField) bool { return g.key == f.key }) {
		record = &data.Car{}
	}
	_, faults := store.Decode("answer", []byte(f.key+": "+quoted(text)+"\n"), record)
	for _, fault := range faults {
		if fault.Path == f.key {
			return errors.New(strings.TrimSpace(fault.Message + " " + fault.Hint))
		}
	}
	return nil
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
	sheet := recommend.CarSheetOf(car, &b.catalog)
	if c.Bool("json") {
		return env.printJSON(sheet)
	}
	return env.print(answer.Car(sheet, env.width()))
}
