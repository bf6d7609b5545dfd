package answer

import (
	"bytes"
	"encoding/binary"
	"encoding/xml"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"stillbright/recommend/answer/draw"
	"stillbright/recommend/sheets"
)

func plateSheet() *sheets.AimSheet {
	target, tolerance, height := 120.0, 43.63, 650.0
	return &sheets.AimSheet{
		From: "plate", Rule: "plate on the car or lamp: the cutoff 1.2 % below the lamp centre", Beam: "low", Feature: "cutoff",
		TargetMM: &target, DropMM: &sheets.AimDrop{Least: target, Most: target}, ToleranceMM: &tolerance, HeightMM: &height,
		DistanceMM: 10000, Traffic: "right", Lamps: 2,
	}
}

// svgLines reads the lines of an SVG, in its own units.
func svgLines(t *testing.T, file []byte) (width, height string, viewBox []float64, lines []stroke) {
	t.Helper()
	var root struct {
		Width   string `xml:"width,attr"`
		Height  string `xml:"height,attr"`
		ViewBox string `xml:"viewBox,attr"`
		Lines   []struct {
			X1    float64 `xml:"x1,attr"`
			Y1    float64 `xml:"y1,attr"`
			X2    float64 `xml:"x2,attr"`
			Y2    float64 `xml:"y2,attr"`
			Thick float64 `xml:"stroke-width,attr"`
		} `xml:"line"`
	}
	if err := xml.Unmarshal(file, &root); err != nil {
		t.Fatalf("svg: %v", err)
	}
	for _, part := range strings.Fields(root.ViewBox) {
		value, err := strconv.ParseFloat(part, 64)
		if err != nil {
			t.Fatal(err)
		}
		viewBox = append(viewBox, value)
	}
	for _, l := range root.Lines {
		lines = append(lines, stroke{x1: l.X1, y1: l.Y1, x2: l.X2, y2: l.Y2, thick: l.Thick})
	}
	return root.Width, root.Height, viewBox, lines
}

// One unit of the SVG is one mm on paper, its bar is 100 mm long and the cutoff
// lies 120 mm below the lamp centre.
func TestWallSheetSVGIsTrueToScale(t *testing.T) {
	file, err := WallSheet(plateSheet(), AimOptions{Unit: "mm"}, "svg")
	if err != nil {
		t.Fatal(err)
	}
	width, height, box, lines := svgLines(t, file)
	if len(box) != 4 || width != fmt.Sprintf("%gmm", box[2]) || height != fmt.Sprintf("%gmm", box[3]) {
		t.Errorf("size %s x %s but view box %v: not true to scale", width, height, box)
	}
	var bar, centre, cutoff bool
	var centreY, cutoffY float64
	for _, l := range lines {
		switch {
		case l.thick == 0.5 && l.y1 == l.y2:
			bar = math.Abs(l.x2-l.x1-100) < 0.001
		case l.thick == 0.35:
			centre, centreY = true, l.y1
		case l.thick == 0.7:
			cutoff, cutoffY = true, l.y1
		}
	}
	if !bar || !centre || !cutoff || math.Abs(cutoffY-centreY-120) > 0.011 {
		t.Errorf("bar of 100 mm %v, lamp centre %v at %v, cutoff %v at %v", bar, centre, centreY, cutoff, cutoffY)
	}
}

// The same lines in the picture, counted in dots, and the resolution it states
// (ISO/IEC 15948, pHYs).
func TestWallSheetPNGIsTrueToScale(t *testing.T) {
	file, err := WallSheet(plateSheet(), AimOptions{Unit: "mm"}, "png")
	if err != nil {
		t.Fatal(err)
	}
	at := bytes.Index(file, []byte("pHYs"))
	if at != 8+25+4 {
		t.Fatalf("pHYs at %d, want behind the header", at)
	}
	perMetre, unit := binary.BigEndian.Uint32(file[at+4:]), file[at+12]
	if perMetre != 1000*draw.DotsPerMM || unit != 1 || crc32.ChecksumIEEE(file[at:at+13]) != binary.BigEndian.Uint32(file[at+13:]) {
		t.Errorf("pHYs: %d per unit %d", perMetre, unit)
	}
	picture, err := png.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	// Down a column of the flat side that no word or dash crosses.
	var middles []float64
	start := -1
	x := int(math.Round((middleX - 2) * draw.DotsPerMM))
	for y := 30 * draw.DotsPerMM; y < picture.Bounds().Dy(); y++ {
		dark := grey(picture, x, y) < 100
		if dark && start < 0 {
			start = y
		} else if !dark && start >= 0 {
			middles = append(middles, float64(start+y-1)/2)
			start = -1
		}
	}
	if len(middles) < 2 {
		t.Fatalf("dark lines in column %d: %v", x, middles)
	}
	found := false
	for _, y := range middles {
		found = found || math.Abs(y-middles[0]-120*draw.DotsPerMM) <= 1
	}
	if !found {
		t.Errorf("no line 120 mm (%d dots) below the lamp centre: %v", 120*draw.DotsPerMM, middles)
	}
}

