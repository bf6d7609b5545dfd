package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend/need"
)

// commandLine is a command line taken apart, before the library reads it. The
// library stops at the first argument and would take later flags for arguments;
// of a flag given twice it keeps the last without a word; it reads 010 as eight.
type commandLine struct {
	verbs   []string
	command *cli.Command // nil: no verb that is known
	flags   []givenFlag
	rest    []string // the arguments, with the -- that stood among them
	help    bool
	version bool // and no verb
	json    bool
}

// givenFlag is a flag as it was written, with its value in the same word or in
// the next.
type givenFlag struct {
	arg      string // with its dashes
	name     string
	value    string
	hasValue bool
	joined   bool // by =
	flag     cli.Flag
}

// value is what a flag was last given; empty without it.
func (l commandLine) value(name string) (value string) {
	for _, f := range l.flags {
		if f.name == name {
			value = f.value
		}
	}
	return value
}

// readCommandLine takes a command line apart. Flags before the verb count as
// if they stood behind it. What follows a bare -- is left alone.
func readCommandLine(commands []*cli.Command, args []string) commandLine {
	all := map[string]cli.Flag{}
	gather(commands, all)
	line := split(commands, args, all)
	if line.command == nil {
		return line
	}
	// Once the verb is known, its own flags say which of them take a value.
	own := map[string]cli.Flag{}
	gather([]*cli.Command{{Flags: line.command.Flags}}, own)
	known := len(own)
	for name, f := range all {
		if own[name] == nil {
			own[name] = f
		}
	}
	again := line
	if known > 0 {
		again = split(commands, args, own)
	}
	for i, f := range again.flags {
		if f.flag != nil && !slices.Contains(line.command.Flags, f.flag) {
			again.flags[i].flag = nil
		}
	}
	return again
}

func split(commands []*cli.Command, args []string, flags map[string]cli.Flag) (line commandLine) {
	level := commands
	for i := 0; i < len(args); i++ {
		arg := args[i]
		switch {
		case arg == "--":
			line.rest = append(append(line.rest, "--"), args[i+1:]...)
			return line
		case arg == "-h" || arg == "-help" || arg == "--help":
			line.help = true
		case (arg == "--version" || arg == "-version") && line.command == nil && !slices.ContainsFunc(args[i+1:], isWord):
			line.version = true
		case len(arg) > 1 && arg[0] == '-' && !isNumber(arg):
			f := givenFlag{arg: arg}
			f.name, f.value, f.joined = strings.Cut(strings.TrimLeft(arg, "-"), "=")
			f.hasValue = f.joined
			f.flag = flags[f.name]
			if !f.joined && takesValue(f.flag) && i+1 < len(args) && !endsValue(args[i+1], f.flag, flags) {
				i++
				f.value, f.hasValue = args[i], true
			}
			if f.name == "json" {
				line.json = true
				if f.joined {
					line.json, _ = strconv.ParseBool(f.value)
				}
			}
			line.flags = append(line.flags, f)
		default:
			if next := find(level, arg); next != nil && len(line.rest) == 0 {
				line.verbs, line.command = append(line.verbs, arg), next
				level = next.Subcommands
				continue
			}
			level = nil
			line.rest = append(line.rest, arg)
		}
	}
	return line
}

// isWord says that a word of the command line is no flag.
func isWord(arg string) bool { return !strings.HasPrefix(arg, "-") }

// endsValue says that a word is not the value of the flag before it: a flag of
// its own, or the mark behind which no flag stands.
func endsValue(word string, f cli.Flag, flags map[string]cli.Flag) bool {
	if word == "--" || word == "--help" {
		return true
	}
	if mayBeBare(f) {
		return strings.HasPrefix(word, "-")
	}
	name, _, _ := strings.Cut(strings.TrimPrefix(word, "--"), "=")
	return strings.HasPrefix(word, "--") && flags[name] != nil
}

