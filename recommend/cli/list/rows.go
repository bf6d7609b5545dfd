package list

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"unicode/utf8"

	"stillbright/data"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/reply"
)

// Bounds of a list of questions. They keep memory flat whatever the file holds.
const (
	lineMost   = 1 << 20 // bytes of a line that are kept; the rest is skipped
	recordMost = 64      // lines that a quoted cell may span
	sampleMost = 32      // records that are looked at to find the column
)

// row is one question of a list, or what is wrong with its row.
type row struct {
	line     int // where it starts in the file
	question string
	bad      string // why it cannot be answered
}

// rowReader reads the questions of a list one by one.
type rowReader struct {
	lines  *lineReader
	kind   string // csv, jsonl, lines
	comma  byte
	column int    // of the question, in csv
	wide   int    // columns of the head, in csv; 0 without a head
	key    string // of the question, in jsonl; empty: found in each object
	ahead  []record
}

// record is one record of a table: its cells, or a fault.
type record struct {
	line  int
	cells []string
	bad   string
}

// questionNames are the heads that stand over questions, best first.
var questionNames = []string{"question", "questions", "q", "comment", "message", "text", "body", "content", "ask", "query", "post", "mail", "description", "title"}

// NewReader finds out what kind of list it is and where its questions stand.
func NewReader(name string, from io.Reader, column string) (*rowReader, error) {
	r := &rowReader{lines: newLineReader(from)}
	if err := r.lines.encoding(); err != nil {
		return nil, data.Faults{{File: name, Line: 1, Col: 1, Message: err.Error(), Hint: "save it as UTF-8"}}
	}
	r.kind, r.comma = kindOf(name, r.lines.peek())
	switch r.kind {
	case "jsonl":
		r.key = column
		return r, nil
	case "lines":
		if column != "" {
			return nil, wrong.Use(fmt.Sprintf("--column %q: %s is a list of plain lines and has no columns", column, name), "drop --column")
		}
		return r, nil
	}
	return r, r.findColumn(name, column)
}

// kindOf goes by the ending of the name, else by the first lines.
func kindOf(name string, head []byte) (kind string, comma byte) {
	first, _, _ := bytes.Cut(head, []byte("\n"))
	switch strings.ToLower(filepath.Ext(name)) {
	case ".csv":
		return "csv", commaOf(first)
	case ".tsv", ".tab":
		return "csv", '\t'
	case ".jsonl", ".ndjson":
		return "jsonl", 0
	}
	trimmed := bytes.TrimSpace(first)
	switch {
	case bytes.HasPrefix(trimmed, []byte("{")):
		return "jsonl", 0
	case bytes.ContainsRune(first, '\t'):
		return "csv", '\t'
	}
	for _, cell := range splitLine(string(trimmed), commaOf(first)) {
		if slices.Contains(questionNames, headName(cell)) && bytes.ContainsAny(trimmed, ",;") {
			return "csv", commaOf(first)
		}
	}
	return "lines", 0
}

// commaOf is what separates the cells of a head.
func commaOf(head []byte) byte {
	separator, _ := data.Separator([]string{string(head)})
	return byte(cmp.Or(separator, ','))
}

func headName(cell string) string { return strings.ToLower(strings.TrimSpace(cell)) }

// findColumn reads the head: the column that was named, or whose name means a
// question, or that holds the longest texts.
func (r *rowReader) findColumn(name, wanted string) error {
	for len(r.ahead) < sampleMost {
		rec, err := r.readRecord()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		r.ahead = append(r.ahead, rec)
	}
	if len(r.ahead) == 0 {
		return nil
	}
	var names []string
	for _, cell := range r.ahead[0].cells {
		names = append(names, headName(cell))
	}
	if wanted != "" {
		r.column = slices.Index(names, headName(wanted))
		if r.column < 0 {
			var shown []string
			for _, cell := range r.ahead[0].cells {
				shown = append(shown, plaintext.Clean(strings.TrimSpace(cell)))
			}
			hint := "columns: " + strings.Join(shown, ", ")
			if near := data.Near(wanted, shown); len(near) > 0 {
				hint = "did you mean " + strings.Join(near, " or ") + "?"
			}
			return wrong.Use(fmt.Sprintf("--column %q is not in %s", wanted, name), hint)
		}
		r.takeHead()
		return nil
	}
	for _, meant := range questionNames {
		if at := slices.Index(names, meant); at >= 0 {
			r.column = at
			r.takeHead()
			return nil
		}
	}
	r.column = longestColumn(r.ahead)
	if isHead(r.ahead, r.column) {
		r.takeHead()
	}
	return nil
}

func (r *rowReader) takeHead() {
	r.wide = len(r.ahead[0].cells)
	r.ahead = r.ahead[1:]
}

