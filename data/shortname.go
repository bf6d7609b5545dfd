package data

import (
	"strings"
	"unicode"
)

// idLetters are letters that stand in names and not in ids, as they are written
// without the mark. (The names of places drop the mark: plainLetters.)
var idLetters = map[rune]string{'ä': "ae", 'ö': "oe", 'ü': "ue", 'ß': "ss", 'é': "e", 'è': "e", 'ê': "e", 'á': "a", 'à': "a", 'â': "a", 'ç': "c", 'ñ': "n", 'ó': "o", 'ô': "o", 'í': "i", 'ú': "u", 'å': "a", 'ø': "o", 'æ': "ae"}

// shortNameMost leaves room in an id, which has 63 characters at most, for a
// number behind the name.
const shortNameMost = 60

// ShortName makes an id of a name: small letters, digits and hyphens, at most 61
// characters. It is empty for a name that has none of them. Two names can have
// the same short name.
func ShortName(name string) string {
	var out strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			out.WriteRune(r)
		case idLetters[r] != "":
			out.WriteString(idLetters[r])
		case r == '\'' || unicode.Is(unicode.Mn, r):
		case out.Len() > 0 && !strings.HasSuffix(out.String(), "-"):
			out.WriteByte('-')
		}
		if out.Len() >= shortNameMost {
			break
		}
	}
	return strings.Trim(out.String(), "-")
}
