package cli

import (
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data/known"
)

func (env *Env) completionCommand() *cli.Command {
	return &cli.Command{
		Name: "completion", Usage: "prints the script with which a shell completes what you type",
		ArgsUsage: strings.Join(known.CompletionShells(), " | "),
		Description: `The head of each script says what has to be there for the shell to find it.
Verbs, flags, sizes, places, bulbs, cars and rigs are completed, your own too:
the script asks the program at each TAB, so it never has to be made again.`,
		Action: env.completion,
	}
}

func (env *Env) completion(c *cli.Context) error {
	shells := known.CompletionShells()
	legal := "legal: " + strings.Join(shells, " ")
	if c.Args().Len() != 1 {
		return usage("completion wants the name of one shell", legal)
	}
	script, ok := known.CompletionScript(c.Args().First())
	if !ok {
		return usage("there is no completion for "+c.Args().First(), legal)
	}
	return env.print(script)
}
