package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// jsonNode is a value of a JSON text and where it stands.
type jsonNode struct {
	at    int // offset of its first byte
	value any // nil, bool, json.Number, string, []*jsonNode or jsonGroup
}

// jsonGroup is a group of keys, in their order.
type jsonGroup struct {
	keys  []string
	nodes map[string]*jsonNode
}

// jsonFault is what is wrong with a JSON text, and where.
type jsonFault struct {
	at      int
	path    string
	message string
}

func (f *jsonFault) Error() string { return strings.TrimPrefix(f.path+": "+f.message, ": ") }

// jsonDepth is how deep groups and lists may stand in each other; a record
// needs eight.
const jsonDepth = 32

// recordsBytes is the most that a JSON document of records may hold.
const recordsBytes = 64 << 20

// jsonValues is how many values a text may hold; a catalog of ten years holds a
// tenth of them.
const jsonValues = 2_000_000

// jsonPath is where a value stands; it is put into words for a fault only.
type jsonPath struct {
	up   *jsonPath
	key  string
	item int // of a list, where key is empty
}

func (p *jsonPath) String() string {
	switch {
	case p == nil:
		return ""
	case p.key == "":
		return fmt.Sprintf("%s[%d]", p.up, p.item)
	}
	return strings.TrimPrefix(p.up.String()+"."+p.key, ".")
}

// jsonParser cuts a JSON text (RFC 8259) that is known to be valid into nodes. A
// key may stand once.
type jsonParser struct {
	content []byte
	at      int
	values  int
}

// parseJSON reads one document; the error is a *jsonFault.
func parseJSON(content []byte) (*jsonNode, error) {
	if at := tooDeepAt(content); at >= 0 {
		return nil, &jsonFault{at, "", tooDeep}
	}
	if !json.Valid(content) {
		return nil, syntaxFault(content)
	}
	p := jsonParser{content: content}
	return p.node(nil)
}

// syntaxFault finds what makes a text no JSON.
func syntaxFault(content []byte) *jsonFault {
	var raw json.RawMessage
	var wrong *json.SyntaxError
	err := json.Unmarshal(content, &raw)
	if !errors.As(err, &wrong) {
		return &jsonFault{0, "", fmt.Sprintf("is no JSON: %v", err)}
	}
	// The offset is behind the character that is wrong.
	switch at, text := max(int(wrong.Offset)-1, 0), wrong.Error(); {
	case strings.Contains(text, "unexpected end"):
		return &jsonFault{len(content), "", "is no JSON: the text ends too soon"}
	case strings.Contains(text, "after top-level value"):
		return &jsonFault{at, "", "something stands behind the document"}
	default:
		return &jsonFault{at, "", "is no JSON: " + text}
	}
}

var tooDeep = fmt.Sprintf("groups and lists stand more than %d deep in each other", jsonDepth)

// tooDeepAt is where groups and lists stand too deep in each other, or -1. The
// text need not be valid.
func tooDeepAt(content []byte) int {
	depth, quoted := 0, false
	for at := 0; at < len(content); at++ {
		switch c := content[at]; {
		case quoted && c == '\\':
			at++
		case c == '"':
			quoted = !quoted
		case quoted:
		case c == '[' || c == '{':
			if depth++; depth > jsonDepth {
				return at
			}
		case c == ']' || c == '}':
			depth--
		}
	}
	return -1
}

// next goes to the next character that is no white space.
func (p *jsonParser) next() byte {
	for strings.IndexByte(" \t\r\n:,", p.content[p.at]) >= 0 {
		p.at++
	}
	return p.content[p.at]
}

func (p *jsonParser) node(path *jsonPath) (*jsonNode, error) {
	first := p.next()
	n := &jsonNode{at: p.at}
	if p.values++; p.values > jsonValues {
		return nil, &jsonFault{p.at, path.String(), fmt.Sprintf("the document holds more than %d values", jsonValues)}
	}
	if first != '[' && first != '{' {
		n.value = p.scalar(first)
		return n, nil
	}
	p.at++
	if first == '[' {
		var list []*jsonNode
		for p.next() != ']' {
			item, err := p.node(&jsonPath{up: path, item: len(list)})
			if err != nil {
				return nil, err
			}
			list = append(list, item)
		}
		n.value = list
	} else {
		group := jsonGroup{nodes: map[string]*jsonNode{}}
		for p.next() != '}' {
			at := p.at
			key := p.text()
			own := &jsonPath{up: path, key: key}
			if group.nodes[key] != nil {
				return nil, &jsonFault{at, own.String(), "the key stands twice"}
			}
			item, err := p.node(own)
			if err != nil {
				return nil, err
			}
			group.keys, group.nodes[key] = append(group.keys, key), item
		}
		n.value = group
	}
	p.at++
	return n, nil
}

// scalar reads a text, a number or a word.
func (p *jsonParser) scalar(first byte) any {
	switch first {
	case '"':
		return p.text()
	case 'n':
		p.at += len("null")
		return nil
	case 't':
		p.at += len("true")
		return true
	case 'f':
		p.at += len("false")
		return false
	}
	start := p.at
	for p.at < len(p.content) && strings.IndexByte("+-.0123456789eE", p.content[p.at]) >= 0 {
		p.at++
	}
	return json.Number(p.content[start:p.at])
}

// text reads a text in quotes; what is not UTF-8 in it becomes U+FFFD.
func (p *jsonParser) text() string {
	start := p.at
	for p.at++; p.content[p.at] != '"'; p.at++ {
		if p.content[p.at] == '\\' {
			p.at++
		}
	}
	p.at++
	raw := p.content[start:p.at]
	if bytes.IndexByte(raw, '\\') < 0 && utf8.Valid(raw) {
		return string(raw[1 : len(raw)-1])
	}
	var text string
	_ = json.Unmarshal(raw, &text) // valid, as all of the document
	return text
}

// find goes down a path as faults have it, bulbs[3].lots[0].bought, as far as
// the text goes. A key may carry its unit.
func (n *jsonNode) find(path string) *jsonNode {
	for part := range strings.SplitSeq(path, ".") {
		key, rest, _ := strings.Cut(part, "[")
		if key != "" {
			group, ok := n.value.(jsonGroup)
			if !ok {
				return n
			}
			next := group.nodes[key]
			for _, own := range group.keys {
				if next == nil && strings.HasPrefix(own, key+"_") {
					next = group.nodes[own]
				}
			}
			if next == nil {
				return n
			}
			n = next
		}
		for place := range strings.SplitSeq(rest, "[") {
			i, err := strconv.Atoi(strings.TrimSuffix(place, "]"))
			list, ok := n.value.([]*jsonNode)
			if err != nil || !ok || i < 0 || i >= len(list) {
				break
			}
			n = list[i]
		}
	}
	return n
}

// placeOf is line and column of an offset, both from 1; the column counts
// characters.
func placeOf(content []byte, at int) (line, col int) {
	before := content[:min(max(at, 0), len(content))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return 1 + bytes.Count(before, []byte("\n")), 1 + len([]rune(string(before[start:])))
}
