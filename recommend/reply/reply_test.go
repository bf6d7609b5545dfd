package reply_test

import (
	"encoding/json"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/reply"
)

func replier(options reply.ReplyOptions) *reply.Replier {
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	k.Replies = known.Replies()
	options.Today, options.Seed = "2026-11-25", 1
	return reply.NewReplier(&k, &demo, known.Words(), options)
}

func commands(r reply.Reply) []string {
	list := []string{}
	for _, lamp := range r.Lamps {
		list = append(list, lamp.Command)
	}
	return list
}

// TestReplyNeeds: one decision for each lamp, with everything that was said.
func TestReplyNeeds(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	for question, want := range map[string][]string{
		"low H11 high 9005, both projector, highway, 70 mph, 40 min each way": {
			"stillbright pick --size H11 --beam low --housing projector --driving highway --trip 40min --speed 112.65km/h",
			"stillbright pick --size HB3 --beam high --housing projector --driving highway --trip 40min --speed 112.65km/h"},
		"H7 dipped reflector under 60 quid a pair, 55 mm behind, dash says bulb out, plug and play": {
			"stillbright pick --size H7 --beam low --housing reflector --budget 60GBP --per pair --rear-clearance 55mm --canbus true --plug-and-play"},
		"H7, H7 and H7":                     {"stillbright pick --size H7"},
		"which LED for my Lyra 500 twin":    {"stillbright pick --car lyra-500 --size H4 --beam both --housing reflector --climate mild --rear-clearance 58mm --front-clearance 60mm --polarity ac --volts 13V --where US-CA"},
		"H11 high beam projector which LED": {"stillbright pick --size H11 --housing projector"}, // H11 serves low and fog
		"which LED?":                        {},
		"24v lorry, H7 low, projector":      {"stillbright pick --size H7 --beam low --housing projector --volts 28V"},
		"H4 reflector, 12V AC magneto":      {"stillbright pick --size H4 --housing reflector --polarity ac"},
	} {
		reply := r.Reply(question)
		if got := commands(reply); !slices.Equal(got, want) {
			t.Errorf("%q:\n%q, want\n%q", question, got, want)
		}
	}
	if reply := r.Reply("H11 high beam projector which LED"); !slices.ContainsFunc(reply.Notes, func(n string) bool { return strings.Contains(n, "H11 is not known as a bulb for high beam") }) {
		t.Errorf("notes %q", reply.Notes)
	}
	if reply := r.Reply("which LED for D2S projector low beam"); len(reply.Lamps) != 1 || reply.Lamps[0].Pick != nil || !strings.Contains(string(reply.Lamps[0].Problem), "discharge lamp") {
		t.Errorf("a discharge lamp gives %+v", reply.Lamps)
	}
}

// TestReplyOverride: flags replace what was understood, the size only where it is
// clear whose it is.
func TestReplyOverride(t *testing.T) {
	r := replier(reply.ReplyOptions{Override: func(n *recommend.Need, alone bool) {
		n.TripMin = 50
		if alone || n.Size == "" {
			n.Size = "H4"
		}
	}})
	for question, want := range map[string][]string{
		"H7 low beam, 20 min drive":  {"stillbright pick --size H4 --beam low --trip 50min"},
		"low H11 high 9005":          {"stillbright pick --size H11 --beam low --trip 50min", "stillbright pick --size HB3 --beam high --trip 50min"},
		"which LED for a projector?": {"stillbright pick --size H4 --housing projector --trip 50min"},
	} {
		if got := commands(r.Reply(question)); !slices.Equal(got, want) {
			t.Errorf("%q: %q, want %q", question, got, want)
		}
	}
	reply := r.Reply("H7 low beam, 20 min drive")
	if *reply.Understood.TripMin != 20 {
		t.Errorf("understood %v min: flags change the need, not what was understood", *reply.Understood.TripMin)
	}
}

