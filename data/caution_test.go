package data

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
)

// The tags of the file format and the list of condition words are one list.
func TestCautionConditions(t *testing.T) {
	record := reflect.TypeFor[Caution]()
	for _, name := range []string{"When", "Unless"} {
		field, _ := record.FieldByName(name)
		if tag := strings.Split(field.Tag.Get("enum"), "|"); !slices.Equal(tag, CautionConditions()) {
			t.Errorf("%s: tag %v, list %v", name, tag, CautionConditions())
		}
	}
}

func TestCautionsValidate(t *testing.T) {
	row := Caution{ID: "a", When: []string{CautionSnow}, Unless: []string{CautionBench}, Weight: 40, Short: "wipe the lamps"}
	if err := (Cautions{Cautions: []Caution{row}}).Validate(); err != nil {
		t.Fatal(err)
	}
	unknown, both, heavy, nan, long := row, row, row, row, row
	long.Short = strings.Repeat("x", 35)
	unknown.When = []string{"rainbow"}
	both.Unless = []string{CautionSnow}
	heavy.Weight, nan.Weight = 101, math.NaN()
	for want, list := range map[string][]Caution{
		"twice": {row, row}, "unknown condition": {unknown}, "both wanted and excluded": {both},
		"must be 0 to 100": {heavy}, "weight NaN": {nan}, "35 characters": {long}, "at least one": nil,
	} {
		if err := (Cautions{Cautions: list}).Validate(); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("error %v, want it to say %q", err, want)
		}
	}
}
