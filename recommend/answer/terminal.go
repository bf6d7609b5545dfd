package answer

import (
	"strings"

	"stillbright/recommend/plaintext"
)

// Width is the width that every default screen keeps to, in columns.
const Width = 80

// narrowPage is a width below which tables save every column.
const narrowPage = 60

// Terminal draws the answer for a terminal of a width in columns. Nothing in it
// is obeyed by a terminal but the colours, if they are wanted.
func (d Document) Terminal(width int, colour bool) string {
	if width < 20 {
		width = Width
	}
	return d.lines(screen{width: width, colour: colour})
}

// Plain draws the answer as paragraphs of text, for a comment or a letter; prose
// at a width of 0 is not wrapped. There is no line end after the last line.
func (d Document) Plain(width int) string {
	return strings.TrimSuffix(d.lines(screen{width: width, prose: true}), "\n")
}

func (d Document) lines(s screen) string {
	for _, b := range d {
		s.block(b)
	}
	return s.text.String()
}

// rows is how many lines of a terminal the answer takes.
func (d Document) rows(width int) int { return strings.Count(d.Terminal(width, false), "\n") }

// screen writes blocks as lines that keep to a width, counted in display columns.
type screen struct {
	text   strings.Builder
	width  int // 0: lines are not wrapped
	prose  bool
	colour bool
}

// Colours and weights of a terminal (ECMA-48, select graphic rendition).
var toneCodes = map[Tone]string{ToneGood: "32", ToneDoubt: "33", ToneBad: "31"}

const boldCode = "1"

func (s *screen) block(b Block) {
	hang := "  "
	if s.prose {
		hang = ""
	}
	switch b := b.(type) {
	case Break:
		s.text.WriteByte('\n')
	case Headline:
		if b.Part {
			s.text.WriteByte('\n')
		}
		s.say(b.Text, "", hang, b.Brief, codes(boldCode, toneCodes[b.Tone]))
	case Line:
		s.say(b.Text, "", hang, b.Brief, toneCodes[b.Tone])
	case Caution:
		s.say(append(plainText("Caution: "), b.Text...), "", hang, b.Brief, toneCodes[ToneDoubt])
	case Question:
		s.say(b.Text, "  ", "    ", false, "")
	case List:
		s.items(b.Items, b.Labels, "  ")
	case Table:
		s.table(b)
	case Picture:
		s.picture(b)
	}
}

func codes(list ...string) string {
	return strings.Trim(strings.Join(list, ";"), ";")
}

// line writes one line, without what a terminal would obey: much of what is shown
// comes from files.
func (s *screen) line(text, code string) {
	text = strings.TrimRight(plaintext.Clean(text), " ")
	if code != "" && s.colour && text != "" {
		text = "\x1b[" + code + "m" + text + "\x1b[0m"
	}
	s.text.WriteString(text + "\n")
}

// say writes a text in as many lines as it needs, or cut to one; on a narrow
// page a brief text takes the lines it needs, since too little of it would be
// left.
func (s *screen) say(text Text, first, hang string, brief bool, code string) {
	lines := plaintext.Hang(first, hang, text.String(), s.width)
	if brief && s.width >= narrowPage && len(lines) > 1 {
		lines = []string{plaintext.Hang(first, "", text.String(), s.width-1)[0] + "…"}
	}
	for _, line := range lines {
		s.line(line, code)
	}
}

func (s *screen) items(items []Item, labels int, indent string) {
	for _, i := range items {
		first, hang := indent, indent+"  "
		if s.prose {
			first, hang = indent[2:]+"- ", indent
		}
		switch {
		case i.Mark != "":
			first += i.Mark + " "
			hang = strings.Repeat(" ", columns(first))
		case i.Label != "" && s.room() >= narrowPage:
			first += i.Label + strings.Repeat(" ", max(0, labels-columns(i.Label)))
			hang = strings.Repeat(" ", columns(first))
		case i.Label != "":
			first += i.Label + ": "
		}
		if i.Drawn != nil {
			s.picture(*i.Drawn)
			continue
		}
		if len(i.Text) > 0 {
			s.say(i.Text, first, hang, i.Brief, "")
		}
		s.items(i.Under, 0, indent+"  ")
	}
}

func (s *screen) picture(p Picture) {
	room := s.room() - p.Indent
	lines := p.Of.Lines(room)
	if len(lines) == 0 {
		return
	}
	indent := strings.Repeat(" ", p.Indent)
	if p.Title != "" {
		s.line(indent[:max(0, p.Indent-2)]+p.Title, "")
	}
	for _, line := range lines {
		s.line(indent+line, "")
	}
	if p.Caption != "" {
		s.line(indent+clipTo(p.Caption, room), "")
	}
}

// room is how wide what cannot be wrapped may be.
func (s *screen) room() int {
	if s.width < 1 {
		return Width
	}
	return s.width
}

func (s *screen) table(t Table) {
	rows := make([][]string, 0, len(t.Rows)+1)
	widths := make([]int, len(t.Head))
	for _, row := range append([][]string{t.Head}, t.Rows...) {
		clean := make([]string, len(row))
		for i, cell := range row {
			clean[i] = plaintext.Clean(cell)
			widths[i] = max(widths[i], columns(clean[i]))
		}
		rows = append(rows, clean)
	}
	gap := t.Gap
	if gap == 0 {
		gap = 2
		if s.room() < narrowPage {
			gap = 1
		}
	}
	total := gap * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	if over := total - s.room(); over > 0 {
		if left := widths[t.Shrink] - over; s.room() < narrowPage && left < leastShrunk {
			s.stacked(t, rows[1:])
			return
		}
		widths[t.Shrink] = max(6, widths[t.Shrink]-over)
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			cell = shorten(cell, widths[i])
			line.WriteString(cell + strings.Repeat(" ", max(0, widths[i]-columns(cell))))
			if i < len(row)-1 {
				line.WriteString(strings.Repeat(" ", gap))
			}
		}
		s.line(shorten(strings.TrimRight(line.String(), " "), s.room()), "")
	}
}

// leastShrunk is what the column that gives way needs to be of use on a narrow
// page; with less, the rows are stacked.
const leastShrunk = 10

// stacked writes each row as a line of its first cells and, under it, the others
// with their heads.
func (s *screen) stacked(t Table, rows [][]string) {
	for _, row := range rows {
		s.say(plainText(strings.TrimSpace(strings.Join(row[:t.Shrink+1], " "))), "", "  ", false, "")
		var parts []string
		for i, cell := range row[t.Shrink+1:] {
			if cell != "" {
				parts = append(parts, strings.TrimSpace(t.Head[t.Shrink+1+i]+" "+cell))
			}
		}
		if len(parts) > 0 {
			s.say(plainText(strings.Join(parts, ", ")), "    ", "    ", false, "")
		}
	}
}

// columns is the display width of text.
func columns(text string) int { return plaintext.Width(text) }

// shorten ends a text that does not fit with an ellipsis.
func shorten(text string, most int) string { return plaintext.Truncate(text, most, "…") }

// clipTo cuts a text to one line, at a space.
func clipTo(text string, width int) string {
	if columns(text) <= width {
		return text
	}
	return plaintext.Wrap(text, width-1)[0] + "…"
}
