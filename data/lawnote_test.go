package data_test

import (
	"slices"
	"testing"

	"stillbright/data"
)

func TestLawStatements(t *testing.T) {
	for note, want := range map[string][]data.LawStatement{
		"":                                     nil,
		"[read]":                               nil,
		"A [a] of 22[b].":                      {{"", "A [a] of 22[b]."}},
		"A. [memory] B; [read, weak] C":        {{"", "A."}, {"memory", "B;"}, {"read, weak", "C"}},
		"[read] Since (2021, from memory), A.": {{"read", "Since (2021, from memory), A."}},
		"[inferred[read] A":                    {{"", "[inferred"}, {"read", "A"}},
	} {
		if got := data.LawStatements(note); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", note, got, want)
		}
	}
}
