package answer

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/reply"
)

// howKnown words the confidence of a fact.
func howKnown(confidence string) string {
	return cmp.Or(confidenceWords[confidence], gateWord(confidence))
}

// replyBlocks lays the parts of a reply out: the answer, what stands behind it,
// what to measure and to ask. With tables the figures stand in one.
func replyBlocks(r *reply.Reply, p parts, tables bool) Document {
	var out page
	begin := func() {
		if len(out.doc) > 0 {
			out.gap()
		}
	}
	paragraph := func(texts ...string) {
		if len(texts) == 0 {
			return
		}
		begin()
		for _, text := range texts {
			out.say(text)
		}
	}
	joined := func(texts []string) {
		if len(texts) > 0 {
			paragraph(strings.Join(texts, " "))
		}
	}
	facts := func(list []reply.ReplyFact) {
		for _, fact := range list {
			paragraph(fact.Text)
		}
	}
	list := func(title string, texts []string) {
		if len(texts) > 0 {
			paragraph(title)
			for _, text := range texts {
				out.item(text)
			}
		}
	}
	if p.factsFirst && len(p.facts) > 0 {
		begin()
		out.put(Line{Text: firstStrong(p.facts[0].Text)})
		facts(p.facts[1:])
	}
	for i, text := range p.answer {
		if i == 0 {
			begin()
			out.put(Line{Text: firstStrong(text)})
			continue
		}
		out.say(text)
	}
	paragraph(p.after...)
	paragraph(p.named...)
	paragraph(slices.Concat(p.law, p.halogen)...)
	if tables {
		if p.figures != nil || len(p.sure) > 0 {
			for i := range r.Lamps {
				if d := r.Lamps[i].Pick; d != nil && len(d.Ranked) > 0 {
					begin()
					out.put(replyTable(d))
				}
			}
		}
		joined(slices.Compact(slices.Clone(p.evidence)))
	} else {
		paragraph(p.figures...)
	}
	paragraph(p.sure...)
	if !p.factsFirst {
		facts(p.facts)
	}
	list("Before ordering, find out:", p.measure)
	if p.aim != "" {
		paragraph(p.aim)
	}
	joined(p.notes)
	if tables {
		list("Tell me, to answer better:", p.ask)
	} else if len(p.ask) > 0 {
		paragraph("Tell me, to answer better: " + strings.Join(p.ask, " "))
	}
	if sources := sourceList(p.facts); sources != "" {
		paragraph("Sources: " + sources)
	}
	if p.invented {
		begin()
		out.put(Line{Text: Text{{Text: inventedLine, Kind: Aside}}})
	}
	return out.doc
}

// firstStrong is a text with its first sentence to be read first.
func firstStrong(text string) Text {
	first, rest, more := strings.Cut(text, ". ")
	if !more {
		return Text{{Text: text, Kind: Strong}}
	}
	return Text{{Text: first + ".", Kind: Strong}, {Text: " " + rest}}
}

// sourceList is where the facts are from.
func sourceList(facts []reply.ReplyFact) string {
	var texts []string
	for _, fact := range facts {
		text := strings.TrimSuffix(fact.Source, ".")
		if how := howKnown(fact.Confidence); !strings.Contains(text, how) {
			text += fmt.Sprintf(" (%s)", how)
		}
		if !slices.Contains(texts, text) {
			texts = append(texts, text)
		}
	}
	if len(texts) == 0 {
		return ""
	}
	return strings.Join(texts, "; ") + "."
}

// replyRows is how many bulbs a reply's table shows.
const replyRows = 3

// replyTable is the head of the ranking with the fitted halogen in it.
func replyTable(d *recommend.Pick) Table {
	t := Table{Head: []string{lampLabel(d.Need), "hot vs stock", "kept", "pattern", "price"}}
	stock := false
	halogen := func() {
		stock = true
		t.add("your halogen", "1", "", orDash(d.Stock.Pattern.Score, whole), "0")
	}
	for i, bulb := range d.Ranked {
		if i == replyRows {
			break
		}
		if !stock && (bulb.Tier == recommend.TierDimmer || d.Stock.Score >= bulb.Score) {
			halogen()
		}
		name := bulbName(bulb, d.Need.Size)
		if bulb.Kind == data.KindHalogen && !strings.Contains(name, "halogen") {
			name += " halogen"
		}
		t.add(name, hotText(bulb.Hot), orDash(bulb.Hot.RetainedPct, percent), orDash(bulb.Pattern.Score, whole), money(bulb.Price))
	}
	if !stock {
		halogen()
	}
	return t
}
