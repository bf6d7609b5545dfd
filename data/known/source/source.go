// Package source reads the YAML of what is known. Only the generator and the
// tests use it; the program has the same values as Go source.
package source

import (
	"io/fs"
	"path"
	"strings"

	"stillbright/data"
	"stillbright/data/store"
)

// All is everything that is known, as read from YAML.
type All struct {
	sizes    data.SizeFile
	us       data.USFile
	law      data.LawFile
	lawNotes data.LawNotesFile
	places   data.PlaceFile
	rules    data.Rules
	fit      data.FitRules
	pattern  data.PatternRules
	limits   data.LimitTables
	cautions data.Cautions
	claims   data.ClaimLadder
	aim      data.AimRules
	markings data.MarkingFile
	replies  data.ReplyFile
	words    data.Words
	demo     data.Catalog
}

// Part is one value of package known: a function Name that returns Value.
type Part struct {
	Name  string
	From  string // file or folder under yaml/
	Doc   string // the rest of the sentence that starts with Name
	Value any
}

// Read reads and checks every file strictly. The error lists all faults.
func Read(fsys fs.FS) (*All, error) {
	var all All
	var faults data.Faults
	for _, file := range []struct {
		name   string
		record any
	}{
		{"sizes.yaml", &all.sizes}, {"sizes_us.yaml", &all.us}, {"law.yaml", &all.law}, {"law_notes.yaml", &all.lawNotes},
		{"places.yaml", &all.places}, {"rules.yaml", &all.rules}, {"fit.yaml", &all.fit}, {"pattern.yaml", &all.pattern},
		{"limits.yaml", &all.limits},
		{"cautions.yaml", &all.cautions}, {"claims.yaml", &all.claims}, {"aim.yaml", &all.aim},
		{"markings.yaml", &all.markings}, {"replies.yaml", &all.replies},
	} {
		faults = append(faults, read(fsys, file.name, file.record)...)
	}
	words, err := fs.Glob(fsys, "words*.yaml")
	if err != nil {
		return nil, err
	}
	for _, name := range words {
		var some data.Words
		faults = append(faults, read(fsys, name, &some)...)
		all.words = all.words.Merge(some)
	}
	if len(faults) > 0 {
		return nil, faults
	}
	demo, err := fs.Sub(fsys, "demo")
	if err != nil {
		return nil, err
	}
	folder, faults := store.Load(demo, "demo", store.Knowledge{Sizes: all.sizes.Sizes, Places: all.places.Places, Rules: all.rules})
	if len(faults.Wrong()) > 0 {
		return nil, faults.Wrong()
	}
	all.demo = folder.Catalog
	for _, check := range []interface{ Validate() error }{all.fit, all.pattern, all.cautions, all.replies} {
		if err := check.Validate(); err != nil {
			return nil, err
		}
	}
	return &all, nil
}

func read(fsys fs.FS, name string, record any) data.Faults {
	content, err := fs.ReadFile(fsys, name)
	if err != nil {
		return data.Faults{{File: name, Message: err.Error()}}
	}
	_, faults := store.Decode(path.Join("yaml", name), content, record)
	return faults
}

// Parts lists what package known offers.
func (a *All) Parts() []Part {
	demo := a.demo
	for i := range demo.Bulbs {
		demo.Bulbs[i].Origin = trim(demo.Bulbs[i].Origin)
	}
	for i := range demo.Rigs {
		demo.Rigs[i].Origin = trim(demo.Rigs[i].Origin)
	}
	for i := range demo.Cars {
		demo.Cars[i].Origin = trim(demo.Cars[i].Origin)
	}
	return []Part{
		{"Sizes", "sizes.yaml", "returns every bulb size that is known.", a.sizes.Sizes},
		{"USFigures", "sizes_us.yaml", "returns the US figures at 12.8 V, kept apart from the 13.2 V ones.", a.us.Figures},
		{"Law", "law.yaml", "returns what is known of the rules, one row for each place and beam.", a.law.Rows},
		{"LawNotes", "law_notes.yaml", "returns notes on motorcycles, off-road use and approval procedures.", a.lawNotes.Notes},
		{"Places", "places.yaml", "returns the places that can be named.", a.places.Places},
		{"Rules", "rules.yaml", "returns the judged thresholds, driving profiles and weights.", a.rules},
		{"Fit", "fit.yaml", "returns the thresholds of the fit checks.", a.fit},
		{"Pattern", "pattern.yaml", "returns the weights and thresholds of the pattern score.", a.pattern},
		{"Limits", "limits.yaml", "returns the published tables of intensities that beams are compared with.", a.limits.Tables},
		{"Cautions", "cautions.yaml", "returns the cautions and when they are said.", a.cautions.Cautions},
		{"Claims", "claims.yaml", "returns the ladder of what a claim of lumens is worth.", a.claims.Rungs},
		{"Aim", "aim.yaml", "returns the rules of where a beam is set.", a.aim.Rules},
		{"Markings", "markings.yaml", "returns the letters on a lens and what they mean.", a.markings.Markings},
		{"Replies", "replies.yaml", "returns short texts for what viewers ask, beside the tester's own record.", a.replies.Replies},
		{"Words", "words*.yaml", "returns how people say things.", a.words},
		{"Demo", "demo", "returns the invented demo catalog.", demo},
	}
}

func trim(origin string) string { return strings.TrimPrefix(origin, "demo/") }
