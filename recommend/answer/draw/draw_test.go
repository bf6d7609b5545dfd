package draw

import (
	"bytes"
	"encoding/xml"
	"image"
	"image/color"
	"image/png"
	"math"
	"strings"
	"testing"
)

// sample has one of everything.
func sample() *Sheet {
	s := New("title & <more>", 60, 40)
	s.Description = "one line \u202e for \x1b who cannot see"
	s.Area([]Point{{5, 5}, {30, 5}, {30, 25}, {5, 25}}, Fill{Ink: Sky.Tint(0.5), Hatch: Rising})
	s.Area([]Point{{35, 5}, {55, 5}, {45, 25}}, Fill{Ink: Yellow.See(0.5), Hatch: Dotted})
	s.Path([]Point{{5, 30}, {20, 35}, {40, 28}}, Pen{Ink: Vermillion, Thick: 0.6, Dash: []float64{2, 1, 0.4}})
	for i, shape := range []Shape{Circle, Square, Triangle, Diamond, Cross, Plus} {
		s.Mark(shape, 8+8*float64(i), 32, 4, White, Pen{Thick: 0.3})
	}
	s.Text(30, 38, "µ ≥ <b>&\x00", Type{Size: 3, Anchor: Middle})
	s.Text(58, 20, "upward", Type{Size: 3, Anchor: Middle, Upward: true, Ink: Blue})
	s.Label(15, 15, "label", 3)
	return s
}

// TestWellFormed: the SVG is XML with title and description as text, the PNG
// decodes at its size, and both are the same every time.
func TestWellFormed(t *testing.T) {
	var root struct {
		Title string   `xml:"title"`
		Desc  string   `xml:"desc"`
		Text  []string `xml:"text"`
	}
	file := sample().SVG()
	if err := xml.Unmarshal(file, &root); err != nil {
		t.Fatalf("svg: %v", err)
	}
	if root.Title != "title & <more>" || root.Desc != "one line  for  who cannot see" || len(root.Text) != 3 || root.Text[0] != "µ ≥ <b>&" {
		t.Errorf("svg reads %+q", root)
	}
	picture := pictureOf(t, sample())
	if size := picture.Bounds().Size(); size != image.Pt(60*DotsPerMM, 40*DotsPerMM) {
		t.Errorf("png of %v", size)
	}
	a, _ := sample().PNG()
	b, _ := sample().PNG()
	if !bytes.Equal(a, b) || !bytes.Equal(file, sample().SVG()) || !bytes.Equal(sample().PDF(A4), sample().PDF(A4)) {
		t.Error("the same sheet gives other bytes")
	}
}

func pictureOf(t *testing.T, s *Sheet) image.Image {
	t.Helper()
	file, err := s.PNG()
	if err != nil {
		t.Fatal(err)
	}
	picture, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	return picture
}

// ink sums how dark a picture is, in mm² of full black.
func inkOf(picture image.Image) float64 {
	sum := 0.0
	b := picture.Bounds()
	for y := range b.Dy() {
		for x := range b.Dx() {
			sum += 1 - float64(color.GrayModel.Convert(picture.At(x, y)).(color.Gray).Y)/255
		}
	}
	return sum / (DotsPerMM * DotsPerMM)
}

// TestInkIsGeometry: what a PNG is covered with is the area that geometry says.
func TestInkIsGeometry(t *testing.T) {
	solid := Pen{Thick: 0.5}
	for name, c := range map[string]struct {
		draw func(*Sheet)
		want float64
	}{
		"square":             {func(s *Sheet) { s.Rect(10.05, 10.02, 10, 10, Black) }, 100},
		"triangle":           {func(s *Sheet) { s.Area([]Point{{5, 5}, {25, 5}, {5, 35}}, Fill{}) }, 300},
		"turned the other":   {func(s *Sheet) { s.Area([]Point{{5, 35}, {25, 5}, {5, 5}}, Fill{}) }, 300},
		"half seen through":  {func(s *Sheet) { s.Rect(10, 10, 10, 10, Black.See(0.5)) }, 50},
		"grey":               {func(s *Sheet) { s.Rect(10, 10, 10, 10, Grey(0.8)) }, 20},
		"line":               {func(s *Sheet) { s.Line(5, 20, 45, 20, solid) }, 20},
		"slanting line":      {func(s *Sheet) { s.Line(10, 5, 40, 45, solid) }, 25},
		"dashes, half":       {func(s *Sheet) { s.Line(5, 20.5, 45, 20.5, Pen{Thick: 0.5, Dash: []float64{2, 2}}) }, 10},
		"dashes, odd number": {func(s *Sheet) { s.Line(5, 20.5, 44, 20.5, Pen{Thick: 0.5, Dash: []float64{1, 1, 1}}) }, 10},
		"circle":             {func(s *Sheet) { s.Mark(Circle, 25, 25, 20, Black, Pen{}) }, 100 * math.Pi},
		"hatched square": {func(s *Sheet) {
			s.Area([]Point{{5, 5}, {31, 5}, {31, 31}, {5, 31}}, Fill{Ink: White, Hatch: Upright, Lines: Pen{Thick: 0.26}})
		}, 26 * 26 * 0.26 / hatchStep},
	} {
		s := New("", 50, 50)
		c.draw(s)
		if got := inkOf(pictureOf(t, s)); math.Abs(got-c.want) > 0.015*c.want {
			t.Errorf("%s: %.3f mm² of ink, want %.3f", name, got, c.want)
		}
	}
}

