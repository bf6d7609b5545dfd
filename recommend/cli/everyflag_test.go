package cli

import (
	"bytes"
	"strings"
	"testing"

	"stillbright/recommend/cli/wrong"

	"github.com/urfave/cli/v2"
)

// everyVerb calls visit for each verb that does something itself.
func everyVerb(commands []*cli.Command, path []string, visit func(path []string, command *cli.Command)) {
	for _, command := range commands {
		here := append(path[:len(path):len(path)], command.Name)
		if len(command.Subcommands) > 0 {
			everyVerb(command.Subcommands, here, visit)
			continue
		}
		visit(here, command)
	}
}

// TestEveryFlagIsGuarded: for each flag of each verb, a second value, an empty
// one, none at all and a wrong one for a switch are refused before anything is
// done, with the name of the flag, and only on standard error.
func TestEveryFlagIsGuarded(t *testing.T) {
	none := func(string) string { return "" }
	refused := func(says string, words ...string) {
		t.Helper()
		var out, err bytes.Buffer
		env := &Env{In: strings.NewReader(""), Out: &out, Err: &err, Getenv: none}
		if code := env.Run(t.Context(), append([]string{"stillbright"}, words...)); code != wrong.ExitUsage || !strings.Contains(err.String(), says) || out.Len() > 0 {
			t.Errorf("%q: exit code %d, %q, %q; want %q", words, code, out.String(), err.String(), says)
		}
	}
	flags := 0
	everyVerb((&Env{Getenv: none}).app((&Env{}).commands()).Commands, nil, func(path []string, command *cli.Command) {
		line := func(words ...string) []string { return append(path[:len(path):len(path)], words...) }
		if command.SkipFlagParsing || command.Hidden {
			return
		}
		refused("unknown flag --no-such-flag", line("x", "--no-such-flag")...)
		for _, f := range command.Flags {
			flags++
			name := f.Names()[0]
			if !takesValue(f) {
				refused("--"+name+"=maybe: must be true or false", line("--"+name+"=maybe")...)
				refused("--"+name+" is given twice", line("--"+name, "x", "--"+name+"=false")...)
				continue
			}
			if !mayBeBare(f) {
				refused("flag --"+name+" needs a value", line("x", "--"+name)...)
				refused("flag --"+name+" needs a value", line("--"+name, "--"+name, "1")...)
				refused("--"+name+" is empty", line("--"+name, " ")...)
				refused("--"+name+" is empty", line("--"+name+"=")...)
			}
			if !isList(f) {
				refused("--"+name+" is given twice", line("--"+name+"=1", "x", "--"+name, "2")...)
			}
			if isWhole(f) {
				refused("must be a whole number", line("--"+name, "0x10")...)
			}
		}
		var out bytes.Buffer
		env := &Env{In: strings.NewReader(""), Out: &out, Err: &out, Getenv: none}
		words := append([]string{"stillbright"}, line("x", "--", "--help")...)
		words[len(words)-2], words[len(words)-1] = "--help", "--"
		if code := env.Run(t.Context(), words); code != wrong.ExitDone || !strings.HasPrefix(out.String(), "stillbright "+strings.Join(path, " ")) {
			t.Errorf("%v --help: exit code %d, %q", path, code, out.String())
		}
	})
	if flags < 100 {
		t.Errorf("only %d flags were looked at", flags)
	}
}

// TestFlagThatVerbsReadDifferently: a name that is a switch of one verb and
// takes a value in another is read by the verb of the line.
func TestFlagThatVerbsReadDifferently(t *testing.T) {
	commands := []*cli.Command{
		{Name: "one", Flags: []cli.Flag{&cli.BoolFlag{Name: "mark"}}},
		{Name: "two", Flags: []cli.Flag{&cli.StringFlag{Name: "mark"}}},
	}
	for _, c := range []struct{ line, want string }{
		{"one --mark a", "one --mark -- a"},
		{"two --mark a", "two --mark a"},
		{"two b --mark a", "two --mark a -- b"},
		{"one b --mark a", "one --mark -- b a"},
	} {
		line := readCommandLine(commands, strings.Fields(c.line))
		if got := strings.Join(line.words(), " "); got != c.want {
			t.Errorf("%q becomes %q, want %q", c.line, got, c.want)
		}
	}
}
