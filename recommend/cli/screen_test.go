package cli_test

import (
	"bytes"
	"context"
	"strings"
	"testing"

	"github.com/mattn/go-runewidth"

	"stillbright/data/known/knowntest"
	"stillbright/recommend/cli"
)

// run runs one command line in a process of no terminal and no user files.
func run(args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	env := &cli.Env{In: strings.NewReader(""), Out: &out, Err: &err, Getenv: func(name string) string {
		if name == "STILLBRIGHT_TODAY" {
			return "2026-11-25"
		}
		return ""
	}}
	code = env.Run(context.Background(), append([]string{"stillbright"}, args...))
	return code, out.String(), err.String()
}

// TestDefaultAnswerFitsOneScreen: for every lamp of every demo car, and for
// every demo size in both housings, the default answer fits 80 x 24 and holds
// no escape code.
func TestDefaultAnswerFitsOneScreen(t *testing.T) {
	demo := knowntest.Demo()
	var needs [][]string
	for _, car := range demo.Cars {
		for _, lamp := range car.Lamps {
			needs = append(needs, []string{"--car", car.ID, "--size", lamp.Size, "--beam", lamp.Beam})
		}
	}
	seen := map[string]bool{}
	for _, bulb := range demo.Bulbs {
		if !seen[bulb.Size] {
			seen[bulb.Size] = true
			needs = append(needs, []string{"--size", bulb.Size, "--housing", "reflector", "--volts", "12.1V", "--where", "DE"},
				[]string{"--size", bulb.Size, "--housing", "projector", "--budget", "70USD"})
		}
	}
	answers := 0
	for _, need := range needs {
		code, stdout, stderr := run(append([]string{"pick"}, need...)...)
		if code == 2 {
			continue // no halogen lamp: refused with a reason
		}
		if code != 0 && code != 3 {
			t.Errorf("%v: exit code %d: %s", need, code, stderr)
			continue
		}
		answers++
		lines := strings.Split(strings.TrimSuffix(stdout, "\n"), "\n")
		if len(lines) > 23 { // one row is left for the prompt
			t.Errorf("%v: %d lines", need, len(lines))
		}
		for _, line := range lines {
			if width := runewidth.StringWidth(line); width > 80 {
				t.Errorf("%v: %d columns: %s", need, width, line)
			}
		}
		if strings.Contains(stdout, "\x1b") {
			t.Errorf("%v: an escape code in piped output", need)
		}
		if !strings.HasPrefix(lines[1], "Law (") && !strings.HasPrefix(lines[1], "Law: no place given") {
			t.Errorf("%v: the second line is %q", need, lines[1])
		}
		if !strings.Contains(stdout, "Invented demo data") {
			t.Errorf("%v: does not say that the demo is invented", need)
		}
	}
	if answers < 30 {
		t.Errorf("only %d answers were looked at", answers)
	}
}
