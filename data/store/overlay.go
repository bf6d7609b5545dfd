package store

import (
	"reflect"
	"slices"

	"stillbright/data"
)

// lay puts what is given in from over into, key by key: what from leaves out
// stays as it is. A list, and a group that may be missing as a whole (a
// pattern), is replaced by the one given.
func lay(into, from reflect.Value) {
	for _, f := range fieldsOf(into.Type()) {
		value := from.Field(f.index)
		switch {
		case omitted(value, field{}):
		case value.Kind() == reflect.Struct && !isScalar(value.Type()):
			lay(into.Field(f.index), value)
		default:
			into.Field(f.index).Set(clone(value))
		}
	}
}

// layBulb lays a bulb over the one in the file. Lots are told apart by name and
// tests by rig, beam and day; what the file has and from has not stays.
func (w *Writer) layBulb(into *data.Bulb, from data.Bulb) {
	from.Size = w.spelling(into.Size, from.Size)
	if len(from.AlsoFits) == len(into.AlsoFits) {
		from.AlsoFits = slices.Clone(from.AlsoFits)
		for i := range from.AlsoFits {
			from.AlsoFits[i] = w.spelling(into.AlsoFits[i], from.AlsoFits[i])
		}
	}
	lots := into.Lots
	for _, lot := range from.Lots {
		i := slices.IndexFunc(lots, func(l data.Lot) bool { return l.Name == lot.Name })
		if i < 0 {
			lots = append(lots, lot)
			continue
		}
		tests := layTests(lots[i].Tests, lot.Tests)
		lay(reflect.ValueOf(&lots[i]).Elem(), reflect.ValueOf(lot))
		lots[i].Tests = tests
	}
	approvals := into.Approval
	for _, approval := range from.Approval {
		if !slices.Contains(approvals, approval) {
			approvals = append(approvals, approval)
		}
	}
	lay(reflect.ValueOf(into).Elem(), reflect.ValueOf(from))
	into.Lots, into.Approval = lots, approvals
}

// layTests lays tests over those of a lot. An equal test is the same one; of
// the others, one of the same rig, beam and day is a correction, and the rest
// are new.
func layTests(into, from []data.Test) []data.Test {
	settled := make([]bool, len(into)) // may not be corrected any more
	var open []data.Test
	for _, test := range from {
		i := slices.IndexFunc(into, func(t data.Test) bool { return same(reflect.ValueOf(t), reflect.ValueOf(test)) })
		if i < 0 {
			open = append(open, test)
		} else {
			settled[i] = true
		}
	}
	for _, test := range open {
		i := 0
		for i < len(settled) && (settled[i] || into[i].Rig != test.Rig || into[i].Beam != test.Beam || into[i].Date != test.Date) {
			i++
		}
		if i < len(settled) {
			settled[i] = true
			lay(reflect.ValueOf(&into[i]).Elem(), reflect.ValueOf(test))
		} else {
			into = append(into, test)
		}
	}
	return into
}

func (w *Writer) layRig(into *data.Rig, from data.Rig) {
	from.Size = w.spelling(into.Size, from.Size)
	lay(reflect.ValueOf(into).Elem(), reflect.ValueOf(from))
}

// layCar lays a car over the one in the file. A lamp is told apart by its beam,
// and by its size where two lamps have one beam. The same size measured anew
// keeps what was not measured; another size is another lamp.
func (w *Writer) layCar(into *data.Car, from data.Car) {
	if place, _, ok := data.FindPlace(w.known.Places, into.Where); ok && place.Code == from.Where {
		from.Where = into.Where
	}
	lamps := into.Lamps
	for _, lamp := range from.Lamps {
		i := slices.IndexFunc(lamps, func(l data.Lamp) bool { return l.Beam == lamp.Beam && w.spelling(l.Size, lamp.Size) == l.Size })
		if i >= 0 {
			lamp.Size = lamps[i].Size
			lay(reflect.ValueOf(&lamps[i]).Elem(), reflect.ValueOf(lamp))
			continue
		}
		i = slices.IndexFunc(lamps, func(l data.Lamp) bool { return l.Beam == lamp.Beam })
		if i >= 0 {
			lamps[i] = lamp
		} else {
			lamps = append(lamps, lamp)
		}
	}
	lay(reflect.ValueOf(into).Elem(), reflect.ValueOf(from))
	into.Lamps = lamps
}

// spelling is how the file writes a size, when that and the new one are names
// of one category; else the new one.
func (w *Writer) spelling(written, size string) string {
	old, _, known := data.FindSize(w.known.Sizes, written)
	fresh, _, valid := data.FindSize(w.known.Sizes, size)
	if known && valid && old.Size.Category == fresh.Size.Category {
		return written
	}
	return size
}
