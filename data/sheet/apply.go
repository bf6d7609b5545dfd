package sheet

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/store"
)

// What became of a row.
const (
	StateAdded   = "added"   // something of it is new
	StateKnown   = "known"   // the catalog held all of it
	StateUpdated = "updated" // figures on file were replaced by the row's
	StateDiffers = "differs" // that test is on file with another figure; nothing of the row was taken
	StateFailed  = "failed"  // nothing of it was taken
)

// Choices decide what happens to a row whose test is on file with other
// figures. Without one of them nothing of the row is taken.
type Choices struct {
	Update bool // take the row's figures; what the row does not tell stays
	Second bool // the row is a second test of that day
}

// Outcome is what a row becomes in a catalog.
type Outcome struct {
	Lines       []int // rows it was made of; nil for a record of another catalog
	State       string
	Kind        string // bulb, rig or car
	ID          string
	New         bool   // the record was not in the catalog
	Near        string // id of a bulb of that size on file whose name is one letter off; empty without one
	Lot         string
	Tests       []data.Test  // of the row
	Differences []Difference // from what is on file
	Fault       *data.Fault  // why it failed
}

// unnamedLot is the lot of a bulb whose rows name none.
const unnamedLot = "imported"

// applying is one import into a catalog.
type applying struct {
	c       *data.Catalog
	file    string
	known   store.Knowledge
	choices Choices
	index   map[string]int // bulb id -> place in the catalog
	onFile  map[lotKey]int // tests that each lot held before the import
	claimed map[lotKey]map[int]bool
	equal   map[[2]int]int // entry and test -> the test on file that says all of it
	told    map[Difference]bool
	texts   map[lotKey]map[string]bool // the tests of a lot as text, kept so that a row is not held against each of them
	pending []string                   // texts of the tests of this entry
	gone    []string                   // texts that they take the place of
	names   map[nameKey][]likeName     // of the bulbs, for near
}

type lotKey struct{ bulb, lot string }

// Apply adds entries to a catalog, each whole or not at all. A test is told by
// bulb, lot, rig, beam and day. One that is on file and says all that the row
// says is not added again; what it does not say is filled in; one that says
// otherwise is reported, and changed only when choices say so. A fact of a bulb
// that differs is reported and does not stop its tests. Nothing is taken out.
func Apply(c *data.Catalog, file string, entries []Entry, known store.Knowledge, choices Choices) []Outcome {
	a := &applying{c: c, file: file, known: known, choices: choices, index: map[string]int{}, onFile: map[lotKey]int{}, claimed: map[lotKey]map[int]bool{}, equal: map[[2]int]int{}, told: map[Difference]bool{}, texts: map[lotKey]map[string]bool{}, names: map[nameKey][]likeName{}}
	for i, b := range c.Bulbs {
		a.index[b.ID] = i
		a.remember(b)
		for j, lot := range b.Lots {
			// Tests are appended one by one: never into memory that the caller's
			// slice still reaches.
			c.Bulbs[i].Lots[j].Tests = slices.Clip(lot.Tests)
			a.onFile[lotKey{b.ID, lot.Name}] = len(lot.Tests)
			a.claimed[lotKey{b.ID, lot.Name}] = map[int]bool{}
		}
	}
	a.claimEqual(entries)
	var list []Outcome
	for i, e := range entries {
		o := Outcome{Lines: e.Lines, Kind: "bulb", ID: e.Bulb.ID, Lot: e.Lot.Name, Tests: e.Tests, State: StateKnown}
		if err := a.one(i, e, &o); err != nil {
			fault := data.Fault{File: file, Line: e.line(), Col: 1, Message: err.Error()}
			var faults data.Faults
			if errors.As(err, &faults) && len(faults) > 0 {
				fault.Path, fault.Message, fault.Hint = faults[0].Path, faults[0].Message, faults[0].Hint
			}
			o.State, o.Fault = StateFailed, &fault
		}
		// A fact of a bulb that ten rows tell is reported once.
		o.Differences = slices.DeleteFunc(o.Differences, func(d Difference) bool {
			told := a.told[d] && d.Of == o.ID
			a.told[d] = true
			return told
		})
		list = append(list, o)
	}
	return list
}

// claimEqual gives every row whose test is on file unchanged that test, before
// a row that differs may be held against it.
func (a *applying) claimEqual(entries []Entry) {
	for _, exact := range []bool{true, false} {
		for i, e := range entries {
			place, there := a.index[e.Bulb.ID]
			if !there {
				continue
			}
			name, err := lotFor(a.c.Bulbs[place], e)
			if err != nil {
				continue
			}
			for n, t := range e.Tests {
				a.claim([2]int{i, n}, lotKey{e.Bulb.ID, name}, t, exact)
			}
		}
	}
}

