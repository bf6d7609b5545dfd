package recommend

import (
	"cmp"
	"slices"
	"strings"

	"stillbright/data"
)

// tried is a test that may speak for a bulb in the owner's lamp.
type tried struct {
	bulb *data.Bulb // the record the test stands in: the bulb itself or a sibling
	lot  *data.Lot
	test *data.Test
	rig  *data.Rig
}

// evidence is what the record holds on one bulb for one beam in one housing:
// the grade, and the tests of that grade made on the newest lot.
type evidence struct {
	grade    string
	tests    []tried
	olderLot string // an older lot of the same bulb that was tested as well
	newLot   string // a newer lot that was not tested, so that the tests are of an older one
}

// gather finds the tests that speak for a bulb.
//
// A maker may change a bulb under the same name, so only the newest lot with
// any date counts; an older lot is mentioned, never used in its place. Of
// several tests in one rig the newest counts. A sibling is another size of the
// same model, or this bulb in the lamp of another size, in the same housing.
func gather(c *index, bulb *data.Bulb, n Need, beam, housing string) evidence {
	own := c.testsOf(bulb)
	newest, older := NewestLot(bulb)
	mine := keep(own, func(t tried) bool { return t.lot.Name == newest && t.beam() == beam })
	like := keep(mine, func(t tried) bool { return t.rig.Size == n.Size && t.rig.Housing == housing })
	if len(like) > 0 {
		found := evidence{grade: EvidenceLike, tests: newestInRig(like)}
		if slices.ContainsFunc(own, func(t tried) bool { return t.lot.Name != newest }) {
			found.olderLot = older
		}
		return found
	}
	found := evidence{grade: EvidenceNone}
	if stale := keep(own, func(t tried) bool {
		return t.lot.Name != newest && t.beam() == beam && t.rig.Size == n.Size && t.rig.Housing == housing
	}); len(stale) > 0 {
		found.olderLot, found.newLot = stale[len(stale)-1].lot.Name, newest
	}
	siblings := keep(mine, func(t tried) bool { return t.rig.Housing == housing })
	for _, other := range c.model(bulb.Model) {
		if other.ID != bulb.ID {
			last, _ := NewestLot(other)
			siblings = append(siblings, keep(c.testsOf(other), func(t tried) bool {
				return t.lot.Name == last && t.rig.Housing == housing && t.beam() == beam
			})...)
		}
	}
	if len(siblings) > 0 {
		found.grade, found.tests = EvidenceSibling, newestInRig(siblings)
		return found
	}
	if others := keep(mine, func(t tried) bool { return t.rig.Size == n.Size }); len(others) > 0 {
		found.grade, found.tests = EvidenceOther, newestInRig(others)
	}
	return found
}

// beam is the beam a test is about: its own word, else the rig's.
func (t tried) beam() string {
	if t.test.Beam != "" {
		return t.test.Beam
	}
	return t.rig.Beam
}

// NewestLot names the lot that speaks for a bulb, and the one before it. Lots
// sort by the day they were bought, or where that is not on record by the day of
// their first test, then by name, so that the order in the file does not matter.
func NewestLot(bulb *data.Bulb) (newest, older string) {
	var first, second *data.Lot
	for i := range bulb.Lots {
		switch lot := &bulb.Lots[i]; {
		case first == nil || compareLots(lot, first) < 0:
			first, second = lot, first
		case second == nil || compareLots(lot, second) < 0:
			second = lot
		}
	}
	if first != nil {
		newest = first.Name
	}
	if second != nil {
		older = second.Name
	}
	return newest, older
}

// compareLots orders lots, the newest first.
func compareLots(a, b *data.Lot) int {
	return cmp.Or(cmp.Compare(firstDay(b), firstDay(a)), strings.Compare(b.Name, a.Name))
}

// firstDay is the day from which a lot is known to exist; a later test of an old lot
// makes it no newer.
func firstDay(l *data.Lot) data.Date {
	day := l.Bought
	if day != "" {
		return day
	}
	for i := range l.Tests {
		if date := l.Tests[i].Date; day == "" || date != "" && date < day {
			day = date
		}
	}
	return day
}

func LotsNewestFirst(bulb *data.Bulb) []data.Lot {
	lots := slices.Clone(bulb.Lots)
	slices.SortFunc(lots, func(a, b data.Lot) int { return compareLots(&a, &b) })
	return lots
}

// newestInRig keeps the newest test of each rig; on one day the last in a fixed
// order of content, so that the order in the file does not matter.
func newestInRig(tests []tried) []tried {
	slices.SortFunc(tests, func(a, b tried) int {
		for _, order := range []int{
			strings.Compare(a.rig.ID, b.rig.ID),
			strings.Compare(string(b.test.Date), string(a.test.Date)),
			strings.Compare(a.bulb.ID, b.bulb.ID),
			compareHot(a.test, b.test),
		} {
			if order != 0 {
				return order
			}
		}
		return 0
	})
	return slices.CompactFunc(tests, func(a, b tried) bool { return a.rig.ID == b.rig.ID })
}

// compareHot orders two tests of one day by their last reading, weaker first.
func compareHot(a, b *data.Test) int {
	last := func(t *data.Test) float64 {
		if len(t.Readings) == 0 {
			return 0
		}
		return t.Readings[len(t.Readings)-1].Lux
	}
	switch difference := last(a) - last(b); {
	case difference < 0:
		return -1
	case difference > 0:
		return 1
	}
	return 0
}

func keep(list []tried, want func(tried) bool) []tried {
	var kept []tried
	for _, t := range list {
		if want(t) {
			kept = append(kept, t)
		}
	}
	return kept
}
