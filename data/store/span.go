package store

import (
	"errors"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"
)

// source is a YAML text whose nodes can be found in it. The YAML package tells
// where a node begins; where it ends is worked out here.
type source struct {
	text  string
	lines []int  // offset of each line's first character
	feed  string // the line break of the file
}

// errPlace is a node whose text was not found where it should be.
var errPlace = errors.New("its text was not found in the file")

func newSource(text string) *source {
	s := &source{text: text, lines: []int{0}, feed: "\n"}
	if strings.HasPrefix(text, "\ufeff") {
		s.lines[0] = len("\ufeff")
	}
	for i := 0; i < len(text); {
		width := breakAt(text[i:])
		if width == 0 {
			i++
			continue
		}
		if len(s.lines) == 1 && text[i:i+width] == "\r\n" {
			s.feed = "\r\n"
		}
		i += width
		s.lines = append(s.lines, i)
	}
	return s
}

// breakAt is the length of the line break at the start of text, as YAML 1.1
// counts them; 0 when there is none.
func breakAt(text string) int {
	switch {
	case text == "":
		return 0
	case text[0] == '\n':
		return 1
	case strings.HasPrefix(text, "\r\n"):
		return 2
	case text[0] == '\r':
		return 1
	case strings.HasPrefix(text, "\u0085"):
		return len("\u0085")
	case strings.HasPrefix(text, "\u2028"), strings.HasPrefix(text, "\u2029"):
		return len("\u2028")
	}
	return 0
}

// tagged says whether a lone exclamation mark stands before a node, a tag of
// which the YAML package leaves no trace.
func (s *source) tagged(node *yaml.Node) bool {
	if s == nil {
		return false
	}
	at := s.start(node)
	return at < len(s.text) && s.text[at] == '!'
}

// start is where a node begins.
func (s *source) start(node *yaml.Node) int {
	if node.Line < 1 || node.Line > len(s.lines) {
		return len(s.text)
	}
	at := s.lines[node.Line-1]
	for column := 1; column < node.Column && at < len(s.text); column++ {
		_, width := utf8.DecodeRuneInString(s.text[at:])
		at += width
	}
	return at
}

// end is where a node's last character ends.
func (s *source) end(node *yaml.Node) (int, error) {
	at := s.start(node)
	switch {
	case node.Kind == yaml.ScalarNode:
		return s.scalarEnd(node, at)
	case node.Style&yaml.FlowStyle != 0 && s.bracketed(node):
		return s.bracketEnd(node, at)
	case len(node.Content) == 0:
		return 0, errPlace
	}
	return s.end(node.Content[len(node.Content)-1])
}

// bracketed says whether a node in brackets has its own; a single pair in a
// list has none.
func (s *source) bracketed(node *yaml.Node) bool {
	at := s.start(node)
	return at < len(s.text) && (s.text[at] == '{' || s.text[at] == '[')
}

func (s *source) bracketEnd(node *yaml.Node, at int) (int, error) {
	at++
	if len(node.Content) > 0 {
		var err error
		if at, err = s.end(node.Content[len(node.Content)-1]); err != nil {
			return 0, err
		}
	}
	at = s.skip(at, ",")
	if at < len(s.text) && (s.text[at] == '}' || s.text[at] == ']') {
		return at + 1, nil
	}
	return 0, errPlace
}

// skip moves over blanks, line breaks, comments and the characters in also.
func (s *source) skip(at int, also string) int {
	for at < len(s.text) {
		char := s.text[at]
		switch width := breakAt(s.text[at:]); {
		case width > 0:
			at += width
		case char == ' ' || char == '\t' || strings.IndexByte(also, char) >= 0:
			at++
		case char == '#':
			at = s.lineEnd(at)
		default:
			return at
		}
	}
	return at
}

func (s *source) scalarEnd(node *yaml.Node, at int) (int, error) {
	switch {
	case at >= len(s.text):
		return 0, errPlace
	case node.Style&yaml.DoubleQuotedStyle != 0:
		for i := at + 1; i < len(s.text); i++ {
			switch s.text[i] {
			case '\\':
				i++
			case '"':
				return i + 1, nil
			}
		}
		return 0, errPlace
	case node.Style&yaml.SingleQuotedStyle != 0:
		for i := at + 1; i < len(s.text); i++ {
			if s.text[i] != '\'' {
				continue
			}
			if i+1 >= len(s.text) || s.text[i+1] != '\'' {
				return i + 1, nil
			}
			i++
		}
		return 0, errPlace
	case node.Style&yaml.LiteralStyle != 0:
		return s.literalEnd(node.Value, at), nil
	case node.Style&yaml.FoldedStyle != 0:
		end, err := s.match(s.lineEnd(at), node.Value)
		// Blank lines at the end that count.
		for range len(node.Value) - len(strings.TrimRight(node.Value, "\n")) - 1 {
			end = s.lineEnd(s.nextLine(end))
		}
		return end, err
	}
	return s.match(at, node.Value)
}

// literalEnd is the end of a literal text: it has a line for each of its
// header, which may carry a comment, and its content.
func (s *source) literalEnd(value string, at int) int {
	count := strings.Count(value, "\n")
	if value != "" && !strings.HasSuffix(value, "\n") {
		count++
	}
	at = s.lineEnd(at)
	for range count {
		at = s.lineEnd(s.nextLine(at))
	}
	return at
}

// match finds the end of a value that is written without escapes, whatever
// lines it is broken into: the characters that are not blank stand in the text
// in the same order, with nothing but blanks and line breaks between them.
func (s *source) match(at int, value string) (int, error) {
	last := at
	for _, r := range value {
		if r == ' ' || r == '\t' || r == '\n' {
			continue
		}
		for at < len(s.text) {
			width := breakAt(s.text[at:])
			if width == 0 && (s.text[at] == ' ' || s.text[at] == '\t') {
				width = 1
			}
			if width == 0 {
				break
			}
			at += width
		}
		found, width := utf8.DecodeRuneInString(s.text[at:])
		if found != r || width == 0 {
			return 0, errPlace
		}
		at += width
		last = at
	}
	return last, nil
}

// lineEnd is the end of the line that a position is on, before the line break.
func (s *source) lineEnd(at int) int {
	for at < len(s.text) && breakAt(s.text[at:]) == 0 {
		at++
	}
	return at
}

// lineStart is the beginning of the line that a position is on.
func (s *source) lineStart(at int) int {
	start := 0
	for _, line := range s.lines {
		if line > at {
			break
		}
		start = line
	}
	return start
}

// nextLine is the beginning of the line after a position.
func (s *source) nextLine(at int) int {
	at = s.lineEnd(at)
	return at + breakAt(s.text[at:])
}

// blockEnd is the end of the last line that belongs to an entry whose text ends
// at a position: its own line, and the comment lines below that stand further
// to the right than the entry does.
func (s *source) blockEnd(at, column int) int {
	end := s.lineEnd(at)
	for next := s.nextLine(at); next < len(s.text); next = s.nextLine(next) {
		line := s.text[next:s.lineEnd(next)]
		body := strings.TrimLeft(line, " ")
		if strings.TrimSpace(body) == "" {
			continue
		}
		if !strings.HasPrefix(body, "#") || len(line)-len(body) < column {
			break
		}
		end = s.lineEnd(next)
	}
	return end
}
