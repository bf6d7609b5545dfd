package data

import (
	"strings"
	"testing"
)

func TestShortName(t *testing.T) {
	for name, want := range map[string]string{
		"Kestlo Prime S": "kestlo-prime-s", " -- Lueur été! ": "lueur-ete", "Größe 2": "groesse-2", "O'Hara": "ohara", "灯": "", "灯 Pro": "pro", "": "", "a__b": "a-b",
	} {
		if got := ShortName(name); got != want {
			t.Errorf("%q becomes %q, want %q", name, got, want)
		}
	}
	for _, long := range []string{strings.Repeat("a", 500), strings.Repeat("ä ", 200), strings.Repeat("ab-", 100)} {
		got := ShortName(long)
		if len(got) > 61 || got != ShortName(got) {
			t.Errorf("%d characters: %q", len(got), got)
		}
	}
}
