// Package store is the user's folder: strict reading with positions, locks,
// and atomic writing. It is the only room that knows YAML.
package store

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
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
	maxDepth     = 24
)

// decoder turns a YAML node into a record, collecting every fault.
type decoder struct {
	file    string
	faults  data.Faults
	places  map[string]*yaml.Node // path -> where it stands
	partial bool                  // nothing is required outside lists
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
	if root != nil {
		d.structure(root, "", reflect.ValueOf(record).Elem(), 0)
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
		if cut < 0 {
			fault.Line, fault.Col = 1, 1
			return fault
		}
		path = path[:cut]
	}
}

func (d *decoder) fault(node *yaml.Node, path, message, hint string) {
	d.faults = append(d.faults, data.Fault{File: d.file, Line: node.Line, Col: node.Column, Path: path, Message: message, Hint: hint})
}

var yamlLine = regexp.MustCompile(`line (\d+): `)

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
	reader := yaml.NewDecoder(strings.NewReader(string(content)))
	var document yaml.Node
	if err := reader.Decode(&document); err != nil {
		d.syntax(whole, err)
		return nil
	}
	var second yaml.Node
	if err := reader.Decode(&second); err == nil {
		d.fault(&second, "", "a second document in one file", "put each record in a file of its own")
		return nil
	}
	if len(document.Content) != 1 {
		d.fault(whole, "", "file is empty", "")
		return nil
	}
	return document.Content[0]
}

func (d *decoder) syntax(whole *yaml.Node, err error) {
	message := strings.TrimPrefix(err.Error(), "yaml: ")
	node := *whole
	if m := yamlLine.FindStringSubmatch(message); m != nil {
		node.Line, _ = strconv.Atoi(m[1])
		message = strings.Replace(message, m[0], "", 1)
	}
	if message == "EOF" {
		message = "file is empty"
	}
	d.fault(&node, "", "not readable as YAML: "+message, "")
}

func (d *decoder) plain(node *yaml.Node, path string, depth int) bool {
	switch {
	case depth > maxDepth:
		d.fault(node, path, "nested too deeply", "")
	case node.Kind == yaml.AliasNode || node.Anchor != "":
		d.fault(node, path, "anchors and aliases are not allowed here", "write the value out")
	case node.Style&yaml.TaggedStyle != 0:
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
		case index < 0:
			d.unknown(key, path, fields)
		case seen[key.Value]:
			d.fault(key, at, "given twice", "keep one")
		default:
			f := fields[index]
			d.places[at] = value
			if value.Tag == "!!null" && value.Kind == yaml.ScalarNode {
				d.fault(value, at, "no value", "leave the key out when it is not known")
			} else {
				d.value(value, at, target.Field(f.index), f, depth+1)
			}
		}
		seen[key.Value] = true
	}
	for _, f := range fields {
		if f.required && !seen[f.key] && !(d.partial && !strings.Contains(path, "[")) {
			d.fault(node, join(path, f.key), "missing: "+f.doc, "")
		}
	}
}

