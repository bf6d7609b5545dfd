package cli

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/store"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/plaintext"
)

func (env *Env) benchAddCommand() *cli.Command {
	return &cli.Command{
		Name: "add", Usage: "records a whole test in your catalog, by questions or by flags",
		ArgsUsage: "[BULB]",
		Flags: append(benchFlags(data.OfLot, data.BeforeTest, data.AfterTest, data.OfPattern, data.OfMarks, data.OfParts, data.NewBulb, data.OfBulb, data.NewRig),
			&cli.StringSliceFlag{Name: "reading", Usage: "`MINUTE=LUX`: 0min=1001 (bare: minutes, lux); once for each, in the order of time", Category: "the test"},
			&cli.StringSliceFlag{Name: "note", Usage: "a note; once for each", Category: "the test"},
			timeFlag(),
			&cli.BoolFlag{Name: "yes", Usage: "save without asking", Category: groupOutput},
			&cli.BoolFlag{Name: "new", Usage: "start over; an unfinished entry is kept in the history", Category: groupOutput},
			jsonFlag(), plainFlag(), noInputFlag(), catalogFlag(),
		),
		Action: env.benchAdd,
	}
}

// benchFlags makes the flags of groups of fields, one for each name.
func benchFlags(parts ...data.Part) []cli.Flag {
	var flags []cli.Flag
	for _, f := range entry.Fields(parts...) {
		if n := len(flags); n > 0 && flags[n-1].Names()[0] == f.Flag {
			continue // one flag for all the marks, and one for the parts
		}
		flag := f.CLIFlag()
		switch f.Flag {
		case "marks":
			flag = &cli.StringFlag{Name: "marks", Usage: "five marks by eye, 0 to 3: cutoff=3,hot_spot=2,stray=2,dark=3,width=2", Category: "the test"}
		case "parts":
			flag = &cli.StringFlag{Name: "parts", Usage: "measured parts, 0 to 1: sharpness=0.8,hot_spot=0.9,stray=1,dark=0.9,width=0.8", Category: "the test"}
		case "bulb", "rig":
			flag = &cli.StringFlag{Name: f.Flag, Usage: "the " + f.Flag + ", by its short name; one that is not in the catalog is a new one", Category: "the test"}
		}
		flags = append(flags, flag)
	}
	return flags
}

func (env *Env) benchAdd(c *cli.Context) error {
	name, err := bulbArgument(c)
	if err != nil {
		return err
	}
	r := flagReader{c: c}
	at := r.atMinutes()
	if r.err != nil {
		return r.err
	}
	w, err := env.writer(c.String("catalog"))
	if err != nil {
		return err
	}
	b, err := env.open(w.Folder())
	if err != nil {
		return err
	}
	e := &entry.Entry{Answers: map[string]string{}}
	if err := e.FromFlags(c, &b.catalog, b.idOf(name)); err != nil {
		return err
	}
	facts, err := e.BulbFacts(&b.catalog)
	if err != nil {
		return err
	}
	if len(facts) > 0 && e.NoTest() {
		return env.saveFacts(c, w, e, facts)
	}
	if err := env.agreeToFacts(c, facts); err != nil {
		return err
	}
	e.SoleLot(&b.catalog)
	missing := e.Missing(&b.catalog)
	if len(e.Listed("readings")) == 0 && e.Answers["test.pattern.method"] == "" {
		missing = append(missing, "--reading")
	}
	asked := len(missing) > 0
	if asked {
		if err := env.askTest(c, w, b, e, name, missing); err != nil {
			return errors.Join(err, e.Close())
		}
	}
	if e.Answers["test.date"] == "" {
		e.Answers["test.date"] = string(env.today())
	}
	if err := env.confirmAndSave(c, w, b, e, at, asked && !c.Bool("yes"), true); err != nil {
		switch {
		case asked && errors.Is(err, ask.ErrCancelled):
			fmt.Fprintln(env.Err, "Not saved; the answers are kept, and stillbright bench add offers them again.")
		case asked:
			fmt.Fprintln(env.Err, "The answers are kept. Give the right one by its flag, or --new to start over: stillbright bench add")
		}
		return errors.Join(err, e.Close())
	}
	return nil
}

// bulbArgument is the bulb of the command line, by argument or by flag.
func bulbArgument(c *cli.Context) (string, error) {
	switch {
	case c.Args().Len() > 1:
		return "", usage("one bulb at a time", "quote a name with spaces")
	case c.Args().Len() == 1 && c.String("bulb") != "":
		return "", usage("the bulb is given twice", "drop --bulb or the argument")
	case c.Args().Len() == 1:
		return c.Args().First(), nil
	}
	return c.String("bulb"), nil
}

