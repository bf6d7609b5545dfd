package cli

import "github.com/urfave/cli/v2"

// verbs are the commands in the order a newcomer needs them. Each is made only
// when it is asked for: flags take time to make, and a run needs those of one.
var verbs = []struct {
	name string
	make func(*Env) *cli.Command
}{
	{"pick", (*Env).pickCommand},
	{"fit", (*Env).fitCommand},
	{"reply", (*Env).replyCommand},
	{"compare", (*Env).compareCommand},
	{"show", (*Env).showCommand},
	{"size", (*Env).sizeCommand},
	{"law", (*Env).lawCommand},
	{"aim", (*Env).aimCommand},
	{"bench", (*Env).benchCommand},
	{"pattern", (*Env).patternCommand},
	{"car", (*Env).carCommand},
	{"catalog", (*Env).catalogCommand},
	{"completion", (*Env).completionCommand},
	{"help", (*Env).helpCommand},
}

// commands makes every verb.
func (env *Env) commands() []*cli.Command {
	list := make([]*cli.Command, len(verbs))
	for i, verb := range verbs {
		list[i] = verb.make(env)
	}
	return list
}

// commandNamed makes the verb of that name alone; nil when there is none, and for
// help, which tells of the others.
func (env *Env) commandNamed(name string) []*cli.Command {
	for _, verb := range verbs {
		if verb.name == name && name != "help" {
			return []*cli.Command{verb.make(env)}
		}
	}
	return nil
}
