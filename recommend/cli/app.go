// Package cli is the command line: one file for each verb, from flags to
// options to the decision to the answer. It decides nothing itself.
package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
)

// Main runs the program and returns its exit code.
func Main(build Build, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	collectLate()
	env := &Env{In: stdin, Out: &pipeWriter{w: stdout}, Err: stderr, Getenv: os.Getenv, Build: build}
	env.Screen, _ = stdout.(*os.File)
	// A reader that stops early (head, less) ends the program quietly.
	signal.Ignore(syscall.SIGPIPE)
	stops := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) { // nohup
		stops = append(stops, syscall.SIGHUP) // a terminal that is closed
	}
	ctx, stop := signal.NotifyContext(context.Background(), stops...)
	defer stop()
	// The first signal stops before the next write; the second ends the program.
	context.AfterFunc(ctx, stop)
	return env.Run(ctx, args)
}

// Run runs one command line in this environment.
func (env *Env) Run(ctx context.Context, args []string) int {
	if len(args) > 1 && args[1] == completeVerb {
		return env.report(env.completeFor(args[2:]), false)
	}
	app, line := env.understood(args[1:])
	if line.help {
		return env.report(env.showHelp(app, &line), line.json)
	}
	if line.version && line.onlyJSON() {
		return env.report(env.showVersion(line.json), line.json)
	}
	if err := line.check(app.Commands); err != nil {
		return env.report(err, line.json)
	}
	if day := env.Getenv("STILLBRIGHT_TODAY"); day != "" {
		if _, err := data.ParseDate(day); err != nil {
			return env.report(usage(fmt.Sprintf("STILLBRIGHT_TODAY=%s is not a day", day), "STILLBRIGHT_TODAY=2026-11-25"), line.json)
		}
	}
	env.stop = ctx
	err := app.RunContext(ctx, append(args[:1:1], line.words()...))
	if err == nil && errors.Is(ctx.Err(), context.Canceled) && !env.wrote {
		return wrong.ExitCancelled
	}
	return env.report(withCatalog(err, line.value("catalog")), line.json)
}

// recordsCommand is a command in a hint that looks into the user's records.
var recordsCommand = data.LateRegexp(`stillbright (?:catalog (?:list|check)(?: --size \S+)?|car (?:list|add \S+)|bench add(?: \S+$)?)`)

// withCatalog has the commands of a hint name the folder that the command line
// named, so that they speak of the same records.
func withCatalog(err error, folder string) error {
	if err == nil || folder == "" {
		return err
	}
	p := describe(err)
	if p.hint == "" || p.faults != nil || strings.Contains(p.hint, "--catalog") {
		return err
	}
	hint := recordsCommand().ReplaceAllStringFunc(p.hint, func(command string) string { return command + catalogWord(folder) })
	if hint == p.hint {
		return err
	}
	return &wrong.UseError{Message: p.message, Hint: hint}
}

// understood takes the command line apart. The usual one begins with its verb and
// has no fault; then the other verbs are not even made. They are for whatever has
// to be explained.
func (env *Env) understood(args []string) (*cli.App, commandLine) {
	if len(args) > 0 {
		if only := env.commandNamed(args[0]); only != nil {
			app := env.app(only)
			if line := readCommandLine(only, args); !line.help && line.check(only) == nil {
				return app, line
			}
		}
	}
	app := env.app(env.commands())
	return app, readCommandLine(app.Commands, args)
}

