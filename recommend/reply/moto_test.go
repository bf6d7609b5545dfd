package reply_test

import (
	"slices"
	"strings"
	"testing"

	"stillbright/recommend/answer"
	"stillbright/recommend/reply"
)

// TestMotorcycleOnAlternatingCurrent: the feed is taken from the question, the
// answer says what the record cannot, and no car is supposed.
func TestMotorcycleOnAlternatingCurrent(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	got := r.Reply("h4 led for my motorbike, ac lighting")
	if len(got.Lamps) != 1 || got.Lamps[0].Need.Polarity != "ac" {
		t.Fatalf("lamps %+v, want one fed with ac", got.Lamps)
	}
	if !slices.ContainsFunc(got.Facts, func(f reply.ReplyFact) bool { return f.ID == "motorcycle" }) {
		t.Errorf("facts %v say nothing of motorcycles", got.Facts)
	}
	if text := answer.ReplyText(&got, "full"); strings.Contains(text, "12 V car") {
		t.Errorf("a car is supposed in:\n%s", text)
	}
	for _, q := range []string{"h4 led for my car", "h4 led, the ac of my car is broken"} {
		if got := r.Reply(q).Lamps[0].Need.Polarity; got != "" {
			t.Errorf("%q: polarity %q", q, got)
		}
	}
}

// TestDangerIsOnTopic: dazzle, law and heat are what the program is about.
func TestDangerIsOnTopic(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	for _, q := range []string{"are led bulbs dangerous", "is it safe to put led bulbs in my headlights"} {
		got := r.Reply(q)
		if !slices.ContainsFunc(got.Facts, func(f reply.ReplyFact) bool { return f.ID == "danger" }) {
			t.Errorf("%q: facts %v", q, got.Facts)
		}
	}
	if got := r.Reply("is it dangerous to swim in the sea"); len(got.Facts) > 0 {
		t.Errorf("off topic, and answered: %v", got.Facts)
	}
}

// TestSizeIsAskedFirst: where nothing is known, the size decides, in every style.
func TestSizeIsAskedFirst(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	got := r.Reply("my headlights are crap what should i buy")
	if len(got.AskBack) == 0 || got.AskBack[0].Slot != "size" {
		t.Fatalf("asks %v, want the size first", got.AskBack)
	}
	for _, style := range answer.ReplyStyles() {
		text := answer.ReplyText(&got, style)
		if n := strings.Count(text, "Which bulb size?"); n != 1 {
			t.Errorf("%s: the size is asked %d times:\n%s", style, n, text)
		}
		size, money := strings.Index(text, "Which bulb size?"), strings.Index(text, "most you would pay")
		if money >= 0 && money < size {
			t.Errorf("%s: money before the size:\n%s", style, text)
		}
	}
}
