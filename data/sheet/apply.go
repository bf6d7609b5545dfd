package sheet

import (
	"errors"
	"fmt"
	"slices"

	"stillbright/data"
	"stillbright/data/store"
)

// What became of a row.
const (
	StateAdded  = "added"  // something of it is new
	StateKnown  = "known"  // the catalog held all of it
	StateFailed = "failed" // nothing of it was taken
)

// Outcome is what a row becomes in a catalog.
type Outcome struct {
	Line  int
	State string
	Bulb  string // id
	New   bool   // the bulb was not in the catalog
	Lot   string
	Tests []data.Test // of the row
	Fault *data.Fault // why it failed
}

// Apply adds entries to a catalog, each whole or not at all. What a record
// holds already is never changed, only what is missing is filled in, and an
// equal test is not added again. sizes and places are those of store.Knowledge.
func Apply(c *data.Catalog, file string, entries []Entry, known store.Knowledge) []Outcome {
	index := map[string]int{}
	for i, b := range c.Bulbs {
		index[b.ID] = i
	}
	var list []Outcome
	for _, e := range entries {
		o := Outcome{Line: e.Line, Bulb: e.Bulb.ID, Lot: e.Lot.Name, Tests: e.Tests, State: StateKnown}
		if err := applyOne(c, index, e, known, &o); err != nil {
			fault := data.Fault{File: file, Line: e.Line, Col: 1, Message: err.Error()}
			var faults data.Faults
			if errors.As(err, &faults) && len(faults) > 0 {
				fault.Path, fault.Message, fault.Hint = faults[0].Path, faults[0].Message, faults[0].Hint
			}
			o.State, o.Fault = StateFailed, &fault
		}
		list = append(list, o)
	}
	return list
}

func applyOne(c *data.Catalog, index map[string]int, e Entry, known store.Knowledge, o *Outcome) error {
	rigs := c.Rigs
	for _, rig := range e.Rigs {
		have, there := c.Rig(rig.ID)
		if !there {
			rigs = append(slices.Clone(rigs), rig)
		} else if have.Origin = rig.Origin; encodeCompact(have) != encodeCompact(rig) {
			return fmt.Errorf("rig %q is in the catalog with other facts; it is not changed", rig.ID)
		}
	}
	place, there := index[e.Bulb.ID]
	bulb := e.Bulb
	var lots []data.Lot
	if there {
		bulb = c.Bulbs[place]
		lots = bulb.Lots
		if e.Bulb.Size != "" && !sameSize(known.Sizes, bulb.Size, e.Bulb.Size) {
			return fmt.Errorf("bulb %q is in the catalog with size %s, not %s", bulb.ID, bulb.Size, e.Bulb.Size)
		}
		bulb.Lots = nil
		if bulb.Price != nil {
			e.Bulb.Per = bulb.Per // how another price counts is not for this one
		}
		fillBlank(&bulb, e.Bulb)
	}
	o.New = !there
	lot := e.Lot
	at := slices.IndexFunc(lots, func(l data.Lot) bool { return l.Name == lot.Name })
	if at >= 0 {
		lot = lots[at]
		if lot.Bought == "" {
			lot.Bought = e.Lot.Bought
		} else if e.Lot.Bought != "" && e.Lot.Bought != lot.Bought {
			return fmt.Errorf("lot %q was bought on %s, not on %s", lot.Name, lot.Bought, e.Lot.Bought)
		}
	}
	trial := bulb
	if lot.Name != "" {
		trial.Lots = []data.Lot{{Name: lot.Name, Bought: lot.Bought, Tests: e.Tests}}
	}
	if err := sound(trial, rigs, e.Rigs, known); err != nil {
		return err
	}
	changed := !there || len(rigs) > len(c.Rigs)
	if there {
		before := c.Bulbs[place]
		before.Lots = nil
		changed = changed || encodeCompact(before) != encodeCompact(bulb)
	}
	if len(trial.Lots) > 0 {
		if at < 0 {
			lots, at, changed = append(slices.Clone(lots), data.Lot{Name: lot.Name}), len(lots), true
		} else {
			lots = slices.Clone(lots)
		}
		changed = changed || lots[at].Bought != lot.Bought
		lots[at].Bought = lot.Bought
		for _, t := range e.Tests {
			text := encodeCompact(t)
			if !slices.ContainsFunc(lots[at].Tests, func(o data.Test) bool { return o.Date == t.Date && encodeCompact(o) == text }) {
				lots[at].Tests, changed = append(slices.Clip(lots[at].Tests), t), true
			}
		}
	}
	if changed {
		o.State = StateAdded
	}
	bulb.Lots = lots
	c.Rigs = rigs
	if there {
		c.Bulbs[place] = bulb
		return nil
	}
	index[bulb.ID] = len(c.Bulbs)
	c.Bulbs = append(c.Bulbs, bulb)
	return nil
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
	check := data.Catalog{Bulbs: []data.Bulb{b}, Rigs: slices.Clone(rigs)}
	check.Bulbs[0].AlsoFits = slices.Clone(b.AlsoFits)
	if faults := check.Validate(known.Sizes, known.Places).Wrong(); len(faults) > 0 {
		return faults
	}
	return nil
}
