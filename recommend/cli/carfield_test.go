package cli

import (
	"slices"
	"testing"

	"stillbright/data"
	"stillbright/recommend/cli/entry"
)

// The answer that is refused and what to write instead are two statements.
func TestCarFieldRefuses(t *testing.T) {
	i := slices.IndexFunc(data.Facts(), func(f data.Fact) bool { return f.Key == "car.volts" })
	volts := entry.Field{Fact: data.Facts()[i]}
	for text, want := range map[string]string{
		"13,4": `"13,4": a comma is not a decimal point here; write 13.4`,
		"lots": `"lots": a number must come first; for example 13.5V`,
	} {
		err := volts.Check(text)
		if err == nil || err.Error() != want {
			t.Errorf("volts %q: %v, want %q", text, err, want)
		}
	}
}