// longestColumn is the column with the longest texts.
func longestColumn(sample []record) int {
	length := map[int]int{}
	best := 0
	for _, rec := range sample {
		for i, cell := range rec.cells {
			length[i] += len(cell)
		}
	}
	for i := range len(length) {
		if length[i] > length[best] {
			best = i
		}
	}
	return best
}

// isHead says whether the first record looks like names over columns: no cell of
// four words or more, while the questions below have them.
func isHead(sample []record, column int) bool {
	words := func(rec record) int {
		if column >= len(rec.cells) {
			return 0
		}
		return len(strings.Fields(rec.cells[column]))
	}
	if len(sample) < 2 || words(sample[0]) >= 4 || len(sample[0].cells) < 2 {
		return false
	}
	return slices.ContainsFunc(sample[1:], func(rec record) bool { return words(rec) >= 4 })
}

// next gives the next question, or io.EOF.
func (r *rowReader) next() (row, error) {
	switch r.kind {
	case "lines":
		for {
			line, err := r.lines.next()
			if err != nil {
				return row{}, err
			}
			if strings.TrimSpace(line.text) != "" || line.cut {
				return checked(row{line: line.number, question: line.text}, line.cut), nil
			}
		}
	case "jsonl":
		for {
			line, err := r.lines.next()
			if err != nil {
				return row{}, err
			}
			if strings.TrimSpace(line.text) != "" || line.cut {
				return r.object(line), nil
			}
		}
	}
	rec, err := r.record()
	if err != nil {
		return row{}, err
	}
	return r.fromCells(rec), nil
}

// record gives the next record that is not an empty line.
func (r *rowReader) record() (record, error) {
	for {
		var rec record
		var err error
		if len(r.ahead) > 0 {
			rec, r.ahead = r.ahead[0], r.ahead[1:]
		} else if rec, err = r.readRecord(); err != nil {
			return rec, err
		}
		if rec.bad != "" || slices.ContainsFunc(rec.cells, func(cell string) bool { return strings.TrimSpace(cell) != "" }) {
			return rec, nil
		}
	}
}

// fromCells takes the question out of a record. Cells too many at the end of a
// table whose last column is the question are its own commas.
func (r *rowReader) fromCells(rec record) row {
	out := row{line: rec.line}
	switch n := len(rec.cells); {
	case rec.bad != "":
		out.bad = rec.bad
		return out
	case n <= r.column:
		out.bad = fmt.Sprintf("cells in the row: %d, the question is in cell %d", n, r.column+1)
		return out
	case r.wide > 0 && n > r.wide && r.column == r.wide-1:
		out.question = strings.Join(rec.cells[r.column:], string(r.comma))
	case r.wide > 0 && n > r.wide:
		out.bad = fmt.Sprintf("cells in the row: %d, in the head: %d", n, r.wide)
		return out
	default:
		out.question = rec.cells[r.column]
	}
	return checked(out, false)
}

// object takes the question out of a line of JSON: a text, or an object with it.
func (r *rowReader) object(line textLine) row {
	out := row{line: line.number}
	if line.cut {
		return checked(out, true)
	}
	if !utf8.ValidString(line.text) {
		out.question = line.text
		return checked(out, false)
	}
	var value any
	if err := json.Unmarshal([]byte(line.text), &value); err != nil {
		out.bad = "no JSON: " + err.Error()
		return out
	}
	switch value := value.(type) {
	case string:
		out.question = value
	case map[string]any:
		text, ok := r.member(value)
		if !ok {
			out.bad = "no question in the object"
			if r.key != "" {
				out.bad = fmt.Sprintf("no text under %q in the object", r.key)
			}
			return out
		}
		out.question = text
	default:
		out.bad = "neither a text nor an object"
		return out
	}
	return checked(out, false)
}

func (r *rowReader) member(object map[string]any) (string, bool) {
	names := questionNames
	if r.key != "" {
		names = []string{headName(r.key)}
	}
	for _, name := range names {
		for key, value := range object {
			if text, ok := value.(string); ok && headName(key) == name {
				return text, true
			}
		}
	}
	return "", false
}

// checked names what makes a question unfit to be answered.
func checked(r row, cut bool) row {
	switch {
	case cut || len(r.question) > reply.MaxQuestion:
		r.bad = fmt.Sprintf("the question has more than %d bytes", reply.MaxQuestion)
	case !utf8.ValidString(r.question):
		r.bad = "not UTF-8" + otherEncoding(r.question)
	case strings.TrimSpace(plaintext.Clean(r.question)) == "":
		r.bad = "no question in the row"
	}
	if r.bad != "" {
		r.question = ""
	}
	return r
}

// otherEncoding guesses what text is that is not UTF-8.
func otherEncoding(text string) string {
	for i := range len(text) {
		if c := text[i]; c >= 0x80 && c < 0xA0 {
			return "; it looks like Windows-1252"
		}
	}
	return "; it looks like Latin-1 or Windows-1252"
}
