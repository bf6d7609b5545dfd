package cli

import (
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/store"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

// preview is what would be written: the files that are new, the test alone where
// the bulb is there already, and what in it is unlikely.
func (env *Env) preview(w *store.Writer, e *entry.Entry, test data.Test, edit func(*data.Catalog) error) (text string, unlikely data.Faults, err error) {
	planned, err := w.Plan(edit)
	if err != nil {
		return "", nil, err
	}
	var out strings.Builder
	for _, file := range planned {
		if file.Before == nil {
			fmt.Fprintf(&out, "%s (new):\n%s", file.File, indented(string(file.After)))
			continue
		}
		alone, err := store.Encode(test)
		if err != nil {
			return "", nil, err
		}
		fmt.Fprintf(&out, "%s, lot %s, one more test:\n%s", file.File, e.LotName(), indented(string(alone)))
	}
	if len(planned) == 0 {
		out.WriteString("The catalog holds this test already.\n")
	}
	return out.String(), env.unlikely(w, e, edit), nil
}

func indented(text string) string {
	return "  " + strings.ReplaceAll(strings.TrimSuffix(text, "\n"), "\n", "\n  ") + "\n"
}

// unlikely looks at the catalog as it would be, and returns what is implausible
// of this bulb and was not before.
func (env *Env) unlikely(w *store.Writer, e *entry.Entry, edit func(*data.Catalog) error) data.Faults {
	knowledge := storeKnowledge()
	warnings := func(change bool) data.Faults {
		read, _ := store.Load(os.DirFS(w.Folder()), w.Folder(), knowledge)
		if change && edit(&read.Catalog) != nil {
			return nil
		}
		read.Catalog.Validate(knowledge.Sizes, knowledge.Places)
		return read.Catalog.Implausible(knowledge.Sizes, read.Check, env.today())
	}
	before := warnings(false)
	var added data.Faults
	for _, fault := range warnings(true) {
		if !slices.Contains(before, fault) {
			added = append(added, fault)
		}
	}
	return added
}

// save writes the record and prints where, and what it says against stock.
func (env *Env) save(c *cli.Context, w *store.Writer, e *entry.Entry, test data.Test, edit func(*data.Catalog) error, at float64) error {
	saved, err := w.Change(edit)
	env.wrote = err == nil
	if err != nil {
		return err
	}
	b, err := env.open(w.Folder())
	if err != nil {
		return err
	}
	readings := make([]warmup.Reading, len(test.Readings))
	for i, r := range test.Readings {
		readings[i] = warmup.Reading{Min: r.At, Lux: r.Lux}
	}
	run, err := sheets.ReduceBench(&b.known, readings, at, nil)
	if err != nil {
		return err
	}
	bulb, err := b.bulb(e.Id("bulb"))
	if err != nil {
		return err
	}
	var files []string
	for _, s := range saved {
		files = append(files, s.File)
	}
	seen := answer.Recorded{Run: &run, Files: files, Bulb: bulb.ID, Lot: e.LotName(), Flag: catalogWord(c.String("catalog"))}
	seen.Sheet, _ = sheets.SheetOfTest(&b.known, &b.catalog, bulb, test, at)
	if c.Bool("json") {
		run.Sheet.Notes = append(run.Sheet.Notes, answer.RecordedNote(&seen))
		return env.printJSON(run.Sheet)
	}
	return env.write(answer.RecordedTest(&seen))
}
