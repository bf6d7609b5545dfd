package data

import (
	"testing"
	"unicode"

	"golang.org/x/text/unicode/bidi"
)

// Against the tables of golang.org/x/text: what is a bidirectional control by its
// class commands, what is a letter, a sign or a number does not. The marks of
// direction U+200E, U+200F and U+061C are letters by their class and controls by
// the property Bidi_Control (Unicode Standard Annex 9, section 2).
func TestCommands(t *testing.T) {
	controls := 0
	for r := rune(0); r <= unicode.MaxRune; r++ {
		props, _ := bidi.LookupRune(r)
		switch props.Class() {
		case bidi.LRO, bidi.RLO, bidi.LRE, bidi.RLE, bidi.PDF, bidi.LRI, bidi.RLI, bidi.FSI, bidi.PDI:
			if controls++; !Commands(r) {
				t.Errorf("%U does not command", r)
			}
		}
		if Commands(r) && (unicode.IsGraphic(r) || unicode.IsLetter(r)) {
			t.Errorf("%U commands", r)
		}
	}
	if controls != 9 {
		t.Errorf("%d controls of direction, want nine", controls)
	}
	for _, r := range "\x1b\x07\x7f\u009b\u2028\u2029\u200e\u200f\u061c" {
		if !Commands(r) {
			t.Errorf("%U does not command", r)
		}
	}
}
