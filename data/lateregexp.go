package data

import (
	"regexp"
	"sync"
)

// LateRegexp compiles a regular expression when it is first asked for. All of
// them together cost a start of the program a twentieth of its time, and most
// runs need none. Like regexp.MustCompile it panics on a slip in the expression.
func LateRegexp(expression string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expression) })
}
