package data

import (
	"reflect"
	"testing"
)

func TestMergeJoinsWords(t *testing.T) {
	shipped := Words{Sizes: Section{"H7": {"h7"}}, Driving: Section{"rural": {"lane", "lanes"}}}
	own := Words{Sizes: Section{"H7": {"h7", "479"}, "H4": {"472"}}, Asks: Section{"pick 12": {"gimme"}}}
	got := shipped.Merge(own)
	want := Words{Sizes: Section{"H7": {"h7", "479"}, "H4": {"472"}}, Driving: Section{"rural": {"lane", "lanes"}}, Asks: Section{"pick 12": {"gimme"}}}
	for i, table := range got.sections() {
		if other := want.sections()[i]; len(*table) != len(*other) || len(*table) > 0 && !reflect.DeepEqual(*table, *other) {
			t.Errorf("section %d: %v, want %v", i, *table, *other)
		}
	}
	if len(shipped.Sizes["H7"]) != 1 || len(own.Sizes["H7"]) != 2 {
		t.Error("merging changed what was merged")
	}
	fields := reflect.TypeOf(Words{}).NumField()
	if n := len(got.sections()); n != fields {
		t.Errorf("%d of %d sections are merged", n, fields)
	}
}
