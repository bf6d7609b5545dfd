package cli

import (
	"github.com/urfave/cli/v2"

	"stillbright/data/known"
)

func (env *Env) benchCommand() *cli.Command {
	return &cli.Command{
		Name: "bench", Usage: "records a test; runs a live warm-up; turns a logged series into figures",
		Subcommands: []*cli.Command{env.benchAddCommand(), env.benchRunCommand(), env.benchReduceCommand()},
	}
}

// timeFlag is when the light is judged; nothing said: at the end of the usual trip.
func timeFlag() cli.Flag {
	return &cli.StringFlag{Name: "at", Usage: "time since switch-on to judge the light at: 30min, 50min (bare: minutes; not said: 30min)"}
}

// atMinutes reads --at.
func (r *flagReader) atMinutes() float64 {
	return r.number("at", "min", 0, 24*60, known.Rules().Choice.TripMin.Value)
}
