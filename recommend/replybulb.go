package recommend

import (
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/question"
)

// bulbPhrase is the name of a bulb as a question would hold it.
type bulbPhrase struct {
	words    string // between spaces
	id, size string
}

// bulbPhrases are the names of the catalog's bulbs without the size in brackets. A
// single word is no name: it may mean anything.
func bulbPhrases(c *data.Catalog) []bulbPhrase {
	var list []bulbPhrase
	for _, bulb := range c.Bulbs {
		name, _, _ := strings.Cut(bulb.Name, "(")
		if own := wordsOf(name); len(own) > 1 {
			list = append(list, bulbPhrase{" " + strings.Join(own, " ") + " ", bulb.ID, bulb.Size})
		}
	}
	return list
}

// named are the bulbs of the catalog that a text names.
func (r *Replier) named(words said) []bulbPhrase {
	text := " " + strings.Join(words, " ") + " "
	var list []bulbPhrase
	for _, bulb := range r.bulbs() {
		if strings.Contains(text, bulb.words) {
			list = append(list, bulb)
		}
	}
	return list
}

// readNamed reads a text that says nothing of lamps and names a bulb of the
// catalog, which is a question about headlamps all the same.
func (r *Replier) readNamed(text string, words said, u question.Understood) question.Understood {
	const topic = " bulb"
	named := r.named(words)
	if len(named) == 0 || len(text)+len(topic) > MaxQuestion {
		return u
	}
	size := named[0].size
	if slices.ContainsFunc(named, func(b bulbPhrase) bool { return b.size != size }) {
		size = "" // it is made in several
	}
	u = r.reader.Read(text + topic)
	if slices.Equal(u.Asks, []string{"other"}) {
		u.Asks = []string{"pick"}
	}
	if u.Car == "" && len(u.Lamps) == 0 && size != "" {
		u.Lamps = []question.Lamp{{Size: question.Name(size)}}
	}
	return u
}