// report prints an error once, in the place and form the contract says, and
// returns the exit code.
func (env *Env) report(err error, asJSON bool) int {
	if err == nil {
		return wrong.ExitDone
	}
	p := describe(err)
	if p.message == "" {
		return p.code
	}
	if asJSON {
		unsent := env.printJSON(recommend.Problem{
			Schema: "stillbright/error/1", Code: p.code, Message: p.message,
			Hint: recommend.Word(p.hint), At: recommend.Word(p.at),
		})
		if unsent == nil || describe(unsent).code == wrong.ExitDone {
			return p.code
		}
		// The document cannot be written: say it where there is still room.
	}
	if len(p.faults) > 0 {
		// One by one: a name of a file may hold a line end.
		for _, fault := range p.faults {
			fmt.Fprintln(env.Err, plaintext.Clean(fault.String()))
			if fault.Hint != "" {
				fmt.Fprintln(env.Err, "  hint: "+plaintext.Clean(fault.Hint))
			}
		}
		fmt.Fprintf(env.Err, "stillbright: %s; nothing was done\n", countOf(len(p.faults), "fault", "faults"))
		return p.code
	}
	fmt.Fprintln(env.Err, "stillbright: "+plaintext.Clean(p.message))
	if p.hint != "" {
		fmt.Fprintln(env.Err, "hint: "+plaintext.Clean(p.hint))
	}
	return p.code
}

// printJSON writes one document: snake_case, numbers unrounded, one newline.
// Characters that a terminal would obey are written as escapes, which mean the
// same to a reader of JSON.
func (env *Env) printJSON(document any) error {
	var text strings.Builder
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	if err := encoder.Encode(document); err != nil {
		return err
	}
	return env.print(escapeControls(text.String()))
}

// escapeControls changes JSON text only inside its strings: elsewhere no such
// character can stand but the line end.
func escapeControls(text string) string {
	isControl := func(r rune) bool {
		return r != '\n' && data.Commands(r)
	}
	if !strings.ContainsFunc(text, isControl) {
		return text
	}
	var out strings.Builder
	for _, r := range text {
		if isControl(r) {
			fmt.Fprintf(&out, `\u%04x`, r)
		} else {
			out.WriteRune(r)
		}
	}
	return out.String()
}

func (env *Env) app(commands []*cli.Command) *cli.App {
	app := &cli.App{
		Name:                      "stillbright",
		Usage:                     "which LED bulb for this car and this drive, by measurement",
		UsageText:                 "stillbright VERB [flags] [arguments]",
		HideVersion:               true, // --version is answered by Run
		Commands:                  commands,
		Reader:                    env.In,
		Writer:                    env.Out,
		ErrWriter:                 env.Err,
		DisableSliceFlagSeparator: true,
		HideHelp:                  true,
		// Errors are printed once, by report; the library must neither print
		// nor leave the program by itself.
		ExitErrHandler: func(*cli.Context, error) {},
		OnUsageError:   flagError,
		Action: func(c *cli.Context) error {
			if c.Args().Len() == 0 {
				return env.print(firstScreen)
			}
			return unknownVerb(c.Args().First(), c.App.Commands)
		},
	}
	env.closeTraps(app.Commands)
	return app
}

// closeTraps gives every command the handlers that the library does not
// inherit from the app.
func (env *Env) closeTraps(commands []*cli.Command) {
	for _, command := range commands {
		command.OnUsageError = flagError
		command.HideHelp = true
		if len(command.Subcommands) > 0 && command.Action == nil {
			parent := command
			command.Action = func(c *cli.Context) error {
				if c.Args().Len() == 0 {
					return env.printHelp(verbHelp(parent, parent.Name, env.width()))
				}
				return unknownVerb(parent.Name+" "+c.Args().First(), parent.Subcommands)
			}
		}
		env.closeTraps(command.Subcommands)
	}
}

// unknownVerb names the verbs that are near, or that begin with what was typed.
func unknownVerb(name string, commands []*cli.Command) error {
	var names, longer []string
	last := strings.ToLower(name[strings.LastIndex(name, " ")+1:])
	for _, command := range commands {
		if !command.Hidden {
			names = append(names, command.Name)
			if strings.HasPrefix(command.Name, last) {
				longer = append(longer, command.Name)
			}
		}
	}
	hint := "legal: " + strings.Join(names, " ")
	if near := append(longer, data.Near(last, names)...); len(near) > 0 {
		hint = "did you mean " + near[0] + "?"
	}
	if name == "version" {
		hint = "stillbright --version"
	}
	return usage(fmt.Sprintf("unknown command %q", name), hint)
}

// flagError is asked by the library for a bad flag that check has let through.
func flagError(_ *cli.Context, err error, _ bool) error { return usage(err.Error(), "") }
