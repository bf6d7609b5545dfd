package cli

import (
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data/sheet"
	"stillbright/recommend/answer"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

func (env *Env) benchReduceCommand() *cli.Command {
	text := func(name, usage string) cli.Flag { return &cli.StringFlag{Name: name, Usage: usage} }
	return &cli.Command{
		Name: "reduce", Usage: "turns a logger's series of lux into figures with a band",
		ArgsUsage: "FILE (CSV; - for standard input)",
		Flags: []cli.Flag{
			timeFlag(),
			text("stock", "the stock halogen in the same rig: 700lx (bare: lx); asks for vs stock"),
			text("stock-last", "the same after the run, where it was read again (bare: lx)"),
			text("stock-volts", "volts at the plug, halogen lit: 13.2V (bare: V)"),
			text("volts", "volts at the plug, bulb lit: 13.2V (bare: V)"),
			text("time-unit", "unit of elapsed times that have none: s, min, h"),
			text("column", "`HEAD` of the column with the light, where several could be meant"),
			text("first", "time lit at the first line of a clock: 5s (bare: minutes; not said: 0)"),
			&cli.StringFlag{Name: "plot", Usage: "draw readings, curve, band and stock: `FILE`.svg or .png", Category: groupOutput},
			jsonFlag(), catalogFlag(),
		},
		Action: env.benchReduce,
	}
}

func (env *Env) benchReduce(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("bench reduce takes one file", "stillbright bench reduce FILE.csv --at 30min")
	}
	kind, err := plotKind(c.String("plot"), answer.BenchPlotKinds())
	if err != nil {
		return err
	}
	r := flagReader{c: c}
	at, stock := r.atMinutes(), r.stock()
	options := sheet.SeriesOptions{
		TimeUnit: r.word("time-unit", "", "s", "min", "h"), Column: c.String("column"), FirstMin: r.number("first", "min", 0, 24*60, 0),
	}
	if r.err != nil {
		return r.err
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	series, err := env.readSeries(c.Args().First(), options)
	if err != nil {
		return err
	}
	env.sayNotes(series)
	readings := make([]warmup.Reading, len(series.Readings))
	for i, reading := range series.Readings {
		readings[i] = warmup.Reading{Min: reading.Min, Lux: reading.Lux}
	}
	run, err := sheets.ReduceBench(&b.known, readings, at, stock)
	if err != nil {
		return err
	}
	run.Sheet.Notes = append(run.Sheet.Notes, seriesNotes(series)...)
	if kind != "" {
		content, err := answer.BenchPlot(&run, kind)
		if err != nil {
			return err
		}
		if err := writeAtomically(c.String("plot"), content, c.Args().Slice()...); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		return env.printJSON(run.Sheet)
	}
	return env.write(answer.Bench(&run))
}

// readSeries reads a file, or standard input for a dash.
func (env *Env) readSeries(name string, options sheet.SeriesOptions) (sheet.Series, error) {
	var from io.Reader = env.In
	options.Name = "standard input"
	if name != "-" {
		file, err := os.Open(name)
		if err != nil {
			return sheet.Series{}, err
		}
		defer file.Close()
		if info, err := file.Stat(); err == nil && info.IsDir() {
			return sheet.Series{}, usage(name+": is a folder", "name a CSV file")
		}
		from, options.Name = file, name
	}
	return sheet.ReadSeries(from, options)
}

// sayNotes lists the lines that were not read.
func (env *Env) sayNotes(series sheet.Series) {
	for _, fault := range series.Skipped {
		fmt.Fprintln(env.Err, plaintext.Clean(fault.String()+"; skipped"))
	}
	if n := len(series.Skipped); n > 0 {
		fmt.Fprintf(env.Err, "stillbright: %s could not be read and %s skipped; more than one in five would be refused\n",
			countOf(n, "line", "lines"), map[bool]string{true: "is", false: "are"}[n == 1])
	}
}

// seriesNotes says how the file was understood, for the document.
func seriesNotes(series sheet.Series) []string {
	notes := series.Notes
	if len(series.Skipped) == 0 {
		return notes
	}
	var lines []string
	for _, fault := range series.Skipped {
		lines = append(lines, fmt.Sprint(fault.Line))
	}
	return append(notes, fmt.Sprintf("skipped, could not be read: line %s", strings.Join(lines, ", ")))
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// stock reads what is said of the halogen; nil when nothing is. Volts without a
// reading are refused: vs stock needs one.
func (r *flagReader) stock() *sheets.BenchStock {
	var stock sheets.BenchStock
	first := r.optional("stock", "lx", 0.1, 1e6, nil)
	last := r.optional("stock-last", "lx", 0.1, 1e6, nil)
	stock.Volts = r.optional("stock-volts", "V", 5, 32, nil)
	stock.BulbVolts = r.optional("volts", "V", 5, 32, nil)
	for _, lux := range []*float64{first, last} {
		if lux != nil {
			stock.Lux = append(stock.Lux, *lux)
		}
	}
	switch {
	case len(stock.Lux) > 0:
		return &stock
	case stock.Volts != nil:
		r.fail(usage("the stock reading is missing: --stock-volts alone says nothing", "--stock 700 --stock-volts 13.2V"))
	}
	return nil
}
