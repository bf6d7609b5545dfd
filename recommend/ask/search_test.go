package ask

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

func TestSearchTiers(t *testing.T) {
	items := []string{
		"Velora Strata 2015", // 0
		"Strata",             // 1
		"Strata Tourer",      // 2
		"New-Strata_X",       // 3
		"Magistrata",         // 4
		"s t r a t a",        // 5
		"Süd trabant",        // 6: the letters in order, in one field
		"H11", "H1", "H13",   // 7, 8, 9
		"5 \u00b5m film",         // 10: micro sign
		"caf\u00e9", "\u212bhus", // 11, 12: composed e acute; Angstrom sign
		"2.5/H7", // 13
	}
	for _, test := range []struct {
		query string
		want  []int
	}{
		{"strata", []int{1, 2, 0, 3, 4, 5}},                  // equal, prefix, word prefix twice, substring, letters
		{"STRATA", []int{1, 2, 0, 3, 4, 5}},                  // case
		{" strata ", []int{1, 2, 0, 3, 4, 5}},                // spaces around
		{"strata vel", []int{0}},                             // words in any order
		{"new.strata/x", []int{3}},                           // separators are spaces
		{"h1", []int{8, 7, 9}},                               // equal first, then catalog order
		{"5 \u03bcm", []int{10}},                             // Greek mu finds the micro sign
		{"5 \u00b5M", []int{10}},                             // and the sign itself
		{"CAFE\u0301", []int{11}},                            // decomposed finds composed
		{"\u00e5hus", []int{12}},                             // a with ring finds the Angstrom sign
		{"2-5 h7", []int{13}},                                //
		{"sdtrbnt", []int{6}},                                // letters in order
		{"srtaat", []int{}},                                  // letters out of order: no spelling correction
		{"zzz", []int{}},                                     //
		{strings.Repeat("strata ", 6), []int{0, 1, 2, 3, 4}}, // over 32 characters: no letter tier
	} {
		if got := Search(test.query, items); !slices.Equal(got, test.want) {
			t.Errorf("Search(%q) = %v, want %v", test.query, got, test.want)
		}
	}
}

func TestSearchOfNothingFindsAllInOrder(t *testing.T) {
	items := []string{"b", "a", "", "c"}
	for _, query := range []string{"", " ", "/", "-_.", "\x00"} {
		if got := Search(query, items); !slices.Equal(got, []int{0, 1, 2, 3}) {
			t.Errorf("Search(%q) = %v", query, got)
		}
	}
	if got := Search("x", nil); got == nil || len(got) != 0 {
		t.Errorf("without items: %#v", got)
	}
}

// The adjacency bonus of the letter match overflows at 40 letters in a row;
// a long exact name must still come first.
func TestSearchLongQueryDoesNotOverflow(t *testing.T) {
	long := strings.Repeat("abcdefghij", 5)
	if got := Search(long, []string{"x" + long, long + long, long}); !slices.Equal(got, []int{2, 1, 0}) {
		t.Errorf("got %v", got)
	}
}

func FuzzSearch(f *testing.F) {
	f.Add("h 1", "H11\x00", "a-h1")
	f.Add("\u00b5\u0301", "\u03bc", "\xff\xfe")
	f.Fuzz(func(t *testing.T, query, one, two string) {
		items := []string{one, two, query}
		found := Search(query, items)
		if !slices.Contains(found, 2) {
			t.Fatalf("%q does not find itself: %v", query, found)
		}
		seen := map[int]bool{}
		for _, i := range found {
			if i < 0 || i >= len(items) || seen[i] {
				t.Fatalf("Search(%q, %q) = %v", query, items, found)
			}
			seen[i] = true
		}
		// Permutation: the same items are found in the other order.
		back := Search(query, []string{query, two, one})
		for i := range back {
			back[i] = 2 - back[i]
		}
		slices.Sort(back)
		slices.Sort(found)
		if !slices.Equal(back, found) {
			t.Fatalf("Search(%q, %q) depends on the order", query, items)
		}
	})
}

func BenchmarkSearch1000(b *testing.B) {
	items := make([]string, 1000)
	for i := range items {
		items[i] = fold(fmt.Sprintf("Velora Strata %d, low beam, projector", 1000+i))
	}
	for b.Loop() {
		searchFolded("strata 19", items)
	}
}

func ExampleSearch() {
	sizes := []string{"H1", "H11", "HB3 / 9005", "H7"}
	for _, i := range Search("9005", sizes) {
		fmt.Println(sizes[i])
	}
	for _, i := range Search("h1", sizes) {
		fmt.Println(sizes[i])
	}
	// Output:
	// HB3 / 9005
	// H1
	// H11
}

// Search is searchFolded over items as a catalog has them.
func Search(query string, items []string) []int {
	folded := make([]string, len(items))
	for i, item := range items {
		folded[i] = fold(item)
	}
	return searchFolded(query, folded)
}
