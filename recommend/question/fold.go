package question

import (
	"html"
	"strings"
	"unicode/utf8"
)

// MaxBytes is the part of a question that is read. A longer text is cut there, and Understood.Truncated says so.
const MaxBytes = 8 << 10

// Signs that have no ASCII letter of their own stand as one byte each in folded text.
const (
	signPound byte = 0x80 + iota
	signEuro
	signYen
	signRupee
	signWon
	signDegree
)

// folded is a question in lower-case ASCII plus the sign bytes, with the place in the question of every byte.
type folded struct {
	text string
	at   []int32 // at[i] is the byte offset in the question of text[i]; one more for the end
	cut  bool
}

// fold lowers case, strips accents, control characters, terminal sequences and invisible marks, and maps
// look-alike letters, so that what is read does not depend on how it was typed.
func fold(question string) folded {
	f := folded{}
	if len(question) > MaxBytes {
		end := MaxBytes
		for end > MaxBytes-utf8.UTFMax && !utf8.RuneStart(question[end]) {
			end--
		}
		question, f.cut = question[:end], true
	}
	out := make([]byte, 0, len(question)+16)
	f.at = make([]int32, 0, len(question)+17)
	for i := 0; i < len(question); {
		r, size := rune(question[i]), 1
		if r >= utf8.RuneSelf {
			r, size = utf8.DecodeRuneInString(question[i:])
		}
		if r == 0x1b {
			size = escapeLength(question[i:])
		} else if r == '&' {
			var text string
			text, size = reference(question[i:])
			for _, meant := range text {
				out = appendFolded(out, meant)
			}
		} else {
			out = appendFolded(out, r)
		}
		for len(f.at) < len(out) {
			f.at = append(f.at, int32(i))
		}
		i += size
	}
	f.at = append(f.at, int32(len(question)))
	f.text = string(out)
	return f
}

// appendFolded adds what one rune becomes.
func appendFolded(out []byte, r rune) []byte {
	switch {
	case 'A' <= r && r <= 'Z':
		return append(out, byte(r)+'a'-'A')
	case ' ' <= r && r < 0x7f || r == '\n':
		return append(out, byte(r))
	}
	return append(out, foldRune(r)...)
}

// longestReference bounds the look for the end of an HTML reference, in bytes.
const longestReference = 12

// reference reads the HTML reference at the start of s, which begins with an ampersand: text copied from a web page
// brings them along.
func reference(s string) (text string, size int) {
	if end := strings.IndexByte(s[:min(len(s), longestReference)], ';'); end > 0 {
		if text := html.UnescapeString(s[:end+1]); text != s[:end+1] {
			return text, end + 1
		}
	}
	return "&", 1
}

// otherDigits are the first of ten digits each: Arabic, Persian, Devanagari, Bengali, Thai.
var otherDigits = [...]rune{0x660, 0x6f0, 0x966, 0x9e6, 0xe50}

// styled folds digits of other scripts and the letters and digits of the mathematical alphabets (U+1D400 to U+1D7FF),
// which people paste as bold or italic text.
func styled(r rune) (byte, bool) {
	for _, zero := range otherDigits {
		if r >= zero && r <= zero+9 {
			return byte('0' + r - zero), true
		}
	}
	switch {
	case 0x1d400 <= r && r <= 0x1d6a3: // thirteen alphabets of 26 capitals and 26 small letters
		return byte('a' + (r-0x1d400)%26), true
	case 0x1d7ce <= r && r <= 0x1d7ff:
		return byte('0' + (r-0x1d7ce)%10), true
	}
	return 0, false
}

// escapeLength is the length of the terminal sequence at the start of s: ESC [ … letter, or ESC alone.
func escapeLength(s string) int {
	if len(s) < 2 || s[1] != '[' {
		return 1
	}
	for i := 2; i < len(s) && i < 32; i++ {
		if s[i] >= 0x40 && s[i] <= 0x7e {
			return i + 1
		}
		if s[i] < 0x20 {
			return i
		}
	}
	return 2
}

