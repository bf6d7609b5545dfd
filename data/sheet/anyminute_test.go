package sheet

import (
	"fmt"
	"strings"
	"testing"

	"stillbright/data/known"
)

// The usual trip is half an hour; a reading at any other minute is read as well, however
// its heading says it.
func TestAReadingAtAnyMinute(t *testing.T) {
	for _, minute := range []float64{3, 12, 17, 27, 30, 45, 90} {
		for _, form := range []string{"Lux @ %gmin (proj)", "lux @%g min proj", "Projector lux lit %g min", "proj lux at %g", "Lux t=%gmin (projector)"} {
			head := fmt.Sprintf(form, minute)
			table, err := ReadTable(strings.NewReader("Bulb,Size,Date,"+head+"\nTallow,H11,2026-02-03,900\n"), "a.csv", "")
			if err != nil {
				t.Fatal(err)
			}
			read, err := Interpret(table, Mapping{}, benchOf(), known.Sizes())
			if err != nil {
				t.Errorf("%s: %v", head, err)
				continue
			}
			column := read.Mapping.Columns[3]
			if column.Means != meansLux || column.At == nil || *column.At != minute || column.Housing != "projector" {
				t.Errorf("%s: %s", head, encodeCompact(column))
			}
		}
	}
}
