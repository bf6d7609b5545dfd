package answer_test

import (
	"strings"
	"testing"

	"stillbright/recommend/answer"
)

// Whoever asks about a bulb hears about that bulb, in every style: its figure, or
// why it is set aside, or what is missing.
func TestNamedBulbIsSpokenOf(t *testing.T) {
	r := demoReplier()
	for question, want := range map[string]string{
		"is the ostermoor flex any good":                          "Ostermoor Flex: 1.1 times the light of your halogen after 30 min",
		"brenmark solar or ostermoor s22 for h11 projector lows?": "Brenmark Solar is set aside. Dazzles: 2.4 times",
		"Immerset Tower h11 projector, worth it?":                 "To judge Immerset Tower, one thing has to be known first: the room behind your lamp",
		"ostermoor s22 for h11 projector lows?":                   "est measured: Ostermoor S22",
		"does the brenmark solar h11 dazzle?":                     "Brenmark Solar is set aside. Dazzles",
	} {
		reply := r.Reply(question)
		for _, style := range answer.ReplyStyles() {
			text := strings.ReplaceAll(answer.ReplyText(&reply, style), "low beam: Ostermoor S22", "low beam: fit Ostermoor S22") // a comment is shorter
			if !strings.Contains(text, want) {
				t.Errorf("%q, %s: no %q in\n%s", question, style, want, text)
			}
			if !strings.Contains(text, "not allowed on public roads") {
				t.Errorf("%q, %s: a bulb is spoken of without the law in\n%s", question, style, text)
			}
		}
	}
	for question, want := range map[string]int{"which h11 for my projectors": 0, "ostermoor flex, h11": 1} {
		if reply := r.Reply(question); len(reply.Named) != want {
			t.Errorf("%q names %v", question, reply.Named)
		}
	}
}
