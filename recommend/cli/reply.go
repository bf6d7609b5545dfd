package cli

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
)

// replySeed is the seed of pick where none is given: a reply decides like pick.
const replySeed = 1

func (env *Env) replyCommand() *cli.Command {
	text := func(name, usage string) cli.Flag {
		return &cli.StringFlag{Name: name, Usage: usage, Category: groupOutput}
	}
	return &cli.Command{
		Name:      "reply",
		Usage:     "answers a question in plain words, or a list of them",
		ArgsUsage: `"QUESTION"`,
		Description: "The flags of a need replace what was understood; --size only where the\n" +
			"question has one lamp or none.\n\n" +
			"A list: --from FILE --to FILE. The first is CSV, TSV, JSONL or plain lines by\n" +
			"its ending, else by its look; the answers are CSV, TSV or JSONL by theirs.\n" +
			"They are collected in a file beside it (.part), so that the same command goes\n" +
			"on where an interrupted one stopped, and get their name when all is done.",
		Flags: append(needFlags(),
			text("style", "full, short (under 500 characters, for a comment), markdown"),
			text("from", "`FILE` with questions"),
			text("to", "`FILE` for the answers: .csv, .tsv, .jsonl"),
			text("column", "`NAME` of the column with the question (not said: found)"),
			&cli.BoolFlag{Name: "force", Usage: "replace the file of --to when it is there"},
			&cli.BoolFlag{Name: "tally", Usage: "count what the questions of --from ask for, against what the catalog can answer", Category: groupOutput},
			jsonFlag(), catalogFlag(), noInputFlag(),
		),
		Action: env.reply,
	}
}

func (env *Env) reply(c *cli.Context) error {
	style := answer.ReplyStyles()[0]
	if c.String("style") != "" {
		r := flagReader{c: c}
		if style = r.word("style", "", answer.ReplyStyles()...); r.err != nil {
			return r.err
		}
	}
	question := strings.Join(c.Args().Slice(), " ")
	if c.String("from") != "" {
		if question != "" {
			return usage("--from and a question do not go together", "put the question into the file, or drop --from")
		}
		return env.replyList(c, style)
	}
	for _, name := range []string{"to", "column", "tally", "force"} {
		if c.IsSet(name) {
			return usage("--"+name+" needs --from FILE", "stillbright reply --from questions.csv --to answers.csv")
		}
	}
	if err := checkQuestion(question); err != nil {
		return err
	}
	b, err := env.openBulbs(c.String("catalog"))
	if err != nil {
		return err
	}
	replier, err := env.replier(c, b)
	if err != nil {
		return err
	}
	document := replier.Reply(question)
	document.Answer = answer.Reply(&document, style)
	if c.Bool("json") {
		return env.printJSON(document)
	}
	shown := document.Answer
	if style == "full" {
		shown = answer.Wrap(shown, env.width())
	}
	return env.print(shown + "\n")
}

// checkQuestion refuses what is no question at all.
func checkQuestion(text string) error {
	switch {
	case strings.TrimSpace(text) == "":
		return usage("no question given", `stillbright reply "which H11 for unlit roads, projector?"`)
	case !utf8.ValidString(text):
		return usage("the question is not UTF-8 text", "")
	case len(text) > recommend.MaxQuestion:
		return usage(fmt.Sprintf("the question has %d bytes: must be at most %d", len(text), recommend.MaxQuestion), "ask one thing at a time")
	}
	return nil
}

// replier makes the replier for a command line: its flags replace what was
// understood.
func (env *Env) replier(c *cli.Context, b *bench) (*recommend.Replier, error) {
	flags, err := needFromFlags(c, b)
	if err != nil {
		return nil, err
	}
	options := env.replyOptions()
	options.Override = overrideBy(c, flags)
	if name := c.String("car"); name != "" {
		car, err := b.car(name)
		if err != nil {
			return nil, err
		}
		options.Car = car.ID
	}
	return recommend.NewReplier(&b.known, &b.catalog, b.words(), options), nil
}

func (env *Env) replyOptions() recommend.ReplyOptions {
	return recommend.ReplyOptions{Today: env.today(), Seed: replySeed}
}

// overrideBy replaces in a need what the command line says, and nothing else.
func overrideBy(c *cli.Context, flags recommend.Need) func(*recommend.Need, bool) {
	changes := map[string]func(n *recommend.Need){
		"housing":         func(n *recommend.Need) { n.Housing = flags.Housing },
		"driving":         func(n *recommend.Need) { n.Driving = slices.Clone(flags.Driving) },
		"trip":            func(n *recommend.Need) { n.TripMin = flags.TripMin },
		"speed":           func(n *recommend.Need) { n.SpeedKmh = flags.SpeedKmh },
		"climate":         func(n *recommend.Need) { n.Climate = flags.Climate },
		"budget":          func(n *recommend.Need) { n.Budget = flags.Budget },
		"rear-clearance":  func(n *recommend.Need) { n.RearClearanceMM = flags.RearClearanceMM },
		"front-clearance": func(n *recommend.Need) { n.FrontClearanceMM = flags.FrontClearanceMM },
		"driver":          func(n *recommend.Need) { n.Driver = flags.Driver },
		"canbus":          func(n *recommend.Need) { n.Canbus = flags.Canbus },
		"polarity":        func(n *recommend.Need) { n.Polarity = flags.Polarity },
		"volts":           func(n *recommend.Need) { n.Volts = flags.Volts },
		"plug-and-play":   func(n *recommend.Need) { n.PlugAndPlay = flags.PlugAndPlay },
		"cct":             func(n *recommend.Need) { n.CCTK = flags.CCTK },
		"where":           func(n *recommend.Need) { n.Where = flags.Where },
		"weights":         func(n *recommend.Need) { n.TakeWeights(flags) },
	}
	var set []func(n *recommend.Need)
	for name, change := range changes {
		if c.IsSet(name) {
			set = append(set, change)
		}
	}
	size, beam := c.IsSet("size"), c.IsSet("beam")
	return func(n *recommend.Need, alone bool) {
		if size && (alone || n.Size == "") {
			n.Size = flags.Size
		}
		if beam && (alone || n.Beam == "") {
			n.Beam = flags.Beam
		}
		for _, change := range set {
			change(n)
		}
	}
}

// cleanLine makes text of a file safe for one line of a terminal.
func cleanLine(text string) string { return ask.Clean(text) }