// TestAskBack: at most two things, those worth most by Questions; nothing that was
// said; only what matters for what is asked.
func TestAskBack(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	k, demo := knowntest.Knowledge(), knowntest.Demo()
	for _, question := range []string{"which H7 for unlit roads?", "which H11 projector low beam, motorway 40 min?", "H4 reflector, which LED?"} {
		reply := r.Reply(question)
		need := reply.Lamps[0].Pick.Need
		var size, housing, driving = need.Size, need.Housing, need.Driving
		open := recommend.Need{Size: size, Housing: housing, Driving: driving}
		for _, lamp := range reply.Understood.Lamps {
			open.Beam = string(lamp.Beam)
		}
		if reply.Understood.TripMin != nil {
			open.TripMin = *reply.Understood.TripMin
		}
		worth := map[string]float64{}
		var best float64
		for _, q := range recommend.Questions(&k, &demo, open) {
			if q.Slot != "plug_and_play" {
				worth[string(q.Slot)] = q.Worth
				best = max(best, q.Worth)
			}
		}
		if len(reply.AskBack) > 2 || len(worth) > 0 && len(reply.AskBack) == 0 {
			t.Errorf("%q asks back %d things", question, len(reply.AskBack))
		}
		for i, back := range reply.AskBack {
			if back.Worth != worth[string(back.Slot)] || i == 0 && back.Worth != best || back.Question == "" || !slices.Contains(reply.Missing, back.Slot) {
				t.Errorf("%q asks back %+v; worth %v", question, back, worth)
			}
		}
	}
	for question, want := range map[string]string{"which LED should I buy?": "size", "are LED bulbs legal?": "where", "how do I aim my headlights after the swap?": "where"} {
		if reply := r.Reply(question); len(reply.AskBack) == 0 || string(reply.AskBack[0].Slot) != want {
			t.Errorf("%q asks back %+v, want %s first", question, reply.AskBack, want)
		}
	}
	for _, question := range []string{"are LED bulbs legal in Germany? H7", "my H7 LEDs flicker", "is 9005 the same as HB3?"} {
		for _, back := range r.Reply(question).AskBack {
			if back.Slot == "budget" || back.Slot == "driving" {
				t.Errorf("%q asks back %+v", question, back)
			}
		}
	}
}

// TestFactsOfAReply: the texts that belong to a question, by words and by ask.
func TestFactsOfAReply(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	for question, want := range map[string]string{
		"do I need a resistor for flickering H7 LEDs?":                    "flicker-resistor",
		"LED flickers only in DRL mode, 9005":                             "flicker-feed",
		"6000k or 4300k for rain, 9006?":                                  "colour",
		"H7 LED kit 55w vs 30w":                                           "watts",
		"which way should the chips face, 3 and 9 o'clock? H7 pattern":    "clocking",
		"how do I aim my headlights, lens says VOL?":                      "aim-rule",
		"is HB4 the same as 9006?":                                        "size-hb4",
		"can I use 9005 bulbs in a 9006 socket":                           "swap-hb3-hb4",
		"Is 10000 lumens from a 30 watt bulb possible? H11":               "claim",
		"I have calipers, what chip position is right for H11 projector?": "light-centre-h11",
		"are LEDs worth it over good halogens? H7 reflector":              "led-worth",
		"does the E mark make LED bulbs legal in France?":                 "law-marks",
		"Led headlights and snow buildup, real issue?":                    "snow",
	} {
		facts := r.Reply(question).Facts
		if !slices.ContainsFunc(facts, func(f reply.ReplyFact) bool { return f.ID == want }) {
			t.Errorf("%q: %s is not among %v", question, want, facts)
		}
		for _, fact := range facts {
			if fact.Source == "" || fact.Confidence == "" || fact.Text == "" || fact.Short == "" {
				t.Errorf("%q: %+v is not complete", question, fact)
			}
		}
	}
}

// TestTogether: prices of several lamps are added in one currency only.
func TestTogether(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	reply := r.Reply("H7 low projector and H4 reflector, which LEDs?")
	if reply.Together == nil {
		t.Fatalf("no sum of %q", commands(reply))
	}
	sum := 0.0
	for _, lamp := range reply.Lamps {
		for _, b := range lamp.Pick.Ranked {
			if b.Bulb == string(lamp.Pick.Answer.Bulb) {
				sum += b.Price.Amount
			}
		}
	}
	if reply.Together.Amount != sum || reply.Together.Currency != "USD" || reply.Together.Within != nil {
		t.Errorf("%+v, want %g USD", *reply.Together, sum)
	}
	if reply := r.Reply("H11 low projector, which LED?"); reply.Together != nil {
		t.Errorf("one lamp: %+v", *reply.Together)
	}
}

