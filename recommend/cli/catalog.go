package cli

import (
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend/answer"
	"stillbright/recommend/sheets"
)

func (env *Env) catalogCommand() *cli.Command {
	return &cli.Command{
		Name: "catalog", Usage: "the records a decision is made from",
		Subcommands: []*cli.Command{
			env.catalogStartCommand(),
			env.catalogCheckCommand(),
			env.catalogImportCommand(), env.catalogExportCommand(),
			{
				Name: "list", Usage: "the bulbs of the catalog",
				Flags: []cli.Flag{
					&cli.StringFlag{Name: "size", Usage: "only this bulb `SIZE`"},
					jsonFlag(), catalogFlag(),
				},
				Action: env.catalogList,
			},
		},
	}
}

func (env *Env) catalogList(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	size := ""
	if text := c.String("size"); text != "" {
		match, near, ok := data.FindSize(b.known.Sizes, text)
		if !ok {
			return usage("size "+text+" is not known", "near: "+strings.Join(near, " "))
		}
		size = match.Size.Category
	}
	if c.Bool("json") {
		return env.printJSON(sheets.BulbListOf(&b.catalog, size))
	}
	return env.write(answer.Bulbs(b.catalog, size))
}

func (env *Env) carCommand() *cli.Command {
	return &cli.Command{
		Name: "car", Usage: "the cars of the catalog",
		Subcommands: []*cli.Command{
			{
				Name: "list", Usage: "the cars of the catalog",
				Flags:  []cli.Flag{jsonFlag(), catalogFlag()},
				Action: env.carList,
			},
			env.carAddCommand(),
			env.carShowCommand(),
		},
	}
}

func (env *Env) carList(c *cli.Context) error {
	if err := noArguments(c); err != nil {
		return err
	}
	b, err := env.open(c.String("catalog"))
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return env.printJSON(sheets.CarListOf(&b.catalog))
	}
	if len(b.catalog.Cars) == 0 {
		env.note("No car is kept yet; " + noCar + catalogWord(c.String("catalog")))
	}
	return env.write(answer.Cars(b.catalog))
}
