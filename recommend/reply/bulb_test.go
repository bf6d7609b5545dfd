package reply_test

import (
	"slices"
	"testing"

	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend/reply"
)

// A question that names a bulb of the record is one about headlamps, whatever else
// it leaves out; one that names none of them stays none.
func TestReplyToANamedBulb(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	for text, want := range map[string]struct {
		asks     string
		commands []string
	}{
		"is the Ostermoor Flex any good":         {"pick", []string{"stillbright pick --size H11"}},
		"will the ostermoor s22 fit oskel hatch": {"fit", nil},         // the car's lamp, see below
		"pellarin line":                          {"pick", []string{}}, // it is made in several sizes
		"is the pellarin any good":               {"other", []string{}},
		"is the checkout line any good":          {"other", []string{}},
	} {
		reply := r.Reply(text)
		if reply.Asks[0] != want.asks {
			t.Errorf("%q asks %v, want %s", text, reply.Asks, want.asks)
		}
		if got := commands(reply); want.commands != nil && !slices.Equal(got, want.commands) {
			t.Errorf("%q: %q, want %q", text, got, want.commands)
		}
		if want.commands == nil && (reply.Understood.Car != "oskel-hatch" || len(reply.Lamps) != 1) {
			t.Errorf("%q: car %q, lamps %v", text, reply.Understood.Car, commands(reply))
		}
	}
}

// A name inside a longer one is not named by it; a name of several sizes names all.
func TestLongerNamesComeFirst(t *testing.T) {
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	demo.Bulbs[0].Name, demo.Bulbs[1].Name, demo.Bulbs[2].Name = "Testlo Flex Pro (H11)", "Testlo Flex (H11)", "Testlo Flex (H8)"
	r := reply.NewReplier(&k, &demo, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
	pro, flex, other := demo.Bulbs[0].ID, demo.Bulbs[1].ID, demo.Bulbs[2].ID
	for text, want := range map[string][]string{
		"is the testlo flex pro any good":         {pro},
		"is the testlo flex any good":             {flex, other},
		"testlo flex or testlo flex pro, for H11": {pro, flex, other},
	} {
		if got := r.Reply(text).Named; !slices.Equal(got, want) {
			t.Errorf("%q names %v, want %v", text, got, want)
		}
	}
}
