package ask

import (
	"fmt"
	"os"
	"runtime"
	"strings"

	"golang.org/x/term"
)

// Options say how Open may ask.
type Options struct {
	Stdin  *os.File // the keyboard; nil is os.Stdin
	Stderr *os.File // drawn on if it is a terminal; nil is os.Stderr
	// NoInput forbids questions: --no-input.
	NoInput bool
	// Plain asks for numbered lists: --plain.
	Plain bool
	// Getenv reads CI, TERM and NO_COLOR; nil is os.Getenv.
	Getenv func(string) string
}

// Open returns the Prompter that suits the terminal. The error wraps
// ErrNotInteractive and says why if nobody can be asked: NoInput, a CI
// environment, standard input not a terminal, or nothing to draw on. Numbered
// lists are used if Plain is set, TERM is empty or "dumb", the screen is
// smaller than 20 x 8, raw mode is not possible, or on Windows, where the
// arrow keys do not arrive. The first Open of a screen takes off the handlers
// for SIGWINCH that were registered before it.
func Open(options Options) (Prompter, error) {
	input, device, getenv := options.Stdin, options.Stderr, options.Getenv
	if input == nil {
		input = os.Stdin
	}
	if device == nil {
		device = os.Stderr
	}
	if getenv == nil {
		getenv = os.Getenv
	}
	switch {
	case options.NoInput:
		return nil, fmt.Errorf("%w: --no-input is set", ErrNotInteractive)
	case truthy(getenv("CI")):
		return nil, fmt.Errorf("%w: the variable CI is set", ErrNotInteractive)
	case !IsTerminal(input):
		return nil, fmt.Errorf("%w: standard input is not a terminal", ErrNotInteractive)
	}
	if !IsTerminal(device) {
		var err error
		if device, err = os.OpenFile("/dev/tty", os.O_RDWR, 0); err != nil {
			return nil, fmt.Errorf("%w: there is no terminal to show the question on", ErrNotInteractive)
		}
	}
	if options.Plain || !capable(input, device, getenv("TERM")) {
		columns := func() int {
			columns, _ := Size(device)
			return columns - 1
		}
		return newPlain(input, device, columns), nil
	}
	return newScreen(input, device, getenv("NO_COLOR") == ""), nil
}

// capable reports whether lists can be drawn and typed into.
func capable(input, device *os.File, terminal string) bool {
	if runtime.GOOS == "windows" || terminal == "" || terminal == "dumb" || input.Fd() != 0 {
		return false
	}
	if columns, rows := Size(device); columns < fewestColumns || rows < fewestRows {
		return false
	}
	before, err := term.MakeRaw(int(input.Fd()))
	if err != nil {
		return false
	}
	return term.Restore(int(input.Fd()), before) == nil
}

// truthy reads a switch from the environment: empty, 0 and false are off.
func truthy(value string) bool {
	return value != "" && value != "0" && !strings.EqualFold(value, "false")
}
