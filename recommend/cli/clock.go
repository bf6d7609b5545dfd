package cli

import "time"

// Clock is the time as a verb sees it, so that a test can drive it.
type Clock interface {
	Now() time.Time
	// After sends the time once it is that much later. A duration of 0 or less
	// sends at once.
	After(d time.Duration) <-chan time.Time
}

type realClock struct{}

func (realClock) Now() time.Time                         { return time.Now() }
func (realClock) After(d time.Duration) <-chan time.Time { return time.After(d) }

func (env *Env) clock() Clock {
	if env.Clock != nil {
		return env.Clock
	}
	return realClock{}
}
