package store

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
)

// scribbler writes a record as careless people might: keys in any order, block
// and bracket style mixed, quotes of all kinds, uneven indentation, comments
// and blank lines anywhere. Every comment has its own number.
type scribbler struct {
	rng      *rand.Rand
	comments int
	brackets bool // groups and lists may stand in brackets
	literal  bool // a text was written that needs the last line break
}

func (s *scribbler) one(n int) bool { return s.rng.IntN(n) == 0 }

func (s *scribbler) comment() string {
	s.comments++
	return fmt.Sprintf("# c%d: it's {a} [note", s.comments)
}

// document is the whole file.
func (s *scribbler) document(v reflect.Value) string {
	s.brackets = !s.one(3)
	lines := s.group(v)
	if s.one(4) {
		lines = append([]string{"---"}, lines...)
	}
	if s.one(2) {
		lines = append([]string{s.comment(), ""}, lines...)
	}
	if s.one(3) {
		lines = append(lines, "", s.comment())
	}
	if s.one(6) {
		lines = append(lines, "...", s.comment())
	}
	feed := "\n"
	if s.one(4) {
		feed = "\r\n"
	}
	text := strings.Join(lines, feed)
	if s.literal || !s.one(4) {
		text += feed
	}
	if s.one(8) {
		text = "\ufeff" + text
	}
	return text
}

// between puts comments and blank lines between entries.
func (s *scribbler) between() []string {
	switch s.rng.IntN(8) {
	case 0:
		return []string{s.comment()}
	case 1:
		return []string{""}
	case 2:
		return []string{"", s.comment(), s.comment()}
	}
	return nil
}

func (s *scribbler) group(v reflect.Value) []string {
	fields := fieldsOf(v.Type())
	var lines []string
	for _, i := range s.rng.Perm(len(fields)) {
		f := fields[i]
		value := v.Field(f.index)
		if omitted(value, f) && !(value.Kind() == reflect.Bool && s.one(3)) {
			continue
		}
		key := f.key
		if s.one(8) {
			key = `"` + key + `"`
		}
		if len(lines) > 0 {
			lines = append(lines, s.between()...)
		}
		lines = append(lines, s.entry(key+":", follow(value), f)...)
	}
	if len(lines) == 0 {
		return []string{"{}"}
	}
	return lines
}

// entry writes a value behind its key or dash.
func (s *scribbler) entry(lead string, v reflect.Value, f field) []string {
	if isScalar(v.Type()) {
		return s.scalar(lead, v, f)
	}
	empty := (v.Kind() == reflect.Struct && isEmpty(v)) || (v.Kind() != reflect.Struct && v.Len() == 0)
	if empty || (s.brackets && s.one(3)) {
		return s.flow(lead, v, f)
	}
	by := 1 + s.rng.IntN(4)
	var lines []string
	if v.Kind() == reflect.Slice {
		if lead != "-" && s.one(3) {
			by = 0
		}
		dash := "-"
		for i := range v.Len() {
			if i > 0 {
				lines = append(lines, s.between()...)
			}
			lines = append(lines, s.entry(dash, follow(v.Index(i)), f)...)
		}
	} else {
		lines = s.group(v)
	}
	if lead == "-" && !s.one(4) { // the first key on the line of the dash
		lines = indent(lines, 1+by)
		lines[0] = "-" + lines[0][1:]
		return lines
	}
	head := lead
	if s.one(5) {
		head += " " + s.comment()
	}
	if lead == "-" || by > 0 || v.Kind() != reflect.Slice {
		lines = indent(lines, max(by, 1))
	}
	return append([]string{head}, lines...)
}

func (s *scribbler) scalar(lead string, v reflect.Value, f field) []string {
	text := scalarText(v, f, false)
	beside := ""
	if s.one(6) {
		beside = "  " + s.comment()
	}
	if v.Kind() != reflect.String || f.enum != nil {
		if s.one(8) && v.Kind() != reflect.Bool {
			text = "'" + text + "'"
		}
		return []string{lead + strings.Repeat(" ", 1+s.rng.IntN(3)) + text + beside}
	}
	raw := v.String()
	words := strings.Split(raw, " ")
	tame := !strings.ContainsAny(raw, "\n\t\ufeff\ufffe") && strings.TrimSpace(raw) == raw && raw != ""
	switch {
	case tame && s.one(4):
		return []string{lead + " '" + strings.ReplaceAll(raw, "'", "''") + "'" + beside}
	case tame && s.one(5):
		return append([]string{lead + " |-" + beside}, indent([]string{raw}, 2+s.rng.IntN(3))...)
	case tame && !strings.Contains(raw, "  ") && len(words) > 1 && s.one(4):
		return append([]string{lead + " >-" + beside}, indent(words, 3)...)
	case isPlain(raw, false) && !strings.Contains(raw, "  ") && !strings.Contains(raw, "#") && len(words) > 2 && s.one(3):
		// A plain text broken into lines; a blank line would be a line break.
		return append([]string{lead + " " + words[0] + " "}, indent(words[1:], 3)...)
	case strings.HasSuffix(raw, "\n") && strings.TrimSpace(raw) != "" && raw[0] != ' ' && raw[0] != '\n' && !strings.ContainsAny(raw, "\t\ufeff\ufffe"):
		lines := strings.Split(strings.TrimSuffix(raw, "\n"), "\n")
		s.literal = true
		return append([]string{lead + " |" + beside}, indent(lines, 3)...)
	}
	return []string{lead + " " + text + beside}
}

// flow writes a value in brackets, sometimes over several lines with comments.
func (s *scribbler) flow(lead string, v reflect.Value, f field) []string {
	text := s.flowText(v, f)
	beside := ""
	if s.one(5) {
		beside = " " + s.comment()
	}
	if s.one(3) && v.Kind() == reflect.Slice && v.Len() > 0 {
		lines := []string{lead + " [" + beside}
		for i := range v.Len() {
			line := "   " + s.flowText(follow(v.Index(i)), f)
			if i < v.Len()-1 || s.one(3) {
				line += ","
			}
			if s.one(3) {
				line += " " + s.comment()
			}
			lines = append(lines, line)
		}
		return append(lines, "  ]")
	}
	return []string{lead + " " + text + beside}
}

func (s *scribbler) flowText(v reflect.Value, f field) string {
	if isScalar(v.Type()) {
		text := scalarText(v, f, true)
		if s.one(6) && v.Kind() == reflect.Float64 {
			text = `"` + text + `"`
		}
		return text
	}
	var parts []string
	if v.Kind() == reflect.Slice {
		for i := range v.Len() {
			parts = append(parts, s.flowText(follow(v.Index(i)), f))
		}
		return "[" + strings.Join(parts, ", ") + "]"
	}
	for _, own := range fieldsOf(v.Type()) {
		if value := v.Field(own.index); !omitted(value, own) {
			parts = append(parts, own.key+": "+s.flowText(follow(value), own))
		}
	}
	return "{" + strings.Join(parts, " , ") + "}"
}
