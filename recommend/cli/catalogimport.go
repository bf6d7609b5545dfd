package cli

import (
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/data/sheet"
	"stillbright/data/store"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/sheets"
)

func (env *Env) catalogImportCommand() *cli.Command {
	return &cli.Command{
		Name: "import", Usage: "takes tests from a spreadsheet (CSV, TSV, XLSX) or an exported JSON file; what is there already is not added again",
		ArgsUsage:   "FILE",
		Description: "Rows that cannot be read are named by row and column, and the others are taken. Exit code: 0 when any row was taken or was there already, 4 when none was. What headings, units and marks are understood, and how a mapping looks: stillbright help import.",
		Flags: []cli.Flag{
			&cli.BoolFlag{Name: "update", Usage: "where a test or fact on file differs, take the row's figures; the former file is kept in .history/"},
			&cli.BoolFlag{Name: "second", Usage: "where the test on file of that day differs, the row is a second test"},
			&cli.BoolFlag{Name: "dry-run", Usage: "show what each column means and each row becomes; write nothing"},
			&cli.StringFlag{Name: "map", Usage: "`FILE` that says what the columns mean, saved before"},
			&cli.StringFlag{Name: "save-map", Usage: "write what the columns mean to `FILE`, to change and use again"},
			&cli.StringFlag{Name: "sheet", Usage: "`NAME` of the sheet in a workbook (not said: the first with content)"},
			&cli.StringSliceFlag{Name: "rig", Usage: "`ID` of a rig the tests were made in; once for each"},
			&cli.StringSliceFlag{Name: "rig-projector", Usage: "`ID` of the projector rig; once for each size"},
			&cli.StringSliceFlag{Name: "rig-reflector", Usage: "`ID` of the reflector rig; once for each size"},
			&cli.BoolFlag{Name: "new-rigs", Usage: "make a rig for a size and housing that no rig of the catalog serves"},
			&cli.StringFlag{Name: "lux-at", Usage: "time lit of lux columns that do not say theirs: 30min (bare: minutes)"},
			&cli.StringFlag{Name: "date", Usage: "day of tests whose row has none, `YYYY-MM-DD`"},
			&cli.StringFlag{Name: "lot", Usage: "lot of bulbs whose row names none (imported)"},
			&cli.StringFlag{Name: "currency", Usage: "currency of prices without one: USD, EUR"},
			&cli.StringFlag{Name: "decimal", Usage: "decimal mark: point or comma (found in the file)"},
			&cli.StringFlag{Name: "days", Usage: "how 3/4/2026 is meant: day_first or month_first (found in the file)"},
			&cli.BoolFlag{Name: "fill-down", Usage: "a blank bulb, size or date means the one above; without a bulb, housing, rig, beam and lot too"},
			jsonFlag(), catalogFlag(),
		},
		Action: env.catalogImport,
	}
}

func (env *Env) catalogImport(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("import wants one file", "stillbright catalog import tests.csv --dry-run")
	}
	w, err := env.writer(c.String("catalog"))
	if err != nil {
		return err
	}
	name := c.Args().First()
	file, err := os.Open(name)
	if err != nil {
		return err
	}
	defer file.Close()
	if c.Bool("update") && c.Bool("second") {
		return usage("--update and --second exclude each other", "")
	}
	saveTo := c.String("save-map")
	if _, err := os.Lstat(saveTo); saveTo != "" && err == nil {
		return usage(saveTo+" is there already, perhaps changed by hand", "give --save-map another name, or use it: --map "+saveTo)
	}
	job := importJob{known: storeKnowledge(), choices: sheet.Choices{Update: c.Bool("update"), Second: c.Bool("second")}, document: sheets.ImportSheet{Schema: "stillbright/import/1", File: name, DryRun: c.Bool("dry-run")}}
	if strings.HasSuffix(strings.ToLower(name), ".json") {
		if job.records, err = sheet.ReadRecords(file, name); err != nil {
			return err
		}
		job.isRecords = true
	} else {
		if job.table, err = sheet.ReadTable(file, name, c.String("sheet")); err != nil {
			return err
		}
		if job.mapping, err = importMapping(c); err != nil {
			return err
		}
	}
	if err := job.run(w); err != nil {
		return err
	}
	env.wrote = job.wrote
	if saveTo != "" && !job.isRecords {
		text, err := sheet.WriteMapping(job.table, job.result)
		if err != nil {
			return err
		}
		if err := writeAtomically(saveTo, text, name); err != nil {
			return err
		}
		job.result.Notes = append(job.result.Notes, "the mapping is in "+saveTo+"; use it with: --map "+saveTo)
	}
	document := job.sheet()
	if c.Bool("json") {
		err = env.printJSON(document)
	} else {
		err = env.write(answer.Import(document))
	}
	if err == nil && document.Added+document.Updated+document.Known == 0 {
		return exitError(wrong.ExitBadData)
	}
	return err
}