// askTest asks for everything that is not known yet. Every answer is on the disk
// before the next question.
func (env *Env) askTest(c *cli.Context, w *store.Writer, b *bench, e *entry.Entry, name string, missing []string) error {
	prompter, err := env.prompter(c)
	if errors.Is(err, ask.ErrNotInteractive) {
		message := fmt.Sprintf("missing: %s (%s)", strings.Join(missing, " "), err)
		if e.IsFresh("bulb") {
			message = fmt.Sprintf("bulb %q is not in the catalog %q; a new one has ", name, b.catalog.Name) + message
		}
		return usage(message, "stillbright bench add BULB --rig RIG --lot LOT --reading 0min=1001 --reading 30min=832; stillbright help bench add")
	}
	if err != nil {
		return err
	}
	if err := env.openEntry(c, w, b, e, name, prompter); err != nil {
		return err
	}
	fmt.Fprintln(env.Err, "Every answer is kept at once; Ctrl-C stops, and bench add goes on later.")
	return e.Walk(c, prompter, slices.Concat(
		[]entry.Step{e.BulbStep(&b.catalog)}, e.NewBulbSteps(&b.catalog),
		[]entry.Step{e.RigStep(&b.catalog)}, e.NewRigSteps(&b.catalog),
		e.LotSteps(&b.catalog), e.SetUpSteps(&b.catalog, env.today()), e.ReadingSteps(), e.AfterSteps(), e.PatternSteps(), []entry.Step{e.NoteStep()},
	))
}

// mostEntries is how many entries can be under way at one time.
const mostEntries = 9

// openEntry takes up the entry that was interrupted, if the person wants to, or
// starts one. An entry that another process holds is passed over.
func (env *Env) openEntry(c *cli.Context, w *store.Writer, b *bench, e *entry.Entry, name string, prompter ask.Prompter) error {
	var draft *store.Draft
	for i := 1; draft == nil; i++ {
		label := "add"
		if i > 1 {
			label = fmt.Sprintf("add-%d", i)
		}
		var err error
		draft, err = store.OpenDraft(w.Folder(), label, env.clock().Now)
		if err != nil && (!errors.Is(err, store.ErrLocked) || i == mostEntries) {
			return err
		}
	}
	if len(draft.Entries) > 0 {
		goOn, err := env.goOn(c, draft, prompter)
		if err != nil {
			return errors.Join(err, draft.Close())
		}
		if !goOn {
			label := draft.Name
			if err := draft.Finish(); err != nil { // into the history
				return err
			}
			if draft, err = store.OpenDraft(w.Folder(), label, env.clock().Now); err != nil {
				return err
			}
		}
	}
	e.Answers = map[string]string{}
	for _, entry := range draft.Entries {
		e.Answers[entry.Key] = entry.Value
	}
	e.Draft = draft
	return e.FromFlags(c, &b.catalog, b.idOf(name))
}

// goOn asks whether to take up an entry that was interrupted.
func (env *Env) goOn(c *cli.Context, draft *store.Draft, prompter ask.Prompter) (bool, error) {
	if c.Bool("new") {
		return false, nil
	}
	last := draft.Entries[len(draft.Entries)-1]
	fmt.Fprintf(env.Err, "An entry of %s stopped after %s.\n", last.At.Local().Format("2006-01-02 15:04"), countOf(len(draft.Entries), "answer", "answers"))
	const goOn, startOver = "go on", "start over"
	a, err := prompter.Select(c.Context, ask.Question{Label: "What now", Flag: "--new", Search: true,
		Options: []ask.Option{{Value: goOn, Label: "go on with it"}, {Value: startOver, Label: "start over", Note: "the old entry is kept in the history"}},
		Help:    "Nothing is thrown away either way."})
	return a.Value == goOn, err
}

// confirmAndSave shows the record, asks where there is somebody to ask, writes it,
// and ends the draft.
func (env *Env) confirmAndSave(c *cli.Context, w *store.Writer, b *bench, e *entry.Entry, at float64, confirm, show bool) error {
	test, err := e.Test()
	if err != nil {
		return err
	}
	edit, err := e.Edit(&b.catalog, test)
	if err != nil {
		return err
	}
	text, unlikely, err := env.preview(w, e, test, edit)
	if err != nil {
		return err
	}
	if show {
		fmt.Fprint(env.Err, plaintext.CleanLines(text))
	}
	for _, fault := range unlikely {
		fmt.Fprintln(env.Err, plaintext.Clean("look again: "+fault.Path+": "+fault.Message))
	}
	if confirm {
		agreed, err := env.agree(c, "Save this record", "--yes")
		if err != nil {
			return err
		}
		if !agreed {
			return fmt.Errorf("%w: not saved", ask.ErrCancelled)
		}
	}
	if err := env.save(c, w, e, test, edit, at); err != nil {
		return err
	}
	if e.Draft == nil {
		return nil
	}
	draft := e.Draft
	e.Draft = nil
	return draft.Finish()
}
