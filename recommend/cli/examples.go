package cli

import (
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/recommend/plaintext"
)

// example is a command line to try, as it stands in the help and in the manual
// page; a test runs each.
type example struct {
	line string
	says string // what it does, one line
}

// examples are the examples of each verb. Where a file or a catalog is needed,
// the names are led.csv, halogen.csv, wall photos of those names, questions.csv,
// readings.csv, logger.csv, tests.csv and the folder bench.
var examples = map[string][]example{
	"pick": {
		{"stillbright pick", "asks, on a terminal"},
		{"stillbright pick --size H11 --housing projector --driving rural,highway --trip 45min", ""},
		{"stillbright pick --car oskel-hatch --budget 90USD --per pair --full", "a car kept before; everything shown"},
		{"stillbright pick --size 9005 --beam high --housing reflector --json", "for scripts"},
	},
	"fit": {
		{"stillbright fit ostermoor-s22-h11 --car oskel-hatch", ""},
		{"stillbright fit caldry-basic-h11 --size H11 --rear-clearance 2.25in --canbus true", "without a car on file"},
	},
	"reply": {
		{`stillbright reply "whats a good h11 for my projector lows, country roads" --style short`, ""},
		{"stillbright reply --from questions.csv --to answers.csv", "a list of questions"},
		{"stillbright reply --from questions.csv --tally", "what is asked, against what is on file"},
	},
	"compare": {
		{"stillbright compare ostermoor-s22-h11 caldry-basic-h11 --housing projector --driving rural", ""},
		{"stillbright compare ostermoor-s22-h11 caldry-basic-h11 --plot warmup.png", "with a picture of the warm-ups"},
	},
	"show": {
		{"stillbright show ostermoor-s22-h11", ""},
		{"stillbright show ostermoor-s22-h11 --trip 50min --plot sheet.svg", ""},
	},
	"size": {
		{"stillbright size 9005", ""},
		{"stillbright size HCR E2", "letters on a lens"},
	},
	"law": {
		{"stillbright law GB", ""},
		{"stillbright law US-VA --beam low", ""},
	},
	"aim": {
		{"stillbright aim --marking VOL --distance 25ft", ""},
		{"stillbright aim --height 650mm --dip 1.2% --plot wall.svg", "a wall sheet to print at true scale"},
	},
	"bench add": {
		{"stillbright bench add", "asks for everything, on a terminal"},
		{"stillbright bench add caldry-basic-h11 --catalog bench --rig h11-projector --lot 2026-09 --date 2026-09-10 --stock 700 --stock-volts 13.2 --volts 13.2 --reading 5s=1001 --reading 30min=832 --yes", ""},
		{"stillbright bench add caldry-basic-h11 --catalog bench --rear-length 44mm --yes", "one fact of a bulb on record, without a test"},
	},
	"bench run": {
		{"stillbright bench run caldry-basic-h11 --rig h11-projector", "a live warm-up, on a terminal"},
		{"stillbright bench run caldry-basic-h11 --catalog bench --rig h11-projector --lot 2026-09 --stock 700 < readings.csv", "minute,lux from a meter's program"},
	},
	"bench reduce": {
		{"stillbright bench reduce logger.csv --at 30min", ""},
		{"stillbright bench reduce logger.csv --stock 700 --stock-volts 13.2 --volts 13.2 --plot warmup.svg", "against the halogen"},
	},
	"pattern": {
		{"stillbright pattern --grid led.csv --stock-grid halogen.csv --distance 10m", "a grid of readings"},
		{"stillbright pattern --photo led.png --stock-photo halogen.png --px-per-deg 40 --axis 375,180", "photos of the wall"},
		{"stillbright pattern --sheet marks.pdf", "marks to tape on the wall: help photo says how"},
		{"stillbright pattern --grade cutoff=2,hot_spot=3,stray=2,dark=3,width=2", "five marks by eye"},
		{"stillbright pattern --limits", "lists the published tables"},
	},
	"car list": {{"stillbright car list", ""}},
	"car add": {
		{"stillbright car add my-hatch", "asks, and says how to measure"},
		{"stillbright car add my-hatch --catalog bench --name 'My hatch' --where GB --lamp size=H11,beam=low,housing=projector,rear_clearance=55mm", ""},
	},
	"car show": {{"stillbright car show oskel-hatch", ""}},
	"catalog start": {
		{"stillbright catalog start", "where stillbright looks by itself"},
		{"stillbright catalog start my-bench --name 'My bench'", ""},
	},
	"catalog check": {
		{"stillbright catalog check --catalog bench", ""},
		{"stillbright catalog check --catalog bench --fix", "shows what it would change, and asks"},
	},
	"catalog import": {
		{"stillbright catalog import tests.csv --catalog bench --dry-run", "says what it makes of each column"},
		{"stillbright catalog import tests.csv --catalog bench", ""},
	},
	"catalog export": {
		{"stillbright catalog export all-tests.csv --catalog bench", "one row for each test"},
		{"stillbright catalog export everything.json --catalog bench", "every record, for another catalog"},
	},
	"catalog list": {{"stillbright catalog list --size H11", ""}},
	"completion": {
		{"stillbright completion bash > ~/.local/share/bash-completion/completions/stillbright", ""},
		{"stillbright completion zsh > ~/.zfunc/_stillbright", ""},
		{"stillbright completion fish > ~/.config/fish/completions/stillbright.fish", ""},
	},
	"help": {
		{"stillbright help units", "a topic"},
		{"stillbright help format car", "the keys of a file"},
		{"stillbright help bench run", "a verb"},
		{"stillbright help man > stillbright.1", "the manual page; man -l stillbright.1 shows it"},
		{"stillbright help schemas pick-2", "the JSON Schema of a document"},
	},
}

