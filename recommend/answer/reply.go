package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend"
	"stillbright/recommend/reply"
)

// ReplyStyles are the styles of a reply, the default first.
func ReplyStyles() []string { return []string{"full", "short", "markdown"} }

// Reply is a reply as a viewer reads it: the answer first, the law or aim line that
// fits, the tester's figures, how sure they are, what to measure, what to ask back.
// style is one of ReplyStyles.
func Reply(r *reply.Reply, style string) Document {
	p := replyParts(r)
	switch {
	case p.politely != "":
		return Document{Line{Text: plainText(p.politely)}}
	case style == "short":
		return Document{Line{Text: plainText(shortReply(r, p))}}
	}
	return replyBlocks(r, p, style == "markdown")
}

// ReplyText is a reply as text to be sent, with no line longer than a paragraph and
// no trailing line end.
func ReplyText(r *reply.Reply, style string) string {
	if style == "markdown" {
		return Reply(r, style).Markdown()
	}
	return Reply(r, style).Plain(0)
}

// parts of a reply, in the order in which they are read. Each is a list of
// sentences; an empty one is left out.
type parts struct {
	answer  []string
	law     []string
	figures []string
	// evidence is how near the tests are to the asker's lamps; figures say it too.
	evidence []string
	named    []string // what the record says of the bulbs that are asked about
	sure     []string
	halogen  []string // the best halogen, beside an LED that is recommended
	measure  []string
	facts    []reply.ReplyFact // in the order in which they are said
	aim      string
	after    []string // what the record says, where something else was asked first
	ask      []string
	notes    []string
	// factsFirst says that the answer is a fact and not a decision.
	factsFirst bool
	politely   string // the one line for what is no headlamp question
	invented   bool
}

// offTopic is the one polite line; it gives no advice.
const offTopic = "Thanks for writing. I can only answer questions about headlamp bulbs: send the bulb size, the kind of lamp (projector or reflector) and where you drive in the dark."

const (
	noSizeLine = "The bulb size decides, and your question does not name it."
	aimLine    = "Before the swap tape the cutoff of the halogen on a wall; after it, with the new bulb hot, bring its cutoff back to the tape."
)

func replyParts(r *reply.Reply) parts {
	p := parts{invented: r.Catalog.Invented, facts: r.Facts, notes: slices.Clone(r.Notes)}
	if len(r.Lamps) == 0 && len(r.Facts) == 0 && r.Asks[0] == "other" {
		return parts{politely: offTopic, invented: r.Catalog.Invented}
	}
	p.law = lawSentences(r)
	p.ask = askSentences(r)
	p.named = namedSentences(r)
	lead := r.Asks[0]
	decisions := decisionSentences(r)
	switch {
	case lead == "other" && len(r.Facts) == 0:
		p.answer = decisions
		if ledSentences(r) == nil && p.named == nil {
			p.law = nil
		}
	case lead == "pick" || lead == "fit" && roomSaid(r) || len(r.Facts) == 0 && lead != "law":
		p.answer = decisions
		if lead == "fit" {
			p.answer = append(roomSentences(r), decisions...)
		}
		p.details(r)
	case lead == "law":
		p.answer, p.law = p.law, nil
		p.after = halogenSentences(r, false)
	default:
		p.factsFirst = true
		switch lead {
		case "fit", "compare":
			p.after = decisions
			p.details(r)
		case "flicker", "pattern":
			if len(r.Lamps) > 0 && roomSaid(r) {
				p.after = append(roomSentences(r), decisions...)
			} else if texts := ledSentences(r); texts != nil && buys(r) {
				p.after = append([]string{"If the bulb is changed:"}, texts...)
			}
		}
		if p.after == nil && p.named == nil {
			p.law = nil // nothing to buy is spoken of
		}
	}
	return p
}

// details adds figures, doubt and measures of the decisions.
func (p *parts) details(r *reply.Reply) {
	p.halogen = halogenSentences(r, true)
	for i := range r.Lamps {
		lamp := &r.Lamps[i]
		if lamp.Pick == nil {
			continue
		}
		p.figures = append(p.figures, figureSentences(lamp, r.Named, len(r.Lamps) > 1)...)
		if b := bulbOf(lamp.Pick, string(lamp.Pick.Answer.Bulb)); b.Bulb != "" {
			p.evidence = append(p.evidence, evidenceText(b.Evidence, lamp.Pick.Need))
		}
		if sure := lamp.Pick.Answer.Sure; sure != "" && lamp.Pick.Answer.Kind != "none" {
			if len(r.Lamps) > 1 {
				sure = lampLabel(lamp.Need) + ": " + strings.ToLower(sure[:1]) + strings.Replace(sure[1:], ": ", ", ", 1)
			}
			p.sure = append(p.sure, sure)
		}
		for _, note := range lamp.Pick.Notes {
			if !slices.Contains(p.notes, note) {
				p.notes = append(p.notes, note)
			}
		}
		if namesLED(lamp.Pick) {
			if lamp.Pick.Need.Beam != data.BeamHigh {
				p.aim = aimLine
			}
			for _, text := range measureSentences(lamp.Pick.ToMeasure) {
				if !slices.Contains(p.measure, text) && len(p.measure) < mostMeasures {
					p.measure = append(p.measure, text)
				}
			}
		}
	}
}

