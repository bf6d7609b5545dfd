package store

import (
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"stillbright/data"
	"stillbright/data/quantity"
)

// Bounds of one record file. They keep time and memory small whatever the file
// holds; ten years of weekly tests of one bulb fit in a tenth of it.
const (
	maxFileBytes = 1 << 20
	maxTextBytes = 4000
	maxValues    = 100_000
	maxDepth     = 24
	maxFaults    = 200 // of one file; a file with more is not a record at all
)

// decoder turns a YAML node into a record, collecting every fault.
type decoder struct {
	file    string
	faults  data.Faults
	places  map[string]*yaml.Node // path -> where it stands
	partial bool                  // nothing is required outside lists
	text    *source               // nil when the file holds no exclamation mark
}

// Decode reads one YAML document strictly into record, a pointer to a struct
// with the tags of package data. It returns all faults, and the position of
// every path for later checks.
func Decode(file string, content []byte, record any) (Places, data.Faults) {
	return decode(file, content, record, false)
}

// decodeOver reads a document over a record that is already full: only the
// keys that are there change, and none is required.
func decodeOver(file string, content []byte, record any) (Places, data.Faults) {
	return decode(file, content, record, true)
}

func decode(file string, content []byte, record any, partial bool) (Places, data.Faults) {
	d := &decoder{file: file, places: map[string]*yaml.Node{}, partial: partial}
	root := d.parse(content)
	target := reflect.ValueOf(record).Elem()
	if root != nil && !d.newer(root, target.Type()) {
		d.structure(root, "", target, 0)
	}
	d.faults.Sort()
	return Places{file: file, nodes: d.places}, d.faults
}

// Places knows where each key path of a file stands.
type Places struct {
	file  string
	nodes map[string]*yaml.Node
}

// Locate fills in file, line and column of a fault from its path; a path that
// is not in the file takes the place of its nearest parent.
func (p Places) Locate(fault data.Fault) data.Fault {
	fault.File = p.file
	for path := fault.Path; ; {
		if node, ok := p.nodes[path]; ok {
			fault.Line, fault.Col = node.Line, node.Column
			return fault
		}
		cut := strings.LastIndexAny(path, ".[")
		if path == "" {
			fault.Line, fault.Col = 1, 1
			return fault
		}
		path = path[:max(cut, 0)]
	}
}

func (d *decoder) fault(node *yaml.Node, path, message, hint string) {
	switch {
	case len(d.faults) > maxFaults:
		return
	case len(d.faults) == maxFaults:
		d.faults = append(d.faults, data.Fault{File: d.file, Message: fmt.Sprintf("more than %d faults; these are the first", maxFaults)})
		return
	}
	d.faults = append(d.faults, data.Fault{File: d.file, Line: node.Line, Col: node.Column, Path: path, Message: message, Hint: hint})
}

// parse reads the bytes into a node tree: one document, UTF-8, bounded size,
// no anchors, aliases or merge keys.
func (d *decoder) parse(content []byte) *yaml.Node {
	whole := &yaml.Node{Line: 1, Column: 1}
	switch {
	case len(content) > maxFileBytes:
		d.fault(whole, "", fmt.Sprintf("file is larger than %d bytes", maxFileBytes), "")
		return nil
	case !utf8.Valid(content):
		d.fault(whole, "", "file is not UTF-8 text", "save it as UTF-8")
		return nil
	}
	text := string(content)
	if strings.Contains(text, "!") {
		d.text = newSource(text)
	}
	reader := yaml.NewDecoder(strings.NewReader(text))
	var document, second yaml.Node
	if err := next(reader, &document); err != nil {
		d.syntax(text, err)
		return nil
	}
	switch err := next(reader, &second); {
	case err == nil:
		d.fault(&second, "", "a second document in one file", "put each record in a file of its own")
		return nil
	case err != io.EOF:
		d.syntax(text, err)
		return nil
	}
	switch {
	case len(document.Content) != 1:
		d.fault(whole, "", "file is empty", "")
		return nil
	case countNodes(&document, maxValues) > maxValues:
		d.fault(whole, "", fmt.Sprintf("file holds more than %d keys and values", maxValues), "")
		return nil
	}
	return document.Content[0]
}

// countNodes counts the nodes of a tree, and stops soon after most.
func countNodes(node *yaml.Node, most int) int {
	count := 1
	for _, item := range node.Content {
		if count > most {
			break
		}
		count += countNodes(item, most-count)
	}
	return count
}

// next reads one document. The YAML package gives up on some malformed input
// by panicking; for a reader of people's files that is a fault like any other.
func next(reader *yaml.Decoder, document *yaml.Node) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("malformed: %v", r)
		}
	}()
	return reader.Decode(document)
}

// newer says whether the file was made by a later version of the program, and
// then makes that its only fault: what else it holds cannot be judged here.
func (d *decoder) newer(root *yaml.Node, record reflect.Type) bool {
	fields := fieldsOf(record)
	i := slices.IndexFunc(fields, func(f field) bool { return f.key == "format" && f.max != nil })
	if i < 0 || root.Kind != yaml.MappingNode {
		return false
	}
	for k := 0; k+1 < len(root.Content); k += 2 {
		if root.Content[k].Value != "format" {
			continue
		}
		version, err := strconv.Atoi(root.Content[k+1].Value)
		if err != nil || float64(version) <= *fields[i].max {
			return false
		}
		d.fault(root.Content[k+1], "format", fmt.Sprintf("%d: made by a newer version of this program; this one reads up to %v", version, *fields[i].max), "use the newer version")
		return true
	}
	return false
}

