package answer

import (
	"bytes"
	"fmt"
	"math"
	"strings"
)

// paper is a size of paper with the margin that printers leave free, in mm.
type paper struct {
	width, height, margin float64
}

var (
	paperA4     = paper{210, 297, 10}      // ISO 216
	paperLetter = paper{215.9, 279.4, 9.5} // ANSI/ASME Y14.1
)

// join is how far two pages overlap, mm.
const join = 10.0

// pages is how many sheets of paper a height needs.
func (p paper) pages(height float64) int {
	usable := p.height - 2*p.margin
	if height <= usable {
		return 1
	}
	return 1 + int(math.Ceil((height-usable)/(usable-join)))
}

// pdf writes the drawing as PDF 1.4 (ISO 32000-1) at true scale. What is higher
// than the paper goes on over several pages that overlap. The file holds no date,
// so that the same sheet gives the same bytes; words are set in Helvetica, which
// every reader has.
func (d *drawing) pdf(on paper) []byte {
	pages := on.pages(d.height)
	var file pdfFile
	file.object("<< /Type /Catalog /Pages 2 0 R >>")
	var kids []string
	for i := range pages {
		kids = append(kids, fmt.Sprintf("%d 0 R", 5+2*i))
	}
	file.object(fmt.Sprintf("<< /Type /Pages /Kids [%s] /Count %d >>", strings.Join(kids, " "), pages))
	file.object("<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>")
	file.object(fmt.Sprintf("<< /Title (%s) >>", escapePDF(d.title)))
	for i := range pages {
		file.object(fmt.Sprintf("<< /Type /Page /Parent 2 0 R /MediaBox [0 0 %s %s] /Resources << /Font << /F1 3 0 R >> >> /Contents %d 0 R >>",
			points(on.width), points(on.height), 6+2*i))
		content := d.pdfPage(on, i, pages)
		file.object(fmt.Sprintf("<< /Length %d >>\nstream\n%sendstream", len(content), content))
	}
	return file.close()
}

// pdfPage is what stands on one page: the drawing shifted up, clipped to what the
// printer can reach.
func (d *drawing) pdfPage(on paper, page, pages int) string {
	var b strings.Builder
	usable := on.height - 2*on.margin
	top := float64(page) * (usable - join)
	// From here on one unit is one mm, with y downward from the top margin. The
	// words are turned back, or they would stand on their heads.
	fmt.Fprintf(&b, "q %s 0 0 %s %s %s cm\n", scale(1), scale(-1), points(on.margin), points(on.height-on.margin))
	fmt.Fprintf(&b, "0 0 %s %s re W n\n", mm(on.width-2*on.margin), mm(usable))
	fmt.Fprintf(&b, "1 0 0 1 0 %s cm\n", mm(-top))
	for _, a := range d.areas {
		fmt.Fprintf(&b, "%s g %s %s %s %s re f\n", fixed(a.grey, 3), mm(a.x), mm(a.y), mm(a.width), mm(a.height))
	}
	b.WriteString("0 g 0 G\n")
	for _, l := range d.lines {
		dash := "[]"
		if l.dash > 0 {
			dash = "[" + mm(l.dash) + "]"
		}
		fmt.Fprintf(&b, "%s w %s 0 d %s %s m %s %s l S\n", mm(l.thick), dash, mm(l.x1), mm(l.y1), mm(l.x2), mm(l.y2))
	}
	for _, w := range d.words {
		pdfWords(&b, w)
	}
	if pages > 1 {
		edge := top + usable - join
		if page < pages-1 {
			pdfWords(&b, words{30, edge + join - 1, 3, fmt.Sprintf("page %d of %d; lay the next page over this strip", page+1, pages)})
			fmt.Fprintf(&b, "0.1 w [1] 0 d 0 %s m %s %s l S\n", mm(edge), mm(d.width), mm(edge))
		}
		if page > 0 {
			pdfWords(&b, words{30, top + 4, 3, fmt.Sprintf("page %d of %d; this edge goes onto the dotted line", page+1, pages)})
		}
	}
	b.WriteString("Q\n")
	return b.String()
}

func pdfWords(b *strings.Builder, w words) {
	fmt.Fprintf(b, "BT /F1 %s Tf 1 0 0 -1 %s %s Tm (%s) Tj ET\n", mm(w.size), mm(w.x), mm(w.y), escapePDF(w.text))
}

const pointsPerMM = 72 / 25.4

func points(mm float64) string    { return fixed(mm*pointsPerMM, 3) }
func scale(factor float64) string { return fixed(factor*pointsPerMM, 8) }

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