// mostMeasures is how many measures a reply asks for: the ones that most often
// spoil a purchase stand first.
const mostMeasures = 2

func measureSentences(list []fitment.ToMeasure) []string {
	var texts []string
	for _, m := range list {
		text := capital(measureText(m)) + "."
		if m.How != "" {
			text += " " + capital(m.How)
			if !strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "?") {
				text += "."
			}
		}
		texts = append(texts, text)
	}
	return texts
}

func roomSaid(r *reply.Reply) bool { return r.Understood.RearClearanceMM != nil }

// buys says whether a bulb to buy is asked for among other things.
func buys(r *reply.Reply) bool {
	return slices.Contains(r.Asks, "pick") || slices.Contains(r.Asks, "fit")
}

// lampLabel names a lamp as a viewer would.
func lampLabel(n recommend.Need) string {
	beam := map[string]string{data.BeamLow: "low beam", data.BeamHigh: "high beam", data.BeamFog: "fog lamp", data.BeamBoth: "low and high beam"}[n.Beam]
	label := strings.TrimSpace(n.Size + " " + beam)
	if n.Housing != "" {
		label += ", " + string(n.Housing)
	}
	return label
}

// decisionSentences are the decisions, one for each lamp; without a size, what is
// wanted first.
func decisionSentences(r *reply.Reply) []string {
	var texts []string
	for i := range r.Lamps {
		texts = append(texts, decisionSentence(&r.Lamps[i]))
	}
	if texts == nil {
		return []string{noSizeLine}
	}
	if t := r.Together; t != nil {
		text := "Together: " + priceCell(&recommend.Price{Amount: t.Amount, Currency: t.Currency})
		if t.Within != nil && !*t.Within {
			text += ", more than your budget for all; ask for one lamp at a time, or for less"
		}
		texts = append(texts, text+".")
	}
	return texts
}

// ledSentences are the decisions that recommend an LED.
func ledSentences(r *reply.Reply) []string {
	var texts []string
	for i := range r.Lamps {
		if d := r.Lamps[i].Pick; d != nil && namesLED(d) {
			texts = append(texts, decisionSentence(&r.Lamps[i]))
		}
	}
	return texts
}

func decisionSentence(lamp *reply.ReplyLamp) string {
	label := lampLabel(lamp.Need)
	if lamp.Pick == nil {
		return fmt.Sprintf("%s: no answer. %s.", label, capital(string(lamp.Problem)))
	}
	d := lamp.Pick
	if d.Answer.Kind == recommend.AnswerNone {
		return fmt.Sprintf("%s: %s Keep your halogens, clean the lenses, check the aim.", label, whyNone(d))
	}
	text := label + ": " + lower(verdictLines(d)[0])
	if light := byLightLine(d); light != "" {
		text += " " + light
	}
	if other := d.Answer.Otherwise; other != nil {
		text += fmt.Sprintf(" With less than %s %s behind the bulb: %s, which needs %s %s.", significant(other.Under, 4), other.Unit,
			bulbName(bulbOf(d, other.Bulb), d.Need.Size), significant(other.Needs, 4), other.Unit)
	}
	return text
}

