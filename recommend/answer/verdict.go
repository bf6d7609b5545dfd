package answer

import (
	"fmt"
	"strings"

	"stillbright/data"
	"stillbright/recommend"
)

// verdictLines are the answer of a decision in one line that an owner can act on as
// it stands, the fullest wording first and shorter ones after it. What the law
// forbids is never on it as advice. Every verb that recommends says one of these.
func verdictLines(d *recommend.Pick) []string {
	a := d.Answer
	bulb := bulbOf(d, string(a.Bulb))
	short := shortName(bulb.Name, d.Need.Size)
	if a.ByLight != "" {
		forbidden, brief := forbidden(d)
		keep := forbidden + ": keep your halogens"
		switch {
		case a.Bulb == "":
			return []string{keep + ".", brief + ": keep your halogens."}
		case bulb.Kind == data.KindHalogen:
			return []string{keep + ", or " + bulb.Name + priceTail(bulb.Price) + ".", keep + ", or " + bulb.Name + ".", keep + ", or " + short + ".", forbidden + ": keep halogens, or " + short + ".", keep + ".", brief + ": keep your halogens."}
		}
		return []string{forbidden + ": " + bulb.Name + " has one.", forbidden + ": " + short + "."}
	}
	switch a.Kind {
	case recommend.AnswerAnyOf:
		var names []string
		for _, id := range a.AnyOf {
			names = append(names, shortName(bulbOf(d, id).Name, d.Need.Size))
		}
		count := fmt.Sprintf("Any of these %s", recommend.CountWord(len(names)))
		cheapest := ""
		if bulb.Price != nil {
			cheapest = "; the cheapest is " + short + ", " + money(bulb.Price)
		}
		alike := "Cheapest of " + recommend.CountWord(len(names)) + " that measure alike: " + short
		return []string{count + ", the same within error: " + strings.Join(names, ", ") + cheapest + ".", alike + priceTail(bulb.Price) + ".", alike + "."}
	case data.KindLED, data.KindHalogen:
		times := timesText(bulb.Hot)
		best := "Best measured: "
		return []string{best + bulb.Name + ", " + times + priceTail(bulb.Price) + ".", best + bulb.Name + ", " + times + ".", best + short + ", " + times + ".",
			best + short + ", " + significant(*bulb.Hot.VsStock, 2) + " times your halogen's light."}
	case recommend.AnswerNone:
		const see = ", clean the lenses, check the aim"
		why := "No LED suits this " + lampOf(d)
		switch {
		case nothingKnown(d):
			why = "No bulb for this " + lampOf(d) + " is on record"
		case waiting(d):
			why = "Cannot be said before you measure: every LED for this " + lampOf(d) + " lacks a figure"
			return []string{why + ". Keep your halogens.", "Cannot be said before more is measured. Until then keep your halogens."}
		}
		return []string{why + ": keep your halogens" + see + ".", why + ": keep your halogens.", "No LED suits: keep your halogens."}
	}
	keep := "Keep your halogens: no bulb tested is clearly better."
	return []string{keep + " Fit a new pair if yours are old, clean the lenses, check the aim.", keep}
}

// verdictLine is the fullest wording that fits a width.
func verdictLine(d *recommend.Pick, width int) string {
	lines := verdictLines(d)
	for _, line := range lines {
		if columns(line) <= width {
			return line
		}
	}
	return lines[len(lines)-1]
}

// alikeLine lists the bulbs that measure like the one named, with their prices, where
// the answer is one of several: whole, or as many as one line of a width holds.
func alikeLine(d *recommend.Pick, width int) string {
	if d.Answer.Kind != recommend.AnswerAnyOf {
		return ""
	}
	others := d.Answer.AnyOf[1:]
	line := func(n int) string {
		var names []string
		for i, id := range others[:n] {
			r := bulbOf(d, id)
			name := shortName(r.Name, d.Need.Size)
			if r.Price != nil {
				name += " " + priceCell(r.Price)
				if i+1 < n { // the last says the currency of all that share it
					if next := bulbOf(d, others[i+1]).Price; next != nil && next.Currency == r.Price.Currency {
						name = strings.TrimSuffix(name, " "+r.Price.Currency)
					}
				}
			}
			names = append(names, name)
		}
		if more := len(others) - n; more > 0 {
			names = append(names, fmt.Sprintf("%d more", more))
		}
		return "Within error of it: " + strings.Join(names, ", ") + "."
	}
	for n := len(others); n > 0; n-- {
		if text := line(n); width == 0 || columns(text) <= width {
			return text
		}
	}
	return line(0)
}

// byLightLine is what the measurements alone would choose where the law forbids it.
func byLightLine(d *recommend.Pick) string {
	r := bulbOf(d, string(d.Answer.ByLight))
	if r.Bulb == "" {
		return ""
	}
	return fmt.Sprintf("By measurement alone: %s, %s.", r.Name, timesText(r.Hot))
}

// forbidden is what the law says, in a few words and in fewer.
func forbidden(d *recommend.Pick) (text, brief string) {
	where := string(d.Law.Where)
	if d.Law.Place != "" {
		where = string(d.Law.Place)
	}
	switch d.Law.Verdict {
	case data.VerdictInspection:
		if d.Law.FailsIf != "" {
			return "LEDs can fail the inspection in " + where, "LEDs can fail the inspection"
		}
		return "LEDs fail the inspection in " + where, "LEDs fail the inspection"
	case data.VerdictListed:
		light := bulbOf(d, string(d.Answer.ByLight))
		return fmt.Sprintf("Only with an approval for your lamp in %s, none on record for %s", where, shortName(light.Name, d.Need.Size)),
			"Only with an approval, none on record"
	}
	return "Not allowed on the road in " + where, "Not allowed on the road"
}

// lampOf names the lamp: H11 low beam; H4 lamp (low and high beam).
func lampOf(d *recommend.Pick) string {
	if d.Need.Beam == data.BeamBoth {
		return d.Need.Size + " lamp (low and high beam)"
	}
	return d.Need.Size + " " + d.Need.Beam + " beam"
}

// timesText is the hot light of a bulb against the halogen, and lightText the same
// with its band: the one way in which both are said in a sentence.
func timesText(h recommend.Hot) string {
	return significant(*h.VsStock, 2) + " times the light of your halogen after " + significant(h.AtMin, 3) + " min"
}

func lightText(h recommend.Hot) string {
	return fmt.Sprintf("%s (95 %% band %s to %s)", timesText(h), significant(*h.VsStockLow, 2), significant(*h.VsStockHigh, 2))
}

// namesLED says whether the bulb that is named is an LED.
func namesLED(d *recommend.Pick) bool {
	return d.Answer.Bulb != "" && bulbOf(d, string(d.Answer.Bulb)).Kind == data.KindLED
}
