//go:build linux

package ask_test

import (
	"os"
	"strings"
	"syscall"
	"testing"

	"stillbright/recommend/ask/asktest"
)

func TestLeavingCleansTheTerminal(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		for _, name := range []string{"list", "search", "confirm", "input", "bare-search"} {
			for _, keys := range []string{ctrlC, ctrlD, "SIGTERM", "SIGINT"} {
				s := start(t, name, columns, rows)
				s.Wait(first(name))
				if name == "search" && keys == ctrlC {
					s.Send("zz")
					s.Wait("(nothing")
				}
				switch keys {
				case "SIGTERM":
					s.Signal(syscall.SIGTERM)
				case "SIGINT":
					s.Signal(syscall.SIGINT)
				default:
					s.Send(keys)
				}
				end(t, s, "cancelled true")
				if lines := s.Lines(); !strings.HasPrefix(lines[0], "RESULT") {
					t.Errorf("%s left by %q: lines are left over:\n%s", name, keys, s.Text())
				}
			}
		}
	})
}

// first is text that is on the screen when the program reads keys.
func first(name string) string {
	switch name {
	case "confirm":
		return "> no"
	case "input":
		return "30min]:"
	}
	return "H13"
}

func TestContextEndsTheQuestion(t *testing.T) {
	s := start(t, "timeout", 80, 24)
	end(t, s, "cancelled true error cancelled: context deadline exceeded")
}

func TestPanicLeavesTheTerminalClean(t *testing.T) {
	for name, keys := range map[string]string{"crash-search": "h", "crash-input": "5\r", "crash-walk": "\r"} {
		s := start(t, name, 80, 24)
		s.Wait(map[string]string{"crash-search": "H13", "crash-input": "]:", "crash-walk": "H13"}[name])
		s.Send(keys)
		end(t, s, "panic: sabotage")
	}
}

// Keys that arrive before the program asks, and between its questions.
func TestTypedAhead(t *testing.T) {
	for range 10 {
		s := start(t, "walk", 80, 24)
		s.Send("h7\r12\ry") // echoed above the questions, but not lost
		end(t, s, "walk: map[canbus:0:yes size:0:H7 trip:0:12] <nil>")
		s = start(t, "walk", 80, 24)
		s.Wait("> H1")
		for _, k := range "h7\r12\ry" {
			s.Send(string(k))
		}
		end(t, s, "walk: map[canbus:0:yes size:0:H7 trip:0:12] <nil>")
		if lines := s.Lines(); len(lines) != 4 {
			t.Errorf("lines are left over:\n%s", s.Text())
		}
		s = start(t, "walk", 80, 24)
		s.Wait("> H1")
		s.Send("h7\r" + ctrlC)
		end(t, s, "cancelled")
	}
}

func TestWalkOnTheTerminal(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		s := start(t, "walk", columns, rows)
		s.Wait("> H1")
		s.Send("h7\r12\ry") // all at once: what is typed ahead is not lost
		end(t, s, "walk: map[canbus:0:yes size:0:H7 trip:0:12] <nil>")
		s = start(t, "walk", columns, rows)
		s.Wait("> H1")
		s.Send("h7\r<\r")
		s.Wait("Usual drive: back")
		s.Wait("> H7") // the former answer is the default
		s.Send("h4\r")
		s.Wait("30min]:")
		s.Send(enter)
		s.Wait("> yes")
		s.Send("<")
		s.Wait("30min]:")
		s.Send("9\r")
		s.Wait("> yes")
		s.Send(down + enter)
		end(t, s, "walk: map[canbus:0:no size:0:H4 trip:0:9] <nil>")
	})
}

func TestPlainOnTheTerminal(t *testing.T) {
	for _, variable := range []string{"TERM=dumb", "TERM="} {
		s := start(t, "walk", 40, 20, variable)
		s.Wait("Number or name")
		s.Send("900\nH4\n12\n<\n15min\ny\n")
		end(t, s, "walk: map[canbus:0:yes size:0:H4 trip:0:15min] <nil>")
		if strings.Contains(s.Raw(), "\x1b") {
			t.Error("escape codes in plain mode")
		}
	}
	s := start(t, "plain-walk", 80, 24)
	s.Wait("Number or name")
	s.Send(ctrlC)
	end(t, s, "walk: map[] cancelled: ")
	s = start(t, "plain-walk", 80, 24)
	s.Wait("Number or name")
	s.Send(ctrlD)
	end(t, s, "walk: map[] cancelled")
}

func TestSmallScreenIsPlain(t *testing.T) {
	s := start(t, "list", 19, 24)
	s.Wait("Number or name")
	s.Send("h7\n")
	end(t, s, `state 0 value "H7" plain true`)
}

func TestSmallestScreen(t *testing.T) {
	for _, name := range []string{"list", "search", "many", "wide"} {
		s := start(t, name, 20, 8)
		s.Wait("> ")
		s.Send(strings.Repeat(down, 5) + strings.Repeat(up, 5))
		s.Send(strings.Repeat(right, 60))
		s.Wait("> don't know")
		s.Send(enter)
		end(t, s, "state 1")
		if strings.Count(flat(s), "don'tknow") > 1 {
			t.Errorf("%s: lines are left over:\n%s", name, s.Text())
		}
	}
}

