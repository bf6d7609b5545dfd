package answer

import "stillbright/recommend"

// onTheRoad is what the light of a bulb means on the road: reach, stopping and
// glare, in the sentences of the document.
func (p *page) onTheRoad(title string, r recommend.Reach) {
	if len(r.Says) == 0 {
		return
	}
	p.part(title)
	for _, sentence := range r.Says {
		p.item(sentence)
	}
}

// cautions are all that apply, one item each.
func (p *page) cautions(texts []string) {
	if len(texts) == 0 {
		return
	}
	p.part("Cautions")
	for _, text := range texts {
		p.item(text)
	}
}

// leader is the bulb to speak of: the one to buy, else the first in the ranking.
func leader(d *recommend.Pick) recommend.Ranked {
	if r := bulbOf(d, string(d.Answer.Bulb)); r.Bulb != "" || len(d.Ranked) == 0 {
		return r
	}
	return d.Ranked[0]
}
