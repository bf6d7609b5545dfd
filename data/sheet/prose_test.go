package sheet

import (
	"strings"
	"testing"

	"stillbright/data/known"
)

// A text in which commas make a row of headings by chance is no table; one in which
// titles and notes are more than the rows is.
func TestProseIsNoTable(t *testing.T) {
	for text, want := range map[string]bool{
		"I tried one bulb, its lux, and the date.\nIt went well.\nThen it rained, a lot.\nNo more that day.\nThe end.\n":                         true,
		"bulb,size,date,0 min,30 min\nH11 projector\nB-9,H11,2026-01-14,1200,1000\nfan loud\nH11 projector\nC-1,H11,2026-01-15,900,880\nglare\n": false,
	} {
		table, err := ReadTable(strings.NewReader(text), "x.csv", "")
		if err != nil {
			t.Fatal(err)
		}
		_, err = Interpret(table, Mapping{}, benchOf(), known.Sizes())
		if got := err != nil && strings.Contains(err.Error(), "a text and no table"); got != want {
			t.Errorf("%q: %v", text, err)
		}
	}
}
