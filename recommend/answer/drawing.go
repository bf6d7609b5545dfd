package answer

import "stillbright/recommend/answer/draw"

// drawing is a sheet in grey of lines, areas and words in millimetres, origin at
// the top left, y downward: areas lie under lines, lines under words.
type drawing struct {
	title         string
	width, height float64 // mm
	areas         []area
	lines         []stroke
	words         []words
}

// area is a filled rectangle.
type area struct {
	x, y, width, height float64
	grey                float64 // 0 black to 1 white
}

// stroke is a straight line.
type stroke struct {
	x1, y1, x2, y2 float64
	thick          float64 // mm
	dash           float64 // length of dash and gap, mm; 0 is solid
}

// words are one line of text, starting at x on the base line y.
type words struct {
	x, y, size float64 // size is the height of the type, mm
	text       string
}

func (d *drawing) line(x1, y1, x2, y2, thick float64) {
	d.lines = append(d.lines, stroke{x1, y1, x2, y2, thick, 0})
}

func (d *drawing) dashed(x1, y1, x2, y2, thick, dash float64) {
	d.lines = append(d.lines, stroke{x1, y1, x2, y2, thick, dash})
}

func (d *drawing) write(x, y, size float64, text string) {
	d.words = append(d.words, words{x, y, size, text})
}

// sheet lays the drawing out in its order.
func (d *drawing) sheet() *draw.Sheet {
	s := draw.New(d.title, d.width, d.height)
	for _, a := range d.areas {
		s.Rect(a.x, a.y, a.width, a.height, draw.Grey(a.grey))
	}
	for _, l := range d.lines {
		pen := draw.Pen{Thick: l.thick}
		if l.dash > 0 {
			pen.Dash = []float64{l.dash, l.dash}
		}
		s.Line(l.x1, l.y1, l.x2, l.y2, pen)
	}
	for _, w := range d.words {
		s.Text(w.x, w.y, w.text, draw.Type{Size: w.size})
	}
	return s
}
