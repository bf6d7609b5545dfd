//go:build linux

package ask_test

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// Keys as xterm sends them.
const (
	up, down, right, left = "\x1b[A", "\x1b[B", "\x1b[C", "\x1b[D"
	enter, backspace      = "\r", "\x7f"
	ctrlC, ctrlD          = "\x03", "\x04"
)

// screens are the sizes of issue 9.
var screens = [][2]int{{80, 24}, {40, 20}, {200, 50}}

func onScreens(t *testing.T, test func(t *testing.T, columns, rows int)) {
	for _, size := range screens {
		t.Run(fmt.Sprintf("%dx%d", size[0], size[1]), func(t *testing.T) { test(t, size[0], size[1]) })
	}
}

func TestListReachesEveryChoice(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		q := sizes(false)
		for i := range len(q.Options) + 2 {
			s := start(t, "list", columns, rows)
			s.Wait("> H1")
			label := "H1"
			for j := 1; j <= i; j++ {
				label = []string{"H1", "H4", "H7", "HB3", "H11", "H13", "jack k/h", "back", "don't know"}[j]
				s.Send(down)
				s.Wait("> " + label)
			}
			s.Send(enter)
			want := fmt.Sprintf("state 0 value %q", q.Options[min(i, len(q.Options)-1)].Value)
			switch i - len(q.Options) {
			case 0:
				want = `state 2 value ""`
			case 1:
				want = `state 1 value ""`
			}
			end(t, s, want)
			lines := s.Lines()
			if lines[0] != "Bulb size: "+label {
				t.Errorf("the answer is not on the first line:\n%s", s.Text())
			}
			if i == len(q.Options)+1 {
				if !strings.Contains(flat(s), "printedonthebase") {
					t.Errorf("\"don't know\" does not say how to find out:\n%s", s.Text())
				}
			} else if !strings.HasPrefix(lines[1], "RESULT") {
				t.Errorf("lines are left over:\n%s", s.Text())
			}
		}
	})
}

func TestSearchTakesEveryLetter(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		for typed, want := range map[string]string{
			"jack k/h": "a/b", "K/H": "a/b", "9005": "HB3", "h11": "H11", "hb": "HB3", " h7": "H7", "j  k": "a/b",
		} {
			s := start(t, "search", columns, rows)
			s.Wait("> H1")
			for i := range len([]rune(typed)) {
				s.Send(typed[i : i+1])
				s.Wait("Bulb size: " + typed[:i+1] + "_")
			}
			label := want
			if want == "a/b" {
				label = "jack k/h"
			}
			s.Wait("> " + label)
			if n := strings.Count(s.Text(), "Bulb size"); n != 1 {
				t.Errorf("the question is there %d times:\n%s", n, s.Text())
			}
			s.Send(enter)
			end(t, s, fmt.Sprintf("state 0 value %q", want))
			if lines := s.Lines(); lines[0] != "Bulb size: "+label || !strings.HasPrefix(lines[1], "RESULT") {
				t.Errorf("lines are left over:\n%s", s.Text())
			}
		}
	})
}

func TestSearchPutsTheBestFirstAndBackspaceShowsAll(t *testing.T) {
	s := start(t, "search", 80, 24)
	s.Wait("> H1")
	s.Send("1")
	s.Wait("Bulb size: 1_")
	s.WaitGone("HB3") // H1, H11 and H13 hold a 1
	s.Send(backspace)
	s.Wait("Bulb size: _")
	s.Wait("HB3")
	s.Send("zzz")
	s.Wait("> (nothing matches)")
	s.Send(enter + backspace) // refused: nothing is chosen, what was typed stays
	s.Wait("Bulb size: zz_")
	s.Send("\x15") // erase the line
	s.Wait("> H1")
	s.Wait("H13")
	s.Send("h13 xx\x17") // erase the word
	s.Wait("Bulb size: h13 _")
	s.Send(enter)
	end(t, s, `state 0 value "H13"`)
}

