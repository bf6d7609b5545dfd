package sheet

import (
	"strings"
	"unicode"

	"stillbright/data"
)

// nameKey is what two names must share for one to be a slip of the other: the
// size, every digit, and how many words they have. Names that differ in a digit
// are two products.
type nameKey struct {
	size, digits string
	words        int
}

type likeName struct {
	id    string
	words []string
}

// mostAlike is how many bulbs of one key a name is held against; a real catalog
// has a few, and a sheet of many thousand must not take their square.
const mostAlike = 1000

func (a *applying) nameOf(b data.Bulb) (nameKey, likeName) {
	size := b.Size
	if match, _, ok := data.FindSize(a.known.Sizes, size); ok {
		size = match.Size.Category
	}
	words := headWords(b.Name)
	digits := strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return r
		}
		return -1
	}, b.Name)
	return nameKey{size, digits, len(words)}, likeName{b.ID, words}
}

// remember enters a bulb for near.
func (a *applying) remember(b data.Bulb) {
	key, name := a.nameOf(b)
	if len(a.names[key]) < mostAlike {
		a.names[key] = append(a.names[key], name)
	}
}

// near finds a bulb of the same size whose name differs in one letter or sign: a slip
// would make a second bulb.
func (a *applying) near(b data.Bulb) string {
	key, name := a.nameOf(b)
	for _, other := range a.names[key] {
		slips := 0
		for i, word := range name.words {
			switch {
			case word == other.words[i]:
				continue
			case len(word) >= 4 && data.OneSlip(word, other.words[i]):
				slips++
			default:
				slips += 2
			}
			if slips > 1 {
				break
			}
		}
		if slips <= 1 {
			return other.id
		}
	}
	return ""
}
