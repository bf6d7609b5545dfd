package cli

import (
	"strings"

	"stillbright/data"
	"stillbright/recommend/plaintext"
)

// helpEntry is a line of help with a word and, behind two blanks or more, what
// is said of it.
var helpEntry = data.LateRegexp(`^( *)(\S+(?: \S+)*)  +(\S.*)$`)

// printHelp prints a help text, which is written for 80 columns, at the width of
// the terminal: on a narrow one what is said stands under its word.
func (env *Env) printHelp(text string) error {
	if width := env.width(); width < helpWidth {
		text = narrowHelp(text, width)
	}
	return env.print(text)
}

// farIn is how far a text stands behind a word that has a line of its own.
const farIn = 8

func narrowHelp(text string, width int) string {
	var out strings.Builder
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	depth := func(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }
	put := func(indent, hang int, text string) {
		for i, line := range plaintext.Wrap(text, width-max(indent, hang)) {
			if i > 0 {
				indent = hang
			}
			out.WriteString(strings.Repeat(" ", indent) + line + "\n")
		}
	}
	for i := 0; i < len(lines); i++ {
		line := lines[i]
		at := depth(line)
		word, says := "", ""
		if parts := helpEntry().FindStringSubmatch(line); parts != nil && !strings.Contains(parts[3], "  ") {
			word, says = parts[2], parts[3]
		} else if line != "" && i+1 < len(lines) && depth(lines[i+1]) >= at+farIn {
			word = strings.TrimSpace(line)
		}
		if word != "" {
			for i+1 < len(lines) && lines[i+1] != "" && depth(lines[i+1]) > at+4 && helpEntry().FindStringSubmatch(lines[i+1]) == nil {
				i++
				says = strings.TrimSpace(says + " " + strings.TrimSpace(lines[i]))
			}
			put(at, at+2, word)
			put(at+4, at+4, says)
			continue
		}
		if line == "" {
			out.WriteString("\n")
			continue
		}
		if at == 0 { // a paragraph
			for i+1 < len(lines) && lines[i+1] != "" && depth(lines[i+1]) == 0 && plaintext.Width(line) > width/2 && helpEntry().FindStringSubmatch(lines[i+1]) == nil {
				i++
				line += " " + lines[i]
			}
		}
		put(at, at, strings.TrimSpace(line))
	}
	return out.String()
}
