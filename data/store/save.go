package store

import (
	"fmt"
	"path"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
)

// currentFormat is the version of the file format that new records get.
const currentFormat = 1

// one makes a change that concerns one file, and tells what became of it.
func (w *Writer) one(folder, id string, edit func(*data.Catalog) error) (Saved, error) {
	saved, err := w.Change(edit)
	file := disk{label: w.folder}.name(path.Join(folder, id+".yaml"))
	for _, s := range saved {
		if s.File == file {
			return s, err
		}
	}
	return Saved{File: file}, err
}

// SaveBulb writes a new bulb, or lays b over the one of the same id: what b
// leaves out, and lots and tests it does not mention, stay in the file.
func (w *Writer) SaveBulb(b data.Bulb) (Saved, error) {
	return w.one(bulbsDir, b.ID, func(c *data.Catalog) error {
		if i := slices.IndexFunc(c.Bulbs, func(o data.Bulb) bool { return o.ID == b.ID }); i >= 0 {
			w.layBulb(&c.Bulbs[i], b)
			return nil
		}
		b.Origin, b.Format = "", currentFormat
		c.Bulbs = append(c.Bulbs, b)
		return nil
	})
}

// SaveRig writes a new rig, or lays r over the one of the same id.
func (w *Writer) SaveRig(r data.Rig) (Saved, error) {
	return w.one(rigsDir, r.ID, func(c *data.Catalog) error {
		if i := slices.IndexFunc(c.Rigs, func(o data.Rig) bool { return o.ID == r.ID }); i >= 0 {
			w.layRig(&c.Rigs[i], r)
			return nil
		}
		r.Origin, r.Format = "", currentFormat
		c.Rigs = append(c.Rigs, r)
		return nil
	})
}

// SaveCar writes a new car, or lays car over the one of the same id: its lamps
// are added or replaced by beam, and the others stay.
func (w *Writer) SaveCar(car data.Car) (Saved, error) {
	return w.one(carsDir, car.ID, func(c *data.Catalog) error {
		if i := slices.IndexFunc(c.Cars, func(o data.Car) bool { return o.ID == car.ID }); i >= 0 {
			w.layCar(&c.Cars[i], car)
			return nil
		}
		car.Origin, car.Format = "", currentFormat
		c.Cars = append(c.Cars, car)
		return nil
	})
}

// AddTest adds a test to a lot of a bulb, and makes the lot when it is new; an
// empty name means the only lot there is. bought may be empty. A test that the
// lot already has, equal in everything, is not added again, so that repeating a
// call that was interrupted is safe.
func (w *Writer) AddTest(bulbID, lotName string, bought data.Date, test data.Test) (Saved, error) {
	return w.one(bulbsDir, bulbID, func(c *data.Catalog) error {
		b, err := w.bulb(c, bulbID)
		if err != nil {
			return err
		}
		wrong := func(at, message, hint string) error {
			return data.Faults{{File: b.Origin, Path: at, Message: message, Hint: hint}}
		}
		name := lotName
		if name == "" {
			if len(b.Lots) != 1 {
				return wrong("lots", fmt.Sprintf("the bulb has %d lots, and the test does not say which it belongs to", len(b.Lots)), "name one: "+lotNames(b))
			}
			name = b.Lots[0].Name
		}
		i := slices.IndexFunc(b.Lots, func(l data.Lot) bool { return l.Name == name })
		if i < 0 {
			b.Lots = append(b.Lots, data.Lot{Name: name, Bought: bought, Tests: []data.Test{test}})
			return nil
		}
		lot := &b.Lots[i]
		switch {
		case lot.Bought == "":
			lot.Bought = bought
		case bought != "" && bought != lot.Bought:
			return wrong(fmt.Sprintf("lots[%d].bought", i), fmt.Sprintf("lot %q was bought on %s, not on %s", name, lot.Bought, bought), "give another purchase another name")
		}
		if !slices.ContainsFunc(lot.Tests, func(t data.Test) bool { return same(reflect.ValueOf(t), reflect.ValueOf(test)) }) {
			lot.Tests = append(lot.Tests, test)
		}
		return nil
	})
}

// SetPattern sets the beam pattern of the newest test of a bulb in a rig; beam
// is needed in a rig that does low and high, and may be empty in others.
func (w *Writer) SetPattern(bulbID, rigID, beam string, pattern data.PatternRecord) (Saved, error) {
	return w.one(bulbsDir, bulbID, func(c *data.Catalog) error {
		b, err := w.bulb(c, bulbID)
		if err != nil {
			return err
		}
		rig, known := c.Rig(rigID)
		var newest *data.Test
		for i := range b.Lots {
			for j := range b.Lots[i].Tests {
				t := &b.Lots[i].Tests[j]
				matches := t.Beam == beam || beam == "" || (t.Beam == "" && known && rig.Beam == beam)
				if t.Rig == rigID && matches && (newest == nil || t.Date >= newest.Date) {
					newest = t
				}
			}
		}
		switch {
		case newest == nil:
			return data.Faults{{File: b.Origin, Path: "lots", Message: strings.TrimSpace(fmt.Sprintf("bulb %q has no test in rig %q %s", bulbID, rigID, beam)), Hint: "add the test first: stillbright bench add"}}
		case known && rig.Beam == data.BeamBoth && beam == "":
			return data.Faults{{File: b.Origin, Path: "lots", Message: fmt.Sprintf("rig %q does low and high; the pattern has to say which", rigID), Hint: "name the beam: low or high"}}
		}
		newest.Pattern = &pattern
		return nil
	})
}

func (w *Writer) bulb(c *data.Catalog, id string) (*data.Bulb, error) {
	var ids []string
	for i := range c.Bulbs {
		if c.Bulbs[i].ID == id {
			return &c.Bulbs[i], nil
		}
		ids = append(ids, c.Bulbs[i].ID)
	}
	hint := ""
	if near := data.Near(id, ids); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return nil, data.Faults{{File: disk{label: w.folder}.name(bulbsDir), Message: fmt.Sprintf("there is no bulb %q", clip(id, 40)), Hint: hint}}
}

func lotNames(b *data.Bulb) string {
	names := make([]string, len(b.Lots))
	for i, lot := range b.Lots {
		names[i] = clip(lot.Name, 40)
	}
	return strings.Join(names, ", ")
}
