package cli

import (
	"fmt"
	"slices"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/answer"
)

func (env *Env) compareCommand() *cli.Command {
	return &cli.Command{
		Name: "compare", Usage: "bulbs side by side, in the same conditions",
		ArgsUsage: "BULB BULB…",
		Flags: slices.Concat(needFlags(), []cli.Flag{fullFlag(), jsonFlag(), markdownFlag(), catalogFlag(), seedFlag()},
			pictureFlags(comparePictures...)),
		Action: env.compare,
	}
}

func markdownFlag() cli.Flag {
	return &cli.BoolFlag{Name: "markdown", Usage: "a Markdown table on standard output", Category: groupOutput}
}

func (env *Env) compare(c *cli.Context) error {
	names := c.Args().Slice()
	if len(names) < recommend.CompareLeast || len(names) > recommend.CompareMost {
		return usage(fmt.Sprintf("compare wants %d to %d bulbs, %d given", recommend.CompareLeast, recommend.CompareMost, len(names)),
			"stillbright catalog list names them; stillbright compare BULB BULB")
	}
	if c.Bool("json") && c.Bool("markdown") {
		return usage("--json and --markdown exclude each other", "drop one of the two")
	}
	plot, err := wantedPictureOf(c, comparePictures...)
	if err != nil {
		return err
	}
	b, err := env.openBulbs(c.String("catalog"))
	if err != nil {
		return err
	}
	var bulbs []data.Bulb
	for _, name := range names {
		bulb, err := b.bulb(name)
		if err != nil {
			return err
		}
		bulbs = append(bulbs, bulb)
	}
	need, err := needFromFlags(c, b)
	if err != nil {
		return err
	}
	sheet, err := recommend.Compare(&b.known, &b.catalog, bulbs, need, recommend.Options{Today: env.today(), Seed: c.Uint64("seed")})
	if err != nil {
		return err
	}
	if err := env.plotCompare(plot, &sheet); err != nil {
		return err
	}
	switch {
	case c.Bool("json"):
		return env.printJSON(sheet)
	case c.Bool("markdown"):
		return env.print(answer.CompareTable(&sheet).Markdown() + "\n")
	}
	return env.write(answer.Compare(&sheet, c.Bool("full")))
}

var comparePictures = []string{pictureWarmUp, pictureTriangle, pictureHeat}

func (env *Env) plotCompare(w wantedPicture, sheet *recommend.CompareSheet) error {
	switch {
	case w.file == "":
		return nil
	case w.picture == pictureTriangle:
		return env.writePicture(w, answer.TrianglePictureOf(sheet))
	case w.picture == pictureHeat:
		return env.writePicture(w, answer.HeatPictureOf(sheet))
	}
	return env.writePicture(w, answer.WarmUpPicture(sheet))
}
