package answer

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/road"
)

// PickOptions shape the screen of a decision.
type PickOptions struct {
	Width int
	Top   int  // rows of the table; 0: five, or all with Full
	Full  bool // everything
	Taken int  // lines above the answer that have to stay on the screen
	flip  bool // one line on what would change the answer
}

// screenRows is what the default answer keeps to: a terminal of 24 rows less
// the prompt that follows.
const screenRows = 23

// Pick is the screen of a decision: the answer, the law, the doubt, the table,
// what to measure, cautions. Unless asked for more it fits one screen; rows of
// the table give way first.
func Pick(d *recommend.Pick, o PickOptions) Document {
	if o.Top > 0 || o.Full {
		return pickAnswer(d, o)
	}
	rows := screenRows - o.Taken
	fit := func(least int) (answer Document, ok bool) {
		for o.Top = mostRows; o.Top >= least; o.Top-- {
			if answer = pickAnswer(d, o); answer.rows(o.Width) <= rows {
				return answer, true
			}
		}
		o.Top = least
		return answer, false
	}
	if o.flip = budgetFlip(d); o.flip { // what a little more money buys is worth more than the last rows
		if answer, ok := fit(leastRows); ok {
			return answer
		}
		o.flip = false
	}
	answer, _ := fit(1)
	o.flip = true
	if longer := pickAnswer(d, o); longer.rows(o.Width) <= rows {
		return longer
	}
	return answer
}

// mostRows of the table stand on a screen that is not asked for more.
const mostRows = 5

// leastRows of the table stay beside the line on the budget.
const leastRows = 3

// budgetFlip says that an owner who gave a budget would be told another bulb with
// another one.
func budgetFlip(d *recommend.Pick) bool {
	return d.Need.Budget != nil && slices.ContainsFunc(d.Flips, func(f recommend.Flip) bool { return f.What == recommend.FlipBudget })
}

func pickAnswer(d *recommend.Pick, o PickOptions) Document {
	p := new(page)
	p.pickHead(d, o)
	if o.flip {
		p.flipLine(d, o.Width)
	}
	if !nothingKnown(d) {
		p.pickTable(d, o)
	}
	p.pickOthers(d, o)
	p.pickMeasure(d, o)
	p.pickTail(d, o)
	if o.Full {
		p.pickFull(d)
	}
	p.invented(d.Catalog)
	return p.doc
}

// headWidth is the width that the line of the answer is made for.
const headWidth = 80

// tone is what the answer comes to.
func tone(d *recommend.Pick) Tone {
	switch d.Answer.Kind {
	case recommend.AnswerKeep:
		return ToneDoubt
	case recommend.AnswerNone:
		return ToneBad
	}
	return ToneGood
}

// pickHead is the answer in one line, the law line, and the doubt.
func (p *page) pickHead(d *recommend.Pick, o PickOptions) {
	alike := o.Width
	if o.Full {
		alike = 0 // whole
	}

	answer := verdictLine(d, headWidth)
	mend := mendFirst(d)
	if mend != "" {
		p.put(Headline{Text: plainText(mend), Brief: true, Tone: ToneDoubt})
	} else {
		p.put(Headline{Text: plainText(answer), Tone: tone(d)})
	}
	p.say(lawStatement(d.Law))
	if mend != "" {
		p.say("After that: " + lower(answer))
	}
	for _, line := range []string{alikeLine(d, alike), byLightLine(d), bestHalogenLine(d)} {
		if line != "" {
			p.say(line)
		}
	}
	if other := d.Answer.Otherwise; other != nil {
		p.say(fmt.Sprintf("With less than %s %s behind the bulb: %s (needs %s %s).",
			significant(other.Under, 4), other.Unit, bulbOf(d, other.Bulb).Name, significant(other.Needs, 4), other.Unit))
	}
	if d.Answer.Sure != "" {
		p.say(d.Answer.Sure)
	}
}

// flipLine is the first flip that is near and can be said in one line.
func (p *page) flipLine(d *recommend.Pick, width int) {
	budget := budgetFlip(d)
	for _, flip := range d.Flips {
		if budget && flip.What != recommend.FlipBudget {
			continue
		}
		if nearFlip(flip) && columns(flip.Text) <= width {
			p.say(flip.Text)
			return
		}
	}
}

// nearFlip says whether a flip is so near that it is worth a line on the first
// screen: a weight moved by less than a quarter of the whole, a figure by less
// than three of its standard uncertainties (judgement).
func nearFlip(f recommend.Flip) bool {
	switch {
	case f.What == recommend.FlipWeight:
		return math.Abs(f.To-*f.From) < 0.25
	case f.Errors != nil:
		return *f.Errors < 3
	}
	return true
}

