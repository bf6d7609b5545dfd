//go:build linux

package ask

import (
	"bufio"
	"context"
	"testing"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
	"golang.org/x/term"
)

// Whatever happens between begin and its end, raw mode is off and the cursor
// is shown.
func TestBeginRestoresAfterAPanic(t *testing.T) {
	master, slave, err := pty.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer master.Close()
	defer slave.Close()
	s := newScreen(slave, slave, false)
	func() {
		defer func() { _ = recover() }()
		_, end, err := s.begin(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		defer end()
		if _, err := term.MakeRaw(int(slave.Fd())); err != nil {
			t.Fatal(err)
		}
		if _, err := slave.WriteString("\x1b[?25lq"); err != nil {
			t.Fatal(err)
		}
		panic("in between")
	}()
	state, err := unix.IoctlGetTermios(int(slave.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	if state.Lflag&unix.ICANON == 0 || state.Lflag&unix.ECHO == 0 {
		t.Error("the terminal is still in raw mode")
	}
	if _, err := slave.WriteString("h"); err != nil { // the reader below never waits in vain
		t.Fatal(err)
	}
	written := bufio.NewReader(master)
	if _, err := written.ReadString('q'); err != nil {
		t.Fatal(err)
	}
	if shown, err := written.ReadString('h'); err != nil || shown != showCursor {
		t.Errorf("at the end it writes %q, %v", shown, err)
	}
}
