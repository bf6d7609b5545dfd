//go:build linux

package cli_test

import (
	"strings"
	"testing"

	"stillbright/recommend/ask/asktest"
)

// TestColourOnATerminal: colour is on a terminal only, and goes with NO_COLOR.
func TestColourOnATerminal(t *testing.T) {
	verb := []string{"law", "GB"}
	raw := func(extra ...string) string {
		command := program(t, verb...)
		command.Env = append(command.Env, extra...)
		screen := asktest.Run(t, 80, 24, command)
		screen.WaitEnd()
		return screen.Raw()
	}
	if !strings.Contains(raw(), "\x1b[1m") {
		t.Error("no headline stands out on a terminal")
	}
	if strings.Contains(raw("NO_COLOR=1"), "\x1b[") {
		t.Error("colour in spite of NO_COLOR")
	}
	out, err := program(t, verb...).Output()
	if err != nil || strings.Contains(string(out), "\x1b") {
		t.Errorf("%v: colour in a file", err)
	}
}
