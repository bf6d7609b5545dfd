package reply_test

import (
	"slices"
	"strings"
	"testing"

	"stillbright/data/known"
	"stillbright/recommend/question"
	"stillbright/recommend/reply"
)

// TestUnsureNumberIsAskedBack: a number that the reader is unsure of and that changes what is named is left out and
// asked back with the words it came from; one that the reader is sure of is used.
func TestUnsureNumberIsAskedBack(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	reader := question.New(known.Words(), nil)
	tried := 0
	for _, text := range []string{
		"quiet on the dash, short body, under fifty, H11 projector low beam",
		"H11 projector low beam, motorway 2 hrs, then 30 mins of mountain pass",
		"H11 projector low beam, doing 85 on the interstate across west Texas, four hours",
	} {
		u, got := reader.Read(text), r.Reply(text)
		for slot, p := range u.Sure {
			if p >= 0.65 || len(u.Without(slot).Spans) == len(u.Spans) {
				continue
			}
			tried++
			asked := slices.ContainsFunc(got.AskBack, func(a reply.AskBack) bool {
				return string(a.Slot) == slot && strings.Contains(a.Question, "You wrote \""+u.Spans[slot][0].Text)
			})
			if used := len(got.Understood.Spans[slot]) > 0; used == asked {
				t.Errorf("%q: %s, sure %.2f, used %v, asked back %+v", text, slot, p, used, got.AskBack)
			}
		}
	}
	if tried == 0 {
		t.Fatal("the reader is sure of everything in these questions now: take others")
	}
	sure := r.Reply("H11 projector low beam, at most 50 USD a pair")
	if sure.Understood.Budget == nil {
		t.Error("a budget that is plainly said was left out")
	}
	for _, h := range sure.Heard {
		if h.Sure <= 0 || h.Sure > 1 {
			t.Errorf("%s: sure %v", h.Slot, h.Sure)
		}
	}
}
