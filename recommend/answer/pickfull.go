package answer

import (
	"fmt"
	"strings"

	"stillbright/recommend"
	"stillbright/recommend/need"
)

// pickFull is everything behind the short answer.
func (p *page) pickFull(d *recommend.Pick) {
	p.part("The need")
	p.item(need.Sentence(d.Need))
	for _, note := range d.Notes {
		p.item(note)
	}
	p.part("The law")
	p.item(lawNote(d.Law))
	if d.Law.Source != "" {
		p.item("Source: " + string(d.Law.Source))
	}
	p.item("Local code and licensed practice decide. This is not legal advice.")
	if len(d.Ranked) > 0 {
		p.part("Ranked, with the reasons")
		for i, r := range d.Ranked {
			p.rankedFull(i+1, r)
		}
	}
	if r := leader(d); r.Bulb != "" {
		p.onTheRoad("On the road with "+r.Name, r.Reach)
	}
	p.whatIf(d)
	p.priorities(recommend.Priorities(d), d.Need, nil)
	if len(d.MeasureFirst) > 0 {
		p.part("A fact about the bulb is missing (for the tester to measure)")
		for _, r := range d.MeasureFirst {
			p.item(fmt.Sprintf("%s: %s; evidence %s", r.Name, hotText(r.Hot), evidenceWord(r.Evidence)))
			for _, m := range r.Missing {
				p.under(m.What + ": " + m.How)
			}
		}
	}
	if len(d.SetAside) > 0 {
		p.part("Set aside")
		for _, s := range d.SetAside {
			for _, reason := range s.Because {
				p.item(fmt.Sprintf("%s: %s: %s", s.Name, gateWord(reason.Check), reason.Why))
			}
		}
	}
	p.part("Before buying any bulb")
	for _, b := range d.Before {
		p.item(b.Text)
	}
	p.cautions(d.Safety)
}

func (p *page) rankedFull(place int, r recommend.Ranked) {
	p.item(fmt.Sprintf("%d %s: output %s, pattern %s, heat %s; %s; %s", place, r.Name,
		fixed(r.Parts.Output, 2), fixed(r.Parts.Pattern, 2), fixed(r.Parts.Heat, 2), evidenceWord(r.Evidence), r.Glare.Why))
	if r.OutputWhy != "" {
		p.under(r.OutputWhy)
	}
	if len(r.TieWith) > 0 {
		p.under("cannot be told from: " + strings.Join(r.TieWith, ", "))
	}
	if r.Firm.Noise != nil {
		p.under(fmt.Sprintf("first in %.0f %% of draws; first over %s of the weights near yours and %s of all weights",
			100**r.Firm.Noise, orDash(r.Firm.Near, share), orDash(r.Firm.All, share)))
	}
	for _, check := range r.Fit.Checks {
		if check.Verdict != "fits" {
			p.under(fmt.Sprintf("%s: %s: %s", gateWord(check.Check), gateWord(string(check.Verdict)), check.Why))
		}
	}
	for _, caution := range r.Cautions {
		p.under(caution)
	}
}

// whatIf is what would change the answer, and what is worth asking.
func (p *page) whatIf(d *recommend.Pick) {
	if len(d.Flips) > 0 {
		p.part("What would change the answer")
	}
	for _, flip := range d.Flips {
		p.item(flip.Text)
	}
	if q := d.NextQuestion; q != nil {
		p.part("Worth asking next")
		flag := "--" + need.Of(q.Slot).Flag
		p.put(Question{Text: plainText(fmt.Sprintf("%s %s (worth %s points of the score on average)", q.Question, flag, significant(q.Worth, 2))), Flag: flag})
	}
}

// priorities is who is first at which weights, as a small triangle and a table.
func (p *page) priorities(list []recommend.Priority, n recommend.Need, letters map[string]string) {
	if len(list) < 2 {
		return
	}
	p.part("First by score, over all weights (shares of weights, not chances)")
	p.put(Picture{Of: trianglePlain{list, n, letters}, Alt: triangleLine(leaders(list), n), Indent: 2})
	p.item("* your weights: light " + weightText(n.Weights.Output) + ", pattern " + weightText(n.Weights.Pattern) + ", heat " + weightText(n.Weights.Heat))
	p.put(priorityTable(list, n.Size, letters))
}

func share(value float64) string { return fixed(100*value, 0) + " %" }

func evidenceWord(evidence string) string {
	switch evidence {
	case recommend.EvidenceLike:
		return "tested in a lamp like yours"
	case recommend.EvidenceSibling:
		return "only another size of it was tested"
	case recommend.EvidenceOther:
		return "tested in the other housing only"
	}
	return "not tested"
}
