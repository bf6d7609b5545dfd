package cli

import (
	"github.com/urfave/cli/v2"

	"stillbright/recommend/answer"
	"stillbright/recommend/sheets"
)

func (env *Env) showCommand() *cli.Command {
	return &cli.Command{
		Name: "show", Usage: "one bulb's test sheet",
		ArgsUsage: "BULB",
		Flags: append(pictureFlags(pictureWarmUp),
			&cli.StringFlag{Name: "trip", Usage: "judge the light at the end of this drive: 30min (bare: minutes)"},
			fullFlag(), jsonFlag(), catalogFlag(),
		),
		Action: env.show,
	}
}

func (env *Env) show(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("show wants one bulb", "stillbright catalog list names them")
	}
	plot, err := wantedPictureOf(c, pictureWarmUp)
	if err != nil {
		return err
	}
	b, err := env.openBulbs(c.String("catalog"))
	if err != nil {
		return err
	}
	bulb, err := b.bulb(c.Args().First())
	if err != nil {
		return err
	}
	r := flagReader{c: c}
	trip := r.number("trip", "min", 1, 24*60, 0)
	if r.err != nil {
		return r.err
	}
	sheet := sheets.Show(&b.known, &b.catalog, bulb, trip)
	if plot.file != "" {
		if err := env.writePicture(plot, answer.ShowPicture(&sheet)); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		return env.printJSON(sheet)
	}
	return env.write(answer.Show(&sheet, c.Bool("full")))
}
