package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/need"
)

const noiseNote = "~ not to be told from the best of its row: the difference is within the noise"

// Compare is the screen of a comparison: who is ahead and how surely, the law,
// the bulbs, the table; full adds every pair, and what stands behind the figures.
func Compare(s *recommend.CompareSheet, full bool) Document {
	p := new(page)
	p.head(compareHead(s), "")
	p.say(lawStatement(s.Law) + bestHalogen(s))
	p.say("Judged for " + need.Sentence(s.Need) + ".")
	for i, b := range s.Bulbs {
		p.say(fmt.Sprintf("%s %s%s", letter(i), b.Name, standingTail(b)))
	}
	rows := compareRows(s)
	t := Table{Head: []string{""}, Gap: 1}
	for i := range s.Bulbs {
		t.Head = append(t.Head, letter(i))
	}
	t.Head = append(t.Head, "halogen")
	for _, row := range rows.rows {
		t.add(row...)
	}
	if len(s.Bulbs) <= 4 {
		t.Gap = 2
	}
	p.put(t)
	if len(s.Pairs) > 0 && slices.ContainsFunc(s.Pairs, func(pair recommend.Pair) bool { return len(pair.Same) > 0 }) {
		p.say(noiseNote + ".")
	}
	if full {
		p.compareFull(s)
	}
	if pick := s.Pick.Bulb; pick != "" && !slices.ContainsFunc(s.Bulbs, func(b recommend.Compared) bool { return b.Bulb == string(pick) }) {
		p.say(fmt.Sprintf("Of the whole catalog, pick names %s.", s.PickName))
	}
	p.invented(s.Catalog)
	return p.doc
}

// CompareTable is a comparison for a page or a thread: bulbs by their names, a
// table, and what is to be said of each.
func CompareTable(s *recommend.CompareSheet) Document {
	var p page
	p.say(compareHead(s))
	p.say(lawStatement(s.Law) + bestHalogen(s))
	p.say("Judged for " + need.Sentence(s.Need) + ".")
	t := Table{Head: []string{""}, Rows: compareRows(s).rows}
	for _, bulb := range s.Bulbs {
		t.Head = append(t.Head, bulb.Name)
	}
	t.Head = append(t.Head, "your halogen")
	p.put(t)
	for _, bulb := range s.Bulbs {
		if tail := standingTail(bulb); tail != "" {
			p.item(bulb.Name + tail)
		}
	}
	p.item(noiseNote)
	for _, note := range s.Notes {
		p.item(note)
	}
	if s.Catalog.Invented {
		p.item(inventedLine)
	}
	return p.doc
}

// compareHead is the outcome in one sentence or two.
func compareHead(s *recommend.CompareSheet) string {
	ranked := rankedOf(s)
	if len(ranked) == 0 {
		return "None of these can be named: each is set aside or lacks a fact that decides."
	}
	first := ranked[0]
	text := fmt.Sprintf("%s is the only one of these that can be named.", first.Name)
	if len(ranked) > 1 {
		second := ranked[1]
		p := chance(s, first.Bulb, second.Bulb, recommend.AspectOverall)
		switch {
		case p == nil:
			text = fmt.Sprintf("%s scores best.", first.Name)
		case withinNoise(s, first.Bulb, second.Bulb, recommend.AspectOverall):
			text = fmt.Sprintf("%s and %s cannot be told apart: the first is better in %s of 100 trials.", first.Name, second.Name, fixed(100**p, 0))
		default:
			text = fmt.Sprintf("%s is ahead of %s: better in %s of 100 trials.", first.Name, second.Name, fixed(100**p, 0))
		}
	}
	if !slices.ContainsFunc(ranked, func(b recommend.Compared) bool { return b.WorthBuying }) {
		text += " None of these is clearly better than your halogen."
	}
	return text
}

// bestHalogen stands beside the law, which lets no LED through without more ado.
func bestHalogen(s *recommend.CompareSheet) string {
	if s.Pick.Halogen == "" {
		return ""
	}
	return " Best halogen: " + s.HalogenName + "."
}

