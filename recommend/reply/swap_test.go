package reply_test

import (
	"fmt"
	"strings"
	"testing"

	"stillbright/data/known"
	"stillbright/recommend/reply"
)

// TestSwapNamesBulbAndLamp: a reason recorded at one size is a reason against
// another bulb in a lamp of that size, so every reply has to say which is which,
// however the question puts it.
func TestSwapNamesBulbAndLamp(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	asked := 0
	for _, lamp := range known.Sizes() {
		for _, similar := range lamp.SimilarNotSame {
			want := fmt.Sprintf("%s in a lamp for %s: ", similar.Size, lamp.Category)
			for _, form := range []string{"can I use %[1]s bulbs in a %[2]s socket", "can I replace %[2]s with %[1]s"} {
				question := fmt.Sprintf(form, similar.Size, lamp.Category)
				for _, fact := range r.Reply(question).Facts {
					if !strings.HasPrefix(fact.ID, "swap-") {
						continue
					}
					asked++
					at := strings.Index(fact.Text, want)
					if at < 0 {
						t.Errorf("%q: %q does not say %q", question, fact.Text, want)
						continue
					}
					if rest := strings.TrimPrefix(fact.Text[at+len(want):], "no, "); !strings.HasPrefix(rest, similar.Why) {
						t.Errorf("%q: %q gives another reason than %q", question, fact.Text, similar.Why)
					}
				}
			}
		}
	}
	if asked < 40 {
		t.Errorf("only %d replies spoke of a swap", asked)
	}
}
