package ask

import (
	"context"
	"errors"
	"fmt"
	"io"
	"sync"
	"text/template"
	"unicode/utf8"

	"github.com/manifoldco/promptui"

	"stillbright/recommend/plaintext"
)

// The only file that knows promptui. What it works around, as read and tried
// in promptui 0.9.0 over chzyer/readline 1.5.1:
//
//   - Only the Enter key ends a prompt without a race between readline's
//     goroutine and the caller. feed therefore turns every ending, also Ctrl-C
//     and a cancelled context, into Enter and remembers which it was.
//     promptui.Prompt races even on Enter, so text entry is in line.go.
//   - readline buffers what was typed ahead and loses it. feed hands out one
//     key for each read.
//   - readline rings the bell at arrow keys, suspends the parent process at
//     Ctrl-Z, ends at NUL and Delete, and draws its own search at Ctrl-R. feed
//     lets none of these through, and out drops the bells.
//   - The list can panic on an empty result and never ends on one. There is
//     always a row: "nothing matches".
//   - A search only filters. The items given to promptui are therefore mere
//     positions; what a position shows is looked up at each drawing, so the
//     best match comes first.
//   - A list that starts in search mode forgets its default, and a default
//     beyond the first page is not on the screen. Search is therefore switched
//     on by the first key, and scroll is set.
//   - The number of rows is fixed while a list runs. One on a terminal that was
//     resized is ended and begun again, with what was typed.
//   - readline writes once more after its end; gate swallows that.
//   - readline's handler for a new size races with the next prompt; see
//     ignoreResize.

// oneList is held while promptui runs: its search prompt is a package variable.
var oneList sync.Mutex

// Codes for promptui's keys that do nothing else in readline: refreshCode makes
// promptui search again, searchCode switches the search on.
const (
	refreshCode = 1
	searchCode  = 5
)

// ending says how a list ended.
type ending int

const (
	running ending = iota
	chosen         // the row under the cursor
	direct         // the row in feed.row
	wantsHelp
	resized // the row is the position of the cursor
	cancelled
)

// runList draws the list once, on out, which must drop bells. The row is an index into l.rows and counts for
// chosen and direct only.
func runList(ctx context.Context, l *list, keys func(context.Context) (key, error), out io.Writer) (row int, end ending, err error) {
	oneList.Lock()
	defer oneList.Unlock()
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	l.abort = stop

	screen := &gate{to: out}
	defer screen.Close()
	feed := &feed{ctx: ctx, keys: keys, list: l}

	slots := make([]int, len(l.order))
	for i := range slots {
		slots[i] = i
	}
	promptui.SearchPrompt = l.title()
	prompt := promptui.Select{
		Label:    "",
		Items:    slots,
		Size:     min(l.size, len(slots)),
		HideHelp: true, HideSelected: true,
		Pointer: func([]rune) []rune { return []rune("_") },
		Keys: &promptui.SelectKeys{
			Prev:     promptui.Key{Code: promptui.KeyPrev},
			Next:     promptui.Key{Code: promptui.KeyNext},
			PageUp:   promptui.Key{Code: promptui.KeyBackward},
			PageDown: promptui.Key{Code: promptui.KeyForward},
			Search:   promptui.Key{Code: searchCode},
		},
		Templates: &promptui.SelectTemplates{
			Label: "{{heading}}", Help: " ", Selected: " ",
			Active: "{{active .}}", Inactive: "{{inactive .}}",
			FuncMap: template.FuncMap{
				"heading": l.heading, "active": l.active, "inactive": l.inactive, "details": l.details,
			},
		},
		Stdin: feed, Stdout: screen,
	}
	if l.detailLines() > 0 {
		prompt.Templates.Details = "{{details .}}"
	}
	if l.search {
		prompt.Searcher = l.visible
		feed.send(searchCode)
		feed.typed = append(feed.typed, l.typed...)
		feed.send(l.typed...)
	}
	slot, _, err := prompt.RunCursorAt(l.start, max(0, l.start-prompt.Size+1))
	if l.crash != nil {
		panic(l.crash)
	}
	switch {
	case feed.end == direct:
		return feed.row, direct, nil
	case feed.end == chosen && err == nil:
		return l.at(slot), chosen, nil
	case feed.end == resized && err == nil:
		return slot, resized, nil
	case feed.end == wantsHelp || feed.end == cancelled:
		return 0, feed.end, nil
	case errors.Is(err, promptui.ErrInterrupt), errors.Is(err, promptui.ErrEOF):
		return 0, cancelled, nil
	}
	return 0, cancelled, fmt.Errorf("the list could not be shown: %w", err)
}

