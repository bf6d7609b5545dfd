package answer

import (
	"fmt"
	"strconv"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend/sheets"
)

var overallWords = map[string]string{
	"fits":         "fits",
	"needs_work":   "fits with work",
	"does_not_fit": "does not fit",
	"unknown":      "cannot be said yet",
}

var fitTones = map[fitment.Verdict]Tone{
	fitment.Fits: ToneGood, fitment.NeedsWork: ToneDoubt, fitment.Unknown: ToneDoubt, fitment.DoesNotFit: ToneBad,
}

// Fit is the screen of one bulb in one lamp: the verdict, the law, what to
// measure, the checks that matter, and what to look at after fitting; full adds
// the checks that simply fit.
func Fit(s *sheets.FitSheet, c data.Catalog, full bool) Document {
	p := new(page)
	head := fmt.Sprintf("%s in this %s %s lamp: %s.", s.Name, s.Size, s.Beam, overallWords[s.Overall])
	if n := len(s.Unknowns); n > 0 && s.Overall != "does_not_fit" {
		head += fmt.Sprintf(" %s not known.", plural(n, "check is", "checks are"))
	}
	p.head(head, fitTones[fitment.Verdict(s.Overall)])
	if bulb, _ := c.Bulb(s.Bulb); bulb.Kind == data.KindHalogen && s.Overall != "does_not_fit" {
		p.say("Law: a halogen of the size that the lamp was made for; the rules on LED bulbs are not about it. It has to bear the approval mark that your place asks for (common practice).")
	} else {
		p.say(lawStatement(s.Law) + halogenTail(s, c))
	}
	fine := 0
	for _, group := range []fitment.Verdict{fitment.DoesNotFit, fitment.NeedsWork, fitment.Unknown, fitment.Fits} {
		for _, check := range s.Checks {
			if check.Verdict != group {
				continue
			}
			if group == fitment.Fits && !full {
				fine++
				continue
			}
			p.check(check)
		}
	}
	if fine > 0 {
		p.say(fmt.Sprintf("%s fit; --full shows them.", plural(fine, "more check", "more checks")))
	}
	if len(s.ToMeasure) > 0 {
		p.part("Before ordering, find out:")
		for _, m := range s.ToMeasure {
			p.item(measureText(m) + ". " + m.How)
		}
	}
	if len(s.After) > 0 {
		p.part("After fitting, while it can still be sent back:")
		for _, text := range s.After {
			p.item(text)
		}
	}
	if full {
		p.onTheRoad("On the road", s.Reach)
		p.cautions(s.Safety)
	} else {
		p.cautions(s.Safety[:min(2, len(s.Safety))])
	}
	p.invented(s.Catalog)
	return p.doc
}

func (p *page) check(f fitment.Finding) {
	text := fmt.Sprintf("%s: %s", gateWord(f.Check), gateWord(string(f.Verdict)))
	if f.Have != nil {
		text += "; has " + roundedText(*f.Have) + unitTail(f)
	}
	if f.Need != nil {
		text += "; needs " + roundedText(*f.Need) + unitTail(f)
	}
	p.put(Line{Text: plainText(text + ". " + f.Why), Tone: fitTones[f.Verdict]})
	if f.Fix != nil {
		p.item("Fix: " + *f.Fix)
	}
	if f.Measure != nil && f.Verdict == fitment.Unknown && f.Owner == fitment.OwnerBulb {
		p.item("For the tester: " + *f.Measure)
	}
}

var longFigure = data.LateRegexp(`\d+\.\d{3,}`)

// roundedText rounds the figures in a text to what a person can measure; the
// document keeps every digit.
func roundedText(text string) string {
	return longFigure().ReplaceAllStringFunc(text, func(figure string) string {
		value, err := strconv.ParseFloat(figure, 64)
		if err != nil {
			return figure
		}
		return significant(value, 3)
	})
}

func unitTail(f fitment.Finding) string {
	if f.Unit == nil {
		return ""
	}
	return " " + *f.Unit
}

func halogenTail(s *sheets.FitSheet, c data.Catalog) string {
	if s.Halogen == "" {
		return ""
	}
	bulb, _ := c.Bulb(string(s.Halogen))
	return " Best halogen: " + bulb.Name + "."
}