// mendFirst is what the owner's own answers point at, before any bulb.
func mendFirst(d *recommend.Pick) string {
	for _, before := range d.Before {
		switch {
		case !before.First:
		case before.What == road.CauseHalogens:
			return fmt.Sprintf("Fix this first: your old halogens may give %s%% less light than new ones.", fromTo(before.CostPctLeast, *before.CostPct))
		case before.What == road.CauseLens:
			return "Fix this first: polish or replace the hazy lens. It dims and scatters any light."
		case d.Need.Volts != nil && before.CostPct != nil:
			return fmt.Sprintf("Fix this first: at %s V your halogen loses %s%% of its light.", significant(*d.Need.Volts, 3), fromTo(before.CostPctLeast, *before.CostPct))
		}
	}
	return ""
}

// fromTo prints two ends of a range in whole numbers, and one where they are equal.
func fromTo(least *float64, most float64) string {
	text := fixed(most, 0)
	if least != nil && fixed(*least, 0) != text {
		return fixed(*least, 0) + " to " + text
	}
	return text
}

// nothingKnown says that the record holds no bulb that could be looked at.
func nothingKnown(d *recommend.Pick) bool {
	return len(d.Ranked)+len(d.MeasureFirst)+len(d.SetAside) == 0
}

// waiting says that an LED is left out only because a fact is missing.
func waiting(d *recommend.Pick) bool {
	return slices.ContainsFunc(d.MeasureFirst, func(r recommend.Ranked) bool { return r.Kind == data.KindLED })
}

func priceTail(price *recommend.Price) string {
	if price == nil {
		return ""
	}
	return ", " + money(price)
}

func money(price *recommend.Price) string {
	if price == nil {
		return "–"
	}
	per := " a pair"
	if price.Per == "each" {
		per = " each"
	}
	return priceCell(price) + per
}

func priceCell(price *recommend.Price) string {
	if price == nil {
		return "–"
	}
	return strings.TrimSuffix(fixed(price.Amount, 2), ".00") + " " + price.Currency
}

// bestHalogenLine names the halogen to fall back on; nothing where the answer names
// it.
func bestHalogenLine(d *recommend.Pick) string {
	switch {
	case d.Answer.Halogen == "":
		return "Best halogen: a new one of the type fitted now."
	case d.Answer.Halogen == d.Answer.Bulb:
		return ""
	}
	return "Best halogen tested: " + bulbOf(d, string(d.Answer.Halogen)).Name + "."
}

func bulbOf(d *recommend.Pick, id string) recommend.Ranked {
	for _, list := range [][]recommend.Ranked{d.Ranked, d.MeasureFirst} {
		for _, r := range list {
			if r.Bulb == id && id != "" {
				return r
			}
		}
	}
	return recommend.Ranked{}
}

// pickTail is the caution of the leader and the aim reminder; when nothing
// suits, what the gates removed.
func (p *page) pickTail(d *recommend.Pick, o PickOptions) {
	if d.Answer.Kind == "none" {
		p.gatesText(d)
		if !o.Full {
			p.findOut(d)
		}
	}
	if d.SafetyLine != "" && !o.Full {
		p.put(Caution{Text: plainText(d.SafetyLine + "."), Brief: true})
	}
	if r := bulbOf(d, string(d.Answer.Bulb)); r.Bulb != "" {
		for i, caution := range r.Cautions {
			if o.Full {
				p.caution(caution)
			} else if i == 0 {
				p.put(Caution{Text: plainText(caution), Brief: true})
			}
		}
		p.say("Tape the stock cutoff on the wall before the swap: ", command("stillbright aim"), Span{Text: "."})
		return
	}
	p.say("Clean the lens, measure the volts at the plug, aim: ", command("stillbright aim"), Span{Text: "."})
}

// gatesText says what each gate removed, and what would bring most back.
func (p *page) gatesText(d *recommend.Pick) {
	for _, gate := range d.Gates {
		p.item(fmt.Sprintf("%s set aside %s", gateWord(gate.Check), plural(gate.Removed, "bulb", "bulbs")))
	}
	for _, gate := range d.Gates {
		if gate.Alone > 0 && gate.Relax != "" {
			p.say(fmt.Sprintf("Most would come back with %s: %s.", gate.Relax, plural(gate.Alone, "bulb", "bulbs")))
			return
		}
	}
}

const inventedLine = "Invented demo data: no real bulb, bench, maker or car."

// invented says that demo data is demo data.
func (p *page) invented(c recommend.CatalogLine) {
	if c.Invented {
		p.say(inventedLine)
	}
}
