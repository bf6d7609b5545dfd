package answer

import (
	"fmt"
	"strings"
)

// svg writes the drawing as SVG 1.1 (W3C). Width and height are in mm and one
// unit of the view box is one mm, so that it prints at true scale.
func (d *drawing) svg() []byte {
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="%smm" height="%smm" viewBox="0 0 %s %s">`+"\n",
		mm(d.width), mm(d.height), mm(d.width), mm(d.height))
	fmt.Fprintf(&b, "<title>%s</title>\n", escapeXML(d.title))
	fmt.Fprintf(&b, `<rect x="0" y="0" width="%s" height="%s" fill="#ffffff"/>`+"\n", mm(d.width), mm(d.height))
	for _, a := range d.areas {
		level := greyLevel(a.grey)
		fmt.Fprintf(&b, `<rect x="%s" y="%s" width="%s" height="%s" fill="#%02x%02x%02x"/>`+"\n", mm(a.x), mm(a.y), mm(a.width), mm(a.height), level, level, level)
	}
	for _, l := range d.lines {
		dash := ""
		if l.dash > 0 {
			dash = fmt.Sprintf(` stroke-dasharray="%s"`, mm(l.dash))
		}
		fmt.Fprintf(&b, `<line x1="%s" y1="%s" x2="%s" y2="%s" stroke="#000000" stroke-width="%s"%s/>`+"\n", mm(l.x1), mm(l.y1), mm(l.x2), mm(l.y2), mm(l.thick), dash)
	}
	for _, w := range d.words {
		fmt.Fprintf(&b, `<text x="%s" y="%s" font-family="Helvetica, Arial, sans-serif" font-size="%s">%s</text>`+"\n", mm(w.x), mm(w.y), mm(w.size), escapeXML(w.text))
	}
	b.WriteString("</svg>\n")
	return []byte(b.String())
}

// mm prints a length to a hundredth of a millimetre.
func mm(value float64) string {
	text := fixed(value, 2)
	return strings.TrimSuffix(strings.TrimRight(text, "0"), ".")
}

func greyLevel(grey float64) uint8 { return uint8(255*min(max(grey, 0), 1) + 0.5) }

func escapeXML(text string) string {
	return strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;").Replace(text)
}
