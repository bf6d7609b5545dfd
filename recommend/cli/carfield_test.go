package cli

import "testing"

// The answer that is refused and what to write instead are two statements.
func TestCarFieldRefuses(t *testing.T) {
	volts := carField{key: "volts"}
	for text, want := range map[string]string{
		"13,4": `"13,4": a comma is not a decimal point here; write 13.4`,
		"lots": `"lots": a number must come first; for example 13.5V`,
	} {
		err := volts.check(text)
		if err == nil || err.Error() != want {
			t.Errorf("volts %q: %v, want %q", text, err, want)
		}
	}
}
