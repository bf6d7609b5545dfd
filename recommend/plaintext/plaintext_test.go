package plaintext

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/mattn/go-runewidth"
)

func TestClean(t *testing.T) {
	for text, want := range map[string]string{
		"plain text, été, 前照灯, ≥ 5 µm": "plain text, été, 前照灯, ≥ 5 µm",
		"a\tb\r\nc\vd\fe":              "a b  c d e",
		"\x1b[31mred\x1b[0m\a\x7f":     "[31mred[0m",
		"\u009b31m":                    "31m",                      // CSI as a single C1 character
		"\u202egnp.exe\u202c":          "gnp.exe",                  // right-to-left override (UAX 9)
		"\u2066x\u2069\u200e\u200f":    "x",                        // isolates and marks (UAX 9)
		"\u061c\ufeffx\u00ad":          "x",                        // Arabic letter mark, byte order mark, soft hyphen
		"x\u2028y\u0085z":              "x y z",                    // line separators
		"\u0645\u06cc\u200c\u062e":     "\u0645\u06cc\u200c\u062e", // zero-width non-joiner, needed in Persian
		"\u0600\u0661":                 "\u0600\u0661",             // a visible format character
		"a\xffb":                       "a\ufffdb",
		"\x9b31m":                      "\ufffd31m", // C1 as a raw byte, for terminals in 8-bit mode
	} {
		if got := Clean(text); got != want {
			t.Errorf("Clean(%q) = %q, want %q", text, got, want)
		}
	}
}

func FuzzClean(f *testing.F) {
	f.Add("\x1b]0;x\a\u202e")
	f.Fuzz(func(t *testing.T, text string) {
		clean := Clean(text)
		if !utf8.ValidString(clean) || Clean(clean) != clean {
			t.Fatalf("Clean(%q) = %q", text, clean)
		}
		for _, r := range clean {
			if unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) {
				t.Fatalf("Clean(%q) keeps %U", text, r)
			}
		}
	})
}

func TestWidth(t *testing.T) {
	// East Asian Width (UAX 11): wide characters take two columns.
	for text, want := range map[string]int{
		"": 0, "abc": 3, "前照灯": 6, "e\u0301": 1, "é": 1, "x – y ≥ z": 9, "\u00b5m": 2, "Ａ": 2, "⚠": 1,
	} {
		if got := Width(text); got != want {
			t.Errorf("Width(%q) = %d, want %d", text, got, want)
		}
	}
}

// Every character counted without tables has the width of the tables.
func TestNarrowAgreesWithTheTables(t *testing.T) {
	strict := runewidth.Condition{StrictEmojiNeutral: true}
	for r := rune(0); r < 0x3000; r++ {
		if n, ok := narrow(string(r)); ok && n != strict.RuneWidth(r) {
			t.Errorf("%U: %d, the tables say %d", r, n, strict.RuneWidth(r))
		}
	}
}

func TestTruncate(t *testing.T) {
	for _, test := range []struct {
		text    string
		columns int
		want    string
	}{
		{"abcdef", 6, "abcdef"}, {"abcdef", 5, "ab..."}, {"abcdef", 3, "abc"}, {"abcdef", 0, ""}, {"abcdef", -1, ""},
		{"前照灯", 6, "前照灯"}, {"前照灯", 5, "前..."}, {"前照灯", 3, "前"}, {"前照灯", 1, ""}, {"≥≥≥≥≥", 4, "≥..."},
	} {
		if got := Truncate(test.text, test.columns, "..."); got != test.want {
			t.Errorf("Truncate(%q, %d) = %q, want %q", test.text, test.columns, got, test.want)
		}
	}
}

func TestWrap(t *testing.T) {
	for _, test := range []struct {
		text    string
		columns int
		want    string
	}{
		{"one two  three", 7, "one two|three"}, {"one two", 0, "one two"}, {"a\nb\n\nc", 9, "a|b||c"},
		{"abcdefgh i", 3, "abc|def|gh|i"}, {"前照灯 灯", 5, "前照|灯 灯"}, {"前", 1, "前"}, {"", 5, ""}, {"x\x1b[1my", 9, "x[1my"},
	} {
		if got := strings.Join(Wrap(test.text, test.columns), "|"); got != test.want {
			t.Errorf("Wrap(%q, %d) = %q, want %q", test.text, test.columns, got, test.want)
		}
	}
}

func FuzzWrap(f *testing.F) {
	f.Add("one 前照灯 two\n", 4)
	f.Fuzz(func(t *testing.T, text string, columns int) {
		for _, line := range Wrap(text, columns) {
			if columns >= 2 && Width(line) > columns {
				t.Fatalf("Wrap(%q, %d) has the line %q", text, columns, line)
			}
		}
		if columns >= 0 && Width(Truncate(Clean(text), columns, "…")) > columns {
			t.Fatalf("Truncate(%q, %d) is too wide", text, columns)
		}
	})
}