func TestNothingOnStandardOutput(t *testing.T) {
	for _, alsoErrors := range []bool{false, true} { // true: only /dev/tty is left to draw on
		out, err := os.CreateTemp(t.TempDir(), "out")
		if err != nil {
			t.Fatal(err)
		}
		c := command(t, "search")
		c.Stdout = out
		if alsoErrors {
			c.Stderr = out
		}
		s := asktest.Run(t, 80, 24, c)
		s.Wait("> H1")
		s.Send("h13")
		s.Wait("> H13")
		s.Send(enter)
		s.Wait("Bulb size: H13")
		s.WaitGone("type to search")
		s.Send("\n")
		if code := s.Exit(); code != 0 {
			t.Errorf("exit code %d", code)
		}
		written, err := os.ReadFile(out.Name())
		if err != nil {
			t.Fatal(err)
		}
		if want := "RESULT state 0 value \"H13\" plain false cancelled false error <nil> END\n"; string(written) != want {
			t.Errorf("standard output has %q, want %q", written, want)
		}
	}
}

func TestNotInteractive(t *testing.T) {
	for variable, want := range map[string]string{
		"CI=true": "cannot ask: the variable CI is set", "CI=0": "plain false", "CI=false": "plain false",
	} {
		s := start(t, "search", 80, 24, variable)
		if strings.HasPrefix(want, "plain") {
			s.Wait("> H1")
			s.Send(enter)
		}
		end(t, s, want)
	}
	c := command(t, "search")
	c.Stdin = strings.NewReader("\n") // a stray line end must not choose anything
	s := asktest.Run(t, 80, 24, c)
	s.Wait("RESULT error: cannot ask: standard input is not a terminal END")
	if code := s.Exit(); code != 0 {
		t.Errorf("exit code %d", code)
	}
}

func TestNoColor(t *testing.T) {
	s := start(t, "list", 80, 24, "NO_COLOR=1")
	s.Wait("> H1")
	if strings.Contains(s.Raw(), "\x1b[1m") {
		t.Error("bold text in spite of NO_COLOR")
	}
	s.Send(enter)
	end(t, s, "state 0")
}

// A new size is taken up at the next key, in the first list and in later ones.
func TestResize(t *testing.T) {
	s := start(t, "walk", 80, 24)
	s.Wait("> H1")
	s.Resize(40, 20)
	s.Send("h7\r")
	s.Wait("30min]:")
	s.Send("<\r")
	s.Wait("Usual drive: back")
	s.Wait("> H7")
	s.Resize(60, 22)
	s.Send("h4")
	s.Wait("size: h4_")
	s.Send("\r12\r")
	s.Wait("> yes")
	s.Resize(70, 22)
	s.Send("y")
	end(t, s, "canbus:0:yes")
}

// Narrower, wider, shorter in the middle of a question: what was typed and the
// row under the cursor stay, every row can be reached, nothing is left over.
func TestResizeWithinAQuestion(t *testing.T) {
	s := start(t, "search", 80, 24)
	s.Wait("> H1")
	s.Send("h")
	s.Wait("Bulb size: h_")
	s.Resize(40, 20)
	s.Send("1")
	s.Wait("Bulb size: h1_")
	s.WaitGone("goes back") // the keys of the narrow screen
	s.Resize(80, 24)
	s.Send(backspace)
	s.Wait("Bulb size: h_")
	s.Wait("goes back")
	if n := strings.Count(s.Text(), "Bulb size"); n != 1 {
		t.Errorf("the question is there %d times:\n%s", n, s.Text())
	}
	s.Send(down)
	s.Wait("> H4")
	s.Resize(40, 9)
	s.Send(enter) // takes what is under the cursor
	end(t, s, `"H4"`)
	if lines := s.Lines(); lines[0] != "Bulb size: H4" || !strings.HasPrefix(lines[1], "RESULT") {
		t.Errorf("lines are left over:\n%s", s.Text())
	}

	s = start(t, "many", 80, 24)
	s.Wait("> car 200")
	s.Resize(40, 10)
	s.Send(down)
	s.Wait("> car 201") // the cursor stays where it was
	s.Send(strings.Repeat(down, 98))
	s.Wait("> car 299")
	s.Send(down)
	s.Wait("> don't know")
	s.Send(enter)
	end(t, s, "state 1")
	if n := strings.Count(s.Text(), "Car:"); n != 1 {
		t.Errorf("the question is there %d times:\n%s", n, s.Text())
	}

	s = start(t, "input", 80, 24)
	s.Wait("30min]:")
	s.Send("123")
	s.Wait("]: 123")
	s.Resize(40, 20)
	s.Send("4")
	s.Wait("1234")
	s.Resize(80, 24)
	s.Send("\x7f\r")
	end(t, s, `"123"`)
}

// A long paste and keys in one burst reach the questions in their order.
func TestPaste(t *testing.T) {
	s := start(t, "walk", 80, 24)
	s.Wait("> H1")
	s.Send("\x1b[200~" + strings.Repeat("zq", 2000) + "\x1b[201~")
	s.Wait("(nothing matches)")
	s.Send("\x15h4\r")
	s.Wait("30min]:")
	s.Send(strings.Repeat("9", 3000) + "\x1512\ry")
	end(t, s, "walk: map[canbus:0:yes size:0:H4 trip:0:12] <nil>")
}

// The interview is the same on every terminal that can move its cursor, and
// numbered on those that cannot.
func TestTerminals(t *testing.T) {
	for _, name := range []string{"linux", "screen", "tmux-256color", "xterm-256color", "vt100", "rxvt-unicode", "no-such-terminal"} {
		s := start(t, "walk", 80, 24, "TERM="+name)
		s.Wait("> H1")
		s.Send("h7" + enter + "12" + enter + "y")
		end(t, s, "walk: map[canbus:0:yes size:0:H7 trip:0:12] <nil>")
		if lines := s.Lines(); len(lines) != 4 {
			t.Errorf("%s: lines are left over:\n%s", name, s.Text())
		}
	}
}
