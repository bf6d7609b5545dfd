package ask

import (
	"strings"
	"unicode"

	"github.com/sahilm/fuzzy"
	"golang.org/x/text/unicode/norm"

	"stillbright/recommend/plaintext"
)

// How search finds and orders
//
// Query and items are folded first: composed (NFC), without case, the micro
// sign as the Greek mu, and "-", "_", "/" and "." as spaces. Each item then
// falls into the best tier it reaches:
//
//	equal        the item is the query
//	prefix       the item begins with the query
//	word prefix  every word of the query begins a word of the item
//	substring    every word of the query is somewhere in the item
//	letters      every word of the query has its letters in the item, in order
//
// The result lists the tiers in this order and, inside a tier, keeps the order
// of the items. The score of the letter match is not used: it is not comparable
// between queries and overflows from 40 letters on, so that tier is left out
// for queries of more than 32 characters.
const (
	tierEqual = iota
	tierPrefix
	tierWordPrefix
	tierSubstring
	tierLetters
	tierNone
)

const longestLetterQuery = 32

// searchFolded returns the indices of the items that match query, best tier first
// and in the order of items inside a tier. The items are folded already. An empty
// query, or one of separators only, matches every item. The result is never nil.
func searchFolded(query string, folded []string) []int {
	query = fold(query)
	byTier := make([][]int, tierNone)
	words := strings.Fields(query)
	letters := len([]rune(query)) <= longestLetterQuery
	for i, item := range folded {
		if t := tierOf(query, words, item, letters); t != tierNone {
			byTier[t] = append(byTier[t], i)
		}
	}
	found := make([]int, 0, len(folded))
	for _, tier := range byTier {
		found = append(found, tier...)
	}
	return found
}

// tierOf compares a folded query and its words with a folded item. A field of
// the item ends at a line feed; the best field counts.
func tierOf(query string, words []string, item string, letters bool) int {
	if query == "" {
		return tierEqual
	}
	best := tierNone
	for field := range strings.SplitSeq(item, "\n") {
		best = min(best, tierOfField(query, words, field, letters))
	}
	return best
}

func tierOfField(query string, words []string, field string, letters bool) int {
	switch {
	case field == query:
		return tierEqual
	case strings.HasPrefix(field, query):
		return tierPrefix
	case every(words, func(word string) bool {
		return strings.HasPrefix(field, word) || strings.Contains(field, " "+word)
	}):
		return tierWordPrefix
	case every(words, func(word string) bool { return strings.Contains(field, word) }):
		return tierSubstring
	case letters && every(words, func(word string) bool {
		return len(fuzzy.FindNoSort(word, []string{field})) > 0
	}):
		return tierLetters
	}
	return tierNone
}

func every(words []string, ok func(string) bool) bool {
	for _, word := range words {
		if !ok(word) {
			return false
		}
	}
	return true
}

// fold brings spellings of the same name together. The result has single
// spaces, none at the ends, and no control characters.
func fold(text string) string {
	text = strings.Map(func(r rune) rune {
		switch r {
		case '-', '_', '/', '.':
			return ' '
		}
		// Up and down again joins the letters that share a capital: the micro
		// sign and mu, final and plain sigma.
		return unicode.ToLower(unicode.ToUpper(r))
	}, plaintext.Clean(text))
	text = norm.NFC.String(text)
	return strings.Join(strings.Fields(text), " ")
}
