package ask

import (
	"bytes"
	"io"
	"os"
	"sync"

	"golang.org/x/term"
)

// IsTerminal reports whether f is a terminal. A nil file is none.
func IsTerminal(f *os.File) bool {
	return f != nil && term.IsTerminal(int(f.Fd()))
}

// Size returns the columns and rows of the terminal f, and 80 x 24 where the
// size cannot be read or is zero, as on a serial line.
func Size(f *os.File) (columns, rows int) {
	if f != nil {
		columns, rows, _ = term.GetSize(int(f.Fd()))
	}
	if columns <= 0 || rows <= 0 {
		return 80, 24
	}
	return columns, rows
}

// NoBell returns a writer to w that drops the bell character and reports
// every byte as written.
func NoBell(w io.Writer) io.Writer {
	return noBell{w}
}

type noBell struct{ to io.Writer }

func (n noBell) Write(p []byte) (int, error) {
	if bytes.IndexByte(p, '\a') < 0 {
		return n.to.Write(p)
	}
	if _, err := n.to.Write(bytes.ReplaceAll(p, []byte{'\a'}, nil)); err != nil {
		return 0, err
	}
	return len(p), nil
}

// gate passes writes on until it is shut, then swallows them. A prompt that
// has ended may still write from a goroutine it left behind.
type gate struct {
	mutex sync.Mutex
	to    io.Writer
	shut  bool
}

func (g *gate) Write(p []byte) (int, error) {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	if g.shut {
		return len(p), nil
	}
	return g.to.Write(p)
}

func (g *gate) Close() error {
	g.mutex.Lock()
	defer g.mutex.Unlock()
	g.shut = true
	return nil
}