// claim looks for a test on file that says what t says, and with exact no more.
func (a *applying) claim(id [2]int, key lotKey, t data.Test, exact bool) {
	if _, done := a.equal[id]; done {
		return
	}
	for k, have := range a.testsOnFile(key) {
		if a.claimed[key][k] || !sameOccasion(have, t) {
			continue
		}
		m := merging{}
		merged(&m, have, t)
		if !m.filled && len(m.differences) == 0 && (!exact || encodeCompact(have) == encodeCompact(t)) {
			a.claimed[key][k], a.equal[id] = true, k
			return
		}
	}
}

func sameOccasion(a, b data.Test) bool {
	return a.Date == b.Date && a.Rig == b.Rig && a.Beam == b.Beam
}

func (a *applying) testsOnFile(key lotKey) []data.Test {
	place, there := a.index[key.bulb]
	if !there {
		return nil
	}
	for _, lot := range a.c.Bulbs[place].Lots {
		if lot.Name == key.lot {
			return lot.Tests[:min(a.onFile[key], len(lot.Tests))]
		}
	}
	return nil
}

// lotFor names the lot of a row: the one it says, else the only one of the
// bulb, or the one that holds a test of that day in that rig.
func lotFor(b data.Bulb, e Entry) (string, error) {
	if e.Lot.Name != "" || len(e.Tests) == 0 {
		return e.Lot.Name, nil
	}
	if len(b.Lots) == 1 {
		return b.Lots[0].Name, nil
	}
	var fits, all []string
	for _, lot := range b.Lots {
		all = append(all, lot.Name)
		if slices.ContainsFunc(lot.Tests, func(t data.Test) bool {
			return slices.ContainsFunc(e.Tests, func(own data.Test) bool { return sameOccasion(own, t) })
		}) {
			fits = append(fits, lot.Name)
		}
	}
	switch {
	case len(all) == 0:
		return unnamedLot, nil
	case len(fits) == 1:
		return fits[0], nil
	case slices.Contains(all, unnamedLot):
		return unnamedLot, nil
	}
	return "", data.Faults{{Message: fmt.Sprintf("the row names no lot, and bulb %q has %s", b.ID, strings.Join(all, ", ")), Hint: "say it for the whole file: --lot " + all[len(all)-1]}}
}

// one takes one entry.
func (a *applying) one(number int, e Entry, o *Outcome) error {
	a.pending, a.gone = nil, nil
	rigs, err := a.rigs(e)
	if err != nil {
		return err
	}
	place, there := a.index[e.Bulb.ID]
	var bulb data.Bulb
	filled := !there || len(rigs) > len(a.c.Rigs)
	if there {
		bulb = a.c.Bulbs[place]
	}
	lots := bulb.Lots
	name, err := lotFor(bulb, e)
	if err != nil {
		return err
	}
	o.New, o.Lot = !there, name
	m := merging{of: e.Bulb.ID, update: a.choices.Update}
	if bulb, err = a.bulb(bulb, e, there, &m); err != nil {
		return err
	}
	trial := bulb
	if name != "" {
		lot, at := data.Lot{Name: name}, slices.IndexFunc(lots, func(l data.Lot) bool { return l.Name == name })
		if lots = slices.Clone(lots); at < 0 {
			lots, at, m.filled = append(lots, lot), len(lots), true
		}
		lot = lots[at]
		m.field(reflect.ValueOf(&lot.Bought).Elem(), reflect.ValueOf(e.Lot.Bought), "bought", "")
		o.Differences = m.differences
		touched := []data.Test{}
		for n, t := range e.Tests {
			if lot.Tests, touched, err = a.test([2]int{number, n}, lotKey{e.Bulb.ID, name}, lot.Tests, touched, t, &m, o); err != nil {
				return err
			}
		}
		lots[at] = lot
		trial.Lots = []data.Lot{{Name: lot.Name, Bought: lot.Bought, Tests: touched}}
	}
	o.Differences = m.differences
	if o.State == StateDiffers {
		return nil
	}
	if err := sound(trial, rigs, e.Rigs, a.known); err != nil {
		return err
	}
	for _, text := range a.gone {
		delete(a.texts[lotKey{e.Bulb.ID, name}], text)
	}
	for _, text := range a.pending {
		a.texts[lotKey{e.Bulb.ID, name}][text] = true
	}
	switch {
	case len(m.differences) > 0 && a.choices.Update:
		o.State = StateUpdated
	case filled || m.filled:
		o.State = StateAdded
	}
	bulb.Lots, a.c.Rigs = lots, rigs
	if there {
		a.c.Bulbs[place] = bulb
		return nil
	}
	o.Near = a.near(bulb)
	a.remember(bulb)
	a.index[bulb.ID] = len(a.c.Bulbs)
	a.c.Bulbs = append(a.c.Bulbs, bulb)
	return nil
}

