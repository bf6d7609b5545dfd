//go:build unix

package ask

import (
	"os/signal"
	"sync"
	"syscall"

	"github.com/chzyer/readline"
)

var resizeOnce sync.Once

// ignoreResize keeps readline from following the size of the terminal: its
// signal handler races with the next prompt. The lists read the size
// themselves at each drawing. readline registers the handler only once, so it
// is made to do so here, and taken off again.
func ignoreResize() {
	resizeOnce.Do(func() {
		readline.DefaultOnWidthChanged(func() {})
		signal.Reset(syscall.SIGWINCH)
	})
}