// TestHatchStaysInside: no line of any hatching leaves the polygon, and each
// crosses it somewhere.
func TestHatchStaysInside(t *testing.T) {
	corners := []Point{{10, 8}, {40, 12}, {28, 37}, {14, 30}}
	for _, hatch := range []Hatch{Rising, Falling, Level, Upright, Dotted, Crossed} {
		s := New("", 50, 50)
		s.hatch(corners, Fill{Hatch: hatch})
		if len(s.items) < 4 {
			t.Errorf("hatch %d: %d lines", hatch, len(s.items))
		}
		for _, it := range s.items {
			for _, p := range it.stroke.points {
				for i, a := range corners {
					b := corners[(i+1)%len(corners)]
					if side := (b.X-a.X)*(p.Y-a.Y) - (b.Y-a.Y)*(p.X-a.X); side < -1e-6 {
						t.Fatalf("hatch %d: %v lies outside", hatch, p)
					}
				}
			}
		}
	}
}

// TestTextWidth: the width measured is that of the ink within a letter's margin,
// and words keep to their anchor.
func TestTextWidth(t *testing.T) {
	const text = "Hot against stock HHH"
	for anchor, want := range map[Anchor]float64{Start: 10, Middle: 50, End: 90} {
		s := New("", 100, 20)
		s.Text(want, 12, text, Type{Size: 5, Anchor: anchor})
		low, high := 1e9, 0.0
		picture := pictureOf(t, s)
		for x := range picture.Bounds().Dx() {
			for y := range picture.Bounds().Dy() {
				if r, _, _, _ := picture.At(x, y).RGBA(); r < 0x8000 {
					low, high = min(low, float64(x)/DotsPerMM), max(high, float64(x+1)/DotsPerMM)
				}
			}
		}
		width := TextWidth(text, 5)
		left := want - [...]float64{0, 0.5, 1}[anchor]*width
		if math.Abs(low-left) > 0.7 || math.Abs(high-left-width) > 0.7 {
			t.Errorf("anchor %d: ink from %.2f to %.2f, want %.2f to %.2f", anchor, low, high, left, left+width)
		}
	}
}

// TestRefusesHugeAndOdd: sizes that are no picture are refused, numbers that are
// none draw nothing.
func TestRefusesHugeAndOdd(t *testing.T) {
	for _, size := range [][2]float64{{0, 10}, {10, -1}, {1e7, 10}} {
		if _, err := New("", size[0], size[1]).PNG(); err == nil {
			t.Errorf("a picture of %v mm was drawn", size)
		}
	}
	s := New("", 20, 20)
	s.Line(math.NaN(), 5, 10, 5, Pen{Thick: 1})
	s.Area([]Point{{0, 0}, {math.Inf(1), 0}, {0, 5}}, Fill{Hatch: Rising})
	s.Path([]Point{{5, 5}}, Pen{Thick: 1})
	if _, err := s.PNG(); err != nil {
		t.Error(err)
	}
}

// TestSeriesDiffer: the first six looks differ in dash, shape and hatching, so
// that none needs its colour; their colours differ in grey from the ground.
func TestSeriesDiffer(t *testing.T) {
	dashes, shapes, hatches := map[string]bool{}, map[Shape]bool{}, map[Hatch]bool{}
	for i := range 6 {
		look := SeriesOf(i)
		dashes[strings.Trim(strings.ReplaceAll(fmtDash(look.Dash), " ", ","), ",")] = true
		shapes[look.Shape], hatches[look.Hatch] = true, true
		if y := color.GrayModel.Convert(look.Ink.colour()).(color.Gray).Y; y > 180 {
			t.Errorf("look %d is %d in grey: too pale on white", i, y)
		}
	}
	if len(dashes) != 6 || len(shapes) != 6 || len(hatches) != 6 {
		t.Errorf("six looks have %d dashes, %d shapes, %d hatches", len(dashes), len(shapes), len(hatches))
	}
}

func fmtDash(dash []float64) string {
	var parts []string
	for _, d := range dash {
		parts = append(parts, mm(d))
	}
	return strings.Join(parts, " ")
}
