package question

import (
	"fmt"
	"strings"
)

// piece is one part of a phrase: a step (a word, a stem~, # or ...), or a choice of rows of pieces.
type piece struct {
	step     string
	choices  [][]piece
	optional bool
}

// deepest is how many brackets of a phrase may stand in one another.
const deepest = 6

// parsePhrase reads the notation of data.Section.
func parsePhrase(phrase string) ([]piece, error) {
	rows, rest, err := parseChoices(phrase, 0)
	switch {
	case err != nil:
		return nil, fmt.Errorf("phrase %q: %w", phrase, err)
	case rest != "":
		return nil, fmt.Errorf("phrase %q: a closing bracket too many", phrase)
	case len(rows) == 1:
		return rows[0], nil
	}
	return []piece{{choices: rows}}, nil
}

// parseChoices reads rows of pieces with | between them, up to a closing bracket or the end.
func parseChoices(s string, depth int) (rows [][]piece, rest string, err error) {
	if depth > deepest {
		return nil, "", fmt.Errorf("brackets more than %d deep", deepest)
	}
	row := []piece{}
	for s != "" {
		switch s[0] {
		case ' ':
			s = s[1:]
		case '|':
			rows, row, s = append(rows, row), []piece{}, s[1:]
		case ')', ']':
			return append(rows, row), s, nil
		case '(', '[':
			closing := byte(')')
			if s[0] == '[' {
				closing = ']'
			}
			choices, after, err := parseChoices(s[1:], depth+1)
			if err != nil {
				return nil, "", err
			}
			if after == "" || after[0] != closing {
				return nil, "", fmt.Errorf("a bracket that is not closed")
			}
			row = append(row, piece{choices: choices, optional: closing == ']'})
			s = after[1:]
		default:
			n := strings.IndexAny(s, " ()[]|")
			if n < 0 {
				n = len(s)
			}
			if allLetters(s[:n]) { // nearly every word
				row = append(row, piece{step: s[:n]})
			} else {
				for _, step := range stepsOf(s[:n]) {
					row = append(row, piece{step: step})
				}
			}
			s = s[n:]
		}
	}
	return append(rows, row), "", nil
}

// allLetters says whether a word is already one step.
func allLetters(word string) bool {
	for i := 0; i < len(word); i++ {
		if !letter(word[i]) {
			return false
		}
	}
	return true
}

// stepsOf cuts one word of a phrase, or a whole name, into steps the way a question is cut into tokens.
func stepsOf(text string) []string {
	var steps []string
	for _, field := range strings.Fields(text) {
		if field == "#" || field == "..." || strings.HasSuffix(field, "~") && len(field) > 2 {
			steps = append(steps, field)
			continue
		}
		for _, t := range split(fold(field)) {
			if t.kind != comma && t.kind != stop {
				steps = append(steps, t.text)
			}
		}
	}
	return steps
}

// add puts one phrase of the words into the graph.
func (l *lexicon) add(s slot, value, phrase string) error {
	pieces, err := parsePhrase(phrase)
	if err != nil {
		return err
	}
	if len(pieces) > 0 && (pieces[0].step == "..." || pieces[len(pieces)-1].step == "...") {
		return fmt.Errorf("phrase %q begins or ends with a gap", phrase)
	}
	ends := l.link(pieces, []*node{l.root})
	for _, end := range ends {
		if end == l.root {
			return fmt.Errorf("phrase %q may be empty", phrase)
		}
		end.tags = append(end.tags, tag{s, value})
	}
	return nil
}

// link adds a row of pieces after the nodes given and returns where it ends.
func (l *lexicon) link(pieces []piece, from []*node) []*node {
	for _, p := range pieces {
		if p.choices == nil {
			target := &node{}
			l.step(p.step, from, target)
			from = []*node{target}
			continue
		}
		target := &node{}
		ends := []*node{target}
		if p.optional {
			ends = append(ends, from...)
		}
		for _, row := range p.choices {
			ends = append(ends, l.linkInto(row, from, target)...)
		}
		from = ends
	}
	return from
}

// linkInto adds a row of pieces that ends at target; it returns further ends, where the last pieces may be left out.
func (l *lexicon) linkInto(row []piece, from []*node, target *node) []*node {
	if len(row) == 0 {
		return from
	}
	last := row[len(row)-1]
	before := l.link(row[:len(row)-1], from)
	if last.choices == nil {
		l.step(last.step, before, target)
		return nil
	}
	var ends []*node
	if last.optional {
		ends = append(ends, before...)
	}
	for _, choice := range last.choices {
		ends = append(ends, l.linkInto(choice, before, target)...)
	}
	return ends
}

// step adds an edge to target from each of the nodes.
func (l *lexicon) step(step string, from []*node, target *node) {
	for _, n := range from {
		switch step {
		case "#":
			n.number = append(n.number, target)
		case "...":
			n.gap = append(n.gap, target)
		default:
			id := l.number(step)
			if n == l.root {
				l.first[id] = append(l.first[id], target)
			} else {
				n.next = append(n.next, edge{id, target})
			}
		}
	}
}

// number gives the number of a word or, with a trailing ~, of a stem, given out on first sight.
func (l *lexicon) number(step string) int32 {
	table := l.words
	if stem, ok := strings.CutSuffix(step, "~"); ok {
		table, step = l.stems, stem
		l.shortest, l.longest = min(l.shortest, len(stem)), max(l.longest, len(stem))
	}
	if id, ok := table[step]; ok {
		return id
	}
	l.count++
	table[step] = l.count
	return l.count
}