// TestReplyRepeats: the same question gives the same document, whatever came
// between, and so does one that says the same.
func TestReplyRepeats(t *testing.T) {
	r := replier(reply.ReplyOptions{Keep: 1})
	question := "which H7 low beam projector for 40 min of motorway?"
	first := r.Reply(question)
	r.Reply("H11 reflector?")
	if again := r.Reply(question); !reflect.DeepEqual(first, again) {
		t.Error("another document for the same question")
	}
	if other := r.Reply("WHICH H7 LOW BEAM PROJECTOR, FOR 40 MIN OF MOTORWAY? THANKS"); !reflect.DeepEqual(other.Lamps, first.Lamps) {
		t.Error("capitals and thanks change the decision")
	}
}

// TestTally counts a list by hand.
func TestTally(t *testing.T) {
	r := replier(reply.ReplyOptions{})
	list := []string{
		"which H11 projector low beam for the motorway?", "H11 projector low beam in Virginia?", "H11 projector low beam, under 5 dollars a pair?",
		"H1 high beam reflector?", "H1 high beam?", "H1 high beam, country lanes, Germany?", "which LED should I buy?", "best engine oil", "best dash cam",
	}
	count := func(list []string) reply.Tally {
		c := reply.NewCounter(r)
		for _, q := range list {
			c.Add(q)
		}
		c.AddBad()
		return c.Tally()
	}
	tally := count(list)
	if tally.Questions != 9 || tally.Bad != 1 || tally.OffTopic != 2 || tally.NoSize != 1 {
		t.Errorf("%+v", tally)
	}
	wantLamps := []reply.TallyLamp{
		{Size: "H11", Housing: data.Projector, Count: 3, Answered: 2, LEDRanked: true},
		{Size: "H1", Count: 2}, {Size: "H1", Housing: data.Reflector, Count: 1},
	}
	if !slices.Equal(tally.Lamps, wantLamps) {
		t.Errorf("lamps %+v", tally.Lamps)
	}
	if len(tally.TestNext) != 1 || tally.TestNext[0].Size != "H1" || tally.TestNext[0].Housing != data.Reflector || tally.TestNext[0].Demand != 3 {
		t.Errorf("test next %+v", tally.TestNext)
	}
	if len(tally.Places) != 2 || tally.Places[0].Where != "DE" || !tally.Places[0].LawKnown {
		t.Errorf("places %+v", tally.Places)
	}
	shuffled := slices.Clone(list)
	rand.New(rand.NewPCG(3, 4)).Shuffle(len(shuffled), func(i, j int) { shuffled[i], shuffled[j] = shuffled[j], shuffled[i] })
	if other := count(shuffled); !reflect.DeepEqual(other, tally) {
		t.Errorf("another order counts otherwise: %+v", other)
	}
}

// FuzzReply: no text makes a reply panic or carries a control character into the
// document.
func FuzzReply(f *testing.F) {
	k := knowntest.Knowledge()
	k.Replies = known.Replies()
	r := reply.NewReplier(&k, &data.Catalog{Name: "none"}, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
	for _, seed := range []string{"", "H7 low 2 3/4\" behind", "\x1b[31m\u202eH11\x00", "% # ~ & 10000 lumens 30 watts", "\xff\xfeH7", strings.Repeat("H7 ", 500)} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		reply := r.Reply(text)
		out, err := json.Marshal(reply)
		if err != nil {
			t.Fatal(err)
		}
		if !utf8.Valid(out) {
			t.Fatal("not UTF-8")
		}
		for _, c := range reply.Question {
			if unicode.IsControl(c) || unicode.Is(unicode.Bidi_Control, c) {
				t.Fatalf("%q is in the document", c)
			}
		}
		for _, h := range reply.Heard {
			if strings.ContainsFunc(h.Text, unicode.IsControl) {
				t.Fatalf("%q was heard", h.Text)
			}
		}
		if len(reply.AskBack) > 2 || len(reply.Asks) == 0 {
			t.Fatalf("%+v", reply)
		}
	})
}
