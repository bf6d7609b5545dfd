package answer

import (
	"strings"

	"stillbright/data"
	"stillbright/recommend"
)

// knownBy are the marks of the law data in words. What was read needs none: its
// source stands beside it.
var knownBy = map[string]string{
	"read":        "",
	"read, weak":  "From a weak source: ",
	"read, press": "From the press: ",
	"read, blogs": "From blogs: ",
	"memory":      "From memory, not checked: ",
	"inferred":    "Concluded, not read: ",
}

var (
	lawMark   = data.LateRegexp(`\[([a-z, ]+)\] ?`)
	markedYet = data.LateRegexp(`\(\[memory\] ([^)]*)\)`) // one word of a sentence
)

// lawNote says a note of the law data in words for an owner: how each statement
// is known stands before it, and what is only remembered or concluded comes as a
// sentence of its own.
func lawNote(note string) string {
	age := ""
	if i := strings.LastIndex(note, recommend.LawAge); i >= 0 {
		note, age = note[:i], note[i:]
	}
	note = markedYet().ReplaceAllString(note, "($1, from memory)")
	var b strings.Builder
	before := "" // the mark of the sentence before
	for note != "" {
		at := lawMark().FindStringSubmatchIndex(note)
		if at == nil {
			break
		}
		b.WriteString(note[:at[0]])
		mark := note[at[2]:at[3]]
		words, known := knownBy[mark]
		switch {
		case !known: // never hide a mark that is not understood
			words = "(" + mark + ") "
		case words == "" && knownBy[before] != "":
			words = "Read again: "
		}
		b.WriteString(words)
		before, note = mark, note[at[1]:]
	}
	b.WriteString(note)
	text := strings.TrimSpace(b.String())
	if text != "" && !strings.HasSuffix(text, ".") {
		text += "."
	}
	return text + age
}
