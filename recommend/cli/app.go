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
	"stillbright/recommend/ask"
)

// Main runs the program and returns its exit code.
func Main(build Build, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	env := &Env{In: stdin, Out: &pipeWriter{w: stdout}, Err: stderr, Getenv: os.Getenv, Build: build}
	env.Screen, _ = stdout.(*os.File)
	// A reader that stops early (head, less) ends the program quietly.
	signal.Ignore(syscall.SIGPIPE)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	return env.Run(ctx, args)
}

// Run runs one command line in this environment.
func (env *Env) Run(ctx context.Context, args []string) int {
	if wantsVersion(args[1:]) {
		return env.report(env.showVersion(wantsJSON(args)), false)
	}
	app := env.app()
	if words, wanted := wantsHelp(args[1:]); wanted {
		return env.report(env.showHelp(app, words), false)
	}
	line := reorder(app.Commands, args[1:])
	err := app.RunContext(ctx, append(args[:1:1], line...))
	if err == nil && errors.Is(ctx.Err(), context.Canceled) {
		return exitCancelled
	}
	return env.report(err, wantsJSON(args))
}

func wantsJSON(args []string) bool {
	for _, arg := range args {
		if arg == "--" {
			return false
		}
		if arg == "--json" || arg == "-json" || arg == "--json=true" {
			return true
		}
	}
	return false
}

// report prints an error once, in the place and form the contract says, and
// returns the exit code.
func (env *Env) report(err error, asJSON bool) int {
	if err == nil {
		return exitDone
	}
	p := describe(err)
	if p.message == "" {
		return p.code
	}
	if asJSON {
		env.printJSON(recommend.Problem{
			Schema: "stillbright/error/1", Code: p.code, Message: p.message,
			Hint: recommend.Word(p.hint), At: recommend.Word(p.at),
		})
		return p.code
	}
	if len(p.faults) > 0 {
		for _, line := range strings.Split(p.faults.Error(), "\n") {
			fmt.Fprintln(env.Err, ask.Clean(line))
		}
		fmt.Fprintf(env.Err, "stillbright: %s; nothing was done\n", countOf(len(p.faults), "fault", "faults"))
		return p.code
	}
	fmt.Fprintln(env.Err, "stillbright: "+ask.Clean(p.message))
	if p.hint != "" {
		fmt.Fprintln(env.Err, "hint: "+ask.Clean(p.hint))
	}
	return p.code
}

// printJSON writes one document: snake_case, numbers unrounded, one newline.
func (env *Env) printJSON(document any) error {
	encoder := json.NewEncoder(env.Out)
	encoder.SetEscapeHTML(false)
	encoder.SetIndent("", "  ")
	return encoder.Encode(document)
}

func (env *Env) app() *cli.App {
	app := &cli.App{
		Name:                      "stillbright",
		Usage:                     "which LED bulb for this car and this drive, by measurement",
		UsageText:                 "stillbright VERB [flags] [arguments]",
		HideVersion:               true, // --version is answered by Run
		Commands:                  env.commands(),
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
				return env.print(appHelp(c.App))
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
					return env.print(verbHelp(parent, parent.Name))
				}
				return unknownVerb(parent.Name+" "+c.Args().First(), parent.Subcommands)
			}
		}
		env.closeTraps(command.Subcommands)
	}
}

func unknownVerb(name string, commands []*cli.Command) error {
	var names []string
	for _, command := range commands {
		if !command.Hidden {
			names = append(names, command.Name)
		}
	}
	last := name[strings.LastIndex(name, " ")+1:]
	hint := "legal: " + strings.Join(names, " ")
	if near := data.Near(last, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return usage(fmt.Sprintf("unknown command %q", name), hint)
}

// flagError turns the library's wording of a bad flag into ours.
func flagError(c *cli.Context, err error, _ bool) error {
	message := err.Error()
	name, undefined := strings.CutPrefix(message, "flag provided but not defined: -")
	if undefined {
		var names []string
		if c.Command != nil {
			for _, f := range c.Command.Flags {
				names = append(names, "--"+f.Names()[0])
			}
		}
		name = strings.TrimLeft(name, "-")
		hint := "see: stillbright " + c.Command.Name + " --help"
		if near := data.Near("--"+name, names); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return usage(fmt.Sprintf("unknown flag --%s", name), hint)
	}
	if name, missing := strings.CutPrefix(message, "flag needs an argument: "); missing {
		return usage(fmt.Sprintf("flag -%s needs a value", name), "")
	}
	return usage(message, "")
}
