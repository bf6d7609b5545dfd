package answer

import (
	"fmt"
	"slices"
	"strings"

	"stillbright/fitment"
	"stillbright/recommend"
)

// pickTable is the ranking, with the fitted halogen in its place.
func (p *page) pickTable(d *recommend.Pick, o PickOptions) {
	top := o.Top
	if top <= 0 {
		top = len(d.Ranked)
	}
	t := Table{Head: []string{"", "bulb", "hot vs stock", "kept", "pattern", "heat", "fit", priceHead(d)}, Row: 1, Shrink: 1}
	stockShown, tied := false, false
	stock := func() {
		stockShown = true
		t.add("-", "your halogen", "1", "", orDash(d.Stock.Pattern.Score, whole), "1.0", "fitted", "0")
	}
	for i, r := range d.Ranked {
		if i >= top {
			break
		}
		if !stockShown && (r.Tier == recommend.TierDimmer || d.Stock.Score >= r.Score) {
			stock()
		}
		mark := fmt.Sprint(i + 1)
		if slices.Contains(r.TieWith, recommend.StockID) {
			mark, tied = mark+"~", true
		}
		t.add(mark, shortName(r.Name, d.Need.Size), hotText(r.Hot), orDash(r.Hot.RetainedPct, percent), orDash(r.Pattern.Score, whole),
			fixed(r.Parts.Heat, 1), fitWord(r.Fit), priceCell(r.Price))
	}
	if !stockShown {
		stock()
	}
	p.put(t)
	var under []string
	if tied {
		under = append(under, "~ not to be told from your halogen in light")
	}
	if more := len(d.Ranked) - top; more > 0 {
		under = append(under, fmt.Sprintf("%s more: --top %d", plural(more, "bulb", "bulbs"), len(d.Ranked)))
	}
	if len(under) > 0 {
		p.say(strings.Join(under, "; "))
	}
}

// priceHead says what the prices are for.
func priceHead(d *recommend.Pick) string {
	for _, r := range d.Ranked {
		if r.Price != nil && r.Price.Per == "each" {
			return "each"
		}
	}
	return "a pair"
}

// shortName leaves out the size that stands over the whole table.
func shortName(name, size string) string {
	name = strings.Replace(name, "("+size+" halogen)", "halogen", 1)
	return strings.TrimSpace(strings.Replace(name, "("+size+")", "", 1))
}

func whole(value float64) string { return fixed(value, 0) }

func hotText(h recommend.Hot) string {
	if h.VsStock == nil {
		return "–"
	}
	return fmt.Sprintf("%s (%s–%s)", significant(*h.VsStock, 2), significant(*h.VsStockLow, 2), significant(*h.VsStockHigh, 2))
}

// fitWord says the fit in one word; a question mark stands for something that
// has to be measured.
func fitWord(f recommend.Fit) string {
	word := map[string]string{"fits": "fits", "needs_work": "work", "does_not_fit": "no", "unknown": "measure"}[f.Overall]
	if f.Overall == string(fitment.NeedsWork) && len(f.Unknowns) > 0 {
		return "work?"
	}
	return word
}

// pickOthers says in two lines who else was looked at.
func (p *page) pickOthers(d *recommend.Pick, o PickOptions) {
	if o.Full {
		return
	}
	if len(d.MeasureFirst) > 0 {
		var names []string
		for _, r := range d.MeasureFirst {
			names = append(names, shortName(r.Name, d.Need.Size))
		}
		lead := d.MeasureFirst[0]
		p.brief(fmt.Sprintf("A fact is missing of %s: %s", plural(len(names), "bulb", "bulbs"), strings.Join(names, ", ")))
		if len(d.Ranked) == 0 {
			p.item(lead.Name + ": " + lead.Missing[0].What)
		}
	}
	if len(d.SetAside) > 0 {
		p.brief("Set aside, --full says why: " + asideText(d))
	}
}

// asideText counts the bulbs set aside by gate.
func asideText(d *recommend.Pick) string {
	var parts []string
	for _, gate := range d.Gates {
		parts = append(parts, fmt.Sprintf("%s %d", gateWord(gate.Check), gate.Removed))
	}
	if len(parts) == 0 {
		return plural(len(d.SetAside), "bulb", "bulbs")
	}
	return plural(len(d.SetAside), "bulb", "bulbs") + " (" + strings.Join(parts, ", ") + ")"
}

// gateWord is a check's id as words.
func gateWord(check string) string { return strings.ReplaceAll(check, "_", " ") }

// pickMeasure is what the owner has to find out before ordering.
func (p *page) pickMeasure(d *recommend.Pick, o PickOptions) {
	if len(d.ToMeasure) == 0 || d.Answer.Kind == "none" && !o.Full {
		return
	}
	most := 3
	if o.Full {
		most = len(d.ToMeasure)
	}
	title := "Before ordering"
	if d.Answer.Kind == "keep" {
		title = "For an LED all the same" // nothing is ordered by this answer
	}
	title += ", find out"
	if len(d.ToMeasure) > most {
		title += fmt.Sprintf(" these and %d more (--full says how)", len(d.ToMeasure)-most)
	}
	title += ":"
	p.say(title)
	for i, m := range d.ToMeasure {
		if i >= most {
			break
		}
		if o.Full {
			p.item(measureText(m) + ". " + m.How)
		} else {
			p.entry(Item{Text: plainText(measureText(m)), Brief: true})
		}
	}
}

// findOut says the fact of the owner's that may be all that is missing.
func (p *page) findOut(d *recommend.Pick) {
	if waiting(d) && len(d.ToMeasure) > 0 {
		m := d.ToMeasure[0]
		p.say("To get further, find out: " + measureText(m) + ". " + capital(m.How) + ".")
	}
}

// measureText is what to measure and what the value has to be.
func measureText(m fitment.ToMeasure) string {
	if m.Need == nil {
		return m.What
	}
	need := strings.NewReplacer(">= ", "at least ", "<= ", "at most ").Replace(roundedText(*m.Need))
	if m.Unit != nil {
		need += " " + *m.Unit
	}
	if strings.HasPrefix(need, "at ") {
		return m.What + ": " + need
	}
	return m.What + ", wanted: " + need
}
