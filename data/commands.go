package data

import "unicode"

// Commands says whether a terminal may obey a character or a reader be misled by
// it: the control characters (C0, DEL, C1), the bidirectional controls, and the
// line ends of Unicode (properties Cc and Bidi_Control, U+2028, U+2029). Line end
// and tab are among them; who allows these looks at them first.
func Commands(r rune) bool {
	return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == 0x2028 || r == 0x2029
}
