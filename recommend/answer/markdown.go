package answer

import (
	"fmt"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/need"
)

// CompareMarkdown is a comparison as a Markdown table (GitHub's kind), to paste
// into a page or a thread.
func CompareMarkdown(s *recommend.CompareSheet) string {
	var b strings.Builder
	b.WriteString(markdownText(compareHead(s)) + "\n\n")
	b.WriteString(markdownText(lawStatement(s.Law)+bestHalogen(s)) + "\n\n")
	b.WriteString(markdownText("Judged for "+need.Sentence(s.Need)+".") + "\n\n")
	head := []string{""}
	for _, bulb := range s.Bulbs {
		head = append(head, bulb.Name)
	}
	head = append(head, "your halogen")
	markdownRow(&b, head)
	b.WriteString("|" + strings.Repeat("---|", len(head)) + "\n")
	for _, row := range compareRows(s).rows {
		markdownRow(&b, row)
	}
	b.WriteString("\n")
	for _, bulb := range s.Bulbs {
		if tail := standingTail(bulb); tail != "" {
			fmt.Fprintf(&b, "- %s\n", markdownText(bulb.Name+tail))
		}
	}
	fmt.Fprintf(&b, "- %s\n", markdownText(noiseNote))
	for _, note := range s.Notes {
		fmt.Fprintf(&b, "- %s\n", markdownText(note))
	}
	if s.Catalog.Invented {
		b.WriteString("- " + inventedLine + "\n")
	}
	return b.String()
}

func markdownRow(b *strings.Builder, cells []string) {
	b.WriteString("|")
	for _, cell := range cells {
		b.WriteString(" " + markdownText(strings.TrimSpace(cell)) + " |")
	}
	b.WriteString("\n")
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
