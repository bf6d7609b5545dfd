// Package answer is what a person reads. An answer is made once, as blocks, from
// the values that the other rooms return; a terminal, plain text, Markdown and
// HTML each draw the blocks. It decides nothing and knows no terminal.
package answer

import "strings"

// Document is an answer: its blocks in the order in which they are read.
type Document []Block

// Block is one of the kinds below, each a plain value.
type Block interface{ block() }

// Headline is the answer itself, or the title of a part of it.
type Headline struct {
	Text  Text
	Part  bool // the title of a part; it stands apart from what is before it
	Brief bool // cut to one line where a line is wide enough to say something
	Tone  Tone
}

// Line is a sentence or a few.
type Line struct {
	Text  Text
	Brief bool
	Tone  Tone
}

// Caution is what can hurt somebody or cost a lamp.
type Caution struct {
	Text  Text
	Brief bool
}

// Question is what is worth asking, and by which flag it is answered.
type Question struct {
	Text Text
	Flag string
}

// List is items in order.
type List struct {
	Items  []Item
	Labels int // columns of the labels on a wide terminal, where the items have them
}

// Item is one entry of a list, with what belongs under it.
type Item struct {
	Mark  string // what it is counted by, such as a number; empty for none
	Label string // what the text is about; empty for none
	Text  Text
	Brief bool
	Drawn *Picture // in place of the text
	Under []Item
}

// Table is rows of cells under a head.
type Table struct {
	Caption string
	Head    []string
	Rows    [][]string
	Row     int // the column that names the row
	Shrink  int // the column that gives way on a narrow terminal
	Gap     int // spaces between columns; 0: as many as the width allows
}

// Picture is something drawn, with what stands over and under it, and what it shows
// in words for who does not see it.
type Picture struct {
	Title, Caption string
	Alt            string
	Of             Drawn
	Indent         int // columns on a terminal, where it stands under something
}

// Drawn is data that can be drawn in plain characters. It gives no lines where
// there is nothing to draw or no room.
type Drawn interface{ Lines(width int) []string }

// Break parts what belongs together from what comes next.
type Break struct{}

func (Headline) block() {}
func (Line) block()     {}
func (Caution) block()  {}
func (Question) block() {}
func (List) block()     {}
func (Table) block()    {}
func (Picture) block()  {}
func (Break) block()    {}

// Tone is what a verdict comes to. A renderer may colour by it; the words say the
// same.
type Tone string

const (
	ToneGood  Tone = "good"
	ToneDoubt Tone = "doubt"
	ToneBad   Tone = "bad"
)

// Text is a run of spans.
type Text []Span

// Span is text of one kind. All of it may come from files.
type Span struct {
	Text string
	Kind SpanKind
	Link string // address of a page, or #place on this one; empty for none
}

// SpanKind is how a span is meant.
type SpanKind int

const (
	Plain   SpanKind = iota
	Strong           // what is to be read first
	Aside            // what holds for the whole and need not be read first
	Command          // a command line to copy
)

func plainText(text string) Text { return Text{{Text: text}} }

func command(text string) Span { return Span{Text: text, Kind: Command} }

// String is the text without its kinds.
func (t Text) String() string {
	var b strings.Builder
	for _, span := range t {
		b.WriteString(span.Text)
	}
	return b.String()
}

// add adds a row; the cells of a table are text of one kind.
func (t *Table) add(cells ...string) { t.Rows = append(t.Rows, cells) }

// page collects the blocks of an answer.
type page struct{ doc Document }

func (p *page) put(b Block) { p.doc = append(p.doc, b) }

// say writes a sentence; spans may follow it.
func (p *page) say(text string, more ...Span) { p.put(Line{Text: append(plainText(text), more...)}) }

// brief writes a sentence that is cut to one line.
func (p *page) brief(text string) { p.put(Line{Text: plainText(text), Brief: true}) }

// head writes the answer itself.
func (p *page) head(text string, tone Tone) { p.put(Headline{Text: plainText(text), Tone: tone}) }

// part begins a part with a title.
func (p *page) part(title string) { p.put(Headline{Text: plainText(title), Part: true}) }

func (p *page) caution(text string) { p.put(Caution{Text: plainText(text)}) }

func (p *page) gap() { p.put(Break{}) }

// item writes an entry of the list that stands last, or begins one.
func (p *page) item(text string) { p.entry(Item{Text: plainText(text)}) }

func (p *page) entry(i Item) {
	if last := len(p.doc) - 1; last >= 0 {
		if list, ok := p.doc[last].(List); ok {
			list.Items = append(list.Items, i)
			p.doc[last] = list
			return
		}
	}
	p.put(List{Items: []Item{i}})
}

// under writes what belongs under the last item; without one it is an item itself.
func (p *page) under(text string) { p.below(Item{Text: plainText(text)}) }

func (p *page) below(i Item) {
	if len(p.doc) > 0 {
		if list, ok := p.doc[len(p.doc)-1].(List); ok && len(list.Items) > 0 {
			last := &list.Items[len(list.Items)-1]
			last.Under = append(last.Under, i)
			return
		}
	}
	p.entry(i)
}

// rows writes texts behind labels.
func (p *page) rows(labels int, rows ...[2]string) {
	list := List{Labels: labels}
	for _, row := range rows {
		list.Items = append(list.Items, Item{Label: row[0], Text: plainText(row[1])})
	}
	if len(rows) > 0 {
		p.put(list)
	}
}

// numbered is a list of steps under a title.
func (p *page) numbered(title string, steps []string) {
	if len(steps) == 0 {
		return
	}
	p.part(title)
	for i, step := range steps {
		p.entry(Item{Mark: whole(float64(i+1)) + ".", Text: plainText(step)})
	}
}
