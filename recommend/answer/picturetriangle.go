package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/answer/draw"
	"stillbright/recommend/sure"
)

// TrianglePicture draws all priorities as a triangle, each bulb's part of it, and
// the owner's point.
func TrianglePicture(d *recommend.Pick) Plot {
	return trianglePicture(recommend.Priorities(d), d.Need, nil, d.Catalog.Invented)
}

// TrianglePictureOf draws the same for the compared bulbs that pick ranks, as if
// there were no others.
func TrianglePictureOf(s *recommend.CompareSheet) Plot {
	return trianglePicture(recommend.PrioritiesAmong(s), s.Need, compareLetters(s), s.Catalog.Invented)
}

// Places on the triangle picture, mm.
const (
	triangleSide             = 104.0
	triangleLeft             = 18.0
	triangleBottom           = 116.0
	legendLeft               = 124.0
	pictureWide, pictureHigh = 190.0, 130.0
)

// onTriangle is the place of weights: light at the top, pattern at the bottom
// left, heat at the bottom right.
func onTriangle(w recommend.Weights) draw.Point {
	return draw.Point{X: triangleLeft + triangleSide*(w.Heat+w.Output/2), Y: triangleBottom - triangleSide*math.Sqrt(3)/2*w.Output}
}

// priorityName is a bulb's name on a picture; the stock halogen has none of its own.
func priorityName(p recommend.Priority, size string) string {
	if p.Bulb == recommend.StockID {
		return "your halogen"
	}
	return shortName(p.Name, size)
}

func trianglePicture(list []recommend.Priority, n recommend.Need, letters map[string]string, invented bool) Plot {
	s := newPicture("Which is first at which priorities", needInShort(n), pictureWide, pictureHigh, invented)
	first := leaders(list)
	for i, p := range first {
		s.Area(cornersOf(p), areaFill(p, i))
	}
	for _, p := range first {
		s.Outline(cornersOf(p), draw.Pen{Thick: 0.45})
	}
	triangleEdges(s)
	ownersPoint(s, n.Weights)
	for i, p := range first {
		areaLabel(s, cornersOf(p), onTriangle(n.Weights), priorityLetter(p, i, letters), priorityName(p, n.Size))
	}
	triangleLegend(s, first, list, n, letters)
	s.Description = triangleLine(first, n)
	return Plot{s}
}

// leaders are the bulbs that are first at some weights.
func leaders(list []recommend.Priority) []recommend.Priority {
	var first []recommend.Priority
	for _, p := range list {
		if p.First > 0 && p.Corners != nil {
			first = append(first, p)
		}
	}
	return first
}

// needInShort is what a picture says of the need.
func needInShort(n recommend.Need) string {
	parts := []string{n.Size + " " + n.Beam}
	if n.Housing != "" {
		parts[0] += " " + string(n.Housing)
	}
	if len(n.Driving) > 0 {
		parts = append(parts, strings.Join(n.Driving, "+"))
	}
	return strings.Join(append(parts, significant(n.TripMin, 3)+" min drive"), ", ")
}

func cornersOf(p recommend.Priority) []draw.Point {
	var corners []draw.Point
	for _, w := range p.Corners {
		corners = append(corners, onTriangle(w))
	}
	return corners
}

// areaFill is how a part is covered; the halogen's is left white.
func areaFill(p recommend.Priority, i int) draw.Fill {
	if p.Bulb == recommend.StockID {
		return draw.Fill{Ink: draw.White}
	}
	look := draw.SeriesOf(i)
	return draw.Fill{Ink: look.Ink.Tint(0.72), Hatch: look.Hatch, Lines: draw.Pen{Ink: look.Ink, Thick: 0.22}}
}

