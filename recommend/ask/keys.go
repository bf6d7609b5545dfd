package ask

import (
	"context"
	"time"
	"unicode"
	"unicode/utf8"

	"stillbright/recommend/plaintext"
)

type keyName int

const (
	keyNone keyName = iota // a key without a meaning here
	keyChar
	keyEnter
	keyBackspace
	keyDelete
	keyUp
	keyDown
	keyLeft
	keyRight
	keyHome
	keyEnd
	keyPageUp
	keyPageDown
	keyEraseWord
	keyEraseLine
	keyEscape
	keyInterrupt
	keyEndOfInput
)

type key struct {
	name keyName
	char rune // of keyChar
}

// control maps the control characters that mean something; the others, among
// them NUL, Tab and Ctrl-Z, do nothing.
var control = map[byte]keyName{
	1: keyHome, 2: keyLeft, 3: keyInterrupt, 4: keyEndOfInput, 5: keyEnd, 6: keyRight,
	8: keyBackspace, 10: keyEnter, 13: keyEnter, 14: keyDown, 16: keyUp,
	21: keyEraseLine, 23: keyEraseWord, 127: keyBackspace,
}

// longestSequence bounds an escape sequence; no key sends more.
const longestSequence = 32

// decode reads the first key of input and says how many bytes it took; 0 means
// that more bytes are needed. An escape that starts no sequence is dropped, and
// next takes an escape alone for the Escape key.
func decode(input []byte) (key, int) {
	if len(input) == 0 {
		return key{}, 0
	}
	first := input[0]
	switch {
	case first == 27:
		return decodeEscape(input)
	case first == '\r' && len(input) > 1 && input[1] == '\n':
		return key{name: keyEnter}, 2 // pasted line end
	case first < 32 || first == 127:
		return key{name: control[first]}, 1
	}
	if !utf8.FullRune(input) {
		return key{}, 0
	}
	r, size := utf8.DecodeRune(input)
	if (r == utf8.RuneError && size == 1) || plaintext.Clean(string(r)) == "" || unicode.IsControl(r) {
		return key{}, size
	}
	return key{name: keyChar, char: r}, size
}

func decodeEscape(input []byte) (key, int) {
	if len(input) == 1 {
		return key{}, 0
	}
	switch input[1] {
	case 'O': // SS3, cursor keys in application mode
		if len(input) == 2 {
			return key{}, 0
		}
		return key{name: finalKey(input[2], "")}, 3
	case '[':
		for i := 2; i < len(input); i++ {
			c := input[i]
			switch {
			case i == 2 && c == '[': // function keys of the Linux console: ESC [ [ A
				if len(input) < 4 {
					return key{}, 0
				}
				return key{}, 4
			case c >= 0x20 && c < 0x40 && i < longestSequence: // parameters
			case c >= 0x40 && c < 0x7f:
				return key{name: finalKey(c, string(input[2:i]))}, i + 1
			default: // not a sequence after all
				return key{}, i
			}
		}
		return key{}, 0
	}
	return key{}, 1
}

// finalKey names the key of a control sequence by its last byte and parameters
// (ECMA-48 cursor keys; the "~" forms as sent by common terminals).
func finalKey(final byte, parameters string) keyName {
	switch final {
	case 'A':
		return keyUp
	case 'B':
		return keyDown
	case 'C':
		return keyRight
	case 'D':
		return keyLeft
	case 'H':
		return keyHome
	case 'F':
		return keyEnd
	case '~':
		switch parameters {
		case "1", "7":
			return keyHome
		case "4", "8":
			return keyEnd
		case "3":
			return keyDelete
		case "5":
			return keyPageUp
		case "6":
			return keyPageDown
		}
	}
	return keyNone
}

// onDemand runs a blocking read in the background, but only when asked, and
// keeps its result when the wait is cancelled. Nothing typed is lost.
type onDemand[T any] struct {
	read    func() (T, error)
	pending chan result[T]
}

type result[T any] struct {
	value T
	err   error
}

func (o *onDemand[T]) next(ctx context.Context) (T, error) {
	var zero T
	if err := ctx.Err(); err != nil {
		return zero, err
	}
	if o.pending == nil {
		pending := make(chan result[T], 1)
		o.pending = pending
		go func() {
			value, err := o.read()
			pending <- result[T]{value, err}
		}()
	}
	select {
	case got := <-o.pending:
		o.pending = nil
		return got.value, got.err
	case <-ctx.Done():
		return zero, ctx.Err()
	}
}

// keyReader decodes the keyboard. It lives as long as the Prompter, so keys
// typed ahead reach the next question.
type keyReader struct {
	source onDemand[[]byte]
	buffer []byte
}

// newKeyReader reads keys by read, which returns at least one byte or an error.
func newKeyReader(read func(p []byte) (int, error)) *keyReader {
	return &keyReader{source: onDemand[[]byte]{read: func() ([]byte, error) {
		chunk := make([]byte, 256)
		n, err := read(chunk)
		if n > 0 {
			err = nil
		}
		return chunk[:n], err
	}}}
}

// escapeWait is how long the rest of an arrow key may take behind its escape,
// over a slow line; an escape alone for longer is the Escape key.
const escapeWait = 150 * time.Millisecond

// next waits for a key. The error is that of the context or of the terminal.
func (k *keyReader) next(ctx context.Context) (key, error) {
	for {
		if got, n := decode(k.buffer); n > 0 {
			k.buffer = k.buffer[n:]
			return got, nil
		}
		alone := len(k.buffer) == 1 && k.buffer[0] == 27
		chunk, late, err := k.read(ctx, alone)
		if late {
			k.buffer = nil
			return key{name: keyEscape}, nil
		}
		if err != nil {
			return key{}, err
		}
		k.buffer = append(k.buffer, chunk...)
	}
}

// read waits for more bytes; with soon only for a moment, and late says that
// none came.
func (k *keyReader) read(ctx context.Context, soon bool) (chunk []byte, late bool, err error) {
	if !soon {
		chunk, err = k.source.next(ctx)
		return chunk, false, err
	}
	short, stop := context.WithTimeout(ctx, escapeWait)
	defer stop()
	chunk, err = k.source.next(short)
	return chunk, err != nil && short.Err() != nil && ctx.Err() == nil, err
}

// more says that a key is there already, so that nothing need be drawn before it.
func (k *keyReader) more() bool {
	_, n := decode(k.buffer)
	return n > 0
}
