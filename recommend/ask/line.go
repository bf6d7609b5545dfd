package ask

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"stillbright/recommend/plaintext"
)

// errStopped says that the person left the entry.
var errStopped = errors.New("stopped")

// editor is a line of text being typed.
type editor struct {
	text   []rune
	cursor int
	width  int  // columns of the screen at the last drawing
	old    bool // the text was refused: a new one takes its place, or it is edited
}

// mostTyped bounds an entry: a paste of a whole file is none. mostMarks are
// characters without a width that are drawn behind the cursor.
const (
	mostTyped = 4000
	mostMarks = 40
)

func (e *editor) insert(r rune) {
	if len(e.text) >= mostTyped {
		return
	}
	e.text = slices.Insert(e.text, e.cursor, r)
	e.cursor++
}

// remove takes out the n characters before the cursor.
func (e *editor) remove(n int) {
	e.text = slices.Delete(e.text, e.cursor-n, e.cursor)
	e.cursor -= n
}

// lastWord is the length of the last word of text with the spaces after it.
func lastWord(text []rune) int {
	end := len(text)
	for end > 0 && text[end-1] == ' ' {
		end--
	}
	for end > 0 && text[end-1] != ' ' {
		end--
	}
	return len(text) - end
}

// press edits by one key; done on Enter, stop on Ctrl-C or Ctrl-D without text.
func (e *editor) press(k key) (done, stop bool) {
	if e.old && k.name == keyChar {
		e.text, e.cursor = nil, 0
	}
	e.old = false
	switch k.name {
	case keyEnter:
		return true, false
	case keyInterrupt:
		return false, true
	case keyEndOfInput:
		if len(e.text) == 0 {
			return false, true
		}
		e.delete()
	case keyDelete:
		e.delete()
	case keyChar:
		e.insert(k.char)
	case keyBackspace:
		if e.cursor > 0 {
			e.remove(1)
		}
	case keyEraseWord:
		e.remove(lastWord(e.text[:e.cursor]))
	case keyEraseLine:
		e.remove(e.cursor)
	case keyEscape:
		e.text, e.cursor = nil, 0
	case keyLeft:
		e.cursor = max(0, e.cursor-1)
	case keyRight:
		e.cursor = min(len(e.text), e.cursor+1)
	case keyHome:
		e.cursor = 0
	case keyEnd:
		e.cursor = len(e.text)
	}
	return false, false
}

func (e *editor) delete() {
	if e.cursor < len(e.text) {
		e.cursor++
		e.remove(1)
	}
}

// window is the part of the text that fits into columns, with the cursor in
// it, and the column of the cursor.
func (e *editor) window(columns int) (text string, column int) {
	from := e.cursor
	for from > 0 && plaintext.Width(string(e.text[from-1:e.cursor])) <= columns-1 {
		from--
	}
	to := min(len(e.text), e.cursor+columns+mostMarks)
	return plaintext.Cut(string(e.text[from:to]), columns), plaintext.Width(string(e.text[from:e.cursor]))
}

// shortPrompt stands for a label that was printed above.
const shortPrompt = "answer"

// line reads one line, starting with text. Two lines of the screen are used,
// the entry and its keys, and both are cleared at the end. A label too wide for
// them is printed above.
func (s *screen) line(ctx context.Context, q Question, text string) (typed string, above bool, err error) {
	edit := &editor{text: []rune(text), cursor: len([]rune(text)), old: text != ""}
	prompt := plaintext.Clean(q.Label)
	if q.Default != "" {
		prompt += " [" + plaintext.Clean(q.Default) + "]"
	}
	if columns, _ := Size(s.device); plaintext.Width(prompt)+2+searchColumns > columns {
		if err := s.say("", prompt); err != nil {
			return "", above, err
		}
		above, prompt = true, shortPrompt
	}
	for {
		if !s.keys.more() {
			if err := s.drawLine(prompt, q.legalText(), edit); err != nil {
				return "", above, err
			}
		}
		k, err := s.keys.next(ctx)
		done, stop := false, err != nil
		if err == nil {
			if k.name == keyEscape && len(edit.text) == 0 && q.AllowBack {
				edit.insert([]rune(backSign)[0])
				k.name = keyEnter
			}
			done, stop = edit.press(k)
		}
		if done || stop {
			if _, err := io.WriteString(s.out, "\r\x1b[J"); err != nil {
				return "", above, err
			}
		}
		switch {
		case stop:
			return "", above, errStopped
		case done:
			return string(edit.text), above, nil
		}
	}
}

// drawLine draws the entry and the line of keys below it.
func (s *screen) drawLine(prompt, hint string, edit *editor) error {
	columns, _ := Size(s.device)
	if columns < edit.width {
		if err := s.clear(); err != nil {
			return err
		}
	}
	edit.width = columns
	prompt = plaintext.Truncate(prompt, max(len(shortPrompt), columns-searchColumns-2), cutSign) // after a resize
	head := prompt + ": "
	text, column := edit.window(columns - 1 - plaintext.Width(head))
	column += plaintext.Width(head)
	if s.bold {
		head = "\x1b[1m" + prompt + "\x1b[0m: "
	}
	var b strings.Builder
	fmt.Fprintf(&b, "\r\x1b[J%s%s\r\n%s\x1b[A\r", head, text, plaintext.Truncate(hint, columns-1, cutSign))
	if column > 0 {
		fmt.Fprintf(&b, "\x1b[%dC", column)
	}
	_, err := io.WriteString(s.out, b.String())
	return err
}