func (d *decoder) unknown(key *yaml.Node, path string, fields []field) {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	name := clip(key.Value, 40)
	hint := "legal here: " + strings.Join(names, " ")
	if near := data.Near(key.Value, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	d.fault(key, path, fmt.Sprintf("unknown key %q", name), hint)
}

func (d *decoder) value(node *yaml.Node, path string, target reflect.Value, f field, depth int) {
	if !d.plain(node, path, depth) {
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
		at := fmt.Sprintf("%s[%d]", path, i)
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

var idPattern = regexp.MustCompile(`^[a-z0-9][a-z0-9-]{0,62}$`)

// setScalar parses one scalar into target by the field's tags.
func setScalar(target reflect.Value, node *yaml.Node, f field) (hint string, err error) {
	text := node.Value
	switch target.Type() {
	case reflect.TypeFor[quantity.Money]():
		money, err := quantity.ParseMoney(text)
		if err == nil && money.Currency == "" {
			err = fmt.Errorf("%q names no currency", clip(text, 40))
			return "write it as 60USD", err
		}
		target.Set(reflect.ValueOf(money))
		return split(err)
	case reflect.TypeFor[data.Date]():
		date, err := data.ParseDate(text)
		target.SetString(string(date))
		return "", err
	}
	switch target.Kind() {
	case reflect.String:
		target.SetString(text)
		return checkText(text, f)
	case reflect.Bool:
		if text != "true" && text != "false" {
			return "", fmt.Errorf("%q: true or false is wanted", clip(text, 40))
		}
		target.SetBool(text == "true")
		return "", nil
	case reflect.Int:
		value, err := strconv.Atoi(text)
		if err != nil {
			return "", fmt.Errorf("%q: a whole number is wanted", clip(text, 40))
		}
		target.SetInt(int64(value))
		return "", checkRange(float64(value), text, f)
	case reflect.Float64:
		value, hint, err := parseNumber(text, f)
		if err != nil {
			return hint, err
		}
		target.SetFloat(value)
		return "", checkRange(value, text, f)
	}
	return "", fmt.Errorf("store: a field of type %s has no reader", target.Type())
}

func parseNumber(text string, f field) (value float64, hint string, err error) {
	switch {
	case f.unit != "" && f.bare:
		value, err = quantity.ParseBare(text, f.unit)
	case f.unit != "":
		value, err = quantity.Parse(text, f.unit)
	default:
		value, err = strconv.ParseFloat(text, 64)
		if err != nil || math.IsNaN(value) || math.IsInf(value, 0) || strings.ContainsAny(text, "_xXpP") {
			return 0, "", fmt.Errorf("%q: a plain number is wanted", clip(text, 40))
		}
	}
	hint, err = split(err)
	return value, hint, err
}

// split takes the hint out of a quantity error, so that both can be shown in
// their own places.
func split(err error) (hint string, plain error) {
	var bad *quantity.Error
	if errors.As(err, &bad) {
		return bad.Hint, errors.New(bad.Message())
	}
	return "", err
}

func checkRange(value float64, text string, f field) error {
	low, high := f.min, f.max
	if (low == nil || value >= *low) && (high == nil || value <= *high) {
		return nil
	}
	unit := f.unit
	switch {
	case low == nil:
		return fmt.Errorf("%s: must be at most %v%s", clip(text, 40), *high, unit)
	case high == nil:
		return fmt.Errorf("%s: must be at least %v%s", clip(text, 40), *low, unit)
	}
	return fmt.Errorf("%s: must be from %v to %v%s", clip(text, 40), *low, *high, unit)
}

func checkText(text string, f field) (hint string, err error) {
	switch {
	case len(text) > maxTextBytes:
		return "", fmt.Errorf("text is longer than %d bytes", maxTextBytes)
	case strings.ContainsFunc(text, hostile):
		return "", errors.New("text holds control characters")
	case f.required && strings.TrimSpace(text) == "":
		return "", errors.New("is empty: " + f.doc)
	case f.id && !idPattern.MatchString(text):
		return "use small letters, digits and hyphens, at most 63", fmt.Errorf("%q is not a short name", clip(text, 40))
	case f.enum != nil && !slices.Contains(f.enum, text):
		if near := data.Near(text, f.enum); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		return hint, fmt.Errorf("%q: must be %s", clip(text, 40), strings.Join(f.enum, ", "))
	}
	return "", nil
}

// hostile says whether a character could move a terminal's cursor or hide text.
func hostile(r rune) bool {
	if r == '\n' || r == '\t' {
		return false
	}
	return unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029' || r == utf8.RuneError
}

func keyList(fields []field) string {
	names := make([]string, len(fields))
	for i, f := range fields {
		names[i] = f.key
	}
	return strings.Join(names, " ")
}

func join(path, key string) string {
	if path == "" {
		return clip(key, 60)
	}
	return path + "." + clip(key, 60)
}

// clip shortens text from a file for a message and shows control characters as
// escapes.
func clip(text string, most int) string {
	if len(text) > most {
		text = strings.ToValidUTF8(text[:most], "") + "…"
	}
	if strings.ContainsFunc(text, hostile) {
		text = strings.Trim(strconv.Quote(text), `"`)
	}
	return text
}
