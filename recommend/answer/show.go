package answer

import (
	"fmt"
	"strings"

	"stillbright/data"
	"stillbright/recommend/plaintext"
	"stillbright/recommend/sheets"
)

// Show is one bulb's test sheet.
func Show(s *sheets.ShowSheet, full bool) Document {
	p := new(page)
	head := fmt.Sprintf("%s (%s), %s %s", s.Name, s.Bulb, s.Size, s.Kind)
	if len(s.AlsoFits) > 0 {
		head += ", also sold for " + strings.Join(s.AlsoFits, ", ")
	}
	if s.Price != nil {
		head += ", " + money(s.Price)
	}
	p.head(head, "")
	for _, lot := range s.Lots {
		title := "Lot " + lot.Lot
		if lot.Bought != "" {
			title += ", bought " + string(lot.Bought)
		}
		if !lot.Newest {
			title += " (older: it no longer speaks for the bulb)"
		}
		p.part(title)
		for _, test := range lot.Tests {
			p.test(test, full)
		}
		if len(lot.Tests) == 0 {
			p.item("not tested")
		}
	}
	if len(s.Claims) > 0 {
		p.part("What the pack claims")
		for _, claim := range s.Claims {
			text := claim.Text
			if claim.LmPerW != nil {
				text = fmt.Sprintf("%s lm/W (%s): %s", fixed(*claim.LmPerW, 0), gateWord(claim.Verdict), claim.Text)
			}
			p.item(text)
			if full && claim.Source != "" {
				p.under("source: " + string(claim.Source))
			}
		}
	}
	if full {
		p.part("The bulb in the hand")
		for _, fact := range s.Build {
			p.item(fact.Name + ": " + fact.Value)
		}
	}
	if len(s.Notes) > 0 {
		p.gap()
	}
	for _, note := range s.Notes {
		p.say("Note: " + note)
	}
	p.say("Source: " + s.Source)
	p.invented(s.Catalog)
	return p.doc
}

func (p *page) test(t sheets.TestSheet, full bool) {
	p.item(fmt.Sprintf("%s: %s %s, %s beam, %s", t.Rig, t.RigSize, t.Housing, t.Beam, t.Date))
	if t.Hot.VsStock != nil {
		p.under(fmt.Sprintf("hot, %s min: %s lux, %s times stock, retains %s", significant(t.Hot.AtMin, 3),
			orDash(t.Hot.Lux, whole), hotText(t.Hot), orDash(t.Hot.RetainedPct, percent)))
	}
	var facts []string
	if t.Pattern.Score != nil {
		facts = append(facts, fmt.Sprintf("pattern %s (%s–%s)", whole(*t.Pattern.Score), whole(*t.Pattern.Low), whole(*t.Pattern.High)))
	}
	if t.Glare.VsStock != nil {
		facts = append(facts, fmt.Sprintf("stray light %s times stock", significant(*t.Glare.VsStock, 2)))
	}
	if t.BodyC != nil {
		facts = append(facts, fmt.Sprintf("body %s C", whole(*t.BodyC)))
	}
	if t.WattsHot != nil {
		facts = append(facts, fmt.Sprintf("%s W", significant(*t.WattsHot, 3)))
	}
	if len(facts) > 0 {
		p.under(strings.Join(facts, ", "))
	}
	if t.FoldBack == "seen" {
		p.under("its driver was seen cutting power when hot: a sudden drop of light")
	}
	if t.Figures != nil && t.Figures.Curve != nil && len(t.Readings) > 1 {
		p.below(Item{Drawn: &Picture{Of: curvePicture(t), Indent: 6, Alt: fmt.Sprintf("the light while it warms up, from %s lux at first to %s lux", whole(t.Readings[0].Lux), whole(t.Readings[len(t.Readings)-1].Lux))}})
	}
	if len(t.Candela) > 0 {
		p.below(Item{Drawn: &Picture{Of: pointPicture(t.Candela), Title: "the beam, direction by direction", Alt: beamAlt, Indent: 6}})
	}
	if full {
		p.recorded("recorded", t.Facts)
		var readings []string
		for _, r := range t.Readings {
			readings = append(readings, fmt.Sprintf("%s lux at %s min", significant(r.Lux, 6), significant(r.AtMin, 4)))
		}
		if len(readings) > 0 {
			p.under("readings: " + strings.Join(readings, ", "))
		}
		p.recorded("the rig", t.RigFacts)
		for _, sentence := range t.Reach.Says {
			p.under("road: " + sentence)
		}
		p.doubts(t.Errors)
	}
	for _, m := range t.Missing {
		p.under("missing: " + m.What)
	}
	for _, note := range t.Notes {
		p.under("note: " + note)
	}
}

// recorded is a line of facts as they stand in a record.
func (p *page) recorded(what string, facts []data.Recorded) {
	var texts []string
	for _, f := range facts {
		texts = append(texts, f.Name+" "+f.Value)
	}
	if len(texts) > 0 {
		p.under(what + ": " + strings.Join(texts, ", "))
	}
}

// curvePicture is a test's readings and their curve.
type curvePicture sheets.TestSheet

// Lines draws the readings and the fitted curve in plain characters: o a
// reading, . the curve. Five rows are enough to see a drop.
func (t curvePicture) Lines(width int) []string {
	const rows = 5
	columnsWide := min(width-chartLabel-1, 56)
	if columnsWide < leastColumn {
		return nil
	}
	end := max(t.Hot.AtMin, t.Readings[len(t.Readings)-1].AtMin)
	low, high := t.Readings[0].Lux, t.Readings[0].Lux
	g := newGrid(columnsWide, rows, end, low, high)
	for _, at := range g.at() {
		if e, ok := t.Figures.Curve.At(at); ok {
			g.low, g.high = min(g.low, e.Lux), max(g.high, e.Lux)
		}
	}
	for _, r := range t.Readings {
		g.low, g.high = min(g.low, r.Lux), max(g.high, r.Lux)
	}
	if g.high-g.low < 0.02*g.high {
		return []string{fmt.Sprintf("flat at about %s lux", whole(g.high))}
	}
	for _, at := range g.at() {
		if e, ok := t.Figures.Curve.At(at); ok {
			g.put(at, e.Lux, markCurve)
		}
	}
	for _, r := range t.Readings {
		g.put(r.AtMin, r.Lux, markReading)
	}
	lines := g.lines(whole, 0, rows-1)
	axis := fmt.Sprintf("lux, 0 to %s min; o reading, . fitted curve", significant(end, 3))
	indent := strings.Repeat(" ", chartLabel)
	return append(lines, plaintext.Hang(indent, indent, axis, width)...)
}
