package reply

import (
	"fmt"
	"slices"

	"stillbright/recommend/need"
	"stillbright/recommend/question"
)

// useFrom is how sure the reader must be of a number that changes the answer: below it the number is asked back
// instead of used. A wrong number costs a wrong recommendation, a missing one a question; on labelled questions left
// out of the training the least loss, a wrong one counted three times, lies at 0.6 to 0.7.
const useFrom = 0.65

// doubt leaves out what the reader is unsure of and what would change the answer. It gives what is left and what to
// ask back of the rest.
func (r *Replier) doubt(u question.Understood, words said) (question.Understood, []AskBack) {
	var asked []AskBack
	var unsure []string
	for slot, p := range u.Sure {
		if p < useFrom && len(u.Without(slot).Spans) < len(u.Spans) {
			unsure = append(unsure, slot)
		}
	}
	slices.Sort(unsure)
	for _, slot := range unsure {
		without := u.Without(slot)
		if r.namedFor(u, words) == r.namedFor(without, words) {
			continue
		}
		text := ""
		if spans := u.Spans[slot]; len(spans) > 0 {
			text = tidy(spans[0].Text)
		}
		asked = append(asked, AskBack{need.Slot(slot), fmt.Sprintf("You wrote \"%s\": I was not sure what it is. %s", text, need.Of(need.Slot(slot)).Ask), wholeScore * (1 - u.Sure[slot])})
		u = without
	}
	return u, asked
}

// namedFor is what is named for each lamp, in a row.
func (r *Replier) namedFor(u question.Understood, words said) string {
	needs, _ := r.needs(u, words)
	all := ""
	for _, n := range needs {
		if lamp := r.decide(n); lamp.Pick != nil {
			all += string(lamp.Pick.Answer.Kind) + " " + string(lamp.Pick.Answer.Bulb) + "; "
		} else {
			all += "; "
		}
	}
	return all
}
