package answer

import (
	"fmt"
	"strconv"

	"stillbright/data"
	"stillbright/fitment"
	"stillbright/recommend"
)

// FitOptions shape the screen of a fit.
type FitOptions struct {
	Width int
	Full  bool // the checks that simply fit, too
}

var overallWords = map[string]string{
	"fits":         "fits",
	"needs_work":   "fits with work",
	"does_not_fit": "does not fit",
	"unknown":      "cannot be said yet",
}

// Fit is the screen of one bulb in one lamp: the verdict, the law, what to
// measure, the checks that matter, and what to look at after fitting.
func Fit(s *recommend.FitSheet, c data.Catalog, o FitOptions) string {
	p := newPage(o.Width)
	head := fmt.Sprintf("%s in this %s %s lamp: %s.", s.Name, s.Size, s.Beam, overallWords[s.Overall])
	if n := len(s.Unknowns); n > 0 && s.Overall != "does_not_fit" {
		head += fmt.Sprintf(" %s not known.", plural(n, "check is", "checks are"))
	}
	p.wrap(head, "  ")
	if bulb, _ := c.Bulb(s.Bulb); bulb.Kind == data.KindHalogen && s.Overall != "does_not_fit" {
		p.wrap("Law: a halogen of the size that the lamp was made for; the rules on LED bulbs are not about it. It has to bear the approval mark that your place asks for (common practice).", "  ")
	} else {
		p.wrap(lawStatement(s.Law)+halogenTail(s, c), "  ")
	}
	fine := 0
	for _, group := range []fitment.Verdict{fitment.DoesNotFit, fitment.NeedsWork, fitment.Unknown, fitment.Fits} {
		for _, check := range s.Checks {
			if check.Verdict != group {
				continue
			}
			if group == fitment.Fits && !o.Full {
				fine++
				continue
			}
			p.check(check)
		}
	}
	if fine > 0 {
		p.line(fmt.Sprintf("%s fit; --full shows them.", plural(fine, "more check", "more checks")))
	}
	if len(s.ToMeasure) > 0 {
		p.blank()
		p.line("Before ordering, find out:")
		for _, m := range s.ToMeasure {
			p.item(measureText(m) + ". " + m.How)
		}
	}
	if len(s.After) > 0 {
		p.blank()
		p.line("After fitting, while it can still be sent back:")
		for _, text := range s.After {
			p.item(text)
		}
	}
	if o.Full {
		p.onTheRoad("On the road", s.Reach)
		p.cautions(s.Safety)
	} else {
		p.cautions(s.Safety[:min(2, len(s.Safety))])
	}
	p.invented(s.Catalog)
	return p.String()
}

func (p *page) check(f fitment.Finding) {
	text := fmt.Sprintf("%s: %s", gateWord(f.Check), gateWord(string(f.Verdict)))
	if f.Have != nil {
		text += "; has " + roundedText(*f.Have) + unitTail(f)
	}
	if f.Need != nil {
		text += "; needs " + roundedText(*f.Need) + unitTail(f)
	}
	p.wrap(text+". "+f.Why, "  ")
	if f.Fix != nil {
		p.wrap("  Fix: "+*f.Fix, "    ")
	}
	if f.Measure != nil && f.Verdict == fitment.Unknown && f.Owner == fitment.OwnerBulb {
		p.wrap("  For the tester: "+*f.Measure, "    ")
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

func halogenTail(s *recommend.FitSheet, c data.Catalog) string {
	if s.Halogen == "" {
		return ""
	}
	bulb, _ := c.Bulb(string(s.Halogen))
	return " Best halogen: " + bulb.Name + "."
}
