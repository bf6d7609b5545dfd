package entry

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend/cli/wrong"
)

// Fresh stands for a bulb, rig or lot that is not in the catalog yet.
const Fresh = "+"

func (e *Entry) IsFresh(key string) bool { return e.Answers[key] == Fresh }

// Id is the id of the bulb or rig, new or not.
func (e *Entry) Id(key string) string {
	if e.IsFresh(key) {
		return e.Answers[key+".id"]
	}
	return e.Answers[key]
}

func (e *Entry) LotName() string {
	if name := e.Answers["lot.lot"]; name != "" {
		return name
	}
	if e.IsFresh("lot") {
		return ""
	}
	return e.Answers["lot"]
}

// Flags takes what the command line says; it overrides what a draft holds.
func (e *Entry) Flags(c *cli.Context, parts ...data.Part) error {
	for _, f := range Fields(parts...) {
		text := c.String(f.Flag)
		if text == "" || f.Key == "bulb.id" || f.Key == "rig.id" {
			continue
		}
		if err := f.Check(text); err != nil {
			return wrong.Use(fmt.Sprintf("--%s %s", f.Flag, err), "")
		}
		if err := e.set(f.Key, f.Normal(text)); err != nil {
			return err
		}
	}
	if err := e.pairs(c.String("marks"), "marks", "test.pattern.marks.", Fields(data.OfMarks)); err != nil {
		return err
	}
	if err := e.pairs(c.String("parts"), "parts", "test.pattern.parts.", Fields(data.OfParts)); err != nil {
		return err
	}
	for i, text := range c.StringSlice("reading") {
		if _, err := ParseReadings(text); err != nil {
			return wrong.Use("--reading "+err.Error(), "--reading 0min=1001 --reading 30min=832")
		}
		if err := e.set(Numbered("readings", i), text); err != nil {
			return err
		}
		e.allRead = true
	}
	for i, text := range c.StringSlice("note") {
		if err := e.set(Numbered("notes", i), text); err != nil {
			return err
		}
	}
	return nil
}

// pairs takes cutoff=3,hot_spot=2 for marks and parts.
func (e *Entry) pairs(text, flag, key string, fields []Field) error {
	if text == "" {
		return nil
	}
	for _, part := range strings.Split(text, ",") {
		name, value, ok := strings.Cut(strings.TrimSpace(part), "=")
		name = strings.ReplaceAll(name, "-", "_")
		i := slices.IndexFunc(fields, func(f Field) bool { return f.Key == key+name })
		if !ok || i < 0 {
			var names []string
			for _, f := range fields {
				names = append(names, strings.TrimPrefix(f.Key, key))
			}
			return wrong.Use(fmt.Sprintf("--%s %q: name=value pairs are wanted, of %s", flag, part, strings.Join(names, ", ")), "--"+flag+" "+names[0]+"=1,"+names[1]+"=1")
		}
		if err := fields[i].Check(value); err != nil {
			return wrong.Use(fmt.Sprintf("--%s %s: %s", flag, name, err), "")
		}
		if err := e.set(key+name, value); err != nil {
			return err
		}
	}
	if flag == "marks" && e.Answers["test.pattern.method"] == "" {
		return e.set("test.pattern.method", "grade")
	}
	return nil
}

// bulbFlag takes the bulb of the command line. One that is not in the catalog is
// a new one when the flags describe it, or when there is somebody to ask.
func (e *Entry) bulbFlag(b *data.Catalog, name string) error {
	if name == "" {
		return nil
	}
	if bulb, ok := b.Bulb(name); ok {
		return e.set("bulb", bulb.ID)
	}
	return e.freshID("bulb", Fields(data.NewBulb)[1], name)
}

func (e *Entry) rigFlag(b *data.Catalog, name string) error {
	if name == "" {
		return nil
	}
	if rig, ok := b.Rig(name); ok {
		return e.set("rig", rig.ID)
	}
	return e.freshID("rig", Fields(data.NewRig)[1], name)
}

func (e *Entry) freshID(key string, f Field, id string) error {
	if err := f.Check(id); err != nil {
		return wrong.Use(fmt.Sprintf("%s %q: %s", key, id, err), "small letters, digits and hyphens: grenholt-h11")
	}
	if err := e.set(key, Fresh); err != nil {
		return err
	}
	return e.set(key+".id", id)
}

