package cli

import "github.com/urfave/cli/v2"

func (env *Env) benchCommand() *cli.Command {
	return &cli.Command{
		Name: "bench", Usage: "records a test; runs a live warm-up; turns a logged series into figures",
		Subcommands: []*cli.Command{env.benchAddCommand(), env.benchRunCommand(), env.benchReduceCommand()},
	}
}

// timeFlag is when the light is judged; a bench run takes about as long as a
// commute.
func timeFlag() cli.Flag {
	return &cli.StringFlag{Name: "at", Usage: "time since switch-on to judge the light at: 27min, 50min (bare: minutes; not said: 27min)"}
}

const usualMinutes = 27 // about one commute (common practice)

// atMinutes reads --at.
func (r *flagReader) atMinutes() float64 { return r.number("at", "min", 0, 24*60, usualMinutes) }
