package cli

import (
	"fmt"
	"io"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/need"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

func (env *Env) sizeCommand() *cli.Command {
	return &cli.Command{
		Name: "size", Usage: "what a bulb size or a lens marking means; bare, lists every size",
		ArgsUsage: "[SIZE or MARKING]",
		Flags:     []cli.Flag{jsonFlag()},
		Action:    env.size,
	}
}

func (env *Env) size(c *cli.Context) error {
	sizes := known.Sizes()
	text := strings.Join(c.Args().Slice(), " ")
	if text == "" {
		if c.Bool("json") {
			return env.printJSON(sheets.SizeListOf(sizes))
		}
		return env.write(answer.Sizes(sheets.SizeListOf(sizes)))
	}
	match, near, ok := data.FindSize(sizes, text)
	if !ok {
		if marking, found := sheets.ReadMarking(text, known.Markings(), sizes); found {
			if c.Bool("json") {
				return env.printJSON(marking)
			}
			return env.write(answer.Marking(marking))
		}
		hint := "list them with: stillbright size"
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return usage(fmt.Sprintf("%q is neither a size nor a lens marking that is known", text), hint)
	}
	document := sheets.SizeOf(match, known.USFigures())
	if c.Bool("json") {
		return env.printJSON(document)
	}
	return env.write(answer.Size(document))
}

func (env *Env) lawCommand() *cli.Command {
	return &cli.Command{
		Name: "law", Usage: "what is known of the rules at a place",
		ArgsUsage: "[PLACE]",
		Flags: []cli.Flag{
			&cli.StringFlag{Name: "where", Usage: "`PLACE`: GB, DE, US-VA, or its name"},
			&cli.StringFlag{Name: "beam", Usage: "low, high, fog, drl (not said: all)"},
			jsonFlag(),
		},
		Action: env.law,
	}
}

func (env *Env) law(c *cli.Context) error {
	k := knowledge()
	r := flagReader{c: c}
	beam := r.word("beam", "", data.BeamLow, data.BeamHigh, data.BeamFog, data.BeamDRL)
	if r.err != nil {
		return r.err
	}
	text := c.String("where")
	if argument := strings.Join(c.Args().Slice(), " "); argument != "" {
		if text != "" {
			return usage("the place is given twice", "drop --where or the argument")
		}
		text = argument
	}
	if text == "" {
		return usage("no place given", "stillbright law GB")
	}
	var n recommend.Need
	if err := need.Of(need.Where).Take(&n, text, need.Known{Places: k.Places}); err != nil {
		return err
	}
	document := sheets.LawSheetFor(&k, string(n.Where), beam, env.today())
	if c.Bool("json") {
		return env.printJSON(document)
	}
	return env.write(answer.Law(document))
}

// write writes an answer at the width of the terminal, in colour on one that has
// colours unless NO_COLOR is set.
func (env *Env) write(d answer.Document) error {
	colour := ask.IsTerminal(env.Screen) && env.Getenv("NO_COLOR") == "" && env.Getenv("TERM") != "dumb"
	_, err := io.WriteString(env.Out, d.Terminal(env.width(), colour))
	return err
}

// print writes a result. Whatever file its words came from, it holds nothing that
// a terminal obeys.
func (env *Env) print(text string) error {
	_, err := io.WriteString(env.Out, plaintext.CleanLines(text))
	return err
}
