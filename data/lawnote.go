package data

import (
	"slices"
	"strings"
)

// LawMarks say how a statement of a note on the law is known, each as it stands in
// brackets before the statement.
var LawMarks = []string{"read", "read, weak", "read, press", "read, blogs", "memory", "inferred"}

// LawStatement is one statement of a note and how it is known.
type LawStatement struct {
	Known string // one of LawMarks; empty where the note has none
	Text  string
}

// LawStatements are the statements of a note in its order. Brackets that hold no
// mark are text.
func LawStatements(note string) []LawStatement {
	var list []LawStatement
	known, from := "", 0
	add := func(to int) {
		if text := strings.TrimSpace(note[from:to]); text != "" {
			list = append(list, LawStatement{known, text})
		}
	}
	for at := 0; at < len(note); at++ {
		mark, _, ok := strings.Cut(note[at:], "]")
		if !ok || mark == "" || mark[0] != '[' || !slices.Contains(LawMarks, mark[1:]) {
			continue
		}
		add(at)
		known, from = mark[1:], at+len(mark)+1
		at = from - 1
	}
	add(len(note))
	return list
}
