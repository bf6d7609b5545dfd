package cli

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"
)

// completeVerb is the hidden word by which the completion scripts ask for
// candidates: stillbright tab-words SHELL WORD… CURRENT.
const completeVerb = "tab-words"

// item is one candidate.
type item struct {
	value string
	about string // one short line, or empty
}

// candidates is what may stand at the cursor.
type candidates struct {
	items  []item
	skip   int      // bytes of the current word that stay as they are
	list   bool     // a comma and more may follow
	open   bool     // something must follow, so no blank is set behind it
	files  []string // endings of the files that are wanted, the usual first
	folder bool     // a folder is wanted
}

// slot is where the cursor stands on a command line.
type slot struct {
	env     *Env
	path    []string     // verb and sub-verb
	command *cli.Command // nil before the verb
	level   []*cli.Command
	args    []string            // arguments before the cursor
	given   map[string][]string // values of the flags before the cursor, by name
	current string              // the word up to the cursor
	flag    string              // the flag whose value is wanted, or empty
	rest    bool                // behind a bare --
}

// complete finds the candidates for the last of the words.
func (env *Env) complete(words []string) candidates {
	if len(words) == 0 {
		words = []string{""}
	}
	s := slot{env: env, level: env.commands(), given: map[string][]string{}, current: words[len(words)-1]}
	env.closeTraps(s.level)
	s.walk(words[:len(words)-1])
	switch {
	case s.flag != "":
		return s.value(s.flag, 0)
	case !s.rest && strings.HasPrefix(s.current, "-"):
		name, _, hasValue := strings.Cut(strings.TrimLeft(s.current, "-"), "=")
		if hasValue {
			return s.value(name, strings.IndexByte(s.current, '=')+1)
		}
		return candidates{items: matching(s.flags(), s.current)}
	}
	return s.word()
}

// walk reads the words before the cursor as the program itself would.
func (s *slot) walk(words []string) {
	line := readCommandLine(s.level, words)
	s.path = line.verbs
	if s.command = line.command; s.command != nil {
		s.level = s.command.Subcommands
	}
	for _, word := range line.rest {
		if word == "--" && !s.rest {
			s.rest = true
			continue
		}
		s.args = append(s.args, word)
	}
	for _, f := range line.flags {
		s.given[f.name] = append(s.given[f.name], f.value)
	}
	if len(words) == 0 || len(line.flags) == 0 || s.rest {
		return
	}
	last := line.flags[len(line.flags)-1]
	if last.arg == words[len(words)-1] && takesValue(last.flag) && !last.hasValue && !(mayBeBare(last.flag) && strings.HasPrefix(s.current, "-")) {
		s.flag = last.name
	}
}

// word completes a verb or an argument; where none can follow, the flags.
func (s *slot) word() candidates {
	var c candidates
	if len(s.args) == 0 && !s.rest {
		for _, command := range s.level {
			if !command.Hidden {
				c.items = append(c.items, item{command.Name, command.Usage})
			}
		}
		if len(c.items) > 0 {
			c.items = matching(c.items, s.current)
			return c
		}
	}
	if s.command == nil {
		return c
	}
	if wanted, ok := argumentsOf(strings.Join(s.path, " ")); ok {
		c = wanted(s)
	}
	if len(c.items) == 0 && c.files == nil && !c.folder && s.current == "" && !s.rest {
		c.items = s.flags()
	}
	return c
}

// flags are those of the verb that can still be given.
func (s *slot) flags() []item {
	help := item{"--help", "help on this verb"}
	if s.command == nil {
		return []item{{"--help", "the verbs and what they do"}, {"--version", "version and build data"}}
	}
	var items []item
	for _, f := range s.command.Flags {
		name := f.Names()[0]
		if _, used := s.given[name]; used && !isList(f) {
			continue
		}
		items = append(items, item{"--" + name, flagUsage(f)})
	}
	return append(items, help)
}

// value completes the value of a flag; skip is how much of the current word
// stands before the value.
func (s *slot) value(name string, skip int) candidates {
	if s.command == nil {
		// The verb comes later: any verb's flag of that name will do.
		for _, command := range s.level {
			if hasFlag(command, name) {
				s.command, s.path = command, []string{command.Name}
				break
			}
		}
	}
	if s.command == nil || !hasFlag(s.command, name) {
		return candidates{}
	}
	if isSwitch(s.command, name) {
		return candidates{items: matching([]item{{value: "true"}, {value: "false"}}, s.current[skip:]), skip: skip}
	}
	wanted, ok := valueOf(strings.Join(s.path, " "), name)
	if !ok || wanted == nil {
		return candidates{}
	}
	inner := *s
	inner.current = s.current[skip:]
	c := wanted(&inner)
	c.skip += skip
	return c
}

func flagOf(command *cli.Command, name string) cli.Flag {
	for _, f := range command.Flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}

func hasFlag(command *cli.Command, name string) bool { return flagOf(command, name) != nil }

func isSwitch(command *cli.Command, name string) bool {
	_, is := flagOf(command, name).(*cli.BoolFlag)
	return is
}

// matching keeps the candidates that start with what was typed; letter case
// does not count, nor - against _.
func matching(items []item, typed string) []item {
	typed = foldWord(typed)
	var kept []item
	for _, candidate := range items {
		if strings.HasPrefix(foldWord(candidate.value), typed) {
			kept = append(kept, candidate)
		}
	}
	return kept
}

func foldWord(text string) string { return strings.ReplaceAll(strings.ToLower(text), "_", "-") }
