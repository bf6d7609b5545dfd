package cli

import (
	"strings"
	"testing"
)

// TestStampsComeFirst: what the release script stamped is printed, not what the
// Go tool recorded.
func TestStampsComeFirst(t *testing.T) {
	build := Build{Version: "1.2.3", Commit: "abc123", Date: "2026-01-02T03:04:05Z"}
	var out strings.Builder
	env := &Env{Out: &out, Build: build}
	if err := env.showVersion(false); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"stillbright 1.2.3\n", "\ncommit abc123, 2026-01-02T03:04:05Z", "\ngo1."} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("%q is not in\n%s", want, out.String())
		}
	}
	if build.text() == (Build{Version: "1.2.4", Commit: "abc123"}).text() {
		t.Error("two versions have the same text, so answers of one would be taken for answers of the other")
	}
}
