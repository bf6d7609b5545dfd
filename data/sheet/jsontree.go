package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
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

// jsonParser reads a JSON text (RFC 8259) into nodes. A key may stand once.
type jsonParser struct {
	content []byte
	decoder *json.Decoder
}

// parseJSON reads one document; the error is a *jsonFault.
func parseJSON(content []byte) (*jsonNode, error) {
	p := jsonParser{content, json.NewDecoder(bytes.NewReader(content))}
	p.decoder.UseNumber()
	node, err := p.node("", 0)
	if err != nil {
		return nil, err
	}
	at := p.next()
	if _, err := p.decoder.Token(); !errors.Is(err, io.EOF) {
		return nil, &jsonFault{at, "", "something stands behind the document"}
	}
	return node, nil
}

// next is where the next token begins.
func (p *jsonParser) next() int {
	at := int(p.decoder.InputOffset())
	for at < len(p.content) && strings.IndexByte(" \t\r\n:,", p.content[at]) >= 0 {
		at++
	}
	return at
}

func (p *jsonParser) token(path string) (json.Token, int, error) {
	at := p.next()
	token, err := p.decoder.Token()
	if err == nil {
		return token, at, nil
	}
	message := "is no JSON: " + err.Error()
	var wrong *json.SyntaxError
	switch {
	case errors.As(err, &wrong):
		// The offset is before or behind the character, by where it was met.
		for _, place := range []int{int(wrong.Offset), int(wrong.Offset) - 1} {
			if place >= 0 && place < len(p.content) && strings.Contains(wrong.Error(), "'"+string(rune(p.content[place]))+"'") {
				at = place
				break
			}
		}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		at, message = len(p.content), "is no JSON: the text ends too soon"
	}
	return nil, 0, &jsonFault{at, path, message}
}

func (p *jsonParser) node(path string, depth int) (*jsonNode, error) {
	token, at, err := p.token(path)
	if err != nil {
		return nil, err
	}
	n := &jsonNode{at: at, value: token}
	mark, ok := token.(json.Delim)
	if !ok {
		return n, nil
	}
	if depth >= jsonDepth {
		return nil, &jsonFault{at, path, fmt.Sprintf("groups and lists stand more than %d deep in each other", jsonDepth)}
	}
	if mark == '[' {
		var list []*jsonNode
		for p.decoder.More() {
			item, err := p.node(fmt.Sprintf("%s[%d]", path, len(list)), depth+1)
			if err != nil {
				return nil, err
			}
			list = append(list, item)
		}
		n.value = list
	} else {
		group := jsonGroup{nodes: map[string]*jsonNode{}}
		for p.decoder.More() {
			token, at, err := p.token(path)
			if err != nil {
				return nil, err
			}
			key, _ := token.(string) // the decoder takes nothing else
			own := strings.TrimPrefix(path+"."+key, ".")
			if group.nodes[key] != nil {
				return nil, &jsonFault{at, own, "the key stands twice"}
			}
			item, err := p.node(own, depth+1)
			if err != nil {
				return nil, err
			}
			group.keys, group.nodes[key] = append(group.keys, key), item
		}
		n.value = group
	}
	_, _, err = p.token(path) // the closing mark
	return n, err
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
