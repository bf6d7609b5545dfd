package road

import (
	"slices"
	"strings"

	"stillbright/data"
)

// Cautions returns the cautions whose conditions all hold and whose exclusions do
// not, heaviest first and by id among equals, at most most of them (0 or less: none).
// Words that no caution knows change nothing. The order of both lists does not
// matter.
func Cautions(all []data.Caution, conditions []string, most int) []data.Caution {
	chosen := []data.Caution{}
	for _, caution := range all {
		holds := func(word string) bool { return slices.Contains(conditions, word) }
		wanted := func(word string) bool { return !holds(word) }
		if slices.ContainsFunc(caution.When, wanted) || slices.ContainsFunc(caution.Unless, holds) {
			continue
		}
		chosen = append(chosen, caution)
	}
	slices.SortStableFunc(chosen, func(a, b data.Caution) int {
		switch {
		case a.Weight > b.Weight:
			return -1
		case a.Weight < b.Weight:
			return 1
		}
		return strings.Compare(a.ID, b.ID)
	})
	return chosen[:max(0, min(most, len(chosen)))]
}
