package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strconv"
	"strings"
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

// jsonParser makes nodes of a JSON text (RFC 8259) that is known to be valid. A key
// may stand once.
type jsonParser struct {
	content []byte
	tokens  *json.Decoder
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
	p := jsonParser{content: content, tokens: json.NewDecoder(bytes.NewReader(content))}
	p.tokens.UseNumber()
	at, token := p.next()
	return p.node(nil, at, token)
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

// next is the next token and where it begins.
func (p *jsonParser) next() (int, json.Token) {
	at := int(p.tokens.InputOffset())
	for at < len(p.content) && strings.IndexByte(" \t\r\n:,", p.content[at]) >= 0 {
		at++
	}
	token, _ := p.tokens.Token() // valid, as all of the text
	return at, token
}

// node is the value that begins with a token.
func (p *jsonParser) node(path *jsonPath, at int, token json.Token) (*jsonNode, error) {
	if p.values++; p.values > jsonValues {
		return nil, &jsonFault{at, path.String(), fmt.Sprintf("the document holds more than %d values", jsonValues)}
	}
	n := &jsonNode{at: at, value: token}
	switch token {
	case json.Delim('['):
		var list []*jsonNode
		for at, token := p.next(); token != json.Delim(']'); at, token = p.next() {
			item, err := p.node(&jsonPath{up: path, item: len(list)}, at, token)
			if err != nil {
				return nil, err
			}
			list = append(list, item)
		}
		n.value = list
	case json.Delim('{'):
		group := jsonGroup{nodes: map[string]*jsonNode{}}
		for at, token := p.next(); token != json.Delim('}'); at, token = p.next() {
			key, _ := token.(string)
			own := &jsonPath{up: path, key: key}
			if group.nodes[key] != nil {
				return nil, &jsonFault{at, own.String(), "the key stands twice"}
			}
			at, token = p.next()
			item, err := p.node(own, at, token)
			if err != nil {
				return nil, err
			}
			group.keys, group.nodes[key] = append(group.keys, key), item
		}
		n.value = group
	}
	return n, nil
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
