package answer

import (
	"fmt"
	"html"
	"strings"

	"stillbright/recommend/plaintext"
)

// HTML draws the answer as a piece of a page: elements that say what they are,
// scopes for the heads of tables, no style and no script. Every character of the
// answer is text in it. level is that of its headline, 1 to 5.
func (d Document) HTML(level int) string {
	w := markup{level: min(max(level, 1), 5)}
	w.open("section")
	for _, b := range d {
		w.block(b)
	}
	w.shut("section")
	return w.text.String()
}

// markup writes blocks as elements, one a line.
type markup struct {
	text  strings.Builder
	level int
	empty bool // the section has nothing in it yet
}

func (w *markup) open(tag string) {
	w.text.WriteString("<" + tag + ">\n")
	w.empty = true
}

func (w *markup) shut(tag string) { w.text.WriteString("</" + tag + ">\n") }

func (w *markup) line(format string, parts ...any) {
	fmt.Fprintf(&w.text, format+"\n", parts...)
	w.empty = false
}

// next begins a section, unless one has just begun.
func (w *markup) next() {
	if !w.empty {
		w.shut("section")
		w.open("section")
	}
}

func (w *markup) block(b Block) {
	switch b := b.(type) {
	case Break:
		w.next()
	case Headline:
		level := w.level
		if b.Part {
			w.next()
			level++
		}
		w.line("<h%d%s>%s</h%[1]d>", level, class(string(b.Tone)), htmlSpans(b.Text))
	case Line:
		w.line("<p%s>%s</p>", class(string(b.Tone)), htmlSpans(b.Text))
	case Caution:
		w.line("<p%s><strong>Caution:</strong> %s</p>", class("caution"), htmlSpans(b.Text))
	case Question:
		w.line("<p%s>%s</p>", class("question"), htmlSpans(b.Text))
	case List:
		w.list(b)
	case Table:
		w.table(b)
	case Picture:
		w.picture(b)
	}
}

func class(name string) string {
	if name == "" {
		return ""
	}
	return ` class="` + name + `"`
}

func (w *markup) list(l List) {
	labelled := len(l.Items) > 0
	for _, i := range l.Items {
		labelled = labelled && i.Label != "" && len(i.Under) == 0
	}
	if !labelled {
		w.items(l.Items)
		return
	}
	w.line("<dl>")
	for _, i := range l.Items {
		w.line("<dt>%s</dt><dd>%s</dd>", htmlText(i.Label), htmlSpans(i.Text))
	}
	w.line("</dl>")
}

func (w *markup) items(items []Item) {
	if len(items) == 0 {
		return
	}
	tag := "ul"
	if items[0].Mark == "1." {
		tag = "ol"
	}
	w.line("<%s>", tag)
	for _, i := range items {
		if i.Drawn != nil {
			w.line("<li>")
			w.picture(*i.Drawn)
			w.line("</li>")
			continue
		}
		before := ""
		if i.Mark != "" && tag == "ul" {
			before = htmlText(strings.TrimSpace(i.Mark)) + " "
		}
		if i.Label != "" {
			before += htmlText(i.Label) + ": "
		}
		w.line("<li>%s%s", before, htmlSpans(i.Text))
		w.items(i.Under)
		w.line("</li>")
	}
	w.line("</%s>", tag)
}

func (w *markup) table(t Table) {
	w.line("<table>")
	if t.Caption != "" {
		w.line("<caption>%s</caption>", htmlText(t.Caption))
	}
	var cells strings.Builder
	for _, head := range t.Head {
		if head = strings.TrimSpace(head); head == "" {
			cells.WriteString("<td></td>") // a head without words heads nothing
			continue
		}
		cells.WriteString(`<th scope="col">` + htmlText(head) + "</th>")
	}
	w.line("<thead><tr>%s</tr></thead>", cells.String())
	w.line("<tbody>")
	for _, row := range t.Rows {
		cells.Reset()
		for i, cell := range row {
			cell = htmlText(strings.TrimSpace(cell))
			if i == t.Row && cell != "" {
				cells.WriteString(`<th scope="row">` + cell + "</th>")
				continue
			}
			cells.WriteString("<td>" + cell + "</td>")
		}
		w.line("<tr>%s</tr>", cells.String())
	}
	w.line("</tbody>")
	w.line("</table>")
}

// picture is drawn in its characters; its words stand in their place for who does
// not see them.
func (w *markup) picture(p Picture) {
	lines := p.Of.Lines(Width)
	if len(lines) == 0 {
		return
	}
	w.line("<figure>")
	if p.Title != "" {
		w.line("<figcaption>%s</figcaption>", htmlText(p.Title))
	}
	for i, line := range lines {
		lines[i] = htmlText(line)
	}
	w.line(`<pre role="img" aria-label="%s">%s</pre>`, htmlText(p.Alt), strings.Join(lines, "\n"))
	if p.Caption != "" {
		w.line("<p>%s</p>", htmlText(p.Caption))
	}
	w.line("</figure>")
}

// spanTags are the elements of spans.
var spanTags = map[SpanKind]string{Strong: "strong", Aside: "em", Command: "code"}

func htmlSpans(text Text) string {
	var b strings.Builder
	for _, span := range text {
		inner := htmlText(span.Text)
		if tag := spanTags[span.Kind]; tag != "" {
			inner = "<" + tag + ">" + inner + "</" + tag + ">"
		}
		if to := safeLink(span.Link); to != "" {
			inner = `<a href="` + html.EscapeString(to) + `">` + inner + "</a>"
		}
		b.WriteString(inner)
	}
	return b.String()
}

// htmlText makes text of whatever a file holds.
func htmlText(text string) string { return html.EscapeString(plaintext.Clean(text)) }

// safeLink is a link that leads to a page or a place on this one, or empty: an
// address may come from a file, and one that runs a script must not get in.
func safeLink(to string) string {
	for _, begin := range []string{"https://", "http://", "#"} {
		if strings.HasPrefix(to, begin) && plaintext.Clean(to) == to {
			return to
		}
	}
	return ""
}