func (a *applying) rigs(e Entry) ([]data.Rig, error) {
	rigs := a.c.Rigs
	for _, rig := range e.Rigs {
		have, there := a.c.Rig(rig.ID)
		if !there {
			rigs = append(slices.Clone(rigs), rig)
		} else if encodeCompact(have) != encodeCompact(rig) {
			return nil, fmt.Errorf("rig %q is in the catalog with other facts; it is not changed", rig.ID)
		}
	}
	return rigs, nil
}

// bulb lays the facts of a row over those of the bulb on file.
func (a *applying) bulb(have data.Bulb, e Entry, there bool, m *merging) (data.Bulb, error) {
	row := e.Bulb
	if !there {
		if row.Kind == "" {
			row.Kind = data.KindLED
		}
		if row.Source == "" {
			row.Source = "imported from " + baseName(a.file)
		}
		row.Lots = nil
		return row, nil
	}
	if row.Size != "" && !sameSize(a.known.Sizes, have.Size, row.Size) {
		return have, fmt.Errorf("bulb %q is in the catalog with size %s, not %s", have.ID, have.Size, row.Size)
	}
	row.Size = have.Size // the same, whatever name it was given
	if sameName(row.Name, have.Name) {
		row.Name = have.Name
	}
	if have.Price != nil && (row.Price == nil || row.Price.String() != have.Price.String()) && !m.update {
		row.Per = have.Per // how another price counts is not for this one
	}
	have.Lots = nil
	return merged(m, have, row), nil
}

// test finds the place of a row's test among those of its lot. touched are the
// tests to be checked.
func (a *applying) test(id [2]int, key lotKey, tests, touched []data.Test, t data.Test, m *merging, o *Outcome) (all, checked []data.Test, err error) {
	if _, ok := a.equal[id]; ok {
		return tests, touched, nil
	}
	best, fewest := -1, merging{}
	for k, have := range tests[:min(a.onFile[key], len(tests))] {
		if a.claimed[key][k] || !sameOccasion(have, t) {
			continue
		}
		try := merging{of: strings.TrimSpace(t.Rig+" "+t.Beam) + " " + string(t.Date)}
		merged(&try, have, t)
		if best < 0 || len(try.differences) < len(fewest.differences) {
			best, fewest = k, try
		}
	}
	text := encodeCompact(t)
	if a.texts[key] == nil {
		a.texts[key] = map[string]bool{}
		for _, have := range tests {
			a.texts[key][encodeCompact(have)] = true
		}
	}
	switch {
	case best >= 0 && (len(fewest.differences) == 0 || !a.choices.Second):
		a.claimed[key][best] = true
		fewest.update, fewest.differences = a.choices.Update, nil
		after := merged(&fewest, tests[best], t)
		m.differences = append(m.differences, fewest.differences...)
		if len(fewest.differences) > 0 && !a.choices.Update {
			o.State = StateDiffers
			return tests, touched, nil
		}
		a.gone = append(a.gone, encodeCompact(tests[best]))
		tests = slices.Clone(tests)
		tests[best] = after
		a.pending = append(a.pending, encodeCompact(after))
		m.filled = m.filled || fewest.filled
		return tests, append(touched, after), nil
	case a.texts[key][text] || slices.Contains(a.pending, text):
		return tests, touched, nil // the same row twice in one sheet
	}
	m.filled = true
	a.pending = append(a.pending, text)
	return append(tests, t), append(touched, t), nil
}

func sameSize(sizes []data.Size, a, b string) bool {
	x, _, ok1 := data.FindSize(sizes, a)
	y, _, ok2 := data.FindSize(sizes, b)
	return a == b || ok1 && ok2 && x.Size.Category == y.Size.Category
}

// sound checks a bulb with one row's tests by all the rules of its file.
func sound(b data.Bulb, rigs, fresh []data.Rig, known store.Knowledge) error {
	if _, err := store.Encode(b); err != nil {
		return err
	}
	for _, rig := range fresh {
		if _, err := store.Encode(rig); err != nil {
			return err
		}
	}
	check := data.Catalog{Bulbs: []data.Bulb{b}, Rigs: slices.Clone(fresh)}
	for _, lot := range b.Lots {
		for _, t := range lot.Tests {
			named := func(r data.Rig) bool { return r.ID == t.Rig }
			if at := slices.IndexFunc(rigs, named); at >= 0 && !slices.ContainsFunc(check.Rigs, named) {
				check.Rigs = append(check.Rigs, rigs[at])
			}
		}
	}
	check.Bulbs[0].AlsoFits = slices.Clone(b.AlsoFits)
	if faults := check.Validate(known.Sizes, known.Places).Wrong(); len(faults) > 0 {
		return faults
	}
	return nil
}
