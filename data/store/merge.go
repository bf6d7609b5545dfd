package store

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"
)

// Merge returns the text of a file that held old and now has to mean record, a
// struct or a pointer to one. Only what differs is touched: everything else,
// with its comments, order, spelling and line breaks, stays byte for byte, and
// a record that does not differ gives old itself. A comment on the line of a
// value that is taken out goes with it, and so does one inside the group or the
// brackets that go; other comments on lines of their own stay.
//
// The text is spliced at the positions of the changed nodes, and not written
// anew from a node tree: the YAML package indents, folds and drops blank lines
// as it likes when it writes, so that even an unchanged file would come out
// different. The price is to know where each node ends; the result is therefore
// always read back and compared, and a text that does not mean the record is an
// error and never returned.
//
// It fails with the faults of old, if it has any, and with those of record.
func Merge(old []byte, record any) ([]byte, error) {
	after := follow(reflect.ValueOf(record))
	before := reflect.New(after.Type())
	places, faults := Decode(originOf(after), old, before.Interface())
	if len(faults) > 0 {
		return nil, faults
	}
	if same(before.Elem(), after) {
		return old, nil
	}
	if _, err := Encode(record); err != nil {
		return nil, err
	}
	m := merger{source: newSource(string(old)), inside: map[*yaml.Node]bool{}}
	m.markInside(places.nodes[""])
	var err error
	for _, m.tight = range []bool{false, true} {
		m.edits, m.err = nil, nil
		m.group(places.nodes[""], before.Elem(), after, field{}, 1)
		var text []byte
		if text, err = m.apply(); err == nil {
			err = readsBack(text, after)
		}
		if err == nil {
			return text, nil
		}
	}
	return nil, fmt.Errorf("%s cannot be changed without disturbing the rest of the file: %w", originOf(after), err)
}

// edit replaces a stretch of the old text.
type edit struct {
	start, end int
	text       string
}

// merger collects the edits that turn one text into another.
type merger struct {
	*source
	inside map[*yaml.Node]bool // nodes that stand between brackets
	edits  []edit
	err    error
	tight  bool // what is taken out takes the blank lines below it along: behind a text in lines of its own they would become part of it
}

func (m *merger) markInside(node *yaml.Node) {
	for _, item := range node.Content {
		m.inside[item] = m.inside[node] || node.Style&yaml.FlowStyle != 0
		m.markInside(item)
	}
}

func (m *merger) fail(err error) {
	if m.err == nil {
		m.err = err
	}
}

func (m *merger) replace(start, end int, text string) {
	m.edits = append(m.edits, edit{start, end, text})
}

// endOf is end, for where an edit is being planned.
func (m *merger) endOf(node *yaml.Node) int {
	at, err := m.end(node)
	if err != nil {
		m.fail(err)
	}
	return at
}

// apply makes the new text. Edits that overlap are a slip of this package.
func (m *merger) apply() ([]byte, error) {
	if m.err != nil {
		return nil, m.err
	}
	m.moveUp()
	slices.SortStableFunc(m.edits, func(a, b edit) int {
		if a.start != b.start {
			return a.start - b.start
		}
		return a.end - b.end
	})
	var out bytes.Buffer
	at := 0
	for _, e := range m.edits {
		if e.start < at || e.end > len(m.text) {
			return nil, errors.New("two changes touch the same place")
		}
		out.WriteString(m.text[at:e.start])
		out.WriteString(e.text)
		at = e.end
	}
	out.WriteString(m.text[at:])
	return out.Bytes(), nil
}

// moveUp carries what is put in behind a line that is taken out to the end of
// the line before it.
func (m *merger) moveUp() {
	var gone []edit
	for _, e := range m.edits {
		if e.text == "" {
			gone = append(gone, e)
		}
	}
	slices.SortFunc(gone, func(a, b edit) int { return b.start - a.start })
	for i := range m.edits {
		e := &m.edits[i]
		if e.start != e.end {
			continue
		}
		for _, g := range gone {
			if g.start < e.start && (e.start < g.end || (e.start == g.end && g.end == len(m.text))) {
				e.start = m.lineEnd(m.lineStart(g.start - 1))
				e.end = e.start
			}
		}
	}
}

// value changes one value that is in the file and differs. column is that of
// the key or dash it belongs to.
func (m *merger) value(node *yaml.Node, before, after reflect.Value, f field, column int) {
	before, after = follow(before), follow(after)
	switch {
	case isScalar(after.Type()):
		m.replace(m.start(node), m.endOf(node), scalarText(after, f, m.inside[node]))
	case after.Kind() == reflect.Slice && before.Len() > 0 && after.Len() > 0:
		m.list(node, before, after, f, column)
	case after.Kind() == reflect.Struct && len(node.Content) > 0:
		m.group(node, before, after, f, column)
	default:
		m.rewrite(node, after, f, column)
	}
}

