package answer

import (
	"fmt"
	"strings"

	"stillbright/data"
	"stillbright/recommend/plaintext"
)

// Markdown draws the answer in Markdown with tables (GitHub's kind), to paste into
// a page or a thread. There is no line end after the last line.
func (d Document) Markdown() string {
	var blocks []string
	for _, b := range d {
		if text := markdownBlock(b); text != "" {
			blocks = append(blocks, text)
		}
	}
	return strings.Join(blocks, "\n\n")
}

func markdownBlock(b Block) string {
	switch b := b.(type) {
	case Headline:
		if b.Part {
			return "### " + markdownSpans(b.Text)
		}
		return "**" + markdownText(b.Text.String()) + "**"
	case Line:
		return markdownSpans(b.Text)
	case Caution:
		return "**Caution:** " + markdownSpans(b.Text)
	case Question:
		return markdownSpans(b.Text)
	case List:
		return strings.TrimSuffix(markdownItems(b.Items, ""), "\n")
	case Table:
		return markdownTable(b)
	case Picture:
		return markdownPicture(b)
	}
	return ""
}

func markdownItems(items []Item, indent string) string {
	var b strings.Builder
	for _, i := range items {
		if i.Drawn != nil {
			if text := markdownPicture(*i.Drawn); text != "" {
				text = "\n" + text + "\n"
				b.WriteString(strings.ReplaceAll(text, "\n", "\n"+indent))
				b.WriteByte('\n')
			}
			continue
		}
		mark := "- "
		if i.Mark != "" {
			mark += i.Mark + " "
		}
		if i.Label != "" {
			mark += "**" + markdownText(i.Label) + ":** "
		}
		b.WriteString(indent + mark + markdownSpans(i.Text) + "\n" + markdownItems(i.Under, indent+"  "))
	}
	return b.String()
}

func markdownTable(t Table) string {
	var b strings.Builder
	if t.Caption != "" {
		b.WriteString(markdownText(t.Caption) + "\n\n")
	}
	markdownRow(&b, t.Head)
	b.WriteString("\n|" + strings.Repeat("---|", len(t.Head)))
	for _, row := range t.Rows {
		b.WriteByte('\n')
		markdownRow(&b, row)
	}
	return b.String()
}

func markdownRow(b *strings.Builder, cells []string) {
	b.WriteString("|")
	for _, cell := range cells {
		if cell = strings.TrimSpace(cell); cell != "" {
			b.WriteString(" " + markdownText(cell))
		}
		b.WriteString(" |")
	}
}

// markdownPicture indents the characters, so that none of them means anything.
func markdownPicture(p Picture) string {
	lines := p.Of.Lines(Width)
	if len(lines) == 0 {
		return ""
	}
	var parts []string
	if p.Title != "" {
		parts = append(parts, markdownText(p.Title))
	}
	for i, line := range lines {
		lines[i] = "    " + plaintext.Clean(line)
	}
	parts = append(parts, strings.Join(lines, "\n"))
	if p.Caption != "" {
		parts = append(parts, markdownText(p.Caption))
	}
	return strings.Join(parts, "\n\n")
}

// spanMarks surround a span of a kind in Markdown.
var spanMarks = map[SpanKind]string{Strong: "**", Aside: "*"}

func markdownSpans(text Text) string {
	var b strings.Builder
	for _, span := range text {
		mark := spanMarks[span.Kind]
		b.WriteString(mark + markdownText(span.Text) + mark)
	}
	return b.String()
}

// markdownMarks are the characters that mean something in a line of Markdown.
const markdownMarks = "\\`*_[]|~"

// markdownText writes text so that it stays text: names and notes come from
// files and may hold anything. Marks are escaped, HTML becomes entities, a
// mention, an issue number and a bare address lose what makes them one, and
// line ends and control characters become spaces.
func markdownText(text string) string {
	var b strings.Builder
	for _, r := range text {
		switch {
		case data.Commands(r):
			b.WriteByte(' ')
		case strings.ContainsRune(markdownMarks, r):
			b.WriteByte('\\')
			b.WriteRune(r)
		case strings.ContainsRune("<>&@#", r):
			fmt.Fprintf(&b, "&#%d;", r)
		default:
			b.WriteRune(r)
		}
	}
	return strings.NewReplacer("://", "&#58;//", "www.", "www&#46;", "WWW.", "WWW&#46;").Replace(b.String())
}
