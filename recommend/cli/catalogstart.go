package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/store"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/need"
)

func (env *Env) catalogStartCommand() *cli.Command {
	return &cli.Command{
		Name: "start", Usage: "lays out a catalog of your own, with commented examples; nothing is overwritten",
		ArgsUsage: "[FOLDER]",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "name", Usage: "`NAME` printed with every answer from it (not said: the folder's)"},
		},
		Action: env.catalogStart,
	}
}

func (env *Env) catalogStart(c *cli.Context) error {
	folder := c.Args().First()
	switch {
	case c.Args().Len() > 1:
		return usage("start wants one folder", "stillbright catalog start my-bench")
	case folder == "":
		if folder, _ = env.catalogFolder(""); folder == "" {
			return usage("there is no home folder to put the catalog in", "stillbright catalog start FOLDER")
		}
	}
	name := c.String("name")
	if name == "" {
		name = filepath.Base(folder)
	}
	files, err := store.Start(folder, name, known.FileSchemas())
	if err != nil {
		return err
	}
	var text strings.Builder
	if len(files) == 0 {
		fmt.Fprintf(&text, "%s is a catalog already; nothing was missing.\n", folder)
	} else {
		fmt.Fprintf(&text, "Catalog laid out in %s:\n", folder)
		schemas := 0
		for _, file := range files {
			if filepath.Base(filepath.Dir(filepath.FromSlash(file))) == store.SchemaDir {
				schemas++
				continue
			}
			if inside, err := filepath.Rel(folder, filepath.FromSlash(file)); err == nil {
				file = filepath.ToSlash(inside)
			}
			fmt.Fprintf(&text, "  %s\n", file)
		}
		if schemas > 0 {
			fmt.Fprintf(&text, "  %s (%s for editors)\n", store.SchemaDir, countOf(schemas, "schema", "schemas"))
		}
	}
	where := ""
	if usual, _ := env.catalogFolder(""); folder != usual {
		where = catalogWord(folder)
	}
	fmt.Fprintf(&text, "Copy an example to a name that ends in .yaml, or record a test, or bring a\nspreadsheet, or keep a car:\n  stillbright bench add%s\n  stillbright catalog import FILE --dry-run%s\n  stillbright car add my-car%s\n  stillbright catalog check%s\n", where, where, where, where)
	return env.print(text.String())
}

func (env *Env) catalogCheckCommand() *cli.Command {
	return &cli.Command{
		Name: "check", Usage: "every fault and every implausible figure of the records, with file, line and reason",
		ArgsUsage: " ",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "fix", Usage: "change what is safe to change; shows the difference first and asks"},
			&cli.BoolFlag{Name: "yes", Usage: "with --fix: do not ask"},
			&cli.BoolFlag{Name: "full", Usage: "list every place of a remark that many share"},
			jsonFlag(), catalogFlag(), noInputFlag(), plainFlag(),
		},
		Action: env.catalogCheck,
	}
}

// storeKnowledge is what a folder is read against.
func storeKnowledge() store.Knowledge {
	return store.Knowledge{Sizes: known.Sizes(), Places: known.Places(), Rules: known.Rules(), Words: known.Words()}
}

func (env *Env) catalogCheck(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	folder, err := env.ownFolder(c.String("catalog"))
	if err != nil {
		return err
	}
	if c.Bool("fix") {
		if err := env.fix(c, folder); err != nil {
			return err
		}
	}
	knowledge := storeKnowledge()
	read, faults := store.Load(os.DirFS(folder), folder, knowledge)
	if len(faults.Wrong()) == 0 {
		faults = append(faults, read.Locate(read.Catalog.Implausible(knowledge.Sizes, read.Check, env.today()))...)
		faults.Sort()
	}
	if c.Bool("json") {
		err = env.printJSON(answer.CheckDocument(folder, faults))
	} else {
		err = env.write(answer.Check(folder, read.Catalog, faults, c.Bool("full")))
	}
	if err == nil && len(faults.Wrong()) > 0 {
		return exitError(wrong.ExitBadData)
	}
	return err
}

// ownFolder is the user's own catalog; the demo that ships inside has none.
func (env *Env) ownFolder(flag string) (string, error) {
	folder, named := env.catalogFolder(flag)
	if info, err := os.Stat(folder); folder == "" || err != nil || !info.IsDir() {
		if named {
			return "", usage(fmt.Sprintf("%s: there is no such catalog folder", folder), "make one with: stillbright catalog start "+need.ShellWord(folder))
		}
		hint := "make one with: stillbright catalog start"
		if folder == "" { // no home folder to put it in
			hint += " my-bench; then add --catalog my-bench"
		}
		return "", usage("there is no catalog of your own yet; the demo cannot be changed", hint)
	}
	return folder, nil
}

// writer opens the user's own catalog for writing.
func (env *Env) writer(flag string) (*store.Writer, error) {
	folder, err := env.ownFolder(flag)
	if err != nil {
		return nil, err
	}
	now := time.Now
	if env.Now != nil {
		now = env.Now
	}
	return store.Open(folder, store.Options{Known: storeKnowledge(), Now: now, Stop: env.stop})
}

// fix shows what would change, asks, and changes it.
func (env *Env) fix(c *cli.Context, folder string) error {
	w, err := env.writer(folder)
	if err != nil {
		return err
	}
	knowledge := storeKnowledge()
	edit := func(catalog *data.Catalog) error {
		catalog.Fix(knowledge.Sizes, knowledge.Places)
		return nil
	}
	planned, err := w.Plan(edit)
	if err != nil {
		return err
	}
	if len(planned) == 0 {
		fmt.Fprintln(env.Err, "Nothing can be fixed without you deciding.")
		return nil
	}
	for _, file := range planned {
		fmt.Fprint(env.Err, answer.Difference(file.File, file.Before, file.After))
	}
	if !c.Bool("yes") {
		agreed, err := env.agree(c, fmt.Sprintf("Change %d files", len(planned)), "--yes")
		if err != nil {
			return err
		}
		if !agreed {
			return nil
		}
	}
	_, err = w.Change(edit)
	env.wrote = err == nil
	return err
}

// agree asks for a yes; without a terminal the flag that stands for it is
// named.
func (env *Env) agree(c *cli.Context, label, flag string) (bool, error) {
	prompter, err := env.prompter(c)
	if errors.Is(err, ask.ErrNotInteractive) {
		return false, usage("a yes is needed: "+flag+" ("+err.Error()+")", "")
	}
	if err != nil {
		return false, err
	}
	a, err := prompter.Confirm(c.Context, ask.Question{Label: label, Flag: flag})
	return a.Value == ask.Yes, err
}
