package ask

import (
	"context"
	"errors"
	"io"
	"testing"
	"time"

	"stillbright/recommend/plaintext"
)

func TestDecode(t *testing.T) {
	for input, want := range map[string]struct {
		name keyName
		char rune
		size int
	}{
		"":                {keyNone, 0, 0},
		"a":               {keyChar, 'a', 1},
		"é":               {keyChar, 'é', 2},
		"\xc3":            {keyNone, 0, 0}, // half a character
		"\xff":            {keyNone, 0, 1}, // no character
		"\r":              {keyEnter, 0, 1},
		"\n":              {keyEnter, 0, 1},
		"\r\n":            {keyEnter, 0, 2},
		"\x7f":            {keyBackspace, 0, 1},
		"\x08":            {keyBackspace, 0, 1},
		"\x00":            {keyNone, 0, 1}, // would end the library's prompt
		"\x1a":            {keyNone, 0, 1}, // would suspend the parent
		"\t":              {keyNone, 0, 1},
		"\a":              {keyNone, 0, 1},
		"\x03":            {keyInterrupt, 0, 1},
		"\x04":            {keyEndOfInput, 0, 1},
		"\x1b":            {keyNone, 0, 0}, // Escape, or the first byte of a sequence
		"\x1bx":           {keyNone, 0, 1},
		"\x1b\x03":        {keyNone, 0, 1},
		"\x1b\x1b":        {keyNone, 0, 1},
		"\x1b[A":          {keyUp, 0, 3},
		"\x1bOB":          {keyDown, 0, 3},
		"\x1b[1;5C":       {keyRight, 0, 6}, // with Ctrl
		"\x1b[3~":         {keyDelete, 0, 4},
		"\x1b[5~x":        {keyPageUp, 0, 4},
		"\x1b[6~":         {keyPageDown, 0, 4},
		"\x1b[1~":         {keyHome, 0, 4},
		"\x1b[F":          {keyEnd, 0, 3},
		"\x1b[[A":         {keyNone, 0, 4}, // F1 of the Linux console
		"\x1b[[":          {keyNone, 0, 0},
		"\x1b[20":         {keyNone, 0, 0},
		"\x1b[200~":       {keyNone, 0, 6}, // begin of a bracketed paste
		"\x1b[2\x03":      {keyNone, 0, 3}, // broken off by Ctrl-C
		"\u202e":          {keyNone, 0, 3}, // right-to-left override
		"\u0085":          {keyNone, 0, 2}, // a C1 control
		"\x1b[12;40R\x03": {keyNone, 0, 8}, // a report of the cursor
	} {
		got, size := decode([]byte(input))
		if got.name != want.name || got.char != want.char || size != want.size {
			t.Errorf("decode(%q) = %v, %d; want %v", input, got, size, want)
		}
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte("\x1b[1;5C\x1bO"))
	f.Fuzz(func(t *testing.T, input []byte) {
		// More bytes are asked for only within one character or sequence.
		for len(input) > 0 {
			k, n := decode(input)
			if n < 0 || n > len(input) {
				t.Fatalf("decode(%q) takes %d bytes", input, n)
			}
			if n == 0 {
				if len(input) > longestSequence+1 {
					t.Fatalf("decode(%q) waits for ever", input)
				}
				return
			}
			if k.name == keyChar && plaintext.Clean(string(k.char)) != string(k.char) {
				t.Fatalf("decode(%q) lets %U through", input, k.char)
			}
			input = input[n:]
		}
	})
}

// A wait that is cancelled must not lose the key that comes after it.
func TestKeyAfterACancelledWaitIsNotLost(t *testing.T) {
	in, keyboard := io.Pipe()
	keys := newKeyReader(in.Read)
	ctx, stop := context.WithTimeout(context.Background(), time.Millisecond)
	defer stop()
	if _, err := keys.next(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Fatalf("got %v", err)
	}
	go func() {
		_, _ = keyboard.Write([]byte("\x1b["))
		_, _ = keyboard.Write([]byte("Ax"))
		_ = keyboard.Close()
	}()
	for _, want := range []key{{name: keyUp}, {name: keyChar, char: 'x'}} {
		if got, err := keys.next(context.Background()); got != want || err != nil {
			t.Errorf("got %v, %v, want %v", got, err, want)
		}
	}
	if _, err := keys.next(context.Background()); !errors.Is(err, io.EOF) {
		t.Errorf("at the end: %v", err)
	}
}

func TestLastWord(t *testing.T) {
	for text, want := range map[string]int{"": 0, "a": 1, "a bc": 2, "a bc  ": 4, "   ": 3} {
		if got := lastWord([]rune(text)); got != want {
			t.Errorf("lastWord(%q) = %d, want %d", text, got, want)
		}
	}
}
