package sheets_test

import (
	"testing"

	"stillbright/data/known/knowntest"
	"stillbright/recommend/sheets"
)

// TestLawTopicsKeepTheirText: scripts that read law/1 find the note of a topic in one
// text, and its statements beside it.
func TestLawTopicsKeepTheirText(t *testing.T) {
	k := knowntest.Knowledge()
	topics := 0
	for _, place := range k.Places {
		for _, note := range sheets.LawSheetFor(&k, place.Code, "", "2026-11-25").Notes {
			topics++
			if note.Text == "" || len(note.Says) == 0 {
				t.Errorf("%s, %s: text %q, statements %v", place.Code, note.Topic, note.Text, note.Says)
			}
		}
	}
	if topics == 0 {
		t.Error("no place has a topic")
	}
}
