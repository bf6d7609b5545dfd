package answer

import (
	"fmt"
	"strings"

	"stillbright/recommend/reply"
)

// Replies is how a list of questions went, and what viewers ask for.
func Replies(s *reply.Replies) Document {
	p := new(page)
	text := fmt.Sprintf("%s, %d answered", plural(s.Rows, "row", "rows"), s.Answered)
	if s.BadRows > 0 {
		text += fmt.Sprintf(", %d bad", s.BadRows)
	}
	if s.Resumed > 0 {
		text += fmt.Sprintf("; %d of them by an earlier run", s.Resumed)
	}
	if s.To != "" {
		text += "; answers in " + string(s.To)
	}
	p.say(text)
	if s.Tally != nil {
		p.tally(s.Tally)
	}
	return p.doc
}

// mostTallyRows is how many lamps and places a tally shows; JSON has all.
const mostTallyRows = 12

func (p *page) tally(t *reply.Tally) {
	p.say(fmt.Sprintf("%s; %d not about headlamp bulbs, %d to buy or fit a bulb without its size", plural(t.Questions, "question", "questions"), t.OffTopic, t.NoSize))
	p.counts("asked first: ", t.Asks)
	p.counts("driving: ", t.Driving)
	if len(t.Lamps) > 0 {
		p.gap()
		table := Table{Head: []string{"lamp", "asked", "answered by a ranked LED", "LED ranked at all"}, Shrink: 0}
		for i, lamp := range t.Lamps {
			if i == mostTallyRows {
				break
			}
			housing := string(lamp.Housing)
			if housing == "" {
				housing = "(not said)"
			}
			table.add(lamp.Size+" "+housing, fmt.Sprint(lamp.Count), fmt.Sprint(lamp.Answered), yesNo(lamp.LEDRanked))
		}
		p.put(table)
		if more := len(t.Lamps) - mostTallyRows; more > 0 {
			p.say(fmt.Sprintf("%d more: --json", more))
		}
	}
	if len(t.Places) > 0 {
		p.gap()
		var places []string
		for i, place := range t.Places {
			if i == mostTallyRows {
				places = append(places, fmt.Sprintf("%d more", len(t.Places)-i))
				break
			}
			text := fmt.Sprintf("%s %d", place.Where, place.Count)
			if !place.LawKnown {
				text += " (no rule on file)"
			}
			places = append(places, text)
		}
		p.say("places: " + strings.Join(places, ", "))
	}
	p.gap()
	if len(t.TestNext) == 0 {
		p.say("Every lamp asked for has a ranked LED.")
	}
	for i, next := range t.TestNext {
		if i == 0 {
			p.say("To test next, most wanted first:")
		}
		if i == mostTallyRows {
			p.item(fmt.Sprintf("%d more: --json", len(t.TestNext)-i))
			break
		}
		p.item(fmt.Sprintf("%s in a %s, asked for %s: %s", next.Size, next.Housing, demandText(next.Demand), next.Why))
	}
	p.invented(t.Catalog)
}

// demandText is a count, or about one where lamps of unsaid housing were shared
// out.
func demandText(demand float64) string {
	times := "times"
	if demand == 1 {
		times = "time"
	}
	if demand == float64(int(demand)) {
		return fmt.Sprintf("%d %s", int(demand), times)
	}
	return fmt.Sprintf("about %s times", whole(demand))
}

func (p *page) counts(label string, list []reply.TallyCount) {
	if len(list) == 0 {
		return
	}
	var texts []string
	for _, c := range list {
		texts = append(texts, fmt.Sprintf("%s %d", c.Name, c.Count))
	}
	p.say(label + strings.Join(texts, ", "))
}

func yesNo(yes bool) string {
	if yes {
		return "yes"
	}
	return "no"
}