// rankedOf lists the bulbs that pick ranks, in its order.
func rankedOf(s *recommend.CompareSheet) []recommend.Compared {
	var ranked []recommend.Compared
	for _, b := range s.Bulbs {
		if b.Place != nil {
			ranked = append(ranked, b)
		}
	}
	slices.SortFunc(ranked, func(a, b recommend.Compared) int { return *a.Place - *b.Place })
	return ranked
}

// standingTail says why a bulb is not ranked.
func standingTail(b recommend.Compared) string {
	var why []string
	switch b.Standing {
	case recommend.StandingAside:
		for _, reason := range b.Because {
			why = append(why, gateWord(reason.Check)+": "+strings.TrimSuffix(reason.Why, "."))
		}
		return ", set aside: " + strings.Join(why, "; ")
	case recommend.StandingMeasure:
		const most = 3
		for i, m := range b.Missing {
			if i == most {
				why = append(why, fmt.Sprintf("%d more", len(b.Missing)-most))
				break
			}
			why = append(why, gateWord(m.What))
		}
		return ", measure first: " + strings.Join(why, "; ")
	}
	return ""
}

// compareFull is every pair in words, and what stands behind the figures.
func (p *page) compareFull(s *recommend.CompareSheet) {
	p.part(fmt.Sprintf("Draws of 100 in which the first of two is better, give or take %s", fixed(200*s.Error, 0)))
	p.put(pairTable(s))
	if w := comparedWarmUp(s); len(w.series) > 0 {
		p.part("Light while it warms up")
		p.put(Picture{Of: w, Alt: w.line()})
	}
	p.priorities(recommend.PrioritiesAmong(s), s.Need, compareLetters(s))
	for i, b := range s.Bulbs {
		p.part(fmt.Sprintf("%s %s (%s): %s", letter(i), b.Name, b.Bulb, evidenceWord(b.Evidence)))
		if b.Rig != "" {
			p.item(fmt.Sprintf("test in rig %s, %s; %s", b.Rig, b.Tested, plural(len(b.Readings), "reading", "readings")))
		}
		p.doubts(b.Errors)
		p.item(b.Glare.Why)
		for _, check := range b.Fit.Checks {
			if check.Verdict != "fits" {
				p.item(fmt.Sprintf("%s: %s: %s", gateWord(check.Check), gateWord(string(check.Verdict)), check.Why))
			}
		}
		for _, claim := range b.Claims {
			p.item("claim: " + claim.Text)
		}
		for _, caution := range b.Cautions {
			p.item(caution)
		}
		for _, m := range b.Missing {
			p.item("missing: " + gateWord(m.What) + ": " + m.How)
		}
	}
	if len(s.Notes) > 0 {
		p.gap()
	}
	for _, note := range s.Notes {
		p.say(note)
	}
}

// aspects of a comparison in the order of the score.
var aspects = []string{recommend.AspectOverall, recommend.AspectLight, recommend.AspectPattern, recommend.AspectHeat}

func pairTable(s *recommend.CompareSheet) Table {
	t := Table{Head: append([]string{""}, aspects...)}
	for i, a := range s.Bulbs {
		for j := i + 1; j < len(s.Bulbs); j++ {
			row := []string{letter(i) + " over " + letter(j)}
			for _, aspect := range aspects {
				cell := orDash(chance(s, a.Bulb, s.Bulbs[j].Bulb, aspect), func(p float64) string { return fixed(100*p, 0) })
				if withinNoise(s, a.Bulb, s.Bulbs[j].Bulb, aspect) {
					cell += "~"
				}
				row = append(row, cell)
			}
			t.add(row...)
		}
	}
	return t
}

// doubts lists what makes the band of a light against stock.
func (p *page) doubts(parts []recommend.ErrorPart) {
	for _, part := range parts {
		text := fmt.Sprintf("doubt: %s %s %%", part.Name, significant(100*part.RelU, 2))
		if part.Shared != "" {
			text += ", shared with the bulbs of that rig"
		}
		p.under(text)
	}
}
