package ask

import (
	"bytes"
	"io"
	"os"
	"strings"
	"sync"

	"github.com/mattn/go-runewidth"
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

// Width is the number of terminal columns text takes: two for wide
// characters, none for combining ones.
func Width(text string) int {
	if n, ok := narrow(text); ok {
		return n
	}
	return runewidth.StringWidth(text)
}

// narrow counts text in which every character takes one column. It spares the
// start of a program the two megabytes of tables that runewidth builds at the
// first character beyond U+02FF, such as a dash.
func narrow(text string) (columns int, ok bool) {
	for _, r := range text {
		latin := r >= 0x20 && r < 0x7f || r >= 0xa0 && r < 0x300 && r != 0xad
		// Greek, dashes and quotes, primes, arrows and mathematics; wide in an East Asian locale.
		other := r >= 0x370 && r < 0x400 || r >= 0x2010 && r < 0x2028 || r >= 0x2030 && r < 0x205f || r >= 0x2190 && r < 0x2300
		if !latin && (!other || runewidth.EastAsianWidth) || latin && r > 0x7f && runewidth.EastAsianWidth {
			return 0, false
		}
		columns++
	}
	return columns, true
}

// Truncate shortens text to at most columns terminal columns, ending in "..."
// where that fits. It never cuts through a character.
func Truncate(text string, columns int) string {
	if Width(text) <= columns {
		return text
	}
	if columns <= 3 {
		return cut(text, columns)
	}
	return cut(text, columns-3) + "..."
}

// cut is Truncate without a sign.
func cut(text string, columns int) string {
	if columns <= 0 {
		return ""
	}
	if n, ok := narrow(text); ok {
		return string([]rune(text)[:min(n, columns)])
	}
	return runewidth.Truncate(text, columns, "")
}

// Wrap breaks text at spaces into lines of at most columns terminal columns; a
// word that is longer is cut. Line ends in text are kept, control characters
// removed. With columns < 1 the lines are not broken.
func Wrap(text string, columns int) []string {
	var lines []string
	for _, paragraph := range strings.Split(text, "\n") {
		line := ""
		for _, word := range strings.Fields(Clean(paragraph)) {
			if line != "" && columns > 0 && Width(line)+1+Width(word) > columns {
				lines, line = append(lines, line), ""
			}
			if line != "" {
				line += " "
			}
			line += word
			for columns > 0 && Width(line) > columns {
				head := cut(line, columns)
				if head == "" { // one wide character, one column: it must go somewhere
					break
				}
				lines, line = append(lines, head), line[len(head):]
			}
		}
		lines = append(lines, line)
	}
	return lines
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
