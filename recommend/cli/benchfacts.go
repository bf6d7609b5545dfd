package cli

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"stillbright/data/store"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

// saveFacts writes facts about a bulb on record, without a test, and prints its sheet.
func (env *Env) saveFacts(c *cli.Context, w *store.Writer, e *entry.Entry, facts []entry.Fact) error {
	if err := env.agreeToFacts(c, facts); err != nil {
		return err
	}
	edit := e.EditBulb()
	for _, fault := range env.unlikely(w, e, edit) {
		fmt.Fprintln(env.Err, plaintext.Clean("look again: "+fault.Path+": "+fault.Message))
	}
	saved, err := w.Change(edit)
	env.wrote = err == nil
	if err != nil {
		return err
	}
	for _, s := range saved {
		fmt.Fprintln(env.Err, plaintext.Clean("Written: "+s.File))
	}
	b, err := env.open(w.Folder())
	if err != nil {
		return err
	}
	bulb, err := b.bulb(e.Id("bulb"))
	if err != nil {
		return err
	}
	sheet := sheets.Show(&b.known, &b.catalog, bulb, 0)
	if c.Bool("json") {
		return env.printJSON(sheet)
	}
	return env.write(answer.Show(&sheet, false))
}

// agreeToFacts shows what would change of a bulb on record. What is there already is
// replaced only by a yes.
func (env *Env) agreeToFacts(c *cli.Context, facts []entry.Fact) error {
	for _, f := range facts {
		before := f.Before
		if before == "" {
			before = "not on record"
		}
		fmt.Fprintln(env.Err, plaintext.Clean(fmt.Sprintf("%s: %s -> %s", f.Name, before, f.After)))
	}
	replaces := slices.ContainsFunc(facts, func(f entry.Fact) bool { return f.Before != "" })
	if !replaces || c.Bool("yes") {
		return nil
	}
	agreed, err := env.agree(c, "Replace what is on record", "--yes")
	if err != nil {
		return err
	}
	if !agreed {
		return fmt.Errorf("%w: not saved", ask.ErrCancelled)
	}
	return nil
}
