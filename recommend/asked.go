package recommend

import (
	"cmp"
	"slices"

	"stillbright/data"
	"stillbright/recommend/need"
	"stillbright/recommend/sure"
)

// NextQuestion is the open question whose answer is worth most.
type NextQuestion struct {
	Slot     need.Slot `json:"slot" doc:"what to ask"`
	Question string    `json:"question" doc:"in words"`
	Worth    float64   `json:"worth" min:"0" doc:"what the answer is worth on average, in points of the score; at least the share of plausible answers that change the pick"`
}

// Questions lists the open slots whose answer can change the pick, the one worth
// most first.
func Questions(k *Knowledge, c *data.Catalog, n Need) []NextQuestion {
	return questionsOf(k, c, n, need.Asked(), &memory{})
}

// nextQuestion is the first of Questions, nil without one.
func nextQuestion(k *Knowledge, c *data.Catalog, n Need, seen *memory) *NextQuestion {
	list := questionsOf(k, c, n, need.Asked(), seen)
	if len(list) == 0 {
		return nil
	}
	return &list[0]
}

// Worth is what the answer to a slot is worth, as in NextQuestion; 0 when the
// slot is filled or its answer cannot change the pick.
func Worth(k *Knowledge, c *data.Catalog, n Need, s need.Slot) float64 {
	for _, q := range questionsOf(k, c, n, []*need.Fact{need.Of(s)}, &memory{}) {
		return q.Worth
	}
	return 0
}

func questionsOf(k *Knowledge, c *data.Catalog, n Need, facts []*need.Fact, seen *memory) []NextQuestion {
	list := []NextQuestion{}
	lean := func(n Need) (Pick, bool) {
		pick, err := decide(k, c, n, Options{memory: seen}, false)
		return pick, err == nil
	}
	base, ok := lean(n)
	if !ok {
		return list
	}
	var asked []sure.Question
	for _, f := range facts {
		answers := plausible(c, n, f)
		if len(answers) == 0 || !f.Open(n) {
			continue
		}
		q := sure.Question{Slot: string(f.Slot)}
		for _, other := range answers {
			if pick, ok := lean(other.need); ok {
				q.Answers = append(q.Answers, sure.Answer{Chance: other.chance, Ranking: standingsOf(&pick)})
			}
		}
		asked = append(asked, q)
	}
	values, err := sure.Worth(standingsOf(&base)[0].ID, asked)
	if err != nil {
		return list
	}
	for _, v := range values {
		if v.Changes > 0 {
			slot := need.Slot(v.Slot)
			list = append(list, NextQuestion{slot, need.Of(slot).Ask, max(v.Gain, v.Changes)})
		}
	}
	// A change that gains nothing by the score, such as from a bulb to the halogens
	// that it cannot be told from, still changes the advice: hence the maximum.
	slices.SortStableFunc(list, func(a, b NextQuestion) int { return -cmp.Compare(a.Worth, b.Worth) })
	return list
}

// standingsOf is who could be named, the answer first; stock is always in it.
func standingsOf(pick *Pick) []sure.Ranked {
	list := []sure.Ranked{{ID: StockID, Score: pick.Stock.Score}}
	for _, r := range pick.Ranked {
		if r.Bulb == string(pick.Answer.Bulb) {
			list = slices.Insert(list, 0, sure.Ranked{ID: r.Bulb, Score: r.Score})
		} else {
			list = append(list, sure.Ranked{ID: r.Bulb, Score: r.Score})
		}
	}
	return list
}