// words gives the line as the library wants it: verbs, flags, arguments.
func (l *commandLine) words() []string {
	words := slices.Clone(l.verbs)
	for _, f := range l.flags {
		switch {
		case !f.joined && mayBeBare(f.flag):
			// With a value or without one, it has to be one word for the parser.
			words = append(words, f.arg+"="+f.value)
		case f.joined || !f.hasValue:
			words = append(words, f.arg)
		default:
			words = append(words, f.arg, f.value)
		}
	}
	// An argument that starts with a dash would be read as a flag again.
	return append(words, guard(l.rest)...)
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

// check refuses what the library would take silently, and words what it
// refuses.
func (l *commandLine) check(commands []*cli.Command) error {
	if err := l.checkVerbs(commands); err != nil {
		return err
	}
	first := map[string]givenFlag{}
	for i, f := range l.flags {
		if f.flag == nil {
			return l.unknownFlag(f, commands)
		}
		_, isSwitch := f.flag.(*cli.BoolFlag)
		switch {
		case isSwitch && f.joined:
			if _, err := strconv.ParseBool(f.value); err != nil {
				return usage(fmt.Sprintf("--%s=%s: must be true or false", f.name, f.value), "--"+f.name)
			}
		case isSwitch:
			f.value = "true"
		case !f.hasValue && !mayBeBare(f.flag):
			return usage(fmt.Sprintf("flag --%s needs a value", f.name), emptyHint(f.flag))
		case strings.TrimSpace(f.value) == "" && !mayBeBare(f.flag):
			return usage(fmt.Sprintf("--%s is empty", f.name), emptyHint(f.flag))
		case isWhole(f.flag):
			whole, err := wholeNumber(f)
			if err != nil {
				return err
			}
			l.setValue(i, whole)
		}
		if before, twice := first[f.name]; twice && !isList(f.flag) && (!isSwitch || before.value != f.value) {
			return usage(fmt.Sprintf("--%s is given twice: %q and %q", f.name, before.value, f.value), "drop one of them")
		}
		first[f.name] = f
	}
	return nil
}

func (l *commandLine) setValue(i int, value string) {
	f := &l.flags[i]
	f.value = value
	if f.joined {
		name, _, _ := strings.Cut(f.arg, "=")
		f.arg = name + "=" + value
	}
}

// checkVerbs refuses a word where a verb is wanted.
func (l *commandLine) checkVerbs(commands []*cli.Command) error {
	path, level := strings.Join(l.verbs, " "), commands
	if l.command != nil {
		level = l.command.Subcommands
	}
	word := ""
	if words := dropMark(l.rest); len(words) > 0 {
		word = words[0]
	}
	switch {
	case len(level) == 0:
	case word != "":
		return unknownVerb(strings.TrimSpace(path+" "+word), level)
	case l.command == nil && len(l.flags) > 0:
		return l.noVerb(commands)
	}
	return nil
}

// noVerb names a verb that knows the flag that was given alone.
func (l *commandLine) noVerb(commands []*cli.Command) error {
	for _, command := range commands {
		for _, f := range command.Flags {
			if !slices.Contains(f.Names(), l.flags[0].name) {
				continue
			}
			line := append([]string{"stillbright", command.Name}, l.words()...)
			return usage("a verb is wanted before the flags", strings.Join(line, " "))
		}
	}
	return l.unknownFlag(l.flags[0], commands)
}

// onlyJSON says that nothing was given but --json.
func (l *commandLine) onlyJSON() bool {
	return len(l.rest) == 0 && !slices.ContainsFunc(l.flags, func(f givenFlag) bool { return f.name != "json" })
}

// unknownFlag names the flag that is near, or the help.
func (l *commandLine) unknownFlag(f givenFlag, commands []*cli.Command) error {
	path := strings.Join(append([]string{"stillbright"}, l.verbs...), " ")
	hint := "see: " + path + " --help"
	var names []string
	if l.command != nil {
		for _, own := range l.command.Flags {
			names = append(names, "--"+own.Names()[0])
		}
	}
	near := data.Near("--"+strings.ToLower(f.name), names)
	switch {
	case strings.ContainsAny(f.name, " \t\n"):
		return usage(fmt.Sprintf("%q begins with a dash and is read as a flag", f.arg), "put -- before it: "+path+" -- "+need.ShellWord(f.arg))
	case f.name == "version" || f.name == "v":
		hint = "stillbright --version"
	case len(near) > 0:
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	if instead, ok := goneFlags[f.name]; ok {
		return usage("--"+f.name+" is gone: "+instead, "drop --"+f.name)
	}
	return usage("unknown flag --"+f.name, hint)
}

// wholeNumber reads a value of decimal digits; 010 is ten.
func wholeNumber(f givenFlag) (string, error) {
	digits, minus := strings.CutPrefix(strings.TrimSpace(f.value), "-")
	_, unsigned := f.flag.(*cli.Uint64Flag)
	trimmed := strings.TrimLeft(digits, "0")
	switch {
	case digits == "" || strings.Trim(digits, "0123456789") != "" || minus && unsigned:
		return "", usage(fmt.Sprintf("--%s %q: must be a whole number", f.name, f.value), fmt.Sprintf("--%s 10", f.name))
	case len(trimmed) > 18:
		return "", usage(fmt.Sprintf("--%s %q: the number is too large", f.name, f.value), fmt.Sprintf("--%s 10", f.name))
	case trimmed == "":
		return "0", nil
	case minus:
		return "-" + trimmed, nil
	}
	return trimmed, nil
}

func emptyHint(f cli.Flag) string {
	if doc, ok := f.(cli.DocGenerationFlag); ok {
		return "leave the flag out, or give: " + strings.ReplaceAll(doc.GetUsage(), "`", "")
	}
	return "leave the flag out"
}

func isNumber(arg string) bool {
	return len(arg) > 1 && (arg[1] >= '0' && arg[1] <= '9' || arg[1] == '.')
}

func isWhole(f cli.Flag) bool {
	switch f.(type) {
	case *cli.IntFlag, *cli.Uint64Flag:
		return true
	}
	return false
}

func isList(f cli.Flag) bool {
	switch f.(type) {
	case *cli.StringSliceFlag, bareList:
		return true
	}
	return false
}

func takesValue(f cli.Flag) bool {
	_, isSwitch := f.(*cli.BoolFlag)
	return f != nil && !isSwitch
}

func mayBeBare(f cli.Flag) bool {
	_, ok := f.(interface{ mayBeBare() })
	return ok
}

// gather lists the flags of commands by name. Where verbs differ, a flag that
// takes a value comes first: before the verb, its value must not be taken for it.
func gather(commands []*cli.Command, flags map[string]cli.Flag) {
	for _, command := range commands {
		for _, f := range command.Flags {
			for _, name := range f.Names() {
				if flags[name] == nil || !takesValue(flags[name]) {
					flags[name] = f
				}
			}
		}
		gather(command.Subcommands, flags)
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

// goneFlags are flags of earlier versions, and what to do now.
var goneFlags = map[string]string{
	"edge-photo": "the marks of --sheet give the scale, and --blur-px states a blur that was measured elsewhere",
	"vignette":   "half of the lens's natural loss is allowed for, which phones correct or not, and the bands hold the rest",
}