// triangleEdges draws the edges with percentages: along each edge one weight
// grows, on lines that lead into the triangle.
func triangleEdges(s *draw.Sheet) {
	at := func(output, pattern, heat float64) draw.Point {
		return onTriangle(recommend.Weights{Output: output, Pattern: pattern, Heat: heat})
	}
	top, left, right := at(1, 0, 0), at(0, 1, 0), at(0, 0, 1)
	s.Outline([]draw.Point{top, left, right}, draw.Pen{Thick: 0.5})
	tick := func(a draw.Point, dx, dy float64, text string, anchor draw.Anchor) {
		s.Line(a.X, a.Y, a.X+1.6*dx, a.Y+1.6*dy, framePen)
		s.Text(a.X+2.4*dx, a.Y+3.2*dy+1.1, text, draw.Type{Size: typeSmall, Anchor: anchor})
	}
	rise := math.Sqrt(3) / 2
	for i := 1; i < 5; i++ {
		w := float64(i) / 5
		text := fixed(100*w, 0)
		tick(at(w, 1-w, 0), -1, 0, text, draw.End)
		tick(at(1-w, 0, w), 0.5, -rise, text, draw.Start)
		tick(at(0, w, 1-w), 0.5, rise, text, draw.Middle)
	}
	title := draw.Type{Size: typePlain, Anchor: draw.Middle}
	s.Text(top.X, top.Y-2, "light 100 %", title)
	s.Text(left.X, left.Y+9.5, "pattern 100 %", title)
	s.Text(right.X, right.Y+9.5, "heat 100 %", title)
	s.Text((top.X+left.X)/2-8, (top.Y+left.Y)/2-2, "light %", draw.Type{Size: typePlain, Anchor: draw.End})
	s.Text((top.X+right.X)/2+8, (top.Y+right.Y)/2-2, "heat %", draw.Type{Size: typePlain})
	s.Text((left.X+right.X)/2, left.Y+9.5, "pattern %", title)
}

// areaLabel names a part by its name where that has room, else by its letter: in
// its middle, or above or below the owner's point when that is in the way. A part
// too small for either is left to the legend.
func areaLabel(s *draw.Sheet, corners []draw.Point, owner draw.Point, short, name string) {
	middle := centroid(corners)
	const clear = 14.0 // mm around the owner's point that stay free
	for _, text := range []string{short + " " + name, short} {
		half := draw.TextWidth(text, typePlain)/2 + 1
		for _, y := range []float64{middle.Y, owner.Y + clear, owner.Y - clear} {
			if math.Abs(y-owner.Y) < clear && math.Abs(middle.X-owner.X) < half+clear {
				continue
			}
			if x, room := roomAt(corners, y); room > half {
				s.Label(x, y, text, typePlain)
				return
			}
		}
	}
}

// roomAt is the middle of a convex polygon at the height of a line of type, and
// how far that is from its nearer side; no room where it does not reach.
func roomAt(corners []draw.Point, y float64) (x, room float64) {
	from, to := math.Inf(-1), math.Inf(1)
	for _, dy := range []float64{-0.5, 0, 0.5} {
		a, b := across(corners, y+dy*typePlain)
		from, to = max(from, a), min(to, b)
	}
	return (from + to) / 2, (to - from) / 2
}

// centroid is the middle of the area of a polygon.
func centroid(corners []draw.Point) draw.Point {
	var x, y, twice float64
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		cross := a.X*b.Y - b.X*a.Y
		x, y, twice = x+(a.X+b.X)*cross, y+(a.Y+b.Y)*cross, twice+cross
	}
	if twice == 0 {
		return corners[0]
	}
	return draw.Point{X: x / (3 * twice), Y: y / (3 * twice)}
}

// across is how far a convex polygon goes left and right at a height; nothing
// where it does not.
func across(corners []draw.Point, y float64) (from, to float64) {
	from, to = math.Inf(1), math.Inf(-1)
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.Y < y) == (b.Y < y) {
			continue
		}
		x := a.X + (y-a.Y)/(b.Y-a.Y)*(b.X-a.X)
		from, to = min(from, x), max(to, x)
	}
	return from, to
}

