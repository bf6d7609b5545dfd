package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/recommend/plaintext"
)

// The help is written here and not by the library's templates: they cannot
// keep a flag's line to the width, and parsing them costs time.

// showHelp prints the help of the verb that the line names, or of the whole
// program.
func (env *Env) showHelp(app *cli.App, line *commandLine) error {
	if err := line.checkVerbs(app.Commands); err != nil && len(line.rest) > 0 {
		return err
	}
	if line.command == nil {
		return env.printHelp(appHelp(app))
	}
	return env.printHelp(verbHelp(line.command, strings.Join(line.verbs, " "), env.width()))
}

func appHelp(app *cli.App) string {
	var text strings.Builder
	fmt.Fprintf(&text, `stillbright: %s

Start here
  stillbright pick --size H11 --housing projector --driving rural
  stillbright pick                 asks instead, on a terminal
  stillbright fit BULB --car CAR   one bulb in one car, check by check
  stillbright law GB               what is known of the rules

Verbs
`, app.Usage)
	verbLines(&text, app.Commands)
	fmt.Fprintf(&text, `
Flags work before and after arguments; stillbright VERB --help lists them.
A quantity takes its unit: 55mm, 2.25in, 30min, 90km/h, 60USD.
More on one of these, with stillbright help TOPIC:
%s
Exit codes: 0 done, 1 failed, 2 wrong use, 3 nothing suits, 4 bad data,
130 cancelled. stillbright --version prints the version.
`, "  "+strings.Join(plaintext.Wrap(strings.Join(helpTopics(), ", "), helpWidth-2), "\n  "))
	return text.String()
}

func verbLines(text *strings.Builder, commands []*cli.Command) {
	for _, command := range commands {
		if !command.Hidden {
			nameAndText(text, fmt.Sprintf("  %-11s", command.Name), command.Usage)
		}
	}
}

// helpWidth keeps help to a narrow terminal's width.
const helpWidth = 80

// nameAndText writes a name and its text, wrapped with a hanging indent.
func nameAndText(text *strings.Builder, name, usage string) {
	indent := len(name) + 1
	for i, line := range plaintext.Wrap(usage, helpWidth-indent) {
		if i == 0 {
			text.WriteString(name + " " + line + "\n")
		} else {
			text.WriteString(strings.Repeat(" ", indent) + line + "\n")
		}
	}
}

func verbHelp(command *cli.Command, path string, width int) string {
	var text strings.Builder
	for _, line := range plaintext.Wrap("stillbright "+path+": "+command.Usage, helpWidth) {
		text.WriteString(line + "\n")
	}
	text.WriteString("\n  stillbright " + path)
	if len(command.Subcommands) > 0 {
		text.WriteString(" VERB")
	}
	if arguments := strings.TrimSpace(command.ArgsUsage); arguments != "" {
		text.WriteString(" " + arguments)
	}
	if len(command.Flags) > 0 {
		text.WriteString(" [flags]")
	}
	text.WriteString("\n")
	if command.Description != "" {
		text.WriteString("\n")
		for _, line := range strings.Split(strings.TrimSpace(command.Description), "\n") {
			text.WriteString(strings.Join(plaintext.Wrap(line, helpWidth), "\n") + "\n")
		}
	}
	if list := examplesOf(command, path); len(list) > 0 {
		text.WriteString("\nExamples\n" + exampleLines(list, min(width, helpWidth)))
	}
	if len(command.Subcommands) > 0 {
		text.WriteString("\nVerbs\n")
		verbLines(&text, command.Subcommands)
	}
	for _, group := range flagGroups(command.Flags) {
		fmt.Fprintf(&text, "\n%s\n", group.title)
		for _, f := range group.flags {
			nameAndText(&text, fmt.Sprintf("  %-24s", flagName(f)), flagUsage(f))
		}
	}
	return text.String()
}

type flagGroup struct {
	title string
	flags []cli.Flag
}

// flagGroups keeps the order of the flags, and of the groups by their first.
func flagGroups(flags []cli.Flag) []flagGroup {
	var groups []flagGroup
	for _, f := range flags {
		title := "Flags"
		if grouped, ok := f.(cli.CategorizableFlag); ok && grouped.GetCategory() != "" {
			title = strings.ToUpper(grouped.GetCategory()[:1]) + grouped.GetCategory()[1:]
		}
		i := slices.IndexFunc(groups, func(g flagGroup) bool { return g.title == title })
		if i < 0 {
			groups, i = append(groups, flagGroup{title: title}), len(groups)
		}
		groups[i].flags = append(groups[i].flags, f)
	}
	return groups
}

// flagName is the flag with the name of its value: the word in back quotes of
// its usage, or VALUE.
func flagName(f cli.Flag) string {
	name := "--" + f.Names()[0]
	if _, isSwitch := f.(*cli.BoolFlag); isSwitch {
		return name
	}
	placeholder := "VALUE"
	if doc, ok := f.(cli.DocGenerationFlag); ok {
		if _, rest, found := strings.Cut(doc.GetUsage(), "`"); found {
			placeholder, _, _ = strings.Cut(rest, "`")
		}
	}
	return name + " " + placeholder
}

func flagUsage(f cli.Flag) string {
	doc, ok := f.(cli.DocGenerationFlag)
	if !ok {
		return ""
	}
	return strings.ReplaceAll(doc.GetUsage(), "`", "")
}
