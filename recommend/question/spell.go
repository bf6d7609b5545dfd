package question

import "stillbright/data"

// A word of the mend list is found again although one letter is wrong, missing, doubled or swapped with its
// neighbour. The index holds, for each such word, the words left when one letter is taken out (and the word itself);
// two words within one slip of each other share such an entry.

// shortestMend is the least length of a word that is mended: below it too many words are neighbours.
const shortestMend = 5

// mixFrom and mixBy are the constants of the 64-bit FNV-1a hash (public domain, from memory).
const (
	mixFrom uint64 = 14695981039346656037
	mixBy   uint64 = 1099511628211
)

// hashWithout hashes s without the byte at place skip (-1: all of it).
func hashWithout(s string, skip int) uint64 {
	h := mixFrom
	for i := 0; i < len(s); i++ {
		if i != skip {
			h = (h ^ uint64(s[i])) * mixBy
		}
	}
	return h
}

// mendable puts a word into the index.
func (l *lexicon) mendable(right string) {
	if len(right) < shortestMend {
		return
	}
	for skip := -1; skip < len(right); skip++ {
		h := hashWithout(right, skip)
		l.slips[h] = append(l.slips[h], right)
	}
}

// mend gives the number of the one word that text is a slip of, 0 if there is none or more than one.
func (l *lexicon) mend(text string) int32 {
	if len(text) < shortestMend || len(text) > 24 || l.guarded[text] {
		return 0
	}
	meant := ""
	for skip := -1; skip < len(text); skip++ {
		for _, right := range l.slips[hashWithout(text, skip)] {
			if right != meant && right[0] == text[0] && data.OneSlip(text, right) {
				if meant != "" {
					return 0
				}
				meant = right
			}
		}
	}
	if meant == "" {
		return 0
	}
	return l.words[meant]
}
