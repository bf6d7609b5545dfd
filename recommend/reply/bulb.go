package reply

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

// bulbPhrases are the names of the catalog's bulbs without the size in brackets, the
// longest first. A single word is no name: it may mean anything.
func bulbPhrases(c *data.Catalog) []bulbPhrase {
	var list []bulbPhrase
	for _, bulb := range c.Bulbs {
		name, _, _ := strings.Cut(bulb.Name, "(")
		if own := wordsOf(name); len(own) > 1 {
			list = append(list, bulbPhrase{" " + strings.Join(own, " ") + " ", bulb.ID, bulb.Size})
		}
	}
	slices.SortStableFunc(list, func(a, b bulbPhrase) int { return len(b.words) - len(a.words) })
	return list
}

// named are the bulbs of the catalog that a text names. A name that stands only
// inside a longer one is not named.
func (r *Replier) named(words said) []bulbPhrase {
	left := " " + strings.Join(words, " ") + " "
	var list []bulbPhrase
	for _, bulb := range r.bulbs() {
		again := len(list) > 0 && list[len(list)-1].words == bulb.words // the same in another size
		if again || strings.Contains(left, bulb.words) {
			list = append(list, bulb)
			left = strings.ReplaceAll(left, bulb.words, " , ")
		}
	}
	return list
}

// readNamed reads a text that says nothing of lamps and names a bulb of the
// catalog, which is a question about headlamps all the same.
func (r *Replier) readNamed(text string, named []bulbPhrase, u question.Understood) question.Understood {
	const topic = " bulb"
	if len(named) == 0 || len(text)+len(topic) > MaxQuestion {
		return u
	}
	size := named[0].size
	if slices.ContainsFunc(named, func(b bulbPhrase) bool { return b.size != size }) {
		size = "" // it is made in several
	}
	u = r.reader.Read(text + topic)
	if u.Asks[0] == "other" {
		u.Asks = []string{"pick"}
	}
	if u.Car == "" && len(u.Lamps) == 0 && size != "" {
		u.Lamps = []question.Lamp{{Size: question.Name(size)}}
	}
	return u
}
