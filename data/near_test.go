package data

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// Textbook distances: kitten/sitting 3 and Saturday/Sunday 3 are the usual worked
// examples of Levenshtein's distance; ca/abc is 3 by optimal string alignment (2 by
// the unrestricted distance), the usual example that tells the two apart.
func TestEditDistanceTextbook(t *testing.T) {
	tests := []struct {
		a, b string
		want int
	}{
		{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"ca", "abc", 3}, {"wsetern", "western", 1}, {"", "abc", 3}, {"abc", "", 3}, {"flaw", "lawn", 2}, {"ß", "s", 1},
	}
	for _, test := range tests {
		if got := editDistance([]rune(test.a), []rune(test.b)); got != test.want {
			t.Errorf("distance %q to %q = %d, want %d", test.a, test.b, got, test.want)
		}
	}
}

func TestEditDistanceIsSymmetric(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 1))
	word := func() []rune {
		letters := make([]rune, random.IntN(8))
		for i := range letters {
			letters[i] = 'a' + rune(random.IntN(3))
		}
		return letters
	}
	for range 2000 {
		a, b := word(), word()
		there, back := editDistance(a, b), editDistance(b, a)
		if there != back || (there == 0) != slices.Equal(a, b) || there > max(len(a), len(b)) {
			t.Fatalf("%q to %q: %d and %d", string(a), string(b), there, back)
		}
	}
}

func TestNear(t *testing.T) {
	tests := []struct {
		word       string
		candidates []string
		want       []string
	}{
		{"projecter", []string{"reflector", "projector"}, []string{"projector"}},
		{"HIHGWAY", []string{"city", "highway"}, []string{"highway"}},
		{"9055", []string{"9005", "9006", "H11"}, []string{"9005"}},
		{"fog", []string{"low", "high"}, []string{}},
		{"H77", []string{"H4", "H7", "H17", "D2S"}, []string{"H7", "H17"}},
		{"zzz", []string{"low", "high"}, []string{}},
		{"a", []string{"b", "c"}, []string{}},
		{"", []string{"a"}, []string{}},
		{"beam", []string{"beam", "beam", "bean"}, []string{"beam", "bean"}},
		{"aaaa1", []string{"aaaa2", "aaaa3", "aaaa4", "aaaa5"}, []string{"aaaa2", "aaaa3", "aaaa4"}},
	}
	for _, test := range tests {
		if got := Near(test.word, test.candidates); !slices.Equal(got, test.want) || got == nil {
			t.Errorf("Near(%q, %v) = %#v, want %v", test.word, test.candidates, got, test.want)
		}
	}
}

func FuzzNear(f *testing.F) {
	f.Add("higway", "highway")
	f.Add("\xff", "é")
	f.Fuzz(func(t *testing.T, word, candidate string) {
		if got := Near(word, []string{candidate}); len(got) > 1 || (len(got) == 1 && got[0] != candidate) {
			t.Fatalf("Near(%q, %q) = %q", word, candidate, got)
		}
	})
}
