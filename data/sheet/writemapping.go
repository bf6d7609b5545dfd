package sheet

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/store"
)

// mappingTop is the comment at the top of a saved mapping.
const mappingTop = `# What the columns of %s mean. Change what is wrong, then
#   stillbright catalog import FILE --map THIS --dry-run
# means is one of
#   lux: readings; at: 30min says when, or a column of minutes does
#   hot_at: minutes of the readings that do not say theirs
#   readings: all in one cell, 0:1190; 30:1071
#   housing, price, currency, maker
#   note: kept with the test; derived: computed, not read; ignore
#   or a field of a record:
#   %s
# unit: of cells without one. housing, beam: whose figures the column holds.
# A heading that is not listed is understood as if there were no mapping.
`

// WriteMapping writes how a table was understood as a mapping to review: every
// column with a few of its cells in a comment. Decode reads it back.
func WriteMapping(t Table, r Interpretation) ([]byte, error) {
	text, err := store.Encode(r.Mapping)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	keys := strings.Join(fieldKeys(), " ")
	fmt.Fprintf(&out, mappingTop, comment(baseName(t.File)), wrapComment(keys))
	column := 0
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "  - head:") && column < len(r.examples) {
			if cells := r.examples[column]; cells != "" {
				out.WriteString("  # " + cells + "\n")
			}
			column++
		}
		out.WriteString(line)
	}
	var again Mapping
	if _, faults := store.Decode("mapping", out.Bytes(), &again); len(faults.Wrong()) > 0 {
		return text, nil // without the comments, which nothing depends on
	}
	return out.Bytes(), nil
}

func wrapComment(text string) string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(text) {
		if len(line)+len(word) > 70 {
			lines, line = append(lines, line), ""
		}
		line = strings.TrimSpace(line + " " + word)
	}
	return strings.Join(append(lines, line), "\n#   ")
}

// comment makes a text safe to stand behind a comment sign.
func comment(text string) string {
	text = strings.Map(func(r rune) rune {
		if data.Commands(r) || r == '\ufeff' {
			return ' '
		}
		return r
	}, text)
	if runes := []rune(text); len(runes) > 30 {
		text = string(runes[:29]) + "…"
	}
	return strings.TrimSpace(text)
}

// examplesOf are the first different cells under each head.
func examplesOf(t Table, heads headRow, width int) []string {
	list := make([]string, width)
	for i := range list {
		var cells []string
		for _, row := range t.Rows[heads.at+1:] {
			if cell := comment(row.cell(i)); cell != "" && !slices.Contains(cells, cell) {
				cells = append(cells, cell)
			}
			if len(cells) == 3 {
				break
			}
		}
		list[i] = strings.Join(cells, " | ")
	}
	return list
}
