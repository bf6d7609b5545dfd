package draw

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"stillbright/data"
)

// SVG writes the sheet as SVG 1.1 (W3C). Width and height are in mm and one unit
// of the view box is one mm, so that it prints at true scale. Title and
// description stand in it for readers that speak.
func (s *Sheet) SVG() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%smm" height="%smm" viewBox="0 0 %s %s" role="img">`+"\n",
		mm(s.Width), mm(s.Height), mm(s.Width), mm(s.Height))
	fmt.Fprintf(&b, "<title>%s</title>\n", escapeXML(clean(s.Title)))
	if s.Description != "" {
		fmt.Fprintf(&b, "<desc>%s</desc>\n", escapeXML(clean(s.Description)))
	}
	fmt.Fprintf(&b, `<rect x="0" y="0" width="%s" height="%s" fill="#ffffff"/>`+"\n", mm(s.Width), mm(s.Height))
	for _, it := range s.items {
		switch {
		case it.area != nil:
			fmt.Fprintf(&b, `<polygon points="%s" fill="%s"%s/>`+"\n", pointsText(it.area.corners), hex(it.area.ink), opacity("fill", it.area.ink))
		case it.stroke != nil:
			svgStroke(&b, it.stroke)
		default:
			svgWords(&b, it.words)
		}
	}
	b.WriteString("</svg>\n")
	return []byte(b.String())
}

func svgStroke(b *strings.Builder, l *stroke) {
	dash := ""
	if len(l.pen.Dash) > 0 {
		var parts []string
		for _, d := range l.pen.Dash {
			parts = append(parts, mm(d))
		}
		dash = fmt.Sprintf(` stroke-dasharray="%s"`, strings.Join(parts, " "))
	}
	if len(l.points) == 2 {
		a, z := l.points[0], l.points[1]
		fmt.Fprintf(b, `<line x1="%s" y1="%s" x2="%s" y2="%s" stroke="%s"%s stroke-width="%s" stroke-linecap="%s"%s/>`+"\n",
			mm(a.X), mm(a.Y), mm(z.X), mm(z.Y), hex(l.pen.Ink), opacity("stroke", l.pen.Ink), mm(l.pen.Thick), lineCap(l.pen), dash)
		return
	}
	fmt.Fprintf(b, `<polyline points="%s" fill="none" stroke="%s"%s stroke-width="%s" stroke-linejoin="round" stroke-linecap="%s"%s/>`+"\n",
		pointsText(l.points), hex(l.pen.Ink), opacity("stroke", l.pen.Ink), mm(l.pen.Thick), lineCap(l.pen), dash)
}

// lineCap is round where dashes are dots.
func lineCap(pen Pen) string {
	if pen.dots() {
		return "round"
	}
	return "butt"
}

// dots says whether the dashes are so short that they are dots.
func (p Pen) dots() bool { return len(p.Dash) > 0 && p.Dash[0] < p.Thick }

func svgWords(b *strings.Builder, w *words) {
	anchor := [...]string{"start", "middle", "end"}[w.face.Anchor]
	turn := ""
	if w.face.Upward {
		turn = fmt.Sprintf(` transform="rotate(-90 %s %s)"`, mm(w.x), mm(w.y))
	}
	fmt.Fprintf(b, `<text x="%s" y="%s" font-family="Helvetica, Arial, sans-serif" font-size="%s" text-anchor="%s" fill="%s"%s>%s</text>`+"\n",
		mm(w.x), mm(w.y), mm(w.face.Size), anchor, hex(w.face.Ink), turn, escapeXML(w.text))
}

func pointsText(points []Point) string {
	var parts []string
	for _, p := range points {
		parts = append(parts, mm(p.X)+","+mm(p.Y))
	}
	return strings.Join(parts, " ")
}

func hex(i Ink) string { return fmt.Sprintf("#%02x%02x%02x", i.R, i.G, i.B) }

func opacity(what string, i Ink) string {
	if i.Clear <= 0 {
		return ""
	}
	return fmt.Sprintf(` %s-opacity="%s"`, what, mm(1-i.Clear))
}

// mm prints a length to a hundredth of a millimetre.
func mm(value float64) string {
	text := strconv.FormatFloat(value, 'f', 2, 64)
	text = strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
	if text == "-0" || text == "" {
		return "0"
	}
	return text
}

func escapeXML(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(text)
}

// clean leaves out what no picture can show and XML 1.0 does not allow: control
// characters, bidirectional controls, bytes that are no UTF-8.
func clean(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case r == utf8.RuneError, data.Commands(r), r == '\ufffe', r == '\uffff':
			return -1
		}
		return r
	}, strings.ToValidUTF8(text, ""))
}
