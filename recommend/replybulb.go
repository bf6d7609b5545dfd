package recommend

import (
	"slices"
	"strings"

	"stillbright/recommend/question"
)

// namedBulb is the size of a bulb of the catalog that a text names, and whether it
// names one. A name counts from two words on, without the size in brackets; the
// size is empty where bulbs of several sizes have the name.
func (r *Replier) namedBulb(words said) (size string, named bool) {
	text := " " + strings.Join(words, " ") + " "
	for _, bulb := range r.catalog.Bulbs {
		name, _, _ := strings.Cut(bulb.Name, "(")
		own := wordsOf(name)
		if len(own) < 2 || !strings.Contains(text, " "+strings.Join(own, " ")+" ") {
			continue
		}
		if named && size != bulb.Size {
			return "", true
		}
		size, named = bulb.Size, true
	}
	return size, named
}

// readNamed reads a text that says nothing of lamps and names a bulb of the
// catalog, which is a question about headlamps all the same.
func (r *Replier) readNamed(text string, words said, u question.Understood) question.Understood {
	const topic = " bulb"
	size, named := r.namedBulb(words)
	if !named || len(text)+len(topic) > MaxQuestion {
		return u
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
