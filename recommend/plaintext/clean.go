// Package plaintext is text for a terminal or a file of lines: what must not reach
// it is removed, its columns are counted, and it is cut and wrapped by them. It
// knows no terminal.
package plaintext

import (
	"strings"
	"unicode"

	"stillbright/data"
)

// Clean makes text of a file or a viewer safe to show on one line of a
// terminal. Line ends and tabs become a space. Other control characters (C0,
// DEL, C1), the bidirectional controls and invisible format characters are
// removed; bytes that are not UTF-8 become U+FFFD. The joiners U+200C and
// U+200D stay, some scripts need them.
func Clean(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\t' || r == '\n' || r == '\v' || r == '\f' || r == '\r' || r == 0x85 || r == 0x2028 || r == 0x2029:
			return ' '
		case unicode.IsControl(r):
			return -1
		case r == 0x200C || r == 0x200D || unicode.Is(unicode.Prepended_Concatenation_Mark, r):
			return r
		case unicode.Is(unicode.Cf, r):
			return -1
		}
		return r
	}, text)
}

// CleanLines is Clean for text of many lines that the program has laid out: line
// ends, tabs and invisible format characters stay; what moves a cursor or turns
// the order of letters goes.
func CleanLines(text string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && r != '\t' && data.Commands(r) {
			return -1
		}
		return r
	}, text)
}
