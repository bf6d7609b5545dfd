package recommend

import (
	"testing"

	"stillbright/data"
)

// TestNewestLotByItsTests: where no day of purchase is on record, as after an import,
// the day of a lot's first test says how new it is, whatever it is called and
// wherever it stands in the file.
func TestNewestLotByItsTests(t *testing.T) {
	lot := func(name string, bought data.Date, tests ...data.Date) data.Lot {
		l := data.Lot{Name: name, Bought: bought}
		for _, day := range tests {
			l.Tests = append(l.Tests, data.Test{Date: day})
		}
		return l
	}
	for _, c := range []struct {
		why           string
		lots          []data.Lot
		newest, older string
	}{
		{"imported, then a lot of a lower name", []data.Lot{lot("imported", "", "2025-03-01"), lot("2026-05", "", "2026-05-20")}, "2026-05", "imported"},
		{"a purchase after the tests of an imported lot", []data.Lot{lot("2026-05", "2026-05-02", "2026-05-20"), lot("imported", "", "2025-03-01")}, "2026-05", "imported"},
		{"an old lot tested again stays the old one", []data.Lot{lot("imported", "", "2025-03-01", "2026-09-01"), lot("b", "", "2026-05-20")}, "b", "imported"},
		{"a purchase goes before the day of a late test", []data.Lot{lot("a", "2025-01-01", "2026-09-01"), lot("b", "2025-06-01", "2025-07-01")}, "b", "a"},
		{"a lot without any day is no newer", []data.Lot{lot("z", ""), lot("a", "", "2026-01-01")}, "a", "z"},
	} {
		for range 2 {
			newest, older := NewestLot(&data.Bulb{Lots: c.lots})
			if newest != c.newest || older != c.older {
				t.Errorf("%s: newest %q, older %q; want %q, %q", c.why, newest, older, c.newest, c.older)
			}
			c.lots[0], c.lots[1] = c.lots[1], c.lots[0]
		}
	}
}