// examplesOf are the examples of a verb, or the shortest of each verb below it.
func examplesOf(command *cli.Command, path string) []example {
	list := examples[path]
	if len(list) > 0 {
		return list
	}
	for _, command := range command.Subcommands {
		if below := examples[path+" "+command.Name]; len(below) > 0 {
			list = append(list, slices.MinFunc(below, func(a, b example) int { return len(a.line) - len(b.line) }))
		}
	}
	return list
}

// exampleLines writes examples for a screen: the command on lines that can be
// copied, broken with a backslash where it is too long.
func exampleLines(list []example, width int) string {
	var text strings.Builder
	for _, e := range list {
		lines := breakCommand(e.line, width-4)
		if e.says != "" && len(lines) == 1 && plaintext.Width(lines[0])+plaintext.Width(e.says)+6 <= width {
			text.WriteString("  " + lines[0] + "  # " + e.says + "\n")
			continue
		}
		if e.says != "" {
			text.WriteString("  # " + e.says + "\n")
		}
		for i, line := range lines {
			if i > 0 {
				line = "  " + line
			}
			text.WriteString("  " + line + "\n")
		}
	}
	return text.String()
}

// breakCommand breaks a command at blanks outside quotes, before a flag where
// it can, so that it still runs when it is copied.
func breakCommand(command string, width int) []string {
	var lines []string
	for plaintext.Width(command) > width {
		cut, blank, quote := -1, -1, byte(0)
		for i := 0; i < len(command) && i < width-2; i++ {
			switch c := command[i]; {
			case quote != 0 && c == quote:
				quote = 0
			case quote == 0 && (c == '\'' || c == '"'):
				quote = c
			case quote == 0 && c == ' ':
				blank = i
				if strings.HasPrefix(command[i:], " --") || strings.HasPrefix(command[i:], " >") {
					cut = i
				}
			}
		}
		if cut < width/3 {
			cut = blank
		}
		if cut <= 0 {
			break
		}
		lines = append(lines, command[:cut]+` \`)
		command = command[cut+1:]
	}
	return append(lines, command)
}