// lower is a sentence as it goes on after a colon.
func lower(text string) string {
	if text == "" || strings.HasPrefix(text, "LED") {
		return text
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// bulbName is the name without the size that the label already has.
func bulbName(b recommend.Ranked, size string) string {
	return clipName(shortName(b.Name, size))
}

// longestName is as much of a bulb's name as a comment has room for.
const longestName = 40

func clipName(name string) string { return shorten(name, longestName) }

// whyNone says why no LED suits: none on record, a fact missing, or set aside.
func whyNone(d *recommend.Pick) string {
	led := func(kind string) bool { return kind == data.KindLED }
	var open []recommend.Ranked
	for _, b := range d.MeasureFirst {
		if led(b.Kind) {
			open = append(open, b)
		}
	}
	aside := slices.ContainsFunc(d.SetAside, func(b recommend.SetAside) bool { return led(b.Kind) })
	switch {
	case len(open) > 0:
		text := fmt.Sprintf("no LED in the record can be recommended yet. The nearest, %s, lacks %s.", bulbName(open[0], d.Need.Size), strings.TrimSuffix(open[0].Missing[0].What, "."))
		if aside {
			text += " Others drop out: " + gateList(d) + "."
		}
		return text
	case aside:
		return "no LED in the record suits; they drop out by " + gateList(d) + "."
	}
	return "no LED for it is in the record."
}

// gateList names the gates that removed bulbs.
func gateList(d *recommend.Pick) string {
	var names []string
	for _, gate := range d.Gates {
		names = append(names, gateWord(gate.Check))
	}
	return sentence(names)
}

// namedSentences say of each bulb that the question names, and that is not the
// answer, what the record says of it in the lamps spoken of.
func namedSentences(r *reply.Reply) []string {
	var texts []string
	for i := range r.Lamps {
		d := r.Lamps[i].Pick
		if d == nil {
			continue
		}
		lead := ""
		if len(r.Lamps) > 1 {
			lead = lampLabel(d.Need) + ": "
		}
		for _, id := range r.Named {
			if text := namedSentence(d, id); text != "" && id != string(d.Answer.Bulb) {
				texts = append(texts, lead+text)
			}
		}
	}
	return texts
}

func namedSentence(d *recommend.Pick, id string) string {
	for _, aside := range d.SetAside {
		if aside.Bulb == id {
			return fmt.Sprintf("%s is set aside. %s", clipName(shortName(aside.Name, d.Need.Size)), asSentence(aside.Because[0].Why))
		}
	}
	b := bulbOf(d, id)
	switch {
	case b.Bulb == "":
		return ""
	case len(b.Missing) > 0:
		return fmt.Sprintf("To judge %s, one thing has to be known first: %s.", bulbName(b, d.Need.Size), strings.TrimSuffix(b.Missing[0].What, "."))
	case b.Hot.VsStock == nil:
		return ""
	}
	text := bulbName(b, d.Need.Size) + ": " + lightText(b.Hot) + priceTail(b.Price)
	if slices.Contains(b.TieWith, recommend.StockID) {
		text += "; its light cannot be told from your halogen's"
	}
	return text + "."
}

// asSentence ends a text as a sentence does.
func asSentence(text string) string { return capital(strings.TrimSuffix(text, ".")) + "." }

// figureSentences are the tester's figures of the bulb to buy, and the next one
// unless the question names it, for then they stand there.
func figureSentences(lamp *reply.ReplyLamp, named []string, several bool) []string {
	d := lamp.Pick
	lead := ""
	if several {
		lead = lampLabel(d.Need) + ": "
	}
	b := bulbOf(d, string(d.Answer.Bulb))
	if b.Bulb == "" {
		return nil
	}
	text := lead + bulbName(b, d.Need.Size) + ": " + lightText(b.Hot)
	if b.Hot.RetainedPct != nil {
		text += fmt.Sprintf("; keeps %s of its first light", percent(*b.Hot.RetainedPct))
	}
	if b.Pattern.Score != nil && d.Stock.Pattern.Score != nil {
		text += fmt.Sprintf("; pattern %s of 100, the halogen %s", whole(*b.Pattern.Score), whole(*d.Stock.Pattern.Score))
	}
	text += ". " + evidenceText(b.Evidence, d.Need)
	texts := []string{text}
	if next, ok := nextBest(d); ok && !slices.Contains(named, next.Bulb) {
		texts = append(texts, lead+fmt.Sprintf("Next is %s: %s%s.", bulbName(next, d.Need.Size), timesText(next.Hot), priceTail(next.Price)))
	}
	return texts
}

func evidenceText(evidence string, n recommend.Need) string {
	switch evidence {
	case recommend.EvidenceLike:
		if n.Housing == "" {
			return "Tested in your size, in a projector and in a reflector; the worse of the two counts."
		}
		return "Tested in your size in a " + string(n.Housing) + ", another lamp than yours."
	case recommend.EvidenceSibling:
		return "The same model was tested in another size only."
	case recommend.EvidenceOther:
		return "It was tested in the other kind of lamp only."
	}
	return "It has not been tested."
}

// nextBest is the second LED that is clearly better than the halogen.
func nextBest(d *recommend.Pick) (recommend.Ranked, bool) {
	if d.Answer.ByLight != "" {
		return recommend.Ranked{}, false // the law forbids the others, too
	}
	for _, b := range d.Ranked {
		if b.Bulb != string(d.Answer.Bulb) && b.Kind == data.KindLED && b.WorthBuying && b.Hot.VsStock != nil {
			return b, true
		}
	}
	return recommend.Ranked{}, false
}

// halogenSentences name the best halogen, for those who want to stay within the
// law; besideLED leaves out lamps for which no LED is recommended.
func halogenSentences(r *reply.Reply, besideLED bool) []string {
	var texts []string
	for i := range r.Lamps {
		d := r.Lamps[i].Pick
		if d == nil || d.Answer.Halogen == "" || besideLED && !namesLED(d) {
			continue
		}
		b := bulbOf(d, string(d.Answer.Halogen))
		if b.Hot.VsStock == nil {
			continue
		}
		texts = append(texts, fmt.Sprintf("%s: best halogen tested: %s, %s%s.", lampLabel(d.Need), strings.TrimSuffix(bulbName(b, d.Need.Size), " halogen"), lightText(b.Hot), priceTail(b.Price)))
	}
	return texts
}

func askSentences(r *reply.Reply) []string {
	var texts []string
	for _, a := range r.AskBack {
		texts = append(texts, a.Question)
	}
	return texts
}

// capital starts a sentence; units and sizes stay as they are.
func capital(text string) string {
	if text == "" || text[0] < 'a' || text[0] > 'z' {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}
