package data

import (
	"slices"
	"strings"
)

// nearLongest bounds the work on text that is no name at all, in characters.
const nearLongest = 64

// nearMost is how many names a hint can hold.
const nearMost = 3

// Near returns the candidates that word may have been meant to be, nearest first
// and three at most; candidates at the same distance keep their order. Letter case
// does not count. The cut-off grows with the word: one slip up to four characters,
// two up to eight, then a third of the length. A word that equals a candidate is
// near it.
func Near(word string, candidates []string) []string {
	letters := []rune(strings.ToLower(strings.TrimSpace(word)))
	if len(letters) == 0 || len(letters) > nearLongest {
		return []string{}
	}
	limit := max(1, len(letters)/3)
	if len(letters) > 4 {
		limit = max(2, limit)
	}
	type scored struct {
		name     string
		distance int
	}
	var found []scored
	for _, name := range candidates {
		other := []rune(strings.ToLower(name))
		if len(other) > len(letters)+limit || len(letters) > len(other)+limit {
			continue
		}
		if distance := editDistance(letters, other); distance <= limit && distance < len(letters) {
			found = append(found, scored{name, distance})
		}
	}
	slices.SortStableFunc(found, func(a, b scored) int { return a.distance - b.distance })
	names := []string{}
	for _, f := range found {
		if len(names) < nearMost && !slices.Contains(names, f.name) {
			names = append(names, f.name)
		}
	}
	return names
}

// editDistance counts insertions, deletions, substitutions and swaps of neighbours
// (optimal string alignment: the Damerau-Levenshtein distance in which no stretch is
// edited twice).
func editDistance(a, b []rune) int {
	before := make([]int, len(b)+1)
	last := make([]int, len(b)+1)
	row := make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}

// OneSlip says whether two words differ by one letter changed, added or left out, or
// by two neighbours swapped. A word is no slip of itself.
func OneSlip(one, other string) bool {
	a, b := []rune(one), []rune(other)
	if len(a) > len(b) {
		a, b = b, a
	}
	i := 0
	for i < len(a) && a[i] == b[i] {
		i++
	}
	switch {
	case len(b)-len(a) > 1 || i == len(b):
		return false
	case len(a) < len(b):
		return slices.Equal(a[i:], b[i+1:])
	case slices.Equal(a[i+1:], b[i+1:]):
		return true
	}
	return i+1 < len(a) && a[i] == b[i+1] && a[i+1] == b[i] && slices.Equal(a[i+2:], b[i+2:])
}
