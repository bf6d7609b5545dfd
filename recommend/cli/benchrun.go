package cli

import (
	"errors"
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/data/store"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

func (env *Env) benchRunCommand() *cli.Command {
	return &cli.Command{
		Name: "run", Usage: "a live warm-up: clock, readings, forecast; takes minute,lux from a pipe too",
		ArgsUsage: "BULB",
		Flags: append(benchFlags(data.OfLot, data.BeforeTest, data.AfterTest),
			&cli.StringFlag{Name: "bulb", Usage: "the bulb, by its short name", Category: "the test"},
			&cli.StringFlag{Name: "rig", Usage: "the rig, by its short name (not said: the only one)", Category: "the test"},
			&cli.StringSliceFlag{Name: "note", Usage: "a note; once for each", Category: "the test"},
			timeFlag(),
			&cli.StringFlag{Name: "plan", Usage: "minutes at which to read: 0,1,2,5,10,15,20,30 (not said: every minute to 12, then wider)"},
			&cli.BoolFlag{Name: "finish", Usage: "save what an open run holds, without further readings", Category: groupOutput},
			&cli.BoolFlag{Name: "new", Usage: "start over; an open run is kept in the history", Category: groupOutput},
			&cli.BoolFlag{Name: "yes", Usage: "save without asking", Category: groupOutput},
			jsonFlag(), plainFlag(), noInputFlag(), catalogFlag(),
		),
		Action: env.benchRun,
	}
}

// benchRun is one warm-up: its facts, its journal and its readings.
type benchRun struct {
	env      *Env
	c        *cli.Context
	w        *store.Writer
	b        *bench
	e        *entry.Entry
	draft    *store.Draft
	started  bool   // the facts are in the journal
	wentOn   string // what is said of an open run that is gone on with
	start    time.Time
	readings []warmup.Reading
	at       float64
	plan     []float64
}

// Keys of the journal beside those of the facts.
const (
	keyStart   = "start"   // moment of switch-on, RFC 3339
	keyReading = "reading" // minute=lux
	keyUndo    = "undo"    // takes the last reading back
)

func (env *Env) benchRun(c *cli.Context) error {
	name, err := bulbArgument(c)
	if err != nil {
		return err
	}
	if name == "" {
		return usage("bench run wants one bulb", "stillbright bench run BULB --rig RIG; stillbright catalog list names the bulbs")
	}
	reader := flagReader{c: c}
	r := &benchRun{env: env, c: c, at: reader.atMinutes(), e: &entry.Entry{Answers: map[string]string{}}}
	if r.plan = reader.plan(r.at); reader.err != nil {
		return reader.err
	}
	if r.w, err = env.writer(c.String("catalog")); err != nil {
		return err
	}
	if r.b, err = env.open(r.w.Folder()); err != nil {
		return err
	}
	bulb, err := r.b.bulb(name)
	if err != nil {
		return usage(err.Error(), "a new bulb is described by: stillbright bench add "+data.ShortName(name))
	}
	if err := r.rig(bulb); err != nil {
		return err
	}
	if err := r.open(bulb.ID); err != nil {
		return err
	}
	return errors.Join(r.run(), r.close())
}

// rig takes the rig of the command line, the one of the only open run of this
// bulb, or the only one there is; else the person is asked.
func (r *benchRun) rig(bulb data.Bulb) error {
	r.e.Answers["bulb"] = bulb.ID
	rigs := r.b.catalog.Rigs
	var ids []string
	for _, rig := range rigs {
		ids = append(ids, rig.ID)
	}
	if id := r.c.String("rig"); id != "" {
		if !slices.Contains(ids, id) {
			hint := "rigs: " + strings.Join(ids, " ")
			if len(ids) == 0 {
				hint = "a new rig is described by: stillbright bench add"
			}
			return usage(fmt.Sprintf("there is no rig %q", id), hint)
		}
		r.e.Answers["rig"] = id
		return nil
	}
	drafts, err := store.Drafts(r.w.Folder())
	if err != nil {
		return err
	}
	var open []string
	for _, id := range ids {
		if slices.ContainsFunc(drafts, func(d store.DraftInfo) bool { return d.Name == runName(bulb.ID, id) && d.Entries > 0 }) {
			open = append(open, id)
		}
	}
	switch {
	case len(open) == 1 && !r.c.Bool("new"):
		r.e.Answers["rig"] = open[0]
		return nil
	case len(ids) == 1:
		r.e.Answers["rig"] = ids[0]
		return nil
	case len(ids) == 0:
		return usage("the catalog has no rig", "describe one: stillbright bench add")
	}
	prompter, err := r.env.prompter(r.c)
	if errors.Is(err, ask.ErrNotInteractive) {
		return usage("missing: --rig ("+err.Error()+")", "rigs: "+strings.Join(ids, " "))
	}
	if err != nil {
		return err
	}
	step := r.e.RigStep(&r.b.catalog)
	ofThere := step.Ask
	step.Ask = func(state entry.Answers) (ask.Question, bool) {
		q, wanted := ofThere(state)
		q.Options = slices.DeleteFunc(q.Options, func(o ask.Option) bool { return o.Value == entry.Fresh })
		return q, wanted
	}
	return r.e.Walk(r.c, prompter, []entry.Step{step})
}

// runName names the journal of a run; one bulb in one rig has one run at a time.
func runName(bulb, rig string) string {
	name := "run-" + bulb + "-" + rig
	const most, kept = 63, 54
	if len(name) <= most {
		return name
	}
	sum := fnv.New32a()
	_, _ = sum.Write([]byte(name))
	return fmt.Sprintf("%s-%08x", strings.TrimRight(name[:kept], "-"), sum.Sum32())
}

// open takes up the open run of this bulb and rig, or starts one, and then takes
// what the flags say.
func (r *benchRun) open(bulb string) error {
	rig := r.e.Answers["rig"]
	name, now := runName(bulb, rig), r.env.clock().Now
	var err error
	if r.draft, err = store.OpenDraft(r.w.Folder(), name, now); err != nil {
		return err
	}
	if r.c.Bool("new") && len(r.draft.Entries) > 0 {
		fmt.Fprintf(r.env.Err, "The run of %s is kept in the history; a new one starts.\n", r.when())
		if err := r.draft.Finish(); err != nil {
			return err
		}
		if r.draft, err = store.OpenDraft(r.w.Folder(), name, now); err != nil {
			return err
		}
	}
	if err := r.takeUp(bulb, rig); err != nil {
		return errors.Join(err, r.close())
	}
	return nil
}

// when says when the journal was last written.
func (r *benchRun) when() string {
	last := r.draft.Entries[len(r.draft.Entries)-1]
	return last.At.Local().Format("2006-01-02 15:04")
}

func (r *benchRun) takeUp(bulb, rig string) error {
	if r.started = len(r.draft.Entries) > 0; r.started {
		for _, entry := range r.draft.Entries {
			if err := r.replay(entry); err != nil {
				return err
			}
		}
		r.e.Draft = r.draft
		text := fmt.Sprintf("Going on with the run of %s: %s kept", r.when(), countOf(len(r.readings), "reading", "readings"))
		if n := len(r.readings); n > 0 {
			text += fmt.Sprintf(", the last at %s min", quantity.Number(r.readings[n-1].Min))
		}
		r.wentOn = text + ". --new starts over."
		fmt.Fprintln(r.env.Err, r.wentOn)
	}
	r.e.Answers["bulb"], r.e.Answers["rig"] = bulb, rig
	return r.e.Flags(r.c, data.OfLot, data.BeforeTest, data.AfterTest)
}

// replay takes one line of the journal.
func (r *benchRun) replay(kept store.Entry) error {
	switch kept.Key {
	case keyStart:
		at, err := time.Parse(time.RFC3339Nano, kept.Value)
		if err == nil {
			r.start = at
		}
	case keyReading:
		list, err := entry.ParseReadings(kept.Value)
		if err != nil {
			return fmt.Errorf("the journal of this run holds %q: %w; --new starts over", kept.Value, err)
		}
		for _, one := range list {
			r.readings = append(r.readings, warmup.Reading{Min: one.At, Lux: one.Lux})
		}
		if r.start.IsZero() { // from a pipe: switch-on was so long before the line came
			r.start = kept.At.Add(-minutesLong(list[len(list)-1].At))
		}
	case keyUndo:
		if n := len(r.readings); n > 0 {
			r.readings = r.readings[:n-1]
		}
	default:
		r.e.Answers[kept.Key] = kept.Value
	}
	return nil
}

func minutesLong(minutes float64) time.Duration { return time.Duration(minutes * float64(time.Minute)) }

// run reads on the terminal or from the pipe, and then saves.
func (r *benchRun) run() error {
	if r.c.Bool("finish") {
		if len(r.readings) == 0 {
			return usage("there is no open run of this bulb in this rig", "stillbright bench run BULB --rig RIG")
		}
		r.e.SoleLot(&r.b.catalog)
		return r.save(false)
	}
	live, isLive := r.env.liveTerminal(r.c)
	if !isLive { // with nobody to ask which
		r.e.SoleLot(&r.b.catalog)
	}
	if err := r.facts(isLive); err != nil {
		return err
	}
	if isLive {
		return r.onTerminal(live)
	}
	return r.fromPipe()
}

// facts makes sure of what a record cannot do without, before the lamp is lit.
func (r *benchRun) facts(isLive bool) error {
	var missing []string
	if r.e.RigBeam(&r.b.catalog) == data.BeamBoth && r.e.Answers["test.beam"] == "" {
		missing = append(missing, "--beam")
	}
	if r.e.LotName() == "" {
		missing = append(missing, "--lot")
	}
	if len(missing) == 0 && (!isLive || len(r.readings) > 0 || !r.start.IsZero()) {
		return nil
	}
	prompter, err := r.env.prompter(r.c)
	switch {
	case errors.Is(err, ask.ErrNotInteractive) && len(missing) > 0:
		return usage(fmt.Sprintf("missing: %s (%s)", strings.Join(missing, " "), err), "stillbright bench run BULB --rig RIG --lot LOT")
	case errors.Is(err, ask.ErrNotInteractive):
		return nil
	case err != nil:
		return err
	}
	if err := r.journalFacts(); err != nil {
		return err
	}
	return r.e.Walk(r.c, prompter, slices.Concat(r.e.LotSteps(&r.b.catalog), r.e.SetUpSteps(&r.b.catalog, r.env.today())))
}

func cmpFirst(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// journalFacts puts the facts on the disk, before the first reading.
func (r *benchRun) journalFacts() error {
	if r.started {
		return nil
	}
	r.e.Answers["test.date"] = cmpFirst(r.e.Answers["test.date"], string(r.env.today()))
	r.e.Draft = r.draft
	for _, key := range slices.Sorted(maps.Keys(r.e.Answers)) {
		if err := r.draft.Append(key, r.e.Answers[key]); err != nil {
			return err
		}
	}
	r.started = true
	return nil
}

// keep puts a reading on the disk and then takes it.
func (r *benchRun) keep(reading warmup.Reading) error {
	reading.Min, reading.Lux = entry.Tidy(reading.Min), entry.Tidy(reading.Lux)
	if _, err := entry.CheckedReading(data.Reading{At: reading.Min, Lux: reading.Lux}); err != nil {
		return err
	}
	if n := len(r.readings); n > 0 && reading.Min <= r.readings[n-1].Min {
		return fmt.Errorf("%s min is not later than the reading before it, at %s min", quantity.Number(reading.Min), quantity.Number(r.readings[n-1].Min))
	}
	if err := r.journalFacts(); err != nil {
		return &keepError{err}
	}
	if err := r.draft.Append(keyReading, readingText(reading)); err != nil {
		return &keepError{err}
	}
	r.readings = append(r.readings, reading)
	return nil
}

// keepError is a reading that did not reach the disk: the run cannot go on.
type keepError struct{ error }

func (e *keepError) Unwrap() error { return e.error }

func readingText(reading warmup.Reading) string {
	return quantity.Number(reading.Min) + "min=" + quantity.Number(reading.Lux)
}

// undo takes the last reading back.
func (r *benchRun) undo() error {
	if len(r.readings) == 0 {
		return errors.New("there is no reading to take back")
	}
	if err := r.draft.Append(keyUndo, ""); err != nil {
		return &keepError{err}
	}
	r.readings = r.readings[:len(r.readings)-1]
	return nil
}

// figures reduces the readings so far.
func (r *benchRun) figures() (*sheets.BenchRun, error) {
	run, err := sheets.ReduceBench(&r.b.known, r.readings, r.at, nil)
	return &run, err
}

// mostRecorded is the number of readings beyond which a record gets means of
// neighbours: a record is read by people. The journal in the history has all.
const mostRecorded = 300

// save makes the record and ends the run.
func (r *benchRun) save(confirm bool) error {
	if r.e.LotName() == "" {
		return usage("missing: --lot", "stillbright bench run BULB --rig RIG --finish --lot LOT")
	}
	readings := sheets.Averaged(r.readings, mostRecorded)
	texts := make([]string, len(readings))
	for i, reading := range readings {
		texts[i] = readingText(warmup.Reading{Min: entry.Tidy(reading.Min), Lux: entry.Tidy(reading.Lux)})
	}
	r.e.Answers[entry.Numbered("readings", 0)] = strings.Join(texts, " ")
	if n := len(r.readings); n > len(readings) {
		note := fmt.Sprintf("%d readings of a logger, averaged to %d", n, len(readings))
		r.e.Answers[entry.Numbered("notes", len(r.e.Listed("notes")))] = note
	}
	err := r.env.confirmAndSave(r.c, r.w, r.b, r.e, r.at, confirm, confirm)
	if err == nil {
		r.draft = nil // moved into the history
		return nil
	}
	r.sayKept()
	return err
}

// sayKept says how to go on with a run that ends without a record.
func (r *benchRun) sayKept() {
	if len(r.readings) == 0 {
		return
	}
	kept := map[bool]string{true: "1 reading is", false: strconv.Itoa(len(r.readings)) + " readings are"}[len(r.readings) == 1]
	r.env.kept(r.c, kept+" kept; with --finish the record is saved as it is.", "stillbright bench run "+r.e.Answers["bulb"]+" --rig "+r.e.Answers["rig"])
}

// close leaves the run open for later; a run without anything leaves nothing.
func (r *benchRun) close() error {
	if r.draft == nil {
		return nil
	}
	draft := r.draft
	r.draft, r.e.Draft = nil, nil
	if len(draft.Entries) == 0 {
		return draft.Finish()
	}
	return draft.Close()
}

// plan reads the minutes of --plan, or makes the usual plan up to the time judged.
func (r *flagReader) plan(at float64) []float64 {
	text := r.c.String("plan")
	if text == "" {
		return usualPlan(at)
	}
	const form = "--plan 0,1,2,5,10,15,20,30"
	var plan []float64
	for _, part := range strings.FieldsFunc(text, func(c rune) bool { return c == ',' || c == ' ' || c == ';' }) {
		minute, err := quantity.ParseBare(part, "min")
		if err != nil {
			r.fail(named("plan", err))
			return nil
		}
		switch n := len(plan); {
		case n > 0 && minute <= plan[n-1]:
			r.fail(usage(fmt.Sprintf("--plan %s: minutes must rise", text), form))
			return nil
		case minute > entry.MostReadingMin:
			r.fail(usage(fmt.Sprintf("--plan %s: at most %d min", text, entry.MostReadingMin), form))
			return nil
		}
		plan = append(plan, minute)
	}
	if len(plan) == 0 {
		r.fail(usage(fmt.Sprintf("--plan %q: minutes are wanted", text), form))
	}
	return plan
}

// usualPlan is every minute to 12, while the light falls fast, then wider up to
// the time that is judged.
func usualPlan(at float64) []float64 {
	const fast = 12
	var plan []float64
	minute := 0.0
	for ; minute <= fast && minute <= at; minute++ {
		plan = append(plan, minute)
	}
	for gap := 2.0; len(plan) > 0 && plan[len(plan)-1] < at; gap++ {
		minute = plan[len(plan)-1] + gap
		if minute+gap > at { // no two readings close together at the end
			minute = at
		}
		plan = append(plan, minute)
	}
	return plan
}
