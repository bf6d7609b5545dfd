package question

import (
	"strings"

	"stillbright/data"
)

// CarName is a car of the user's garage. Lamps are its bulb sizes, canonical; they tell two cars of one name apart.
type CarName struct {
	ID    string
	Name  string
	Lamps []string
}

// carWords is a car with its names cut into words.
type carWords struct {
	id    string
	names [][]string
	lamps []string
}

func prepareCars(cars []CarName) []carWords {
	var out []carWords
	for _, c := range cars {
		w := carWords{id: c.ID, lamps: c.Lamps}
		for _, name := range []string{c.Name, c.ID} {
			if steps := stepsOf(strings.NewReplacer("-", " ", "_", " ", "~", " ", "#", " ").Replace(name)); len(steps) > 0 {
				w.names = append(w.names, steps)
			}
		}
		out = append(out, w)
	}
	return out
}

// shortestCar is the least length of a name's first word that is recognised alone or with a slip.
const shortestCar = 4

// readCar recognises a car of the garage. A second car that fits as well, or a word of the name that the question
// contradicts (another year, another number), leaves the slot empty: a wrong car is the worst answer.
func (r *reading) readCar() {
	best, bestScore, tie := -1, 0, false
	var from, to int
	for c := range r.cars {
		score, a, b := 0, 0, 0
		for _, name := range r.cars[c].names {
			if s, x, y := r.nameScore(name); s > score {
				score, a, b = s, x, y
			}
		}
		if score == 0 {
			continue
		}
		score = score*2 + r.sharedSizes(r.cars[c].lamps)
		switch {
		case score > bestScore:
			best, bestScore, tie, from, to = c, score, false, a, b
		case score == bestScore:
			tie = true
		}
	}
	if best >= 0 && !tie {
		r.out.Car = Name(r.cars[best].id)
		r.keep("car", from, to)
	}
}

// sharedSizes is 1 if a size of the question is one of the car's, else 0.
func (r *reading) sharedSizes(lamps []string) int {
	for _, s := range r.sizes {
		for _, l := range lamps {
			if l == s.size {
				return 1
			}
		}
	}
	return 0
}

// nameScore looks for a name in the question: its first word (exactly, or with one slip if it is long), then as many
// of the others as follow in order. It is 4 for an exact first word, 2 for a slip, 4 more for each further word.
func (r *reading) nameScore(name []string) (score, from, to int) {
	for i := range r.toks {
		t := &r.toks[i]
		if t.kind != word && t.kind != number || t.taken {
			continue
		}
		s := 0
		switch {
		case t.text == name[0]:
			s = 4
		case len(name[0]) >= shortestMend && data.OneSlip(t.text, name[0]) && !r.words.known(t.text):
			s = 2
		default:
			continue
		}
		k, end, more := i+1, i+1, 0
		for _, part := range name[1:] {
			if k < len(r.toks) && r.toks[k].text == part {
				more, k = more+1, k+1
				end = k
			} else if k+1 < len(r.toks) && r.toks[k+1].text == part && r.toks[k].kind == word {
				more, k = more+1, k+2
				end = k
			} else if digit(part[0]) && k < len(r.toks) && r.toks[k].kind == number && !r.toks[k].taken && len(r.toks[k].text) == len(part) {
				s = 0 // another number in the same place: another car
			}
		}
		if s == 0 || r.otherYear(name) || more == 0 && (len(name[0]) < shortestCar || digit(name[0][0])) {
			continue
		}
		if s+4*more > score {
			score, from, to = s+4*more, i, end
		}
	}
	return score, from, to
}

// otherYear says whether the question names a model year, and the name another one.
func (r *reading) otherYear(name []string) bool {
	own, asked := "", false
	for _, part := range name {
		if isYear(part) {
			own = part
		}
	}
	for i := range r.toks {
		if t := &r.toks[i]; own != "" && t.kind == number && isYear(t.text) {
			if t.text == own {
				return false
			}
			asked = true
		}
	}
	return asked
}

// known says whether the words use this word in any phrase.
func (l *lexicon) known(text string) bool { return l.words[text] != 0 }