func (d *decoder) plain(node *yaml.Node, path string, depth int) bool {
	switch {
	case depth > maxDepth:
		d.fault(node, path, "nested too deeply", "")
	case node.Kind == yaml.AliasNode || node.Anchor != "":
		d.fault(node, path, "anchors and aliases are not allowed here", "write the value out")
	case node.Style&yaml.TaggedStyle != 0, d.text.tagged(node):
		d.fault(node, path, "explicit type tags are not allowed here", "")
	default:
		return true
	}
	return false
}

func (d *decoder) structure(node *yaml.Node, path string, target reflect.Value, depth int) {
	if !d.plain(node, path, depth) {
		return
	}
	d.places[path] = node
	fields := fieldsOf(target.Type())
	if node.Kind != yaml.MappingNode {
		d.fault(node, path, "a group of keys is wanted here: "+keyList(fields), "")
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, value := node.Content[i], node.Content[i+1]
		at := join(path, key.Value)
		index := slices.IndexFunc(fields, func(f field) bool { return f.key == key.Value })
		switch {
		case !d.key(key, path):
		case index < 0:
			d.unknown(key, path, fields)
		case seen[key.Value]:
			d.fault(key, at, "given twice", "keep one")
		default:
			f := fields[index]
			d.places[at] = value
			d.value(value, at, target.Field(f.index), f, depth+1)
		}
		seen[key.Value] = true
	}
	for _, f := range fields {
		if f.required && !seen[f.key] && !d.over(path, target.Type()) {
			d.fault(node, join(path, f.key), "missing: "+f.doc, missingHint(f, target.Type().Field(f.index).Type))
		}
	}
}

// missingHint is a line that may be added for a key that has to be there.
func missingHint(f field, kind reflect.Type) string {
	switch {
	case f.key == "format":
		return "add: format: 1"
	case f.key == "source":
		return "add, for example: source: own bench"
	case kind == reflect.TypeFor[data.Date]():
		return "add, for example: " + f.key + ": 2026-03-14"
	case len(f.enum) > 0:
		return "add: " + f.key + ": and one of " + strings.Join(f.enum, " ")
	}
	return "add: " + f.key + ":"
}

// over says whether a group is laid over one that is already full. An item of
// a list is new, and a judged figure comes with its own reason.
func (d *decoder) over(path string, group reflect.Type) bool {
	return d.partial && !strings.Contains(path, "[") && group != reflect.TypeFor[data.Judged]()
}

// key checks that a key is a plain word.
func (d *decoder) key(key *yaml.Node, path string) bool {
	if key.Kind == yaml.ScalarNode || key.Kind == yaml.AliasNode {
		return d.plain(key, path, 0)
	}
	d.fault(key, path, "a key is one word, not a list or group", "")
	return false
}

func (d *decoder) unknown(key *yaml.Node, path string, fields []field) {
	if len(d.faults) > maxFaults {
		return // looking for near names costs time
	}
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	name := clip(key.Value, 40)
	hint := "legal here: " + strings.Join(names, " ")
	if near := data.Near(key.Value, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	if len(name) > 0 && strings.Trim(name, "0123456789") == "" {
		hint = "a comma ends a value here: write 1190, not 1,190" // in {at: 0min, lux: 1,190}
	}
	d.fault(key, path, fmt.Sprintf("unknown key %q", name), hint)
}

func (d *decoder) value(node *yaml.Node, path string, target reflect.Value, f field, depth int) {
	if !d.plain(node, path, depth) {
		return
	}
	if node.Tag == "!!null" && node.Kind == yaml.ScalarNode {
		d.fault(node, path, "no value", "leave it out when it is not known")
		return
	}
	switch target.Kind() {
	case reflect.Pointer:
		fresh := reflect.New(target.Type().Elem())
		before := len(d.faults)
		d.value(node, path, fresh.Elem(), f, depth)
		if len(d.faults) == before {
			target.Set(fresh)
		}
		return
	case reflect.Slice:
		d.list(node, path, target, f, depth)
		return
	case reflect.Map:
		d.table(node, path, target, f, depth)
		return
	case reflect.Struct:
		if target.Type() != reflect.TypeFor[quantity.Money]() {
			d.structure(node, path, target, depth)
			return
		}
	}
	if node.Kind != yaml.ScalarNode {
		d.fault(node, path, "one value is wanted here, not a list or group", "")
		return
	}
	if hint, err := setScalar(target, node, f); err != nil {
		d.fault(node, path, err.Error(), hint)
	}
}

func (d *decoder) list(node *yaml.Node, path string, target reflect.Value, f field, depth int) {
	if node.Kind != yaml.SequenceNode {
		d.fault(node, path, "a list is wanted here", "write - before each item, or [a, b]")
		return
	}
	result := reflect.MakeSlice(target.Type(), len(node.Content), len(node.Content))
	for i, item := range node.Content {
		at := path + "[" + strconv.Itoa(i) + "]"
		d.places[at] = item
		d.value(item, at, result.Index(i), f, depth+1)
	}
	target.Set(result)
}

func (d *decoder) table(node *yaml.Node, path string, target reflect.Value, f field, depth int) {
	if node.Kind != yaml.MappingNode {
		d.fault(node, path, "a group of keys is wanted here", "")
		return
	}
	result := reflect.MakeMap(target.Type())
	for i := 0; i+1 < len(node.Content); i += 2 {
		key, item := node.Content[i], node.Content[i+1]
		at := join(path, key.Value)
		if !d.key(key, path) {
			continue
		}
		if result.MapIndex(reflect.ValueOf(key.Value)).IsValid() {
			d.fault(key, at, "given twice", "keep one")
			continue
		}
		d.places[at] = item
		value := reflect.New(target.Type().Elem()).Elem()
		d.value(item, at, value, f, depth+1)
		result.SetMapIndex(reflect.ValueOf(key.Value), value)
	}
	target.Set(result)
}
