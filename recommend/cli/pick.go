package cli

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/ask"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
)

func (env *Env) pickCommand() *cli.Command {
	return &cli.Command{
		Name:      "pick",
		Usage:     "which bulb for this car and this drive; bare, on a terminal, it asks",
		ArgsUsage: " ",
		Flags: slices.Concat(needFlags(), []cli.Flag{
			&cli.IntFlag{Name: "top", Usage: "rows of the table", Category: groupOutput},
			fullFlag(), plainFlag(), jsonFlag(), catalogFlag(), noInputFlag(), seedFlag(),
		}, pictureFlags(pickPictures...)),
		Action: env.pick,
	}
}

func plainFlag() cli.Flag {
	return &cli.BoolFlag{Name: "plain", Usage: "ask with numbered lists, for screen readers and simple terminals", Category: groupOutput}
}

func noInputFlag() cli.Flag {
	return &cli.BoolFlag{Name: "no-input", Usage: "ask nothing; name what is missing", Category: groupOutput}
}

func seedFlag() cli.Flag {
	return &cli.Uint64Flag{Name: "seed", Value: 1, Usage: "seed of the draws behind how sure it is", Category: groupOutput}
}

func (env *Env) pick(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	if c.IsSet("top") && c.Int("top") < 1 {
		return usage(fmt.Sprintf("--top %d: must be 1 or more", c.Int("top")), "")
	}
	plot, err := wantedPictureOf(c, pickPictures...)
	if err != nil {
		return err
	}
	b, err := env.openBulbs(c.String("catalog"))
	if err != nil {
		return err
	}
	need, err := needFromFlags(c, b)
	if err != nil {
		return err
	}
	asked := ""
	if need.Size == "" {
		if need, asked, err = env.interview(c, b, need); err != nil {
			return err
		}
	}
	long := c.Bool("json") || c.Bool("full")
	decision, err := recommend.Decide(&b.known, &b.catalog, need, recommend.Options{
		Today: env.today(), Seed: c.Uint64("seed"), Ask: long, Brief: !long,
	})
	if err != nil {
		return err
	}
	if err := env.plotPick(plot, &decision); err != nil {
		return err
	}
	if c.Bool("json") {
		err = env.printJSON(decision)
	} else {
		err = env.write(answer.Pick(&decision, answer.PickOptions{
			Width: env.width(), Top: c.Int("top"), Full: c.Bool("full"), Taken: env.linesOf(asked)}))
	}
	if err != nil {
		return err
	}
	if decision.NoLED() {
		return exitError(wrong.ExitNothing)
	}
	return nil
}

var pickPictures = []string{pictureTriangle, pictureHeat}

func (env *Env) plotPick(w wantedPicture, decision *recommend.Pick) error {
	switch {
	case w.file == "":
		return nil
	case w.picture == pictureHeat:
		return env.writePicture(w, answer.HeatPicture(decision))
	}
	return env.writePicture(w, answer.TrianglePicture(decision))
}

// typedDashes are what writing programs make of two hyphens.
const typedDashes = "-\u2010\u2011\u2012\u2013\u2014\u2212"

// noArguments refuses words that no flag takes, with a guess at what was meant.
func noArguments(c *cli.Context) error {
	if c.Args().Len() == 0 {
		return nil
	}
	word := c.Args().First()
	hint := "flags start with --, for example --size H11"
	switch name := strings.TrimLeft(word, typedDashes); {
	case strings.HasPrefix(word, "-"):
		hint = "what stands behind -- is no flag; drop the --"
	case name != word:
		hint = "a flag starts with two hyphens, which are shorter than the dash given: --" + name
	}
	return usage(fmt.Sprintf("%s takes no argument, but %q was given", c.Command.Name, word), hint)
}

// note prints a sentence beside the result, at the width of the terminal.
func (env *Env) note(text string) {
	columns := answer.Width
	if file, ok := env.Err.(*os.File); ok && ask.IsTerminal(file) {
		columns, _ = ask.Size(file)
	}
	for _, line := range plaintext.Wrap(text, min(columns, 100)-1) {
		fmt.Fprintln(env.Err, plaintext.CleanLines(line))
	}
}

// kept tells the command that goes on with an entry that was left, on a line of
// its own to be copied.
func (env *Env) kept(c *cli.Context, text, command string) {
	command += catalogWord(c.String("catalog"))
	env.note(text + " To go on:")
	fmt.Fprintln(env.Err, "  "+plaintext.CleanLines(command))
}

// linesOf is how many lines of the screen the command line takes that stands
// above the answer.
func (env *Env) linesOf(asked string) int {
	if asked == "" || !ask.IsTerminal(env.Screen) {
		return 0
	}
	columns, _ := ask.Size(env.Screen)
	return (plaintext.Width(sameByFlags+asked) + columns - 1) / columns
}

// Long lines are hard to read; below the least no table can be read at all.
const leastWidth, mostWidth = 40, 100

// width is the width to print to: the terminal's when there is one, else that of
// the variable COLUMNS, else 80; within the bounds above.
func (env *Env) width() int {
	columns := answer.Width
	if ask.IsTerminal(env.Screen) {
		columns, _ = ask.Size(env.Screen)
	} else if told, err := strconv.Atoi(env.Getenv("COLUMNS")); err == nil {
		columns = told
	}
	return min(max(columns, leastWidth), mostWidth)
}