// An entry takes "-" for "don't know"; a list must not take it for its first row.
func TestSignOfDontKnowInAList(t *testing.T) {
	s := start(t, "search", 80, 24)
	s.Wait("> H1")
	s.Send("-")
	s.Wait("> don't know")
	s.Send(enter)
	end(t, s, `state 1 value ""`)

	s = start(t, "search", 80, 24)
	s.Wait("> H1")
	s.Send("_")
	s.Wait("> (nothing matches)")
	s.Send(enter + backspace)
	s.Wait("> H1")
	s.Send(enter)
	end(t, s, `state 0 value "H1"`)

	s = start(t, "list", 80, 24)
	s.Wait("> H1")
	s.Send("-")
	end(t, s, `state 1 value ""`)
}

// What is typed and is in no row is the row for what is in none.
func TestOtherStaysWhereNothingMatches(t *testing.T) {
	s := start(t, "other", 80, 24)
	s.Wait("> H1")
	s.Send("Testlo")
	s.Wait("> another size")
	s.Send(enter)
	end(t, s, `state 0 value "new"`)
}

func TestSearchLongerThanTheLine(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		s := start(t, "search", columns, rows)
		s.Wait("> H1")
		s.Send(strings.Repeat("前x", columns))
		s.Wait("(nothing matches)")
		s.Send("\x15h7")
		s.Wait("Bulb size: h7_")
		if n := strings.Count(s.Text(), "Bulb size"); n != 1 {
			t.Errorf("the question is there %d times:\n%s", n, s.Text())
		}
		s.Send(enter)
		end(t, s, `state 0 value "H7"`)
		if !strings.HasPrefix(s.Lines()[1], "RESULT") {
			t.Errorf("lines are left over:\n%s", s.Text())
		}
	})
}

func TestSearchWithoutMatchAndWithoutWaysOut(t *testing.T) {
	s := start(t, "bare-search", 40, 20)
	s.Wait("> H1")
	s.Send("zzz")
	s.Wait("(nothing matches)")
	// The keys that make the list of the library panic on an empty result.
	s.Send(right + up + up + left + down + enter)
	s.Send(backspace + backspace + backspace)
	s.Wait("> H1")
	s.Send(right)
	s.Wait("> jack")
	s.Send(enter)
	end(t, s, `state 0 value "a/b"`)
}

func TestDefaultFarDownIsOnTheScreen(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		s := start(t, "many", columns, rows)
		s.Wait("> car 200")
		s.Send(up + up + "\x1b[5~") // page up
		s.WaitGone("car 200")
		s.Send("\x1b[6~\x1b[6~" + enter)
		s.Wait(" END")
		if n := strings.Count(s.Text(), "Car:"); n != 1 {
			t.Errorf("the question is there %d times:\n%s", n, s.Text())
		}
		end(t, s, "state 0")
	})
}

func TestLastOfManyIsDontKnow(t *testing.T) {
	s := start(t, "many", 80, 24)
	s.Wait("> car 200")
	s.Send(strings.Repeat(right, 12))
	s.Wait("> don't know")
	s.Send(enter)
	end(t, s, "state 1")
}

func TestWideAndDirtyLabels(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		s := start(t, "wide", columns, rows)
		s.Wait(": _")
		s.Wait("> 前照灯")
		if lines := s.Lines(); !strings.HasPrefix(lines[0], "電球の型番を選んでください") {
			t.Errorf("the question is not in the first line:\n%s", s.Text())
		}
		s.Send(down)
		s.Wait("> e")
		if strings.Contains(s.Raw(), "[31mline") || strings.Contains(s.Raw(), "\u202e") {
			t.Error("control characters of a label reached the terminal")
		}
		s.Send(down)
		s.Wait("> long long")
		s.Send(up + up + down + down)
		s.Send("long")
		s.WaitGone("前照灯前")
		if n := strings.Count(s.Text(), "> long"); n != 1 {
			t.Errorf("the row is there %d times:\n%s", n, s.Text())
		}
		s.Send(enter)
		end(t, s, `state 0 value "3"`)
		if n := strings.Count(flat(s), "don'tknow"); n != 0 {
			t.Errorf("rows are left over:\n%s", s.Text())
		}
	})
}