func grey(picture image.Image, x, y int) uint8 {
	return color.GrayModel.Convert(picture.At(x, y)).(color.Gray).Y
}

var pdfObject = regexp.MustCompile(`(?m)^(\d+) 0 obj`)

// The cross-reference table of a PDF must point at its objects to the byte
// (ISO 32000-1, 7.5.4), streams must have the length they state, and a sheet
// higher than the paper goes over several pages, Letter in the US.
func TestWallSheetPDF(t *testing.T) {
	far := plateSheet()
	far.DistanceMM = 40000
	*far.TargetMM, *far.ToleranceMM = 480, 175
	far.DropMM = &sheets.AimDrop{Least: 480, Most: 480}
	american := plateSheet()
	american.Where = "US-OH"
	for _, c := range []struct {
		name         string
		sheet        *sheets.AimSheet
		pages        int
		paper        string
		mustContain  string
		mustNotShown string
	}{
		{"one page", plateSheet(), 1, "[0 0 595.276 841.890]", "cutoff 120 mm below", "lay the next page"},
		{"three pages", far, 3, "[0 0 595.276 841.890]", "page 2 of 3", ""},
		{"letter", american, 1, "[0 0 612.000 792.000]", "4 in", ""},
	} {
		file, err := WallSheet(c.sheet, AimOptions{Unit: map[bool]string{true: "in", false: "mm"}[c.name == "letter"]}, "pdf")
		if err != nil {
			t.Fatal(err)
		}
		if c.name == "three pages" && !bytes.Contains(file, []byte("cutoff 480 mm")) {
			t.Errorf("%s: no cutoff label", c.name)
		}
		checkPDF(t, c.name, file)
		if got := bytes.Count(file, []byte("/Type /Page /Parent")); got != c.pages {
			t.Errorf("%s: %d pages, want %d", c.name, got, c.pages)
		}
		if !bytes.Contains(file, []byte("/MediaBox "+c.paper)) || !bytes.Contains(file, []byte(c.mustContain)) {
			t.Errorf("%s: paper or text missing", c.name)
		}
		if c.mustNotShown != "" && bytes.Contains(file, []byte(c.mustNotShown)) {
			t.Errorf("%s: shows %q", c.name, c.mustNotShown)
		}
	}
}

func checkPDF(t *testing.T, name string, file []byte) {
	t.Helper()
	tail := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(file)
	if tail == nil {
		t.Fatalf("%s: no end", name)
	}
	start, _ := strconv.Atoi(string(tail[1]))
	if !bytes.HasPrefix(file[start:], []byte("xref\n")) {
		t.Fatalf("%s: startxref points elsewhere", name)
	}
	table := strings.Split(string(file[start:]), "\n")
	for _, match := range pdfObject.FindAllSubmatchIndex(file, -1) {
		number, _ := strconv.Atoi(string(file[match[2]:match[3]]))
		entry := table[2+number]
		if len(entry) != 19 || entry != fmt.Sprintf("%010d 00000 n ", match[0]) {
			t.Errorf("%s: object %d stands at %d, its entry is %q", name, number, match[0], entry)
		}
	}
	for _, stream := range regexp.MustCompile(`(?s)/Length (\d+) >>\nstream\n(.*?)endstream`).FindAllSubmatch(file, -1) {
		if long, _ := strconv.Atoi(string(stream[1])); long != len(stream[2]) {
			t.Errorf("%s: stream of %d bytes states %d", name, len(stream[2]), long)
		}
		if opened, closed := bytes.Count(stream[2], []byte("(")), bytes.Count(stream[2], []byte(")")); opened != closed {
			t.Errorf("%s: %d brackets open, %d close", name, opened, closed)
		}
	}
}

// The same sheet gives the same bytes, in every kind; an unknown kind is an error.
func TestWallSheetKinds(t *testing.T) {
	for _, kind := range WallSheetKinds() {
		a, err := WallSheet(plateSheet(), AimOptions{Unit: "mm"}, kind)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := WallSheet(plateSheet(), AimOptions{Unit: "mm"}, kind)
		if !bytes.Equal(a, b) || len(a) < 500 {
			t.Errorf("%s: %d bytes, then others", kind, len(a))
		}
	}
	if _, err := WallSheet(plateSheet(), AimOptions{}, "gif"); err == nil {
		t.Error("gif: no error")
	}
}

// Text that comes from a record must not break the file.
func TestWallSheetEscapes(t *testing.T) {
	sheet := plateSheet()
	sheet.Rule = `a <b> & "c" (d \ e) é 漢`
	svg, _ := WallSheet(sheet, AimOptions{Unit: "mm"}, "svg")
	svgLines(t, svg)
	pdf, _ := WallSheet(sheet, AimOptions{Unit: "mm"}, "pdf")
	if !bytes.Contains(pdf, []byte(`\(d \\ e\) \351 ?`)) {
		t.Errorf("pdf text is not escaped")
	}
	if _, err := WallSheet(sheet, AimOptions{Unit: "mm"}, "png"); err != nil {
		t.Error(err)
	}
}
