package cli

import "github.com/urfave/cli/v2"

// commands lists the verbs in the order a newcomer needs them.
func (env *Env) commands() []*cli.Command {
	return []*cli.Command{
		env.pickCommand(),
		env.fitCommand(),
		env.replyCommand(),
		env.compareCommand(),
		env.showCommand(),
		env.sizeCommand(),
		env.lawCommand(),
		env.aimCommand(),
		env.benchCommand(),
		env.patternCommand(),
		env.carCommand(),
		env.catalogCommand(),
		env.completionCommand(),
		env.helpCommand(),
	}
}
