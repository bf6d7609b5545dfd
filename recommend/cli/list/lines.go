package list

import (
	"bufio"
	"bytes"
	"errors"
	"io"
	"slices"
	"strings"
)

// lineReader reads lines of bounded length and can put some back.
type lineReader struct {
	from   *bufio.Reader
	number int
	back   []textLine
	read   int64 // bytes taken from the file
}

type textLine struct {
	number int
	text   string // without the line end
	cut    bool   // it was longer than lineMost
}

func newLineReader(from io.Reader) *lineReader {
	return &lineReader{from: bufio.NewReaderSize(from, 64<<10)}
}

// encoding takes a byte order mark of UTF-8 away, and refuses what is not UTF-8 as
// a whole.
func (l *lineReader) encoding() error {
	head := l.peek()
	switch {
	case bytes.HasPrefix(head, []byte{0xEF, 0xBB, 0xBF}):
		_, err := l.from.Discard(3)
		return err
	case bytes.HasPrefix(head, []byte{0xFF, 0xFE}), bytes.HasPrefix(head, []byte{0xFE, 0xFF}):
		return errors.New("the file is UTF-16, not UTF-8")
	case len(head) >= 8 && bytes.Count(head, []byte{0}) > len(head)/4:
		return errors.New("the file is not UTF-8 text; it looks like UTF-16 or is no text at all")
	}
	return nil
}

func (l *lineReader) peek() []byte {
	head, _ := l.from.Peek(4 << 10)
	return head
}

func (l *lineReader) next() (textLine, error) {
	if len(l.back) > 0 {
		line := l.back[0]
		l.back = l.back[1:]
		return line, nil
	}
	var text []byte
	cut := false
	for {
		part, err := l.from.ReadSlice('\n')
		l.read += int64(len(part))
		if len(text)+len(part) <= lineMost {
			text = append(text, part...)
		} else {
			cut = true
		}
		switch {
		case err == nil:
		case errors.Is(err, bufio.ErrBufferFull):
			continue
		case errors.Is(err, io.EOF):
			if len(text) == 0 && !cut {
				return textLine{}, io.EOF
			}
		default:
			return textLine{}, err
		}
		break
	}
	l.number++
	return textLine{l.number, strings.TrimRight(string(text), "\r\n"), cut}, nil
}

// putBack gives lines back, to be read again in their order.
func (l *lineReader) putBack(lines []textLine) { l.back = append(slices.Clone(lines), l.back...) }
