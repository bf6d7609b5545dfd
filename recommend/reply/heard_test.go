package reply_test

import (
	"reflect"
	"strings"
	"testing"

	facts "stillbright/recommend/need"
	"stillbright/recommend/question"
	"stillbright/recommend/reply"
)

// TestEveryFactIsHeard: what a person says of each fact arrives in the need, as it
// is typed. The facts that no reader of plain words takes are named with the reason.
func TestEveryFactIsHeard(t *testing.T) {
	said := map[string][2]string{ // flag: the words, and what is typed
		"size": {"which LED for H7?", "H7"}, "beam": {"which H7 high beam?", "high"}, "housing": {"which H7 projector?", "projector"},
		"driving": {"which H7 for unlit country roads in rain?", "rural,rain"}, "car": {"which LED for my Lyra 500 twin?", "lyra-500"},
		"trip": {"which H7, 45 minute drive?", "45min"}, "speed": {"which H7, I drive 90 km/h?", "90km/h"},
		"climate": {"which H7 for hot desert summers?", "hot"}, "budget": {"which H7 under 60 USD a pair?", "60USD"},
		"per": {"which H7 under 60 USD each?", "each"}, "rear-clearance": {"which H7, 55 mm behind the bulb?", "55mm"},
		"driver": {"which H7, driver must be internal?", "internal"}, "canbus": {"which H7? The dash says bulb out", "true"},
		"polarity": {"which H4, magneto with AC at the lamp?", "ac"}, "volts": {"which H7 for my 24V lorry?", "28V"},
		"plug-and-play": {"which H7, plug and play?", "true"}, "cct": {"which H7 around 4300K?", "4300K"}, "where": {"which H7 in Germany?", "DE"},
	}
	unheard := map[string]string{
		"front-clearance": "owners speak of the room behind",
		"weights":         "they follow from the driving",
		"halogens":        "no reader takes the age of the bulbs that are in",
		"lens":            "no reader takes the state of the lens",
	}
	r := replier(reply.ReplyOptions{})
	for _, f := range facts.Facts() {
		words, ok := said[f.Flag]
		if !ok {
			if unheard[f.Flag] == "" {
				t.Errorf("--%s: no words to try", f.Flag)
			}
			continue
		}
		reply := r.Reply(words[0])
		if len(reply.Lamps) != 1 {
			t.Errorf("%q: %d lamps", words[0], len(reply.Lamps))
			continue
		}
		want := "--" + f.Flag + " " + words[1]
		if f.Kind == facts.OfWish {
			want = "--" + f.Flag
		}
		if command := reply.Lamps[0].Command; !strings.Contains(command+" ", " "+want+" ") {
			t.Errorf("%q gives %q, want %s in it", words[0], command, want)
		}
	}
}

// TestEverySlotOfTheReaderIsAFact: what the reader of questions fills, beside the
// lamps and the car's name, is a fact of the need under the same key.
func TestEverySlotOfTheReaderIsAFact(t *testing.T) {
	of := reflect.TypeFor[question.Understood]()
	for i := range of.NumField() {
		switch key := of.Field(i).Tag.Get("json"); key {
		case "lamps", "car", "-":
		default:
			if facts.Of(facts.Slot(key)) == nil {
				t.Errorf("%s: no fact of the need", key)
			}
		}
	}
}