// Missing names the needed facts that are not there, each by its flag.
func (e *Entry) Missing(b *data.Catalog) []string {
	var flags []string
	need := func(key, flag string) {
		if e.Answers[key] == "" {
			flags = append(flags, "--"+flag)
		}
	}
	need("bulb", "bulb")
	if e.IsFresh("bulb") {
		for _, f := range Fields(data.NewBulb) {
			if f.Needed && f.Key != "bulb.source" {
				need(f.Key, f.Flag)
			}
		}
	}
	need("rig", "rig")
	if e.IsFresh("rig") {
		for _, f := range Fields(data.NewRig) {
			if f.Needed && f.Key != "rig.source" {
				need(f.Key, f.Flag)
			}
		}
	}
	if e.RigBeam(b) == data.BeamBoth {
		need("test.beam", "beam")
	}
	if e.LotName() == "" {
		flags = append(flags, "--lot")
	}
	return flags
}

// RigBeam is what the rig of the test does, empty while it is not known.
func (e *Entry) RigBeam(b *data.Catalog) string {
	if e.IsFresh("rig") {
		return e.Answers["rig.beam"]
	}
	rig, _ := b.Rig(e.Answers["rig"])
	return rig.Beam
}

// SoleLot takes the only lot there is.
func (e *Entry) SoleLot(b *data.Catalog) {
	if bulb, ok := b.Bulb(e.Answers["bulb"]); ok && len(bulb.Lots) == 1 && e.LotName() == "" {
		e.Answers["lot"] = bulb.Lots[0].Name
	}
}

// Edit is the change of the catalog: the new rig and bulb, if any, and the test.
func (e *Entry) Edit(b *data.Catalog, test data.Test) (func(*data.Catalog) error, error) {
	var rig data.Rig
	var bulb data.Bulb
	if e.IsFresh("rig") {
		if err := e.record("rig", &rig, map[string]string{"format": "1", "source": ownBench(b)}); err != nil {
			return nil, err
		}
	}
	if e.IsFresh("bulb") {
		if err := e.record("bulb", &bulb, map[string]string{"format": "1", "source": ownBench(b)}); err != nil {
			return nil, err
		}
	}
	return func(c *data.Catalog) error {
		if e.IsFresh("rig") {
			c.Rigs = append(c.Rigs, rig)
		}
		if e.IsFresh("bulb") {
			c.Bulbs = append(c.Bulbs, bulb)
		}
		i := slices.IndexFunc(c.Bulbs, func(other data.Bulb) bool { return other.ID == e.Id("bulb") })
		if i < 0 {
			return wrong.Use(fmt.Sprintf("bulb %q is no longer in the catalog", e.Id("bulb")), "")
		}
		if err := e.setFacts(&c.Bulbs[i]); err != nil {
			return err
		}
		return addTest(&c.Bulbs[i], e.LotName(), data.Date(e.Answers["lot.bought"]), test)
	}, nil
}

// ownBench is the source of a record when nobody says another.
func ownBench(b *data.Catalog) string { return "own bench, " + b.Name }

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
		return wrong.Use(fmt.Sprintf("lot %q was bought on %s, not on %s", name, lot.Bought, bought), "give another purchase another name: --lot")
	}
	if !slices.ContainsFunc(lot.Tests, func(t data.Test) bool { return reflect.DeepEqual(t, test) }) {
		lot.Tests = append(lot.Tests, test)
	}
	return nil
}

func (e *Entry) Close() error {
	if e.Draft == nil {
		return nil
	}
	draft := e.Draft
	e.Draft = nil
	return draft.Close()
}

func (e *Entry) FromFlags(c *cli.Context, b *data.Catalog, name string) error {
	if err := e.bulbFlag(b, name); err != nil {
		return err
	}
	if err := e.rigFlag(b, c.String("rig")); err != nil {
		return err
	}
	return e.Flags(c, data.NewBulb, data.OfBulb, data.NewRig, data.OfLot, data.BeforeTest, data.AfterTest, data.OfPattern)
}