// ownersPoint marks the owner's weights and what is called near them.
func ownersPoint(s *draw.Sheet, w recommend.Weights) {
	weights := [3]float64{sure.Output: w.Output, sure.Pattern: w.Pattern, sure.Heat: w.Heat}
	if near, err := sure.Near(weights, sure.NearReach); err == nil {
		// One candidate alone is first over the whole region: its corners are the region's.
		if alone, err := sure.Shares([][3]float64{{}}, near); err == nil {
			var corners []draw.Point
			for _, c := range alone[0].Corners {
				corners = append(corners, onTriangle(recommend.Weights{Output: c[sure.Output], Pattern: c[sure.Pattern], Heat: c[sure.Heat]}))
			}
			s.Outline(corners, draw.Pen{Ink: draw.White, Thick: 1.1})
			s.Outline(corners, draw.Pen{Thick: 0.45, Dash: []float64{1.5, 1}})
		}
	}
	p := onTriangle(w)
	s.Mark(draw.Circle, p.X, p.Y, 4, draw.White, draw.Pen{Thick: 0.7})
	s.Mark(draw.Circle, p.X, p.Y, 1.5, draw.Black, draw.Pen{})
	s.Label(p.X, p.Y-4.8, "you", typePlain)
}

func triangleLegend(s *draw.Sheet, first, all []recommend.Priority, n recommend.Need, letters map[string]string) {
	y := 26.0
	room := pictureWide - legendLeft - 4
	plain := draw.Type{Size: typePlain}
	s.Text(legendLeft, y, "first over this much of all weights", draw.Type{Size: typeSmall, Ink: draw.Grey(0.3)})
	for i, p := range first {
		y += 7.5
		if y > 84 {
			s.Text(legendLeft, y, fmt.Sprintf("and %d more", len(first)-i), plain)
			break
		}
		box := []draw.Point{{X: legendLeft, Y: y - 4}, {X: legendLeft + 7, Y: y - 4}, {X: legendLeft + 7, Y: y + 1}, {X: legendLeft, Y: y + 1}}
		s.Area(box, areaFill(p, i))
		s.Outline(box, framePen)
		text := fmt.Sprintf("%s %s", priorityLetter(p, i, letters), priorityName(p, n.Size))
		s.Text(legendLeft+9, y, fitText(text, room-9-12, typePlain), plain)
		s.Text(pictureWide-4, y, shareText(p.First), draw.Type{Size: typePlain, Anchor: draw.End})
	}
	lines := []string{}
	if none := len(all) - len(first); none > 0 {
		lines = append(lines, fmt.Sprintf("first nowhere: %s", plural(none, "bulb", "bulbs")))
	}
	w := n.Weights
	lines = append(lines, "you: light "+weightText(w.Output)+", pattern "+weightText(w.Pattern)+",", "heat "+weightText(w.Heat)+"; dashed: within 10 points", "shares of weights are not chances")
	y += 4
	for _, line := range lines {
		y += 5
		s.Text(legendLeft, y, line, draw.Type{Size: typeSmall})
	}
}

// shareText is a share in percent; one that rounds to nothing or to all but is
// neither says so.
func shareText(value float64) string {
	switch {
	case value > 0 && value < 0.005:
		return "< 1 %"
	case value < 1 && value >= 0.995:
		return "> 99 %"
	}
	return share(value)
}

func triangleLine(first []recommend.Priority, n recommend.Need) string {
	var parts []string
	here := ""
	for _, p := range first {
		parts = append(parts, priorityName(p, n.Size)+" over "+shareText(p.First))
		if inside(p.Corners, n.Weights) && here == "" {
			here = priorityName(p, n.Size)
		}
	}
	text := "Triangle of the weights of light, pattern and heat. First by score: " + sentence(parts) + " of all weights."
	if here != "" {
		text += fmt.Sprintf(" Your weights (light %s, pattern %s, heat %s) lie in the part of %s.", weightText(n.Weights.Output), weightText(n.Weights.Pattern), weightText(n.Weights.Heat), here)
	}
	return text
}

// inside says whether weights lie in a convex part of the triangle.
func inside(corners []recommend.Weights, w recommend.Weights) bool {
	left, right := false, false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		cross := (b.Output-a.Output)*(w.Pattern-a.Pattern) - (b.Pattern-a.Pattern)*(w.Output-a.Output)
		left, right = left || cross > 1e-12, right || cross < -1e-12
	}
	return len(corners) > 2 && !(left && right)
}