// feed is the keyboard as promptui sees it.
type feed struct {
	ctx   context.Context
	keys  func(context.Context) (key, error)
	list  *list
	queue []byte
	typed []rune
	moved bool // the cursor, since the text changed
	end   ending
	row   int
}

// Read hands out one key.
func (f *feed) Read(p []byte) (int, error) {
	for len(f.queue) == 0 {
		if f.end != running {
			return 0, io.EOF
		}
		if k := f.list.pending; k != nil {
			f.list.pending = nil
			f.press(*k)
			continue
		}
		k, err := f.keys(f.ctx)
		if err != nil {
			f.finish(cancelled)
			continue
		}
		if leaves := k.name == keyEnter || k.name == keyInterrupt || k.name == keyEndOfInput; !leaves && f.list.resized() {
			// The list is laid out anew, and the key is its first.
			f.list.typed, f.list.pending = f.typed, &k
			f.finish(resized)
			continue
		}
		f.press(k)
	}
	_, size := utf8.DecodeRune(f.queue)
	n := copy(p, f.queue[:size])
	f.queue = f.queue[n:]
	return n, nil
}

// Close keeps the keyboard open for the next question.
func (f *feed) Close() error { return nil }

func (f *feed) send(codes ...rune) {
	for _, code := range codes {
		f.queue = utf8.AppendRune(f.queue, code)
	}
}

func (f *feed) finish(how ending) {
	f.end = how
	f.send(promptui.KeyEnter)
}

func (f *feed) press(k key) {
	defer f.list.guard()
	switch k.name {
	case keyUp:
		f.move(promptui.KeyPrev)
	case keyDown:
		f.move(promptui.KeyNext)
	case keyLeft, keyPageUp:
		f.move(promptui.KeyBackward)
	case keyRight, keyPageDown:
		f.move(promptui.KeyForward)
	case keyEnter:
		if f.moved || f.list.matches(string(f.typed)) {
			f.finish(chosen)
		}
	case keyInterrupt:
		f.finish(cancelled)
	case keyEndOfInput:
		if len(f.typed) == 0 {
			f.finish(cancelled)
		}
	case keyBackspace:
		f.erase(1)
	case keyEraseLine:
		f.erase(len(f.typed))
	case keyEraseWord:
		f.erase(lastWord(f.typed))
	case keyEscape: // first what was typed, then the question itself
		row, ok := f.list.hot['<']
		if len(f.typed) == 0 && ok {
			f.row = row
			f.finish(direct)
		}
		f.erase(len(f.typed))
	case keyChar:
		f.char(k.char)
	}
}

func (f *feed) move(code rune) {
	f.moved = true
	f.send(code)
}

// erase takes n characters off the end. promptui shows the whole list at an
// empty search without asking for it, hence the refresh.
func (f *feed) erase(n int) {
	n = min(n, len(f.typed))
	for range n {
		f.typed = f.typed[:len(f.typed)-1]
		f.send(promptui.KeyBackspace)
	}
	if n > 0 {
		f.moved = false
		f.send(refreshCode)
	}
}

func (f *feed) char(r rune) {
	if row, ok := f.list.hot[r]; ok && len(f.typed) == 0 {
		f.row = row
		f.finish(direct)
		return
	}
	if r == '?' {
		f.finish(wantsHelp)
		return
	}
	if !f.list.search {
		switch r {
		case 'k':
			f.move(promptui.KeyPrev)
		case 'j':
			f.move(promptui.KeyNext)
		case 'h':
			f.move(promptui.KeyBackward)
		case 'l':
			f.move(promptui.KeyForward)
		}
		return
	}
	if plaintext.Width(string(append(f.typed, r))) <= f.list.room() {
		f.typed = append(f.typed, r)
		f.moved = false
		f.send(r)
	}
}
