package data

import (
	"strings"
	"testing"
)

func TestCandelaOfARecord(t *testing.T) {
	minus := -0.4
	good := []BeamPoint{{0, 0, 5000}, {0, -1, 20000}, {2, -1, 30000}}
	for _, c := range []struct {
		name  string
		p     PatternRecord
		fault string // part of its message, empty for none
		path  string
	}{
		{"three directions", PatternRecord{Method: "grid", Candela: good, CutoffV: &minus}, "", ""},
		{"none", PatternRecord{Method: "grid"}, "", ""},
		{"a cutoff without intensities", PatternRecord{Method: "grid", CutoffV: &minus}, "but there are none", "stock_pattern.cutoff_v"},
		{"two directions", PatternRecord{Method: "grid", Candela: good[:2]}, "at least three directions", "stock_pattern.candela"},
		{"one line", PatternRecord{Method: "grid", Candela: []BeamPoint{{0, 0, 1}, {1, -1, 1}, {2, -2, 1}, {5, -5, 1}}}, "not on one line", "stock_pattern.candela"},
		{"one direction twice", PatternRecord{Method: "grid", Candela: append(good[:3:3], BeamPoint{0, -1, 7})}, "h 0, v -1 stands twice", "stock_pattern.candela[3]"},
		{"too many", PatternRecord{Method: "grid", Candela: make([]BeamPoint, 5001)}, "at most 5000", "stock_pattern.candela"},
	} {
		catalog := Catalog{Rigs: []Rig{{ID: "r", Size: "X1", Beam: BeamLow, Housing: Projector, Stock: &c.p}}}
		faults := catalog.Validate([]Size{{Category: "X1", Beams: []string{BeamLow}}}, nil)
		switch {
		case c.fault == "" && len(faults) > 0:
			t.Errorf("%s: %v", c.name, faults)
		case c.fault != "" && (len(faults) != 1 || !strings.Contains(faults[0].Message, c.fault) || faults[0].Path != c.path):
			t.Errorf("%s: %v, want %q at %s", c.name, faults, c.fault, c.path)
		}
	}
}
