//go:build linux

package asktest

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/creack/pty"
	"github.com/hinshun/vt10x"
	"golang.org/x/sys/unix"

	"stillbright/recommend/plaintext"
)

// Patience bounds every wait; it is only used up by a test that fails.
const Patience = 60 * time.Second

// Screen is a terminal of a fixed size with a program running on it.
type Screen struct {
	t       testing.TB
	master  *os.File
	command *exec.Cmd
	vt      vt10x.Terminal
	killer  *time.Timer

	mutex  sync.Mutex
	change *sync.Cond
	raw    []byte
	drawn  int  // bytes of raw that are on the screen
	closed bool // the program has closed the terminal
	late   bool // the kill timer has fired
}

// Run starts command on a terminal of the given size. Its standard files are
// the terminal, unless the caller has set them. Its environment is that of the
// test with TERM=xterm and without CI and NO_COLOR, and then command.Env. The
// program is killed at the end of the test, and after Patience.
func Run(t testing.TB, columns, rows int, command *exec.Cmd) *Screen {
	t.Helper()
	command.Env = append(append(without(os.Environ(), "CI", "NO_COLOR"), "TERM=xterm"), command.Env...)
	s := &Screen{t: t, command: command, vt: vt10x.New(vt10x.WithSize(columns, rows))}
	s.change = sync.NewCond(&s.mutex)
	size := &pty.Winsize{Cols: uint16(columns), Rows: uint16(rows)}
	master, err := pty.StartWithAttrs(command, size, controlling(command))
	if err != nil {
		t.Fatalf("the program does not start: %v", err)
	}
	s.master = master
	s.killer = time.AfterFunc(Patience, func() {
		s.mutex.Lock()
		s.late = true
		s.mutex.Unlock()
		_ = command.Process.Kill()
		s.change.Broadcast()
	})
	go s.read()
	t.Cleanup(func() {
		s.killer.Stop()
		_ = command.Process.Kill()
		s.mutex.Lock()
		for !s.closed {
			s.change.Wait()
		}
		s.mutex.Unlock()
		if command.ProcessState == nil {
			_ = command.Wait()
		}
		_ = master.Close()
	})
	return s
}

// controlling makes the terminal the controlling one, by the first standard
// file that is the terminal.
func controlling(command *exec.Cmd) *syscall.SysProcAttr {
	attributes := &syscall.SysProcAttr{Setsid: true, Setctty: true}
	switch {
	case command.Stdin == nil:
	case command.Stdout == nil:
		attributes.Ctty = 1
	case command.Stderr == nil:
		attributes.Ctty = 2
	default:
		attributes.Setctty = false
	}
	return attributes
}

func without(environment []string, names ...string) []string {
	return slices.DeleteFunc(environment, func(entry string) bool {
		name, _, _ := strings.Cut(entry, "=")
		return slices.Contains(names, name)
	})
}

// read copies to the screen until the last program has closed the terminal.
func (s *Screen) read() {
	chunk := make([]byte, 4096)
	for {
		n, err := s.master.Read(chunk)
		s.mutex.Lock()
		s.raw = append(s.raw, chunk[:n]...)
		s.draw()
		s.closed = err != nil
		s.mutex.Unlock()
		s.change.Broadcast()
		if err != nil {
			return
		}
	}
}

// secondHalf fills the second column of a wide character: the emulation gives
// every character one column.
const secondHalf = '\uE000'

// draw puts the new whole characters on the screen. Characters of no width are
// left out.
func (s *Screen) draw() {
	var text []byte
	for s.drawn < len(s.raw) && utf8.FullRune(s.raw[s.drawn:]) {
		r, size := utf8.DecodeRune(s.raw[s.drawn:])
		s.drawn += size
		width := plaintext.Width(string(r))
		if width > 0 || r < ' ' {
			text = utf8.AppendRune(text, r)
		}
		if width == 2 {
			text = utf8.AppendRune(text, secondHalf)
		}
	}
	_, _ = s.vt.Write(text)
}

// Send types keys.
func (s *Screen) Send(keys string) {
	s.t.Helper()
	if _, err := s.master.WriteString(keys); err != nil {
		s.t.Fatalf("typing %q: %v\n%s", keys, err, s.Text())
	}
}

