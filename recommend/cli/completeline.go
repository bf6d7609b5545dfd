package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"stillbright/recommend/plaintext"
)

// aboutWidth keeps a candidate and what is said of it on one line.
const aboutWidth = 56

// completeFor answers a completion script. After the shell's name come the
// words of the line up to the cursor, or for bash the line and its word breaks.
// The first line of the answer is what to do, how much of the word to keep and
// the endings of files; then come the candidates. It never fails: there is no
// place at the prompt for a message.
func (env *Env) completeFor(args []string) error {
	if len(args) == 0 {
		return nil
	}
	shell, words := args[0], args[1:]
	if shell == "bash" {
		breaks := ""
		if len(words) > 1 {
			breaks = words[1]
		}
		return env.completeBash(strings.Join(words[:min(1, len(words))], ""), breaks)
	}
	c := env.complete(words)
	current := ""
	if len(words) > 0 {
		current = words[len(words)-1]
	}
	var out strings.Builder
	out.WriteString(c.head(utf8.RuneCountInString(current[:c.skip])))
	for _, i := range c.items {
		value, about := plaintext.Clean(i.value), brief(plaintext.Clean(i.about), aboutWidth)
		switch {
		case shell == "fish":
			out.WriteString(current[:c.skip] + value + "\t" + about + "\n")
		case about == "":
			out.WriteString(strings.ReplaceAll(value, ":", `\:`) + "\n")
		default:
			out.WriteString(strings.ReplaceAll(value, ":", `\:`) + ":" + about + "\n")
		}
	}
	_, err := io.WriteString(env.Out, out.String())
	return err
}

// brief shortens what is said of a candidate: to its first part where that says
// something, else to the width.
func brief(text string, width int) string {
	if plaintext.Width(text) <= width {
		return text
	}
	const leastPart = 12
	end := -1
	for _, mark := range []string{"; ", ": ", " ("} {
		at := strings.LastIndex(text[:min(len(text), width)], mark)
		if at >= leastPart && (mark == " (" || !strings.Contains(text[:at], "(")) {
			end = max(end, at)
		}
	}
	if end >= 0 && utf8.ValidString(text[:end]) {
		text = text[:end]
	}
	return plaintext.Truncate(text, width, "...")
}

func (c candidates) head(keep int) string {
	kind := "words"
	switch {
	case c.folder:
		kind = "folders"
	case c.files != nil:
		kind = "files"
	case c.list:
		kind = "list"
	case c.open:
		kind = "open"
	}
	return strings.TrimSpace(fmt.Sprintf("%s %d %s", kind, keep, strings.Join(c.files, " "))) + "\n"
}

// completeBash answers with what readline puts in place of the part of the
// word behind the last of its breaks, quoted as the word began.
func (env *Env) completeBash(line, breaks string) error {
	l := readBashLine(line, breaks)
	c := candidates{files: []string{}}
	if !l.redirect {
		c = env.complete(l.words)
	}
	current := l.words[len(l.words)-1]
	var values []string
	for _, i := range c.items {
		if full := current[:c.skip] + plaintext.Clean(i.value); len(full) >= l.plainStart {
			values = append(values, full[l.plainStart:])
		}
	}
	likeTyped(values, current[l.plainStart:])
	var out strings.Builder
	out.WriteString(c.head(max(0, c.skip-l.plainStart)))
	for _, value := range values {
		out.WriteString(quoteFor(l.quote, value) + "\n")
	}
	_, err := io.WriteString(env.Out, out.String())
	return err
}

// likeTyped gives several candidates the letter case of what was typed where
// they differ in it: readline would take typed letters away down to what the
// candidates have in common.
func likeTyped(values []string, typed string) {
	same := true
	for _, value := range values {
		if len(value) < len(typed) || !strings.EqualFold(value[:len(typed)], typed) {
			return
		}
		same = same && value[:len(typed)] == values[0][:len(typed)]
	}
	for i := range values {
		if !same {
			values[i] = typed + values[i][len(typed):]
		}
	}
}

// quoteFor quotes a value for bash inside the quotes that are open, if any.
func quoteFor(quote byte, value string) string {
	special := " \t|&;()<>\"'\\$`*?[]{}#~=!%,^"
	switch quote {
	case '\'':
		return value
	case '"':
		special = "\"\\$`"
	default:
		special = strings.NewReplacer("=", "", ",", "", "%", "", "^", "", "~", "").Replace(special)
	}
	var out strings.Builder
	for i := range len(value) {
		if strings.IndexByte(special, value[i]) >= 0 {
			out.WriteByte('\\')
		}
		out.WriteByte(value[i])
	}
	return out.String()
}

// bashLine is a command line up to the cursor, as bash would split it.
type bashLine struct {
	words      []string // without the command; the last is the one at the cursor
	quote      byte     // the quote that is open at the cursor, or 0
	plainStart int      // byte of the last word, quotes taken off, from which readline replaces it
	redirect   bool     // the last word is the file of a redirection
}

// readBashLine splits a line at blanks outside quotes and finds where readline
// takes the word to begin: behind the open quote or the last break character.
func readBashLine(line, breaks string) bashLine {
	var l bashLine
	var word strings.Builder
	begun, toFile := false, false
	end := func() {
		if begun && !toFile {
			l.words = append(l.words, word.String())
		}
		if begun {
			toFile = false
		}
		word.Reset()
		begun, l.plainStart = false, 0
	}
	for i := 0; i < len(line); i++ {
		c := line[i]
		switch {
		case l.quote != 0:
			switch {
			case c == l.quote:
				l.quote = 0
				l.plainStart = 0
			case c == '\\' && l.quote == '"' && i+1 < len(line) && strings.IndexByte("\"\\$`", line[i+1]) >= 0:
				i++
				word.WriteByte(line[i])
			default:
				word.WriteByte(c)
			}
		case c == '\\':
			begun = true
			if i+1 < len(line) {
				i++
				word.WriteByte(line[i])
			}
		case c == '\'' || c == '"':
			begun = true
			l.quote, l.plainStart = c, word.Len()
		case c == ' ' || c == '\t' || c == '\n':
			end()
		case c == '>' || c == '<':
			if text := word.String(); text != "" && strings.Trim(text, "0123456789&") == "" {
				word.Reset() // the number of the stream
				begun = false
			}
			end()
			toFile = true
		case c == ';' || c == '|' || c == '(' || c == '&' && !toFile:
			end()
			l.words = nil
			toFile = false
		default:
			begun = true
			word.WriteByte(c)
			if strings.IndexByte(breaks, c) >= 0 {
				l.plainStart = word.Len()
			}
		}
	}
	l.redirect = toFile
	l.words = append(l.words, word.String())
	if len(l.words) > 1 {
		l.words = l.words[1:] // the command
	} else {
		l.words = []string{""}
		l.plainStart = 0
	}
	return l
}
