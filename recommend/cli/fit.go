package cli

import (
	"github.com/urfave/cli/v2"

	"stillbright/fitment"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/sheets"
)

func (env *Env) fitCommand() *cli.Command {
	return &cli.Command{
		Name: "fit", Usage: "checks one bulb against one car, check by check",
		ArgsUsage: "BULB",
		Flags:     append(needFlags(), fullFlag(), jsonFlag(), catalogFlag()),
		Action:    env.fit,
	}
}

func (env *Env) fit(c *cli.Context) error {
	if c.Args().Len() != 1 {
		return usage("fit wants one bulb", "stillbright catalog list names them; stillbright fit BULB --car CAR")
	}
	b, err := env.openBulbs(c.String("catalog"))
	if err != nil {
		return err
	}
	bulb, err := b.bulb(c.Args().First())
	if err != nil {
		return err
	}
	need, err := needFromFlags(c, b)
	if err != nil {
		return err
	}
	sheet, err := sheets.FitOf(&b.known, &b.catalog, bulb, c.String("car"), need, recommend.Options{Today: env.today(), Seed: 1})
	if err != nil {
		return err
	}
	if c.Bool("json") {
		err = env.printJSON(sheet)
	} else {
		err = env.write(answer.Fit(&sheet, b.catalog, c.Bool("full")))
	}
	if err != nil {
		return err
	}
	if sheet.Overall == string(fitment.DoesNotFit) {
		return exitError(wrong.ExitNothing)
	}
	return nil
}