// Resize gives the terminal another size and tells the program.
func (s *Screen) Resize(columns, rows int) {
	s.t.Helper()
	s.mutex.Lock()
	s.vt.Resize(columns, rows)
	s.mutex.Unlock()
	if err := pty.Setsize(s.master, &pty.Winsize{Cols: uint16(columns), Rows: uint16(rows)}); err != nil {
		s.t.Fatal(err)
	}
}

// Wait waits until text is on the screen.
func (s *Screen) Wait(text string) {
	s.t.Helper()
	s.WaitFor(fmt.Sprintf("the text %q", text), func() bool { return strings.Contains(s.text(), text) })
}

// WaitGone waits until text is no longer on the screen.
func (s *Screen) WaitGone(text string) {
	s.t.Helper()
	s.WaitFor(fmt.Sprintf("the text %q to go", text), func() bool { return !strings.Contains(s.text(), text) })
}

// WaitFor waits until a condition holds, which is looked at when the program
// has written. It must not call methods of the screen.
func (s *Screen) WaitFor(what string, holds func() bool) {
	s.t.Helper()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for !holds() {
		if s.closed || s.late {
			s.t.Fatalf("waiting for %s, the program ended or took too long; the screen:\n%s", what, s.text())
		}
		s.change.Wait()
	}
}

// Text is the screen without the spaces at the ends of lines and the empty
// lines at its end.
func (s *Screen) Text() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return s.text()
}

func (s *Screen) text() string {
	lines := strings.Split(strings.ReplaceAll(s.vt.String(), string(secondHalf), ""), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " \x00")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n")
}

// Lines are the lines of Text.
func (s *Screen) Lines() []string { return strings.Split(s.Text(), "\n") }

// Cursor is the position of the cursor from the top left, from 0, and whether
// it is shown.
func (s *Screen) Cursor() (column, row int, shown bool) {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	cursor := s.vt.Cursor()
	return cursor.X, cursor.Y, s.vt.CursorVisible()
}

// Raw is every byte the program has written to the terminal.
func (s *Screen) Raw() string {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	return string(s.raw)
}

// Cooked reports whether the terminal reads lines with echo and signals, as a
// shell expects it.
func (s *Screen) Cooked() bool {
	s.t.Helper()
	state, err := unix.IoctlGetTermios(int(s.master.Fd()), unix.TCGETS)
	if err != nil {
		s.t.Fatal(err)
	}
	const local = unix.ICANON | unix.ECHO | unix.ISIG
	return state.Lflag&local == local && state.Iflag&unix.ICRNL != 0 && state.Oflag&unix.OPOST != 0
}

// Signal sends a signal to the program.
func (s *Screen) Signal(signal syscall.Signal) {
	s.t.Helper()
	if err := s.command.Process.Signal(signal); err != nil {
		s.t.Fatal(err)
	}
}

// Exit waits for the end of the program and returns its code, or -1 if a
// signal ended it.
func (s *Screen) Exit() int {
	s.t.Helper()
	s.WaitEnd()
	err := s.command.Wait()
	var failed *exec.ExitError
	if err != nil && !errors.As(err, &failed) {
		s.t.Fatal(err)
	}
	return s.command.ProcessState.ExitCode()
}

// WaitEnd waits until the program has closed the terminal, so that everything
// it wrote is on the screen.
func (s *Screen) WaitEnd() {
	s.t.Helper()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for !s.closed {
		s.change.Wait()
	}
	if s.late {
		s.t.Fatalf("the program took too long; the screen:\n%s", s.text())
	}
}

// WaitAny waits until one of texts is on the screen, and returns the first in
// the list that is; "" when the program ended without any.
func (s *Screen) WaitAny(texts ...string) string {
	s.t.Helper()
	s.mutex.Lock()
	defer s.mutex.Unlock()
	for {
		screen := s.text()
		for _, text := range texts {
			if strings.Contains(screen, text) {
				return text
			}
		}
		if s.closed {
			return ""
		}
		if s.late {
			s.t.Fatalf("waiting for one of %q, the program took too long; the screen:\n%s", texts, screen)
		}
		s.change.Wait()
	}
}

// Kill ends the program at once, as a crash would.
func (s *Screen) Kill() {
	s.t.Helper()
	if err := s.command.Process.Kill(); err != nil {
		s.t.Fatal(err)
	}
	s.WaitEnd()
}
