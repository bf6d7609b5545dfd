package plaintext

import (
	"strings"

	"github.com/mattn/go-runewidth"
)

// Width is the number of terminal columns text takes: two for wide
// characters, none for combining ones.
func Width(text string) int {
	if n, ok := narrow(text); ok {
		return n
	}
	return runewidth.StringWidth(text)
}

// narrow counts text in which every character takes one column. It spares the
// start of a program the two megabytes of tables that runewidth builds at the
// first character beyond U+02FF, such as a dash.
func narrow(text string) (columns int, ok bool) {
	for _, r := range text {
		latin := r >= 0x20 && r < 0x7f || r >= 0xa0 && r < 0x300 && r != 0xad
		// Greek, dashes and quotes, primes, arrows and mathematics; wide in an East Asian locale.
		other := r >= 0x370 && r < 0x400 || r >= 0x2010 && r < 0x2028 || r >= 0x2030 && r < 0x205f || r >= 0x2190 && r < 0x2300
		if !latin && (!other || runewidth.EastAsianWidth) || latin && r > 0x7f && runewidth.EastAsianWidth {
			return 0, false
		}
		columns++
	}
	return columns, true
}

// Truncate shortens text to at most columns terminal columns, ending in sign
// where that fits. It never cuts through a character.
func Truncate(text string, columns int, sign string) string {
	if Width(text) <= columns {
		return text
	}
	if wide := Width(sign); columns > wide {
		return Cut(text, columns-wide) + sign
	}
	return Cut(text, columns)
}

// Cut is the longest beginning of text that takes at most columns.
func Cut(text string, columns int) string {
	if columns <= 0 {
		return ""
	}
	if n, ok := narrow(text); ok {
		return string([]rune(text)[:min(n, columns)])
	}
	return runewidth.Truncate(text, columns, "")
}

// Wrap breaks text at spaces into lines of at most columns terminal columns; a
// word that is longer is cut. Line ends in text are kept, control characters
// removed. With columns < 1 the lines are not broken.
func Wrap(text string, columns int) []string {
	var lines []string
	for _, paragraph := range strings.Split(text, "\n") {
		lines = append(lines, Hang("", "", paragraph, columns)...)
	}
	return lines
}

// Hang wraps one paragraph behind what its first and its other lines begin with.
func Hang(first, rest, text string, columns int) []string {
	var lines []string
	line, used, fresh := first, Width(first), true
	next := func() {
		lines = append(lines, strings.TrimRight(line, " "))
		line, used, fresh = rest, Width(rest), true
	}
	for _, word := range strings.Fields(Clean(text)) {
		size := Width(word)
		if !fresh && columns > 0 && used+1+size > columns {
			next()
		}
		for columns > used && used+size > columns {
			head := Cut(word, columns-used)
			if head == "" { // one wide character, one column: it must go somewhere
				break
			}
			line += head
			next()
			word = word[len(head):]
			size = Width(word)
		}
		if !fresh {
			line, used = line+" ", used+1
		}
		line, used, fresh = line+word, used+size, false
	}
	return append(lines, strings.TrimRight(line, " "))
}
