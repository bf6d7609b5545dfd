package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend/answer/draw"
)

// Plot is a figure to be written to a file, with its text equivalent.
type Plot struct{ sheet *draw.Sheet }

// PictureKinds are the kinds of file a picture can be, by file ending.
func PictureKinds() []string { return []string{"png", "svg"} }

// Line says in one line what the picture shows.
func (p Plot) Line() string { return p.sheet.Description }

// File is the picture as the content of a file of a kind.
func (p Plot) File(kind string) ([]byte, error) {
	switch kind {
	case "svg":
		return p.sheet.SVG(), nil
	case "png":
		return p.sheet.PNG()
	}
	return nil, fmt.Errorf("picture %q: must be %s", kind, strings.Join(PictureKinds(), ", "))
}

// Sizes of type on a picture, mm.
const (
	typeTitle = 5.0
	typePlain = 3.4
	typeSmall = 3.0
)

// newPicture starts a sheet with its title, a line under it, and the mark of
// invented data.
func newPicture(title, under string, width, height float64, invented bool) *draw.Sheet {
	s := draw.New("stillbright: "+title, width, height)
	s.Text(5, 8, title, draw.Type{Size: typeTitle})
	s.Text(5, 14, fitText(under, width-10, typePlain), draw.Type{Size: typePlain, Ink: draw.Grey(0.3)})
	if invented {
		s.Text(width-5, height-2.5, "invented demo data", draw.Type{Size: typeSmall, Anchor: draw.End, Ink: draw.Grey(0.3)})
	}
	return s
}

// fitText cuts a text that is too wide, and says so with three dots.
func fitText(text string, width, size float64) string {
	if draw.TextWidth(text, size) <= width {
		return text
	}
	runes := []rune(text)
	for len(runes) > 1 && draw.TextWidth(string(runes)+"…", size) > width {
		runes = runes[:len(runes)-1]
	}
	return strings.TrimRight(string(runes), " ,") + "…"
}

// axes is a frame that brings figures to places on a sheet.
type axes struct {
	sheet                    *draw.Sheet
	left, right, top, bottom float64 // mm
	x0, x1, y0, y1           float64 // figures at the edges
}

func (a axes) at(x, y float64) draw.Point {
	return draw.Point{
		X: a.left + (a.right-a.left)*(x-a.x0)/(a.x1-a.x0),
		Y: a.bottom - (a.bottom-a.top)*(y-a.y0)/(a.y1-a.y0),
	}
}

// holds says whether a place lies within the frame.
func (a axes) holds(p draw.Point) bool {
	const hair = 0.01
	return p.X >= a.left-hair && p.X <= a.right+hair && p.Y >= a.top-hair && p.Y <= a.bottom+hair
}

var (
	thinPen  = draw.Pen{Ink: draw.Grey(0.85), Thick: 0.12}
	framePen = draw.Pen{Thick: 0.3}
)

// frame draws the edges, a grid at round figures and the titles with their units.
func (a axes) frame(xTitle, yTitle string, xSteps, ySteps float64) {
	for _, x := range roundFigures(a.x0, a.x1, xSteps) {
		p := a.at(x, a.y0)
		a.sheet.Line(p.X, a.top, p.X, a.bottom, thinPen)
		a.sheet.Line(p.X, a.bottom, p.X, a.bottom+1.2, framePen)
		a.sheet.Text(p.X, a.bottom+5, figureText(x), draw.Type{Size: typeSmall, Anchor: draw.Middle})
	}
	for _, y := range roundFigures(a.y0, a.y1, ySteps) {
		p := a.at(a.x0, y)
		a.sheet.Line(a.left, p.Y, a.right, p.Y, thinPen)
		a.sheet.Line(a.left-1.2, p.Y, a.left, p.Y, framePen)
		a.sheet.Text(a.left-2, p.Y+1.1, figureText(y), draw.Type{Size: typeSmall, Anchor: draw.End})
	}
	a.sheet.Line(a.left, a.top, a.left, a.bottom, framePen)
	a.sheet.Line(a.left, a.bottom, a.right, a.bottom, framePen)
	a.sheet.Text((a.left+a.right)/2, a.bottom+10, xTitle, draw.Type{Size: typePlain, Anchor: draw.Middle})
	a.sheet.Text(a.left-11, (a.top+a.bottom)/2, yTitle, draw.Type{Size: typePlain, Anchor: draw.Middle, Upward: true})
}

// roundFigures are round figures between two, about as many as wanted.
func roundFigures(low, high, steps float64) []float64 {
	step := roundStep((high - low) / steps)
	var list []float64
	for i := math.Ceil(low/step - 1e-9); i*step <= high+1e-9*step; i++ {
		list = append(list, i*step+0) // +0: never a negative zero
	}
	return list
}

func figureText(value float64) string {
	text := fixed(value, 2)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

// spread moves places that lie too near one another apart, keeping their order;
// they stay within the limits as long as there is room.
func spread(places []float64, apart, low, high float64) []float64 {
	out := append([]float64{}, places...)
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	// Few things are labelled: the simplest sort that is stable will do.
	for i := 1; i < len(order); i++ {
		for j := i; j > 0 && out[order[j]] < out[order[j-1]]; j-- {
			order[j], order[j-1] = order[j-1], order[j]
		}
	}
	for i := 1; i < len(order); i++ {
		out[order[i]] = max(out[order[i]], out[order[i-1]]+apart)
	}
	for i := len(order) - 1; i >= 0; i-- {
		limit := high
		if i < len(order)-1 {
			limit = out[order[i+1]] - apart
		}
		out[order[i]] = min(out[order[i]], limit)
	}
	for i, at := range order {
		least := low
		if i > 0 {
			least = out[order[i-1]] + apart
		}
		out[at] = max(out[at], least)
	}
	return out
}
