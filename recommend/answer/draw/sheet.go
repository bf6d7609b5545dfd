// Package draw makes pictures: a sheet in millimetres with areas, lines, marks
// and words, written as SVG, PNG or PDF. One sheet looks the same in all three,
// because everything but words is brought down to two things that each writer
// draws: a filled polygon and a stroked line. The same sheet gives the same
// bytes. The package knows nothing of bulbs.
//
//	s := draw.New("Warm-up", 180, 110)
//	s.Line(20, 90, 160, 90, draw.Pen{Ink: draw.Black, Thick: 0.3})
//	s.Area(corners, draw.Fill{Ink: draw.Blue.Tint(0.7), Hatch: draw.Rising})
//	s.Text(90, 105, "minutes lit", draw.Type{Size: 4, Anchor: draw.Middle})
//	file, err := s.PNG()
//
// A plotting library would do the same; linking one into the program costs about
// a millisecond at every start and a third of its size again (measured), for
// three kinds of picture.
package draw

// Sheet is a picture in the making. Lengths are in mm, the origin is at the top
// left, x to the right and y downward. Later things lie over earlier ones.
type Sheet struct {
	Title         string // one line; the title of the file
	Description   string // one line for who cannot see the picture
	Width, Height float64
	items         []item
}

// New starts an empty white sheet.
func New(title string, width, height float64) *Sheet {
	return &Sheet{Title: title, Width: width, Height: height}
}

// Point is a place on the sheet, in mm.
type Point struct{ X, Y float64 }

// item is one thing on the sheet: exactly one of the three is set.
type item struct {
	area   *area
	stroke *stroke
	words  *words
}

type area struct {
	corners []Point
	ink     Ink
}

type stroke struct {
	points []Point
	pen    Pen
}

type words struct {
	x, y float64
	text string
	face Type
}

// Pen draws lines.
type Pen struct {
	Ink   Ink
	Thick float64   // mm
	Dash  []float64 // mm drawn, mm left out, and so on; nil is solid
}

// Anchor says which end of a text stands at its place.
type Anchor int

// Anchors of a text.
const (
	Start Anchor = iota
	Middle
	End
)

// Type is how words are set.
type Type struct {
	Size   float64 // height of the type, mm
	Anchor Anchor
	Ink    Ink
	Upward bool // turned by a quarter to the left, as beside a y axis
}

// Line draws a straight line.
func (s *Sheet) Line(x1, y1, x2, y2 float64, pen Pen) {
	s.Path([]Point{{x1, y1}, {x2, y2}}, pen)
}

// Path draws a line over points, with round corners. Fewer than two points draw
// nothing.
func (s *Sheet) Path(points []Point, pen Pen) {
	if len(points) < 2 || pen.Thick <= 0 {
		return
	}
	s.items = append(s.items, item{stroke: &stroke{points: points, pen: pen}})
}

// Outline draws the closed line around corners.
func (s *Sheet) Outline(corners []Point, pen Pen) {
	if len(corners) > 2 {
		s.Path(append(append([]Point{}, corners...), corners[0]), pen)
	}
}

// Fill covers an area.
type Fill struct {
	Ink   Ink
	Hatch Hatch
	Lines Pen // of the hatching; the zero Pen takes a thin dark one
}

// Area fills a polygon.
func (s *Sheet) Area(corners []Point, fill Fill) {
	if len(corners) < 3 {
		return
	}
	s.items = append(s.items, item{area: &area{corners: corners, ink: fill.Ink}})
	s.hatch(corners, fill)
}

// Rect fills a rectangle.
func (s *Sheet) Rect(x, y, width, height float64, ink Ink) {
	s.Area([]Point{{x, y}, {x + width, y}, {x + width, y + height}, {x, y + height}}, Fill{Ink: ink})
}

// Text writes one line of words; y is its base line.
func (s *Sheet) Text(x, y float64, text string, face Type) {
	if text = clean(text); text != "" {
		s.items = append(s.items, item{words: &words{x: x, y: y, text: text, face: face}})
	}
}

// Label writes words on a white ground, so that they can be read over lines and
// hatching. The place is the middle of the words.
func (s *Sheet) Label(x, y float64, text string, size float64) {
	width := TextWidth(text, size)
	s.Rect(x-width/2-0.5*size/3, y-0.62*size, width+size/3, 1.24*size, White)
	s.Text(x, y+0.36*size, text, Type{Size: size, Anchor: Middle})
}