// rewrite writes a value anew in the place of its node.
func (m *merger) rewrite(node *yaml.Node, after reflect.Value, f field, column int) {
	start, end := m.start(node), m.endOf(node)
	flow := node.Style&yaml.FlowStyle != 0
	switch {
	case onOneLine(after, f) || (flow && m.inside[node]):
		text := flowText(after, f, true)
		if !flow && node.Column <= column {
			text = " " + text // only a list with dashes may stand right below its key
		}
		m.replace(start, end, text)
	case flow:
		start = m.lineStart(start) + len(strings.TrimRight(m.text[m.lineStart(start):start], " \t"))
		m.replace(start, end, m.below(valueLines(after, f), column-1+indentStep))
	default:
		lines := valueLines(after, f)
		m.replace(start, end, lines[0]+m.below(lines[1:], node.Column-1))
	}
}

// below puts each line on a line of its own, indented.
func (m *merger) below(lines []string, by int) string {
	var out strings.Builder
	for _, line := range lines {
		out.WriteString(m.feed + strings.Repeat(" ", by) + line)
	}
	return out.String()
}

// group changes the keys of a group that differ.
func (m *merger) group(node *yaml.Node, before, after reflect.Value, f field, column int) {
	fields := fieldsOf(after.Type())
	plan := m.plan(node, before, after, fields)
	flow := node.Style&yaml.FlowStyle != 0
	if len(plan.kept) == 0 || (flow && !m.bracketed(node)) {
		m.rewrite(node, after, f, column)
		return
	}
	var spans []span
	gone := map[int]bool{}
	added := map[int][]string{}
	for k := 0; k+1 < len(node.Content); k += 2 {
		key, item := node.Content[k], node.Content[k+1]
		i := slices.IndexFunc(fields, func(f field) bool { return f.key == key.Value })
		own := fields[i]
		spans = append(spans, span{m.start(key), m.endOf(item)})
		switch {
		case plan.gone[own.key]:
			gone[k/2] = true
		case !same(before.Field(own.index), after.Field(own.index)):
			m.value(item, before.Field(own.index), after.Field(own.index), own, node.Column)
		}
		for _, add := range plan.behind[own.key] {
			value := after.Field(add.index)
			if flow {
				added[k/2] = append(added[k/2], add.key+": "+flowText(value, add, true))
				continue
			}
			m.replace(m.blockEnd(spans[k/2].end, node.Column), m.blockEnd(spans[k/2].end, node.Column), m.below(entryLines(add, value), node.Column-1))
		}
	}
	if flow {
		m.flow(spans, gone, added)
		return
	}
	for k := 0; k < len(spans); k++ {
		if gone[k] {
			k = m.takeEntries(node, spans, gone, k)
		}
	}
}

// changes are what happens to the keys of a group.
type changes struct {
	kept   []string           // stay in the file
	gone   map[string]bool    // are taken out
	behind map[string][]field // new keys, by the kept key they come after
}

// plan finds which keys go, stay and come. A new key comes behind the nearest
// key before it in the order of the struct, or behind the first of the file.
func (m *merger) plan(node *yaml.Node, before, after reflect.Value, fields []field) changes {
	p := changes{gone: map[string]bool{}, behind: map[string][]field{}}
	there := map[string]bool{}
	for k := 0; k < len(node.Content); k += 2 {
		there[node.Content[k].Value] = true
	}
	for k := 0; k < len(node.Content); k += 2 {
		key := node.Content[k].Value
		f := fields[slices.IndexFunc(fields, func(f field) bool { return f.key == key })]
		value := after.Field(f.index)
		// A word such as false or 0 is written, not taken out: the line may
		// carry a comment.
		if omitted(value, f) && !same(before.Field(f.index), value) && !isPlainZero(value) {
			p.gone[key] = true
		} else {
			p.kept = append(p.kept, key)
		}
	}
	if len(p.kept) == 0 {
		return p
	}
	anchor := p.kept[0]
	for _, f := range fields {
		switch {
		case there[f.key] && !p.gone[f.key]:
			anchor = f.key
		case !there[f.key] && !omitted(after.Field(f.index), f):
			p.behind[anchor] = append(p.behind[anchor], f)
		}
	}
	return p
}

