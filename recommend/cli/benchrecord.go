package cli

import (
	"fmt"
	"os"
	"reflect"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/store"
	"stillbright/recommend/answer"
	"stillbright/recommend/sheets"
	"stillbright/recommend/warmup"
)

// fresh stands for a bulb, rig or lot that is not in the catalog yet.
const fresh = "+"

func (e *benchEntry) isFresh(key string) bool { return e.answers[key] == fresh }

// id is the id of the bulb or rig, new or not.
func (e *benchEntry) id(key string) string {
	if e.isFresh(key) {
		return e.answers[key+".id"]
	}
	return e.answers[key]
}

func (e *benchEntry) lotName() string {
	if name := e.answers["lot.lot"]; name != "" {
		return name
	}
	if e.isFresh("lot") {
		return ""
	}
	return e.answers["lot"]
}

// flags takes what the command line says; it overrides what a draft holds.
func (e *benchEntry) flags(c *cli.Context, parts ...data.Part) error {
	for _, f := range askedFields(parts...) {
		text := c.String(f.Flag)
		if text == "" || f.Key == "bulb.id" || f.Key == "rig.id" {
			continue
		}
		if err := f.check(text); err != nil {
			return usage(fmt.Sprintf("--%s %s", f.Flag, err), "")
		}
		if err := e.set(f.Key, f.normal(text)); err != nil {
			return err
		}
	}
	if err := e.pairs(c.String("marks"), "marks", "test.pattern.marks.", askedFields(data.OfMarks)); err != nil {
		return err
	}
	if err := e.pairs(c.String("parts"), "parts", "test.pattern.parts.", askedFields(data.OfParts)); err != nil {
		return err
	}
	for i, text := range c.StringSlice("reading") {
		if _, err := parseReadings(text); err != nil {
			return usage("--reading "+err.Error(), "--reading 0min=1001 --reading 30min=832")
		}
		if err := e.set(numbered("readings", i), text); err != nil {
			return err
		}
		e.allRead = true
	}
	for i, text := range c.StringSlice("note") {
		if err := e.set(numbered("notes", i), text); err != nil {
			return err
		}
	}
	return nil
}

// pairs takes cutoff=3,hot_spot=2 for marks and parts.
func (e *benchEntry) pairs(text, flag, key string, fields []recordField) error {
	if text == "" {
		return nil
	}
	for _, part := range strings.Split(text, ",") {
		name, value, ok := strings.Cut(strings.TrimSpace(part), "=")
		name = strings.ReplaceAll(name, "-", "_")
		i := slices.IndexFunc(fields, func(f recordField) bool { return f.Key == key+name })
		if !ok || i < 0 {
			var names []string
			for _, f := range fields {
				names = append(names, strings.TrimPrefix(f.Key, key))
			}
			return usage(fmt.Sprintf("--%s %q: name=value pairs are wanted, of %s", flag, part, strings.Join(names, ", ")), "--"+flag+" "+names[0]+"=1,"+names[1]+"=1")
		}
		if err := fields[i].check(value); err != nil {
			return usage(fmt.Sprintf("--%s %s: %s", flag, name, err), "")
		}
		if err := e.set(key+name, value); err != nil {
			return err
		}
	}
	if flag == "marks" && e.answers["test.pattern.method"] == "" {
		return e.set("test.pattern.method", "grade")
	}
	return nil
}

// bulbFlag takes the bulb of the command line. One that is not in the catalog is
// a new one when the flags describe it, or when there is somebody to ask.
func (e *benchEntry) bulbFlag(b *bench, name string) error {
	if name == "" {
		return nil
	}
	if bulb, err := b.bulb(name); err == nil {
		return e.set("bulb", bulb.ID)
	}
	return e.freshID("bulb", askedFields(data.NewBulb)[1], name)
}

func (e *benchEntry) rigFlag(b *bench, name string) error {
	if name == "" {
		return nil
	}
	if rig, ok := b.catalog.Rig(name); ok {
		return e.set("rig", rig.ID)
	}
	return e.freshID("rig", askedFields(data.NewRig)[1], name)
}

func (e *benchEntry) freshID(key string, f recordField, id string) error {
	if err := f.check(id); err != nil {
		return usage(fmt.Sprintf("%s %q: %s", key, id, err), "small letters, digits and hyphens: grenholt-h11")
	}
	if err := e.set(key, fresh); err != nil {
		return err
	}
	return e.set(key+".id", id)
}