// importMapping is the saved mapping with the flags over it.
func importMapping(c *cli.Context) (sheet.Mapping, error) {
	var m sheet.Mapping
	if path := c.String("map"); path != "" {
		file, err := openFile(path)
		if err != nil {
			return m, err
		}
		defer file.Close()
		content, err := store.ReadBounded(file)
		if err != nil {
			return m, err
		}
		places, faults := store.Decode(path, content, &m)
		for _, fault := range m.Validate(path) {
			faults = append(faults, places.Locate(fault))
		}
		if wrong := faults.Wrong(); len(wrong) > 0 {
			return m, wrong
		}
	}
	for _, flag := range []struct {
		name  string
		into  *string
		legal []string
	}{
		{"date", &m.Date, nil}, {"lot", &m.Lot, nil}, {"currency", &m.Currency, nil},
		{"decimal", &m.Decimal, []string{"point", "comma"}}, {"days", &m.Days, []string{"day_first", "month_first"}},
	} {
		value := c.String(flag.name)
		if value == "" {
			continue
		}
		if flag.legal != nil && !slices.Contains(flag.legal, value) {
			return m, usage(fmt.Sprintf("--%s %q: must be %s", flag.name, value, strings.Join(flag.legal, " or ")), "")
		}
		*flag.into = value
	}
	if m.Date != "" {
		if _, err := data.ParseDate(m.Date); err != nil {
			return m, usage("--date: "+err.Error(), "--date 2026-03-01")
		}
	}
	if text := c.String("lux-at"); text != "" {
		minutes, err := quantity.ParseBare(text, "min")
		if err != nil {
			return m, err
		}
		m.At = &minutes
	}
	m.FillDown = m.FillDown || c.Bool("fill-down")
	m.NewRigs = m.NewRigs || c.Bool("new-rigs")
	for _, flag := range []string{"rig", "rig-projector", "rig-reflector"} {
		m.Rigs = append(m.Rigs, c.StringSlice(flag)...)
	}
	slices.Sort(m.Rigs)
	m.Rigs = slices.Compact(m.Rigs)
	return m, nil
}

// importJob is one run of an import.
type importJob struct {
	known     store.Knowledge
	table     sheet.Table
	mapping   sheet.Mapping
	isRecords bool
	records   sheet.Records
	choices   sheet.Choices
	wrote     bool // all that was to be written is
	result    sheet.Interpretation
	outcomes  []sheet.Outcome
	document  sheets.ImportSheet
}

// run reads the rows against the catalog under its lock, and writes what is new.
func (job *importJob) run(w *store.Writer) error {
	edit := func(c *data.Catalog) error {
		if job.isRecords {
			job.outcomes = sheet.ApplyRecords(c, job.records, job.known, job.choices)
			return nil
		}
		for _, id := range job.mapping.Rigs {
			if _, ok := c.Rig(id); !ok {
				return usage(fmt.Sprintf("there is no rig %q in the catalog", id), "stillbright catalog import --help")
			}
		}
		var err error
		if job.result, err = sheet.Interpret(job.table, job.mapping, *c, job.known.Sizes); err != nil {
			return err
		}
		job.outcomes = sheet.Apply(c, job.document.File, job.result.Entries, job.known, job.choices)
		return nil
	}
	job.document.Files = []sheets.ImportFile{}
	if job.document.DryRun {
		planned, err := w.Plan(edit)
		for _, file := range planned {
			job.document.Files = append(job.document.Files, sheets.ImportFile{File: file.File})
		}
		return err
	}
	saved, err := w.Change(edit)
	job.wrote = err == nil
	for _, file := range saved {
		job.document.Files = append(job.document.Files, sheets.ImportFile{File: file.File, Copy: recommend.Word(file.Copy)})
	}
	return halfway(err, len(saved))
}