func TestHelpIsShownAndTheListAskedAgain(t *testing.T) {
	for _, name := range []string{"list", "search"} {
		s := start(t, name, 80, 24)
		s.Wait("> H1")
		s.Send("?")
		s.Wait("Flag: --size")
		s.Wait("> H1")
		s.Send("<")
		end(t, s, "state 2")
	}
}

// Help is on the screen together with the list, however long the list is.
func TestHelpStaysAboveALongList(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		s := start(t, "many", columns, rows)
		s.Wait("> car 200")
		s.Send("?")
		s.Wait("There is no more to say")
		s.Wait("> car 200")
		if !strings.Contains(s.Text(), "There is no more to say") {
			t.Errorf("the help is no longer on the screen:\n%s", s.Text())
		}
		s.Send(enter)
		end(t, s, `"car 200"`)
	})
}

// Where the first option is as unlikely as any other, Enter takes nothing
// before the person has typed or moved.
func TestEnterAloneTakesNothing(t *testing.T) {
	onScreens(t, func(t *testing.T, columns, rows int) {
		for keys, want := range map[string]string{
			down + enter: `"H1"`, "h4" + enter: `"H4"`, down + up + enter + down + down + enter: `"H4"`,
			"dont know" + enter: "state 1", "back" + enter: "state 2",
			"h4" + backspace + backspace + enter + down + enter: `"H1"`, "zz\x15" + enter + "<": "state 2",
		} {
			s := start(t, "must-move", columns, rows)
			s.Wait("> (type")
			s.Send(enter + enter)
			s.Send(keys)
			end(t, s, want)
			if lines := s.Lines(); !strings.HasPrefix(lines[0], "Bulb size: ") || want != "state 1" && !strings.HasPrefix(lines[1], "RESULT") || strings.Contains(s.Text(), "type to search") {
				t.Errorf("after %q lines are left over:\n%s", keys, s.Text())
			}
		}
	})
}

// Escape takes back what was typed, then goes back; an arrow key is no Escape.
func TestEscape(t *testing.T) {
	s := start(t, "search", 80, 24)
	s.Wait("> H1")
	s.Send("h7")
	s.Wait("Bulb size: h7_")
	s.Send("\x1b")
	s.Wait("Bulb size: _")
	s.Wait("> H1")
	s.Send(down)
	s.Wait("> H4")
	s.Send("\x1b")
	end(t, s, "state 2")
	s = start(t, "input", 80, 24)
	s.Wait("30min]:")
	s.Send("12")
	s.Wait("]: 12")
	s.Send("\x1b")
	s.WaitGone("12")
	s.Send("\x1b")
	end(t, s, "state 2")
	s = start(t, "bare-search", 80, 24) // nowhere to go back to
	s.Wait("> H1")
	s.Send("\x1b")
	time.Sleep(300 * time.Millisecond) // nothing is drawn that could be waited for
	s.Send("h7")
	s.Wait("> H7")
	s.Send(enter)
	end(t, s, `"H7"`)
}

func TestConfirmByLetterAndByArrow(t *testing.T) {
	for keys, want := range map[string]string{
		"y": `state 0 value "yes"`, "N": `state 0 value "no"`, enter: `state 0 value "no"`, up + enter: `state 0 value "yes"`,
		"k\r": `state 0 value "yes"`, down + down + enter: "state 1", "<": "state 2", "xjq\x1b[3~\x00\x1a\x12\x0c" + enter: "state 2",
	} {
		s := start(t, "confirm", 80, 24)
		s.Wait("> no")
		s.Send(keys)
		end(t, s, want)
	}
}
