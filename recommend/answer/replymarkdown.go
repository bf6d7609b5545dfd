package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
)

// markdownReply is a reply with a table, for a page or a forum.
func markdownReply(r *recommend.Reply, p parts) string {
	if p.politely != "" {
		return p.politely
	}
	var blocks []string
	add := func(text string) {
		if text != "" {
			blocks = append(blocks, text)
		}
	}
	paragraphs := func(texts []string) {
		for _, text := range texts {
			add(markdownText(text))
		}
	}
	strong := func(texts []string) {
		for i, text := range texts {
			if i == 0 {
				first, rest, _ := strings.Cut(text, ". ")
				if rest == "" {
					add("**" + markdownText(text) + "**")
				} else {
					add("**" + markdownText(first) + ".** " + markdownText(rest))
				}
				continue
			}
			add(markdownText(text))
		}
	}
	facts := factTexts(p.facts)
	if p.factsFirst {
		strong(facts)
		paragraphs(p.after)
	} else {
		strong(p.answer)
	}
	paragraphs(p.named)
	paragraphs(p.law)
	paragraphs(p.halogen)
	for i := range r.Lamps {
		if p.figures != nil || len(p.sure) > 0 {
			add(markdownTable(r.Lamps[i].Pick))
		}
	}
	if !p.factsFirst {
		paragraphs(p.after)
	}
	add(markdownText(strings.Join(slices.Compact(slices.Clone(p.evidence)), " ")))
	paragraphs(p.sure)
	if !p.factsFirst {
		paragraphs(facts)
	}
	if len(p.measure) > 0 {
		add("Before ordering, find out:\n\n" + markdownList(p.measure))
	}
	add(markdownText(p.aim))
	add(markdownText(strings.Join(p.notes, " ")))
	if len(p.ask) > 0 {
		add("Tell me, to answer better:\n\n" + markdownList(p.ask))
	}
	if sources := sourceList(p.facts); sources != "" {
		add("Sources: " + markdownText(sources))
	}
	if p.invented {
		add("*" + inventedLine + "*")
	}
	return strings.Join(blocks, "\n\n")
}

func factTexts(facts []recommend.ReplyFact) []string {
	var texts []string
	for _, fact := range facts {
		texts = append(texts, fact.Text)
	}
	return texts
}

func markdownList(texts []string) string {
	var b strings.Builder
	for i, text := range texts {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString("- " + markdownText(text))
	}
	return b.String()
}

// markdownRows is how many bulbs a table shows.
const markdownRows = 3

// markdownTable is the head of the ranking with the fitted halogen in it.
func markdownTable(d *recommend.Pick) string {
	if d == nil || len(d.Ranked) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "| %s | hot vs stock | kept | pattern | price |\n|---|---|---|---|---|", markdownText(lampLabel(d.Need)))
	stock := false
	halogen := func() {
		stock = true
		fmt.Fprintf(&b, "\n| your halogen | 1 | | %s | 0 |", orDash(d.Stock.Pattern.Score, whole))
	}
	for i, bulb := range d.Ranked {
		if i == markdownRows {
			break
		}
		if !stock && (bulb.Tier == recommend.TierDimmer || d.Stock.Score >= bulb.Score) {
			halogen()
		}
		name := bulbName(bulb, d.Need.Size)
		if bulb.Kind == data.KindHalogen && !strings.Contains(name, "halogen") {
			name += " halogen"
		}
		fmt.Fprintf(&b, "\n| %s | %s | %s | %s | %s |", markdownText(name), hotText(bulb.Hot), orDash(bulb.Hot.RetainedPct, percent),
			orDash(bulb.Pattern.Score, whole), money(bulb.Price))
	}
	if !stock {
		halogen()
	}
	return b.String()
}
