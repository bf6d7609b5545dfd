package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"syscall"
	"testing"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/wrong"
)

func TestCommandLineOrder(t *testing.T) {
	commands := (&Env{Getenv: func(string) string { return "" }}).app((&Env{}).commands()).Commands
	for _, c := range []struct{ line, want string }{
		{"pick --size H11", "pick --size H11"},
		{"fit a --car b", "fit --car b -- a"},
		{"fit --car b a", "fit --car b -- a"},
		{"--json fit a --car b", "fit --json --car b -- a"},
		{"fit a --full", "fit --full -- a"},
		{"fit -- --odd-name", "fit -- --odd-name"},
		{"size --json HCR E2", "size --json -- HCR E2"},
		{"catalog list --size H7", "catalog list --size H7"},
		{"catalog --size H7 list", "catalog list --size H7"},
		{"pick --trip=10min --size H7", "pick --trip=10min --size H7"},
		{"pick --volts -3", "pick --volts -3"},
		{"size -- pick", "size -- pick"},
		{"", ""},
	} {
		line := readCommandLine(commands, strings.Fields(c.line))
		got := strings.Join(line.words(), " ")
		if got != c.want {
			t.Errorf("%q becomes %q, want %q", c.line, got, c.want)
		}
	}
}

// FuzzCommandLine: no word is lost or made up, whatever the order.
func FuzzCommandLine(f *testing.F) {
	f.Add("fit a --car b -- --json c")
	f.Add("--json --size -- H11")
	commands := (&Env{Getenv: func(string) string { return "" }}).app((&Env{}).commands()).Commands
	f.Fuzz(func(t *testing.T, line string) {
		words := strings.Fields(line)
		parsed := readCommandLine(commands, slices.Clone(words))
		if parsed.help {
			return // the help is printed, and the line not used
		}
		got := parsed.words()
		count := map[string]int{}
		for _, word := range words {
			count[word]++
		}
		for _, word := range got {
			count[word]--
		}
		count["--"] = 0 // a mark may be added or merged
		for word, n := range count {
			if n != 0 {
				t.Errorf("%q: %q occurs %d times too few", line, word, n)
			}
		}
	})
}

// TestEveryErrorHasItsCode: the table of the contract.
func TestEveryErrorHasItsCode(t *testing.T) {
	_, wrongUnit := quantity.Parse("3 lx", "mm")
	for _, c := range []struct {
		err  error
		code int
		says string
	}{
		{errors.New("disk on fire"), wrong.ExitFailed, "disk on fire"},
		{usage("no such verb", "try pick"), wrong.ExitUsage, "no such verb"},
		{fmt.Errorf("pick: %w", usage("no such verb", "")), wrong.ExitUsage, "no such verb"},
		{&recommend.NeedError{Message: "no size", Hint: "--size H11"}, wrong.ExitUsage, "no size"},
		{wrongUnit, wrong.ExitUsage, "3 lx"},
		{&fs.PathError{Op: "open", Path: "grid.csv", Err: fs.ErrNotExist}, wrong.ExitUsage, "grid.csv: there is no such file"},
		{exitError(wrong.ExitNothing), wrong.ExitNothing, ""},
		{data.Faults{{File: "a.yaml", Line: 2, Col: 3, Path: "size", Message: "is wrong"}}, wrong.ExitBadData, "a.yaml:2:3: size: is wrong"},
		{fmt.Errorf("walk: %w", ask.ErrCancelled), wrong.ExitCancelled, "cancelled"},
		{&fs.PathError{Op: "write", Path: "stdout", Err: syscall.EPIPE}, wrong.ExitDone, ""},
	} {
		p := describe(c.err)
		if p.code != c.code || !strings.Contains(p.message, c.says) || c.says == "" && p.message != "" {
			t.Errorf("%v: code %d and %q, want %d and %q", c.err, p.code, p.message, c.code, c.says)
		}
	}
}
