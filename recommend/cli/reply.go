package cli

import (
	"encoding/json"
	"fmt"
	"strings"
	"unicode/utf8"

	"github.com/urfave/cli/v2"

	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/list"
	"stillbright/recommend/need"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/reply"
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
			&cli.BoolFlag{Name: "understood", Usage: "print only what was understood of the question", Category: groupOutput},
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
	document.Answer = answer.ReplyText(&document, style)
	if c.Bool("json") {
		return env.printJSON(document)
	}
	if c.Bool("understood") {
		return env.print(answer.Understood(&document) + "\n" + answer.UnderstoodAsks(&document) + "\n")
	}
	shown := document.Answer
	if style == "full" {
		shown = answer.Reply(&document, style).Plain(env.width())
		if len(document.Lamps)+len(document.Facts) > 0 { // a text about something else has nothing to be understood
			shown = strings.Join(plaintext.Wrap(answer.Understood(&document), env.width()), "\n") + "\n\n" + shown
		}
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
	case len(text) > reply.MaxQuestion:
		return usage(fmt.Sprintf("the question has %d bytes: must be at most %d", len(text), reply.MaxQuestion), "ask one thing at a time")
	}
	return nil
}

// replier makes the replier for a command line: its flags replace what was
// understood.
func (env *Env) replier(c *cli.Context, b *bench) (*reply.Replier, error) {
	flags, err := needFromFlags(c, b)
	if err != nil {
		return nil, err
	}
	options := env.replyOptions()
	options.Records = catalogWord(c.String("catalog"))
	options.Override = overrideBy(c, flags)
	if name := c.String("car"); name != "" {
		car, err := b.car(name)
		if err != nil {
			return nil, err
		}
		options.Car = car.ID
	}
	return reply.NewReplier(&b.known, &b.catalog, b.words(), options), nil
}

func (env *Env) replyOptions() reply.ReplyOptions {
	return reply.ReplyOptions{Today: env.today(), Seed: replySeed}
}

// overrideBy replaces in a need what the command line says, and nothing else.
func overrideBy(c *cli.Context, flags recommend.Need) func(*recommend.Need, bool) {
	var set []*need.Fact
	facts := need.Facts()
	for i := range facts {
		if c.IsSet(facts[i].Flag) {
			set = append(set, &facts[i])
		}
	}
	return func(n *recommend.Need, alone bool) {
		for _, f := range set {
			if ofLamp := f.Slot == need.Size || f.Slot == need.Beam; !ofLamp || alone || f.Open(*n) {
				f.Copy(n, flags)
			}
		}
	}
}

// settingsOf is everything but the rows that answers depend on.
func settingsOf(c *cli.Context, b *bench, build Build, style string) string {
	flags := []string{style, build.text(), list.KindOf(c.String("to")), c.String("column")}
	for _, f := range needFlags() {
		name := f.Names()[0]
		if c.IsSet(name) {
			flags = append(flags, fmt.Sprintf("%s=%v", name, c.Value(name)))
		}
	}
	catalog, err := json.Marshal([]any{b.catalog, b.known.Rules, b.words()})
	if err != nil {
		return strings.Join(flags, "\n") // then only the flags tell runs apart
	}
	return strings.Join(append(flags, string(catalog)), "\n")
}