// halfway says of a write that ended in the middle of an import how it is gone on
// with: the rows that are there are known the next time.
func halfway(err error, written int) error {
	var stopped *store.Failure
	if written == 0 || !errors.As(err, &stopped) || errors.Is(err, store.ErrStopped) {
		return err
	}
	hint := "the same command again takes the rest"
	if stopped.Hint != "" {
		hint = stopped.Hint + "; " + hint
	}
	return &store.Failure{File: stopped.File, Message: stopped.Message, Hint: hint, Err: err}
}

// sheet is the document of what was done.
func (job *importJob) sheet() sheets.ImportSheet {
	d := job.document
	d.Sheet = recommend.Word(job.table.Sheet)
	d.Columns, d.Rows, d.Skipped, d.Faults, d.Notes = []sheets.ImportColumn{}, []sheets.ImportRow{}, []sheets.ImportSkip{}, []sheets.ImportFault{}, []string{}
	d.Notes = append(d.Notes, job.result.Notes...)
	for i, c := range job.result.Mapping.Columns {
		d.Columns = append(d.Columns, sheets.ImportColumn{Column: i + 1, Head: c.Head, Means: c.Means, Unit: recommend.Word(c.Unit), AtMin: c.At, Housing: recommend.Word(c.Housing), Beam: recommend.Word(c.Beam)})
	}
	for _, s := range job.result.Skipped {
		d.Skipped = append(d.Skipped, sheets.ImportSkip{Line: s.Line, Why: s.Why})
	}
	d.Turned = job.result.Turned
	faults := slices.Clone(job.result.Faults)
	failed := map[int]bool{}
	for _, f := range faults {
		if d.Turned {
			f.Line = f.Col // of a turned table the column is the row
		}
		failed[f.Line] = true
	}
	d.Failed = len(failed)
	if job.isRecords && len(job.outcomes) == 0 {
		d.Failed = 1
		faults = append(faults, data.Fault{File: d.File, Line: 1, Col: 1, Message: "holds no bulb, rig or car"})
	}
	counted := map[string]map[int]bool{}
	for _, o := range job.outcomes {
		d.Rows = append(d.Rows, importRow(o))
		rows := rowsOf(o, counted)
		if o.Near != "" {
			d.Notes = append(d.Notes, fmt.Sprintf("%s is a new bulb, and its name is nearly that of %s: a slip?", o.ID, o.Near))
		}
		switch o.State {
		case sheet.StateAdded:
			d.Added += rows
		case sheet.StateUpdated:
			d.Updated += rows
		case sheet.StateKnown:
			d.Known += rows
		case sheet.StateDiffers:
			d.Differ += rows
		default:
			d.Failed += rows
			faults = append(faults, *o.Fault)
		}
	}
	faults.Sort()
	for _, f := range faults {
		d.Faults = append(d.Faults, sheets.ImportFault{Line: f.Line, Col: f.Col, Head: recommend.Word(f.Path), Message: f.Message, Hint: recommend.Word(f.Hint)})
	}
	return d
}

// rowsOf counts the rows of an outcome that are not yet counted for its state: a
// row with two lamps is two outcomes, and one row. A record of another catalog has
// no row and counts as one.
func rowsOf(o sheet.Outcome, counted map[string]map[int]bool) int {
	if len(o.Lines) == 0 {
		return 1
	}
	if counted[o.State] == nil {
		counted[o.State] = map[int]bool{}
	}
	rows := 0
	for _, line := range o.Lines {
		if !counted[o.State][line] {
			counted[o.State][line] = true
			rows++
		}
	}
	return rows
}

func importRow(o sheet.Outcome) sheets.ImportRow {
	row := sheets.ImportRow{Lines: append([]int{}, o.Lines...), State: o.State, Kind: o.Kind, ID: o.ID, New: o.New, Lot: recommend.Word(o.Lot), Tests: []sheets.ImportTest{}, Differences: []sheets.ImportDifference{}}
	for _, d := range o.Differences {
		row.Differences = append(row.Differences, sheets.ImportDifference(d))
	}
	for _, t := range o.Tests {
		test := sheets.ImportTest{Rig: t.Rig, Beam: recommend.Word(t.Beam), Date: string(t.Date), Volts: t.Volts, StockFirst: t.Stock.First, StockLast: t.Stock.Last, Body: t.Body, Readings: []sheets.ImportReading{}, Notes: append([]string{}, t.Notes...)}
		for _, reading := range t.Readings {
			test.Readings = append(test.Readings, sheets.ImportReading{AtMin: reading.At, Lux: reading.Lux})
		}
		row.Tests = append(row.Tests, test)
	}
	return row
}
