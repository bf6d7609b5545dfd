package ask

import "io"

// Sabotage makes the search of a screen panic.
func Sabotage(p Prompter) {
	p.(*screen).rank = func(string, []string) []int { panic("sabotage") }
}

// IsPlain reports whether p is the numbered list.
func IsPlain(p Prompter) bool {
	_, ok := p.(*plain)
	return ok
}

// NewPlain is the numbered list over any reader and writer.
func NewPlain(in io.Reader, out io.Writer, columns int) Prompter {
	return newPlain(in, out, func() int { return columns })
}
