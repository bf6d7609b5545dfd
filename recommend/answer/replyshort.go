package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/reply"
)

// shortMost is the length in characters that a comment stays under.
const shortMost = 500

// piece is one sentence of a short reply. Pieces are taken by rank as long as
// there is room, and said in the order in which they stand.
type piece struct {
	text string
	rank int // 0 must stand
}

// shortReply is a reply for a comment.
func shortReply(r *reply.Reply, p parts) string {
	var pieces []piece
	add := func(rank int, texts ...string) {
		for _, text := range texts {
			if text != "" {
				pieces = append(pieces, piece{text, rank})
			}
		}
	}
	lead := r.Asks[0]
	switch {
	case p.factsFirst:
		add(0, p.facts[0].Short)
		add(5, shortDecisions(r, len(p.after) > 0)...)
		add(3, p.named...)
	case lead == "law":
		add(0, shortLaw(r))
		for i, fact := range p.facts {
			add(2+i, fact.Short)
		}
		add(4, p.after...)
	default:
		if lead == "fit" {
			add(3, roomSentences(r)...)
		}
		add(0, shortDecisions(r, true)...)
		add(1, shortLaw(r)) // before any figure
		add(2, p.named...)
		add(2, shortFigures(r)...)
		for _, fact := range p.facts {
			add(4, fact.Short)
		}
	}
	add(3, p.halogen...)
	if p.factsFirst {
		for _, fact := range p.facts[1:] {
			add(2, fact.Short)
		}
		if len(p.after)+len(p.named) > 0 {
			add(1, shortLaw(r))
		}
	}
	if len(p.measure) > 0 {
		first, _, _ := strings.Cut(p.measure[0], ". ")
		add(3, "Before ordering, find out: "+strings.TrimSuffix(strings.ToLower(first[:1])+first[1:], ".")+".")
	}
	if len(p.ask) > 0 {
		add(2, p.ask[0])
	}
	if p.invented {
		add(0, "Invented demo data.")
	}
	return fitPieces(pieces)
}

// fitPieces takes pieces by rank while they leave the text under its length.
func fitPieces(pieces []piece) string {
	taken := make([]bool, len(pieces))
	used := 0
	for rank := 0; rank <= 9; rank++ {
		for i, p := range pieces {
			size := len([]rune(p.text)) + 1
			if p.rank == rank && (used+size < shortMost || rank == 0) {
				taken[i], used = true, used+size
			}
		}
	}
	var texts []string
	for i, p := range pieces {
		if taken[i] && !slices.Contains(texts, p.text) {
			texts = append(texts, p.text)
		}
	}
	text := strings.Join(texts, " ")
	if letters := []rune(text); len(letters) >= shortMost {
		text = string(letters[:shortMost-2]) + "…"
	}
	return text
}

// mostShortLamps is how many lamps a comment has room for.
const mostShortLamps = 3

// shortDecisions are the decisions in as few words as carry them.
func shortDecisions(r *reply.Reply, wanted bool) []string {
	if !wanted {
		return nil
	}
	var texts []string
	for i := range r.Lamps {
		if i == mostShortLamps {
			return append(texts, "The other lamps: ask one by one.")
		}
		texts = append(texts, shortDecision(&r.Lamps[i]))
	}
	if texts == nil {
		return []string{noSizeLine} // what is asked back says where it stands
	}
	return texts
}

func shortDecision(lamp *reply.ReplyLamp) string {
	n := lamp.Need
	n.Housing = ""
	label := lampLabel(n)
	if lamp.Pick == nil {
		return label + ": " + shorten(string(lamp.Problem), 100) + "."
	}
	d := lamp.Pick
	switch d.Answer.Kind {
	case recommend.AnswerNone:
		return label + ": no LED on record suits, keep your halogens."
	case recommend.AnswerKeep:
		if d.Answer.ByLight == "" {
			return label + ": keep your halogens, no bulb tested is clearly better."
		}
	}
	return label + ": " + lower(verdictLine(d, 110))
}

// shortFigures are band, light kept and pattern of the bulbs to buy.
func shortFigures(r *reply.Reply) []string {
	var texts []string
	for i := range r.Lamps {
		d := r.Lamps[i].Pick
		if d == nil || d.Answer.Bulb == "" {
			continue
		}
		b := bulbOf(d, string(d.Answer.Bulb))
		text := "Band "
		if len(r.Lamps) > 1 {
			text = d.Need.Size + " band "
		}
		text += fmt.Sprintf("%s to %s", significant(*b.Hot.VsStockLow, 2), significant(*b.Hot.VsStockHigh, 2))
		if b.Hot.RetainedPct != nil {
			text += ", keeps " + percent(*b.Hot.RetainedPct)
		}
		if b.Pattern.Score != nil {
			text += ", pattern " + whole(*b.Pattern.Score) + " of 100"
		}
		if sure, _, ok := strings.Cut(d.Answer.Sure, ":"); ok {
			text += "; " + strings.ToLower(sure[:1]) + sure[1:]
		}
		texts = append(texts, text+".")
	}
	return texts
}
