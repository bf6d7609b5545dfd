package store

import (
	"io"
	"strconv"
	"strings"

	"gopkg.in/yaml.v3"

	"stillbright/data"
)

var (
	yamlLine   = data.LateRegexp(`line (\d+): `)
	yamlEarly  = data.LateRegexp(`^did not find expected (<|node content|key|'-' indicator|',' or)`)
	yamlAnchor = data.LateRegexp(`^unknown anchor '(.*)' referenced`)
)

// syntax reports text that is no YAML. Where the YAML package names a line too
// early, or none, the place is looked for in the text.
func (d *decoder) syntax(text string, err error) {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	node := &yaml.Node{Line: 1, Column: 1}
	if err == io.EOF {
		d.fault(node, "", "file is empty", "")
		return
	}
	if m := yamlLine().FindStringSubmatch(message); m != nil {
		node.Line, _ = strconv.Atoi(m[1])
		message = strings.Replace(message, m[0], "", 1)
		// The YAML package counts the lines of these from zero.
		if yamlEarly().MatchString(message) {
			node.Line++
		}
	}
	hint := ""
	if m := yamlAnchor().FindStringSubmatch(message); m != nil {
		message, hint = "anchors and aliases are not allowed here: *"+m[1], "write the value out; text that begins with * goes in quotes"
		node.Line, node.Column = placeOf(text, 1, "*"+m[1])
		d.fault(node, "", message, hint)
		return
	}
	if strings.HasPrefix(message, "did not find expected alphabetic or numeric character") {
		hint = "text that begins with * or & goes in quotes"
	}
	if strings.HasPrefix(message, "did not find expected '-' indicator") {
		hint = "the list that begins here ends wrongly: look at how far in its lines stand"
	}
	if line := tabLine(text, node.Line); line > 0 {
		node.Line, hint = line, "indent with spaces"
	}
	d.fault(node, "", "not readable as YAML: "+message, hint)
}

// placeOf finds a word from a line on; the line and column count from 1.
func placeOf(text string, from int, word string) (line, column int) {
	for i, content := range strings.Split(text, "\n") {
		if at := strings.Index(content, word); i+1 >= from && at >= 0 {
			return i + 1, len([]rune(content[:at])) + 1
		}
	}
	return 1, 1
}

// tabLine is the line indented with a tab at the place named, or just behind it; 0 if
// there is none.
func tabLine(text string, near int) int {
	lines := strings.Split(text, "\n")
	for i := max(0, near-1); i < min(len(lines), near+1); i++ {
		content := strings.TrimLeft(lines[i], " \t")
		if content != "" && strings.Contains(lines[i][:len(lines[i])-len(content)], "\t") {
			return i + 1
		}
	}
	return 0
}
