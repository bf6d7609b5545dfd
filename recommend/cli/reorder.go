package cli

import (
	"strings"

	"github.com/urfave/cli/v2"
)

// reorder puts the flags of a command line before its arguments, because the
// flag parser stops at the first argument and would take later flags for
// arguments. Flags before the verb move behind it. What follows a bare -- is
// left alone.
func reorder(commands []*cli.Command, args []string) []string {
	takesValue := map[string]bool{}
	bare := map[string]bool{}
	gather(commands, takesValue, bare)

	var verbs, flags, rest []string
	level := commands
	for i := 0; i < len(args); i++ {
		arg := args[i]
		switch {
		case arg == "--":
			rest = append(append(rest, "--"), args[i+1:]...)
			i = len(args)
		case len(arg) > 1 && arg[0] == '-' && !isNumber(arg):
			name := strings.TrimLeft(arg, "-")
			if bare[name] {
				// With a value or without one, it has to be one word for the parser.
				value := ""
				if i+1 < len(args) && !strings.HasPrefix(args[i+1], "-") {
					i++
					value = args[i]
				}
				flags = append(flags, arg+"="+value)
				continue
			}
			flags = append(flags, arg)
			if takesValue[name] && i+1 < len(args) {
				i++
				flags = append(flags, args[i])
			}
		default:
			next := find(level, arg)
			if len(rest) == 0 && next != nil {
				verbs = append(verbs, arg)
				level = next.Subcommands
				continue
			}
			level = nil
			rest = append(rest, arg)
		}
	}
	// An argument that starts with a dash would be read as a flag again.
	return append(append(verbs, flags...), guard(rest)...)
}

func guard(rest []string) []string {
	if len(rest) > 0 && rest[0] != "--" {
		return append([]string{"--"}, dropMark(rest)...)
	}
	return rest
}

// dropMark removes a -- between arguments, since one already stands in front.
func dropMark(rest []string) []string {
	for i, arg := range rest {
		if arg == "--" {
			return append(rest[:i:i], rest[i+1:]...)
		}
	}
	return rest
}

func isNumber(arg string) bool {
	return len(arg) > 1 && (arg[1] >= '0' && arg[1] <= '9' || arg[1] == '.')
}

func gather(commands []*cli.Command, takesValue, bare map[string]bool) {
	for _, command := range commands {
		for _, f := range command.Flags {
			_, isSwitch := f.(*cli.BoolFlag)
			_, mayBeBare := f.(interface{ mayBeBare() })
			for _, name := range f.Names() {
				takesValue[name] = takesValue[name] || !isSwitch
				bare[name] = bare[name] || mayBeBare
			}
		}
		gather(command.Subcommands, takesValue, bare)
	}
}

func find(commands []*cli.Command, name string) *cli.Command {
	for _, command := range commands {
		if command.HasName(name) {
			return command
		}
	}
	return nil
}
