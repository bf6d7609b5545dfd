package list

import (
	"fmt"
	"io"
	"os"
	"strings"
	"time"

	"stillbright/recommend/ask"
	"stillbright/recommend/plaintext"
)

// progressBar shows on a terminal how far a list has come. Without a terminal it
// does nothing.
type progressBar struct {
	screen  *os.File // nil: there is none
	size    int64    // bytes of the list
	started time.Time
	shown   time.Time
}

const (
	progressEvery = 200 * time.Millisecond
	progressWide  = 30 // columns of the bar
)

// NewProgress makes the bar of a list of so many bytes.
func NewProgress(messages io.Writer, size int64) *progressBar {
	p := &progressBar{size: max(size, 1), started: time.Now()}
	if screen, ok := messages.(*os.File); ok && ask.IsTerminal(screen) {
		p.screen = screen
	}
	return p
}

// show draws the bar anew, a few times a second.
func (p *progressBar) show(read int64, rows int) {
	if p.screen == nil || time.Since(p.shown) < progressEvery {
		return
	}
	p.shown = time.Now()
	columns, _ := ask.Size(p.screen)
	text := progressText(float64(read)/float64(p.size), rows, time.Since(p.started))
	fmt.Fprint(p.screen, "\r"+plaintext.Truncate(text, max(columns-1, 20), "...")+"\x1b[K")
}

// progressText is the bar, the share, the rows and the time left.
func progressText(share float64, rows int, spent time.Duration) string {
	share = min(max(share, 0), 1)
	full := int(share*progressWide + 0.5)
	text := fmt.Sprintf("[%s%s] %3.0f %%, %d rows", strings.Repeat("#", full), strings.Repeat(".", progressWide-full), 100*share, rows)
	if share > 0.01 && share < 1 {
		left := time.Duration(float64(spent) * (1 - share) / share).Round(time.Second)
		text += ", about " + left.String() + " left"
	}
	return text
}

// clear takes the bar away, so that a line can be printed.
func (p *progressBar) clear() {
	if p.screen != nil && !p.shown.IsZero() {
		fmt.Fprint(p.screen, "\r\x1b[K")
		p.shown = time.Time{}
	}
}

func (p *progressBar) end() { p.clear() }
