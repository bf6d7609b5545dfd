package cli

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/store"
	"stillbright/recommend/plaintext"
)

func (env *Env) helpCommand() *cli.Command {
	return &cli.Command{
		Name: "help", Usage: "help on a verb or a topic",
		ArgsUsage:   "[VERB or TOPIC]",
		Description: strings.Join(plaintext.Wrap("Topics: "+strings.Join(helpTopics(), ", ")+".", helpWidth), "\n"),
		Action:      env.help,
	}
}

func helpTopics() []string {
	topics := append(known.HelpTopics(), "format", "man", "measure", "rules", "schemas")
	slices.Sort(topics)
	return topics
}

func (env *Env) help(c *cli.Context) error {
	words := c.Args().Slice()
	if len(words) == 0 {
		return env.printHelp(appHelp(c.App))
	}
	switch words[0] {
	case "format":
		text, ok := store.FormatHelp(strings.Join(words[1:], " "))
		if !ok {
			return usage("there is no file "+strings.Join(words[1:], " ")+" in the format", "legal: "+strings.Join(store.FormatParts(), " "))
		}
		return env.printHelp(text)
	case "man":
		return env.print(env.manPage(c.App))
	case "measure":
		return env.printHelp(measureHelp())
	case "rules":
		return env.printHelp(store.RulesHelp(known.Rules()))
	case "schemas":
		return env.schemas(words[1:])
	}
	if text, ok := known.HelpTopic(words[0]); ok {
		return env.printHelp(text)
	}
	command := find(c.App.Commands, words[0])
	if command != nil && len(words) > 1 {
		parent := command
		if command = find(parent.Subcommands, words[1]); command == nil && len(parent.Subcommands) > 0 {
			return unknownVerb(parent.Name+" "+words[1], parent.Subcommands)
		}
	}
	if command == nil {
		names := helpTopics()
		for _, verb := range c.App.Commands {
			names = append(names, verb.Name)
		}
		hint := "topics: " + strings.Join(helpTopics(), " ")
		if near := data.Near(words[0], names); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return usage("no help on "+strings.Join(words, " "), hint)
	}
	return env.printHelp(verbHelp(command, strings.Join(words, " "), env.width()))
}

// schemas lists the JSON Schemas, or prints one.
func (env *Env) schemas(words []string) error {
	if len(words) == 0 {
		return env.printHelp(schemasHelp())
	}
	text, ok := known.Schema(words[0])
	if !ok {
		return usage("there is no schema "+words[0], "legal: "+strings.Join(slices.Concat(known.SchemaNames(), known.FileSchemaNames()), " "))
	}
	return env.print(string(text))
}

func schemasHelp() string {
	list := func(names []string) string {
		return "  " + strings.Join(plaintext.Wrap(strings.Join(names, "  "), helpWidth-2), "\n  ") + "\n"
	}
	return `JSON Schemas

stillbright help schemas NAME prints one. A document names its own in its first
key: {"schema":"stillbright/pick/2"} is pick-2.

Documents that --json prints and catalog export writes:

` + list(known.SchemaNames()) + `
Files of a catalog, for editors that complete and check YAML:

` + list(known.FileSchemaNames()) + `
catalog start puts these into .schema in the catalog, and the examples name them
in their first line:

  # yaml-language-server: $schema=../.schema/bulb.json

To bring one up to date:

  stillbright help schemas yaml-bulb-1 > .schema/bulb.json

What a schema cannot say, such as a rig that is not there, catalog check says.
`
}