func isPlainZero(value reflect.Value) bool {
	return slices.Contains([]reflect.Kind{reflect.Bool, reflect.Int, reflect.Float64}, value.Kind())
}

// takeEntries takes a key and its value out of a group that is not in brackets
// and returns the last one it took.
func (m *merger) takeEntries(node *yaml.Node, spans []span, gone map[int]bool, k int) int {
	start := m.lineStart(spans[k].start)
	if before := strings.TrimSpace(m.text[start:spans[k].start]); before == "" || before == "?" {
		m.replace(start, m.after(spans[k].end, node.Column), "")
		return k
	}
	// It shares its line with the dash of a list: the next key that stays moves
	// up. There is one, or the whole group would be written anew.
	stays := k + 1
	for gone[stays] {
		stays++
	}
	m.replace(spans[k].start, spans[stays].start, "")
	return stays - 1
}

// after is where the lines behind an entry begin that stay when it goes.
func (m *merger) after(at, column int) int {
	next := m.nextLine(m.blockEnd(at, column))
	for m.tight && next < len(m.text) && strings.TrimSpace(m.text[next:m.lineEnd(next)]) == "" {
		next = m.nextLine(next)
	}
	return next
}

// list changes the items of a list that differ.
func (m *merger) list(node *yaml.Node, before, after reflect.Value, f field, column int) {
	pairs := align(before, after)
	flow := node.Style&yaml.FlowStyle != 0
	var spans []span
	for _, item := range node.Content {
		spans = append(spans, span{m.start(item), m.endOf(item)})
	}
	gone := map[int]bool{}
	for i := range spans {
		gone[i] = true
	}
	added := map[int][]string{} // by the item they come behind; -1 is the front
	next := 0                   // first item of the new list that has no place yet
	place := func(behind, until int) {
		for ; next < until; next++ {
			if flow {
				added[behind] = append(added[behind], flowText(after.Index(next), f, true))
			} else {
				m.insertItem(node, spans, behind, itemLines(after.Index(next), f))
			}
		}
	}
	behind := -1
	for _, p := range pairs {
		place(behind, p.after)
		gone[p.before] = false
		if !same(before.Index(p.before), after.Index(p.after)) {
			m.value(node.Content[p.before], before.Index(p.before), after.Index(p.after), f, node.Column)
		}
		behind, next = p.before, p.after+1
	}
	place(behind, after.Len())
	if flow {
		m.flow(spans, gone, added)
		return
	}
	for i := range spans {
		if gone[i] {
			m.replace(m.dashLine(node, spans[i].start), m.after(spans[i].end, node.Column), "")
		}
	}
}

// insertItem puts an item behind another of a list that is not in brackets, or
// before the first.
func (m *merger) insertItem(node *yaml.Node, spans []span, behind int, lines []string) {
	if behind >= 0 {
		end := m.blockEnd(spans[behind].end, node.Column)
		m.replace(end, end, m.below(lines, node.Column-1))
		return
	}
	start := m.dashLine(node, spans[0].start)
	text := strings.TrimPrefix(m.below(lines, node.Column-1), m.feed) + m.feed
	m.replace(start, start, text)
}

// dashLine is the start of the line with the dash of an item.
func (m *merger) dashLine(node *yaml.Node, at int) int {
	for start := m.lineStart(at); ; start = m.lineStart(start - 1) {
		line := m.text[start:m.lineEnd(start)]
		body := strings.TrimLeft(line, " ")
		if strings.HasPrefix(body, "-") && len(line)-len(body) == node.Column-1 {
			return start
		}
		if start == 0 || start == m.lines[0] {
			m.fail(errPlace)
			return start
		}
	}
}

// span is where an entry of a group or list stands.
type span struct{ start, end int }

// flow takes out and puts in entries between brackets. There is at least one
// entry, and one of them stays.
func (m *merger) flow(spans []span, gone map[int]bool, added map[int][]string) {
	if front := added[-1]; len(front) > 0 {
		m.replace(spans[0].start, spans[0].start, strings.Join(front, ", ")+", ")
	}
	last := -1 // last entry that stays
	for k := range spans {
		if !gone[k] {
			last = k
		}
	}
	for k := range spans {
		if len(added[k]) > 0 {
			m.replace(spans[k].end, spans[k].end, ", "+strings.Join(added[k], ", "))
		}
		switch {
		case !gone[k]:
		case k < last: // up to the entry behind it
			m.replace(spans[k].start, spans[k+1].start, "")
		case k > last: // from the entry before it
			m.replace(spans[k-1].end, spans[k].end, "")
		}
	}
}
