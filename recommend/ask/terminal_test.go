package ask

import (
	"strings"
	"testing"
)

func TestNoBell(t *testing.T) {
	var out strings.Builder
	for _, text := range []string{"a\ab\a\a", "\a", "plain"} {
		if n, err := NoBell(&out).Write([]byte(text)); n != len(text) || err != nil {
			t.Errorf("writing %q gives %d, %v", text, n, err)
		}
	}
	if out.String() != "abplain" {
		t.Errorf("got %q", out.String())
	}
}

func TestSizeWithoutTerminal(t *testing.T) {
	if columns, rows := Size(nil); columns != 80 || rows != 24 {
		t.Errorf("got %d x %d", columns, rows)
	}
	if IsTerminal(nil) {
		t.Error("no file is no terminal")
	}
}

func TestGateSwallowsWhatComesLate(t *testing.T) {
	var out strings.Builder
	g := &gate{to: &out}
	_, _ = g.Write([]byte("a"))
	_ = g.Close()
	if n, err := g.Write([]byte("late")); n != 4 || err != nil || out.String() != "a" {
		t.Errorf("got %d, %v, %q", n, err, out.String())
	}
}