// missing names the needed facts that are not there, each by its flag.
func (e *benchEntry) missing(b *bench) []string {
	var flags []string
	need := func(key, flag string) {
		if e.answers[key] == "" {
			flags = append(flags, "--"+flag)
		}
	}
	need("bulb", "bulb")
	if e.isFresh("bulb") {
		for _, f := range askedFields(data.NewBulb) {
			if f.Needed && f.Key != "bulb.source" {
				need(f.Key, f.Flag)
			}
		}
	}
	need("rig", "rig")
	if e.isFresh("rig") {
		for _, f := range askedFields(data.NewRig) {
			if f.Needed && f.Key != "rig.source" {
				need(f.Key, f.Flag)
			}
		}
	}
	if e.rigBeam(b) == data.BeamBoth {
		need("test.beam", "beam")
	}
	if e.lotName() == "" {
		flags = append(flags, "--lot")
	}
	return flags
}

// rigBeam is what the rig of the test does, empty while it is not known.
func (e *benchEntry) rigBeam(b *bench) string {
	if e.isFresh("rig") {
		return e.answers["rig.beam"]
	}
	rig, _ := b.catalog.Rig(e.answers["rig"])
	return rig.Beam
}

// soleLot takes the only lot there is.
func (e *benchEntry) soleLot(b *bench) {
	if bulb, ok := b.catalog.Bulb(e.answers["bulb"]); ok && len(bulb.Lots) == 1 && e.lotName() == "" {
		e.answers["lot"] = bulb.Lots[0].Name
	}
}

// edit is the change of the catalog: the new rig and bulb, if any, and the test.
func (e *benchEntry) edit(b *bench, test data.Test) (func(*data.Catalog) error, error) {
	var rig data.Rig
	var bulb data.Bulb
	if e.isFresh("rig") {
		if err := e.record("rig", &rig, map[string]string{"format": "1", "source": ownBench(b)}); err != nil {
			return nil, err
		}
	}
	if e.isFresh("bulb") {
		if err := e.record("bulb", &bulb, map[string]string{"format": "1", "source": ownBench(b)}); err != nil {
			return nil, err
		}
	}
	return func(c *data.Catalog) error {
		if e.isFresh("rig") {
			c.Rigs = append(c.Rigs, rig)
		}
		if e.isFresh("bulb") {
			c.Bulbs = append(c.Bulbs, bulb)
		}
		i := slices.IndexFunc(c.Bulbs, func(other data.Bulb) bool { return other.ID == e.id("bulb") })
		if i < 0 {
			return usage(fmt.Sprintf("bulb %q is no longer in the catalog", e.id("bulb")), "")
		}
		return addTest(&c.Bulbs[i], e.lotName(), data.Date(e.answers["lot.bought"]), test)
	}, nil
}

// ownBench is the source of a record when nobody says another.
func ownBench(b *bench) string { return "own bench, " + b.catalog.Name }

// addTest adds a test to a lot, which is made when it is new. An equal test is
// not added twice, so that a call that was interrupted can be repeated.
func addTest(b *data.Bulb, name string, bought data.Date, test data.Test) error {
	i := slices.IndexFunc(b.Lots, func(l data.Lot) bool { return l.Name == name })
	if i < 0 {
		b.Lots = append(b.Lots, data.Lot{Name: name, Bought: bought})
		i = len(b.Lots) - 1
	}
	lot := &b.Lots[i]
	switch {
	case bought == "":
	case lot.Bought == "":
		lot.Bought = bought
	case lot.Bought != bought:
		return usage(fmt.Sprintf("lot %q was bought on %s, not on %s", name, lot.Bought, bought), "give another purchase another name: --lot")
	}
	if !slices.ContainsFunc(lot.Tests, func(t data.Test) bool { return reflect.DeepEqual(t, test) }) {
		lot.Tests = append(lot.Tests, test)
	}
	return nil
}

// preview is what would be written: the files that are new, the test alone where
// the bulb is there already, and what in it is unlikely.
func (env *Env) preview(w *store.Writer, e *benchEntry, test data.Test, edit func(*data.Catalog) error) (text string, unlikely data.Faults, err error) {
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
		fmt.Fprintf(&out, "%s, lot %s, one more test:\n%s", file.File, e.lotName(), indented(string(alone)))
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
func (env *Env) unlikely(w *store.Writer, e *benchEntry, edit func(*data.Catalog) error) data.Faults {
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
func (env *Env) save(c *cli.Context, w *store.Writer, e *benchEntry, test data.Test, edit func(*data.Catalog) error, at float64) error {
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
	bulb, err := b.bulb(e.id("bulb"))
	if err != nil {
		return err
	}
	var files []string
	for _, s := range saved {
		files = append(files, s.File)
	}
	seen := answer.Recorded{Run: &run, Files: files, Bulb: bulb.ID, Lot: e.lotName(), Flag: catalogWord(c.String("catalog"))}
	seen.Sheet, _ = sheets.SheetOfTest(&b.known, &b.catalog, bulb, test, at)
	if c.Bool("json") {
		run.Sheet.Notes = append(run.Sheet.Notes, answer.RecordedNote(&seen))
		return env.printJSON(run.Sheet)
	}
	return env.write(answer.RecordedTest(&seen))
}
