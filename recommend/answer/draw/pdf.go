package draw

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Paper is a size of paper with the margin that printers leave free, in mm.
type Paper struct {
	Width, Height, Margin float64
}

// Papers.
var (
	A4     = Paper{210, 297, 10}      // ISO 216
	Letter = Paper{215.9, 279.4, 9.5} // ANSI/ASME Y14.1
)

// join is how far two pages overlap, mm.
const join = 10.0

// Pages is how many sheets of paper a height needs.
func (p Paper) Pages(height float64) int {
	usable := p.Height - 2*p.Margin
	if height <= usable {
		return 1
	}
	return 1 + int(math.Ceil((height-usable)/(usable-join)))
}

// PDF writes the sheet as PDF 1.4 (ISO 32000-1) at true scale. What is higher
// than the paper goes on over several pages that overlap. The file holds no date,
// so that the same sheet gives the same bytes; words are set in Helvetica, which
// every reader has.
func (s *Sheet) PDF(on Paper) []byte { return Book([]*Sheet{s}, on) }

// Book is PDF for several sheets, one after another; its title is the first one's.
func Book(sheets []*Sheet, on Paper) []byte {
	var contents []string
	for _, s := range sheets {
		pages := on.Pages(s.Height)
		for i := range pages {
			contents = append(contents, s.pdfPage(on, i, pages))
		}
	}
	var file pdfFile
	file.object("<< /Type /Catalog /Pages 2 0 R >>")
	var kids []string
	for i := range contents {
		kids = append(kids, fmt.Sprintf("%d 0 R", 5+2*i))
	}
	file.object(fmt.Sprintf("<< /Type /Pages /Kids [%s] /Count %d >>", strings.Join(kids, " "), len(contents)))
	file.object("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>")
	file.object(fmt.Sprintf("<< /Title (%s) >>", escapePDF(sheets[0].Title)))
	for i, content := range contents {
		file.object(fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %s %s] /Resources << /Font << /F1 3 0 R >> >> /Contents %d 0 R >>",
			points(on.Width), points(on.Height), 6+2*i))
		file.object(fmt.Sprintf("<< /Length %d >>\nstream\n%sendstream", len(content), content))
	}
	return file.close()
}

// pdfPage is what stands on one page: the sheet shifted up, clipped to what the
// printer can reach.
func (s *Sheet) pdfPage(on Paper, page, pages int) string {
	var b strings.Builder
	usable := on.Height - 2*on.Margin
	top := float64(page) * (usable - join)
	// From here on one unit is one mm, with y downward from the top margin. The
	// words are turned back, or they would stand on their heads.
	fmt.Fprintf(&b, "q %s 0 0 %s %s %s cm\n", scale(1), scale(-1), points(on.Margin), points(on.Height-on.Margin))
	fmt.Fprintf(&b, "0 0 %s %s re W n\n", mm(on.Width-2*on.Margin), mm(usable))
	fmt.Fprintf(&b, "1 0 0 1 0 %s cm\n", mm(-top))
	for _, it := range s.items {
		switch {
		case it.area != nil:
			fmt.Fprintf(&b, "%s rg ", pdfInk(it.area.ink))
			pdfPath(&b, it.area.corners)
			b.WriteString("h f\n")
		case it.stroke != nil:
			pdfStroke(&b, it.stroke)
		default:
			pdfWords(&b, it.words)
		}
	}
	if pages > 1 {
		edge := top + usable - join
		note := Type{Size: 3}
		if page < pages-1 {
			pdfWords(&b, &words{30, edge + join - 1, fmt.Sprintf("page %d of %d; lay the next page over this strip", page+1, pages), note})
			fmt.Fprintf(&b, "0 G 0.1 w [1] 0 d 0 J 0 %s m %s %s l S\n", mm(edge), mm(s.Width), mm(edge))
		}
		if page > 0 {
			pdfWords(&b, &words{30, top + 4, fmt.Sprintf("page %d of %d; this edge goes onto the dotted line", page+1, pages), note})
		}
	}
	b.WriteString("Q\n")
	return b.String()
}

func pdfPath(b *strings.Builder, points []Point) {
	for i, p := range points {
		operator := "l"
		if i == 0 {
			operator = "m"
		}
		fmt.Fprintf(b, "%s %s %s ", mm(p.X), mm(p.Y), operator)
	}
}

func pdfStroke(b *strings.Builder, l *stroke) {
	var dashes []string
	for _, d := range l.pen.Dash {
		dashes = append(dashes, mm(d))
	}
	ends := 0
	if l.pen.dots() {
		ends = 1
	}
	fmt.Fprintf(b, "%s RG %s w 1 j %d J [%s] 0 d ", pdfInk(l.pen.Ink), mm(l.pen.Thick), ends, strings.Join(dashes, " "))
	pdfPath(b, l.points)
	b.WriteString("S\n")
}

func pdfWords(b *strings.Builder, w *words) {
	x, y := w.x, w.y
	shift := [...]float64{0, 0.5, 1}[w.face.Anchor]
	if shift > 0 {
		shift *= TextWidth(w.text, w.face.Size)
	}
	matrix := "1 0 0 -1"
	if w.face.Upward {
		matrix, y = "0 -1 -1 0", y+shift
	} else {
		x -= shift
	}
	fmt.Fprintf(b, "BT %s rg /F1 %s Tf %s %s %s Tm (%s) Tj ET\n", pdfInk(w.face.Ink), mm(w.face.Size), matrix, mm(x), mm(y), escapePDF(w.text))
}

// pdfInk mixes what an ink lets through with white paper.
func pdfInk(i Ink) string {
	i = i.Tint(min(max(i.Clear, 0), 1))
	return fmt.Sprintf("%s %s %s", level(i.R), level(i.G), level(i.B))
}

func level(c uint8) string {
	return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(float64(c)/255, 'f', 3, 64), "0"), ".")
}

const pointsPerMM = 72 / 25.4

func points(mm float64) string    { return strconv.FormatFloat(mm*pointsPerMM, 'f', 3, 64) }
func scale(factor float64) string { return strconv.FormatFloat(factor*pointsPerMM, 'f', 8, 64) }

// escapePDF makes a literal string; characters beyond Latin-1 are not in the font.
func escapePDF(text string) string {
	var b strings.Builder
	for _, c := range text {
		switch {
		case c == '(' || c == ')' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case c < 32 || c == 127 || c > 255:
			b.WriteByte('?')
		case c < 127:
			b.WriteRune(c)
		default:
			fmt.Fprintf(&b, "\\%03o", c)
		}
	}
	return b.String()
}

// pdfFile collects objects and their places.
type pdfFile struct {
	text   bytes.Buffer
	places []int
}

func (f *pdfFile) object(body string) {
	if f.text.Len() == 0 {
		f.text.WriteString("%PDF-1.4\n%\xe2\xe3\xcf\xd3\n")
	}
	f.places = append(f.places, f.text.Len())
	fmt.Fprintf(&f.text, "%d 0 obj\n%s\nendobj\n", len(f.places), body)
}

// close writes the cross-reference table, each entry of which is 20 bytes.
func (f *pdfFile) close() []byte {
	start := f.text.Len()
	fmt.Fprintf(&f.text, "xref\n0 %d\n0000000000 65535 f \n", len(f.places)+1)
	for _, at := range f.places {
		fmt.Fprintf(&f.text, "%010d 00000 n \n", at)
	}
	fmt.Fprintf(&f.text, "trailer\n<< /Size %d /Root 1 0 R /Info 4 0 R >>\nstartxref\n%d\n%%%%EOF\n", len(f.places)+1, start)
	return f.text.Bytes()
}
