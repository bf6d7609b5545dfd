package answer

// drawing is a sheet of lines, areas and words in millimetres, origin at the top
// left, y downward. It is drawn by one writer for each kind of file, so that all
// kinds show the same at the same size.
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