// latin folds U+00C0 to U+017F; a space leaves nothing behind.
const latin = "aaaaaaaceeeeiiiidnooooo*ouuuuytsaaaaaaaceeeeiiiidnooooo/ouuuuyty" +
	"aaaaaaccccccccddddeeeeeeeeeegggggggghhhhiiiiiiiiiiiijjkkkllllllllllnnnnnnnnnoooooooorrrrrrssssssss" +
	"ttttttuuuuuuuuuuuuwwyyyzzzzzzs"

// foldRune gives the ASCII (and sign bytes) for one rune outside printable ASCII; "" drops it.
func foldRune(r rune) string {
	switch {
	case r == '×':
		return "x"
	case r == 'ß':
		return "ss"
	case 0xc0 <= r && r <= 0x17f:
		return latin[r-0xc0 : r-0xc0+1]
	case 0x300 <= r && r <= 0x36f, 0x200b <= r && r <= 0x200f, 0x202a <= r && r <= 0x202e, 0x2060 <= r && r <= 0x206f, 0x20d0 <= r && r <= 0x20ff,
		r == 0xad, r == 0xfeff, 0xfe00 <= r && r <= 0xfe0f:
		return ""
	case 0xff01 <= r && r <= 0xff5e:
		b := byte(r - 0xff01 + '!')
		if 'A' <= b && b <= 'Z' {
			b += 'a' - 'A'
		}
		return string(rune(b))
	}
	if s, ok := signs[r]; ok {
		return s
	}
	if b, ok := styled(r); ok {
		return string(rune(b))
	}
	if r < 0x20 || r == 0x7f || 0x80 <= r && r < 0xa0 && r != 0x85 {
		if r == '\t' {
			return " "
		}
		if r == '\r' || r == '\v' || r == '\f' {
			return "\n"
		}
		return ""
	}
	return " "
}

// signs folds single signs and look-alike letters. It is never written to.
var signs = map[rune]string{
	'£': string([]byte{signPound}), '€': string([]byte{signEuro}), '¥': string([]byte{signYen}), '₹': string([]byte{signRupee}),
	'₩': string([]byte{signWon}), '°': string([]byte{signDegree}), 'º': string([]byte{signDegree}), '˚': string([]byte{signDegree}),
	'℃': string([]byte{signDegree, 'c'}), '℉': string([]byte{signDegree, 'f'}),
	'‘': "'", '’': "'", 'ʼ': "'", '′': "'", '´': "'", '`': "'", '‛': "'", '“': "\"", '”': "\"", '„': "\"", '″': "\"", '‟': "\"",
	'‐': "-", '‑': "-", '‒': "-", '–': "-", '−': "-", '—': " - ", '―': " - ", '…': ". ", '⁄': "/", '∕': "/",
	'½': " 1/2", '¼': " 1/4", '¾': " 3/4", '⅛': " 1/8", '⅜': " 3/8", '⅝': " 5/8", '⅞': " 7/8", '⅓': " 1/3", '⅔': " 2/3",
	'²': "2", '³': "3", '¹': "1", '⁰': "0", '\u2028': "\n", '\u2029': "\n", '\u0085': "\n", '＄': "$", '￡': string([]byte{signPound}), '。': ".", '、': ",",
	'а': "a", 'в': "b", 'е': "e", 'к': "k", 'м': "m", 'н': "h", 'о': "o", 'р': "p", 'с': "c", 'т': "t", 'у': "y", 'х': "x", 'і': "i", 'ѕ': "s", 'ј': "j", 'һ': "h", 'ո': "n",
	'А': "a", 'В': "b", 'Е': "e", 'К': "k", 'М': "m", 'Н': "h", 'О': "o", 'Р': "p", 'С': "c", 'Т': "t", 'У': "y", 'Х': "x",
	'Α': "a", 'Β': "b", 'Ε': "e", 'Η': "h", 'Κ': "k", 'Μ': "m", 'Ο': "o", 'Ρ': "p", 'Τ': "t", 'Χ': "x",
}
