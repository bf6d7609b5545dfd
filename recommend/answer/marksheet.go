package answer

import (
	"fmt"
	"math"
	"strings"

	"stillbright/recommend/answer/draw"
	"stillbright/recommend/beam"
)

// MarkSheet is six pages, one mark on each, at true scale; page k is mark k of
// beam.MarkPlan; and one with the way to take the pictures, a help topic. It fits A4
// and Letter.
func MarkSheet(procedure string) []byte {
	var pages []*draw.Sheet
	for k := range 6 {
		pages = append(pages, markPage(k))
	}
	return draw.Book(append(pages, procedurePage(procedure)), draw.A4)
}

// procedurePage sets the two columns of a help topic: a word, and what to do.
func procedurePage(text string) *draw.Sheet {
	s := draw.New("stillbright pattern: how to take the pictures", 190, 255)
	lines := strings.Split(strings.TrimSpace(text), "\n")
	step := min(4.2, 240/float64(len(lines)))
	for i, line := range lines {
		word, rest := line, ""
		if at := min(len(line), procedureIndent); strings.HasSuffix(line[:at], " ") {
			word, rest = strings.TrimSpace(line[:at]), line[at:]
		}
		y := 10 + step*float64(i)
		s.Text(6, y, word, draw.Type{Size: 0.75 * step})
		s.Text(34, y, rest, draw.Type{Size: 0.75 * step})
	}
	return s
}

// procedureIndent is where the second column of a help topic begins.
const procedureIndent = 13

// markPage is the page of a mark; under 258 mm high, it fits A4 and Letter alike.
func markPage(k int) *draw.Sheet {
	s := draw.New("stillbright pattern: marks for the wall", 190, 255)
	x, y := 95.0, 122.0
	circle(s, x, y, 1000*beam.MarkOuter/2, draw.Black)
	circle(s, x, y, 1000*beam.MarkWhite/2, draw.White)
	circle(s, x, y, 1000*beam.MarkDot/2, draw.Black)
	// The lines to hang it by, outside the mark.
	for _, side := range []float64{-1, 1} {
		s.Line(x+side*84, y, x+side*94, y, draw.Pen{Thick: 0.3})
		s.Line(x, y+side*84, x, y+side*94, draw.Pen{Thick: 0.3})
	}
	s.Text(6, 14, fmt.Sprintf("Mark %d: %s", k+1, []string{"upper left", "upper middle", "upper right", "lower left", "lower middle", "lower right"}[k]), draw.Type{Size: 6})
	s.Text(6, 228, "Print at 100 %. Check: this bar is 100 mm long.", draw.Type{Size: 4})
	s.Line(6, 233, 106, 233, draw.Pen{Thick: 0.6})
	s.Text(6, 243, "Hang it upright by the fine lines: 1 m between neighbours of a row, 0.8 m between the rows,", draw.Type{Size: 3.6})
	s.Text(6, 248, "the lamp's centre in the middle of the six. How to carry it to the wall: stillbright help photo", draw.Type{Size: 3.6})
	return s
}

func circle(s *draw.Sheet, x, y, r float64, ink draw.Ink) {
	const n = 180
	corners := make([]draw.Point, n)
	for i := range corners {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		corners[i] = draw.Point{X: x + r*cos, Y: y + r*sin}
	}
	s.Area(corners, draw.Fill{Ink: ink})
}

// MarkSheetGuide says what to do with the pages.
func MarkSheetGuide(name string) Document {
	p := new(page)
	p.say(fmt.Sprintf("Six marks, and a page that says how to take the pictures, written to %s. Print them at 100 %% and check the bar of 100 mm.", name))
	p.say("Tape them on the wall in two rows of three: 1 m between neighbours, 0.8 m between the rows, or other lengths that you give with --marks-apart. The middle of the six is the place straight ahead of the lamp.")
	p.say("How to find that place, and how to take the pictures: stillbright help photo")
	return p.doc
}

// PhotoCheck lists what is well and what is not.
func PhotoCheck(list []beam.Finding) Document {
	p := new(page)
	bad := 0
	for _, f := range list {
		if !f.OK {
			bad++
		}
	}
	if bad == 0 {
		p.say("The pictures can be measured.")
	} else {
		p.say(fmt.Sprintf("%s to put right before you change the bulb:", plural(bad, "thing", "things")))
	}
	for _, f := range list {
		mark := "good "
		if !f.OK {
			mark = "fix  "
		}
		p.entry(Item{Mark: mark, Text: plainText(f.Text)})
	}
	return p.doc
}
