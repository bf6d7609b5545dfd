package sure

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Question is something not known of the owner or the car.
type Question struct {
	Slot    string   // what would be asked
	Answers []Answer // the plausible answers
}

// Answer is one plausible answer and the decision that follows from it.
type Answer struct {
	Chance float64 // how plausible, relative to the other answers, 0 to 1e6
	// Ranking holds the candidates that remain under this answer, the best first.
	Ranking []Ranked
}

// Ranked is a candidate with its score under an answer, usually 0..100.
type Ranked struct {
	ID    string
	Score float64
}

// Value says what asking a question is worth.
type Value struct {
	Slot string
	// Changes is the share of the plausible answers, weighted by their chance,
	// that change the pick, 0..1.
	Changes float64
	// Gain is what the answer is worth on average, in units of the score: the
	// score of the pick made knowing the answer, less that of the pick made now.
	// A pick that the answer rules out scores zero.
	Gain float64
}

// Worth returns the questions by what their answers could change, the largest
// gain first: two bulbs that are nearly equal are not worth a question, however
// often they change places. now is the pick made without an answer, empty if
// none. A question without an answer of positive chance is worth nothing.
//
// Changes and Gain are as good as the chances given; these are plausible guesses
// and no more.
func Worth(now string, questions []Question) ([]Value, error) {
	out := make([]Value, 0, len(questions))
	for _, q := range questions {
		v := Value{Slot: q.Slot}
		total := 0.0
		for i, a := range q.Answers {
			if !(a.Chance >= 0 && a.Chance <= 1e6) {
				return nil, fmt.Errorf("chance of answer %d to %s: %g, legal: 0 to 1e6", i+1, q.Slot, a.Chance)
			}
			pick, best, held := "", 0.0, 0.0
			for k, r := range a.Ranking {
				if !(math.Abs(r.Score) <= 1e6) {
					return nil, fmt.Errorf("score of %s under answer %d to %s: %g, legal: -1e6 to 1e6", r.ID, i+1, q.Slot, r.Score)
				}
				if k == 0 {
					pick, best = r.ID, r.Score
				}
				if r.ID == now {
					held = r.Score
				}
			}
			total += a.Chance
			if pick != now {
				v.Changes += a.Chance
				v.Gain += a.Chance * max(0, best-held)
			}
		}
		if total > 0 {
			v.Changes, v.Gain = v.Changes/total, v.Gain/total
		}
		out = append(out, v)
	}
	slices.SortStableFunc(out, func(a, b Value) int {
		return cmp.Or(cmp.Compare(b.Gain, a.Gain), cmp.Compare(b.Changes, a.Changes), cmp.Compare(a.Slot, b.Slot))
	})
	return out, nil
}
