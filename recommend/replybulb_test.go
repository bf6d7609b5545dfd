package recommend_test

import (
	"slices"
	"testing"

	"stillbright/recommend"
)

// A question that names a bulb of the record is one about headlamps, whatever else
// it leaves out; one that names none of them stays none.
func TestReplyToANamedBulb(t *testing.T) {
	r := replier(recommend.ReplyOptions{})
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
