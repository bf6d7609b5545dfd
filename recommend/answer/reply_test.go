package answer_test

import (
	"bufio"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/known/knowntest"
	"stillbright/recommend"
	"stillbright/recommend/answer"
	"stillbright/recommend/reply"
)

func replyKnowledge() *recommend.Knowledge {
	return &recommend.Knowledge{
		Sizes: known.Sizes(), Law: known.Law(), LawNotes: known.LawNotes(), Places: known.Places(), Rules: known.Rules(), Fit: known.Fit(),
		Pattern: known.Pattern(), Cautions: known.Cautions(), Claims: known.Claims(), Aim: known.Aim(), Replies: known.Replies(),
	}
}

func demoReplier() *reply.Replier {
	demo := knowntest.Demo()
	return reply.NewReplier(replyKnowledge(), &demo, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
}

// askedQuestions are the labelled questions: all of the shorter set, and every nth
// of the longer one.
func askedQuestions(t testing.TB, nth int) []string {
	t.Helper()
	var all []string
	for name, step := range map[string]int{"dev.jsonl": 1, "own.jsonl": nth} {
		file, err := os.Open("../../testdata/questions/" + name)
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		lines := bufio.NewScanner(file)
		for i := 0; lines.Scan(); i++ {
			var line struct{ Q string }
			if err := json.Unmarshal(lines.Bytes(), &line); err != nil {
				t.Fatal(err)
			}
			if i%step == 0 {
				all = append(all, line.Q)
			}
		}
	}
	slices.Sort(all)
	return all
}

var number = regexp.MustCompile(`\d+(?:[.,]\d+)*`)

// sources of the numbers of one reply: the texts whose numbers may be repeated, and
// the figures of the bulbs that may be named.
type sources struct {
	texts   []string
	figures []float64
}

func (s *sources) say(texts ...string) { s.texts = append(s.texts, texts...) }

func (s *sources) figure(values ...*float64) {
	for _, v := range values {
		if v != nil {
			s.figures = append(s.figures, *v)
		}
	}
}

func (s *sources) bulb(b recommend.Ranked) {
	s.say(b.Name)
	s.figure(b.Hot.VsStock, b.Hot.VsStockLow, b.Hot.VsStockHigh, b.Hot.RetainedPct, &b.Hot.AtMin, b.Pattern.Score)
	if b.Price != nil {
		s.figure(&b.Price.Amount)
	}
	for _, m := range b.Missing {
		s.say(m.What)
	}
	for _, check := range b.Fit.Checks {
		if check.Check == "rear" && check.Have != nil {
			s.say(*check.Have)
		}
	}
}

// said are numbers that belong to the wording: bands are of 95 percent, scores and
// draws out of 100, and the fitted halogen is once itself and costs nothing.
const said = "95 100 1 0"

func sourcesOf(r *reply.Reply) sources {
	s := sources{texts: []string{said, r.Question}}
	for _, fact := range r.Facts {
		s.say(fact.Text, fact.Short, fact.Source)
	}
	for _, law := range r.Law {
		s.say(string(law.Name), string(law.Where), string(law.AsOf), string(law.Fallback), string(law.FailsIf), string(law.Source), string(law.Authority))
	}
	for _, law := range r.Law {
		for _, statement := range law.Says {
			s.say(statement.Text)
		}
		if law.YearsOld != nil {
			s.say(fmt.Sprint(*law.YearsOld))
		}
	}
	s.say(r.Notes...)
	if r.Together != nil {
		s.figure(&r.Together.Amount)
	}
	for _, back := range r.AskBack {
		s.say(back.Question)
	}
	for _, lamp := range r.Lamps {
		s.say(lamp.Need.Size, string(lamp.Problem))
		if lamp.Pick == nil {
			continue
		}
		d := lamp.Pick
		s.say(d.Answer.Sure)
		s.say(d.Notes...)
		for _, m := range d.ToMeasure {
			s.say(m.What, m.How)
			if m.Need != nil {
				s.say(*m.Need)
			}
		}
		s.figure(d.Stock.Pattern.Score, d.Need.RearClearanceMM)
		if d.Answer.Otherwise != nil {
			s.figure(&d.Answer.Otherwise.Under, &d.Answer.Otherwise.Needs)
		}
		for _, list := range [][]recommend.Ranked{d.Ranked, d.MeasureFirst} {
			for _, b := range list {
				s.bulb(b)
			}
		}
		for _, b := range d.SetAside {
			s.say(b.Name)
			for _, because := range b.Because {
				s.say(because.Why)
			}
		}
	}
	return s
}

// untraced lists the numbers of a text that no source has.
func (s sources) untraced(text string) []string {
	text = html.UnescapeString(text) // Markdown writes some marks as entities
	var known []string
	for _, t := range s.texts {
		known = append(known, number.FindAllString(t, -1)...)
	}
	for _, v := range s.figures {
		known = append(known, strconv.FormatFloat(v, 'f', 0, 64), strings.TrimSuffix(strconv.FormatFloat(v, 'f', 2, 64), ".00"))
		for digits := 2; digits <= 4; digits++ {
			known = append(known, strconv.FormatFloat(v, 'g', digits, 64))
		}
	}
	var missing []string
	for _, n := range number.FindAllString(text, -1) {
		if !slices.Contains(known, n) && !slices.Contains(missing, n) {
			missing = append(missing, n)
		}
	}
	return missing
}

// legality would be a claim that something may be done.
var legality = regexp.MustCompile(`(?i)\b(is|are|it's|its) (perfectly |fully |quite |road |street )*(legal|lawful|allowed|permitted)\b`)

// TestRepliesSayOnlyWhatIsKnown: of some five hundred answers in every style, each
// number stands in the decision, the question or a fact with a source; none claims
// that something is legal; all of the demo say that they are invented; the short
// ones are under 500 characters.
func TestRepliesSayOnlyWhatIsKnown(t *testing.T) {
	r := demoReplier()
	nth, least := 12, 500
	if testing.Short() {
		nth, least = 100, 200
	}
	answers := 0
	for _, q := range askedQuestions(t, nth) {
		reply := r.Reply(q)
		from := sourcesOf(&reply)
		for _, style := range answer.ReplyStyles() {
			text := answer.ReplyText(&reply, style)
			answers++
			if missing := from.untraced(text); len(missing) > 0 {
				t.Errorf("%s, %q: no source for %v in:\n%s", style, q, missing, text)
			}
			if claim := legality.FindString(text); claim != "" {
				t.Errorf("%s, %q: claims %q:\n%s", style, q, claim, text)
			}
			offTopic := len(reply.Lamps) == 0 && len(reply.Facts) == 0 && reply.Asks[0] == "other"
			if !offTopic && !strings.Contains(text, "nvented demo data") {
				t.Errorf("%s, %q: does not say that the demo is invented:\n%s", style, q, text)
			}
			if n := len([]rune(text)); style == "short" && n >= 500 {
				t.Errorf("%q: short reply of %d characters", q, n)
			}
			if strings.Contains(text, "!") || strings.Contains(text, "%!") || strings.Contains(text, "  ") {
				t.Errorf("%s, %q: badly written:\n%s", style, q, text)
			}
		}
	}
	if answers < least {
		t.Errorf("only %d answers", answers)
	}
	t.Log(answers, "answers")
}

// TestUntracedFinds: a figure that is off by one digit is found.
func TestUntracedFinds(t *testing.T) {
	r := demoReplier()
	reply := r.Reply("which H11 low beam for a projector, highway, 40 min, under 100 dollars a pair")
	from := sourcesOf(&reply)
	text := answer.ReplyText(&reply, "full")
	if missing := from.untraced(text); len(missing) > 0 {
		t.Fatalf("no source for %v", missing)
	}
	bulb := reply.Lamps[0].Pick.Ranked[0]
	right := strconv.FormatFloat(*bulb.Hot.VsStock, 'g', 2, 64) + " times"
	if !strings.Contains(text, right) {
		t.Fatalf("%q is not in:\n%s", right, text)
	}
	if missing := from.untraced(strings.ReplaceAll(text, right, "7.77 times")); !slices.Equal(missing, []string{"7.77"}) {
		t.Errorf("a wrong figure gives %v", missing)
	}
}

// TestShortRepliesStayShort: long names and many lamps are cut, not the limit.
func TestShortRepliesStayShort(t *testing.T) {
	demo := knowntest.Demo()
	for i := range demo.Bulbs {
		demo.Bulbs[i].Name = strings.Repeat("Überaus ", 30) + demo.Bulbs[i].Name
	}
	r := reply.NewReplier(replyKnowledge(), &demo, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
	for _, q := range []string{
		"H7 low beam, H1 high beam, H11 fog, H4, HB3 high beam, HIR2, projector, rural, 40 min, Papua New Guinea, which LEDs?",
		"H11 low reflector and H9 high reflector and H8 fog, 55 mm behind, canbus, Northern Ireland, best LED under 200 GBP in all?",
		"H7 dipped projector and H7 main projector and H11 fog projector in Bosnia and Herzegovina: will they fit with 70 mm behind?",
	} {
		reply := r.Reply(q)
		text := answer.ReplyText(&reply, "short")
		if n := len([]rune(text)); n >= 500 || !strings.Contains(text, "Invented demo data.") {
			t.Errorf("%d characters: %s", n, text)
		}
	}
}

// TestPoliteLine: what is no headlamp question gets one line without advice.
func TestPoliteLine(t *testing.T) {
	r := demoReplier()
	for _, q := range []string{"best dash cam under a hundred", "led strip for under the kitchen cabinets, warm white?", "hi",
		"turn signal hyperflash after led indicators, resistor?", "how do you take apart a Corvane 300 bumper", "thanks!!",
		"led light bar wiring diagram with relay", "tail light leds 1157 red or white behind red lens"} {
		reply := r.Reply(q)
		for _, style := range answer.ReplyStyles() {
			if text := answer.ReplyText(&reply, style); !strings.HasPrefix(text, "Thanks for writing.") || strings.Contains(text, "\n") {
				t.Errorf("%q: %s", q, text)
			}
		}
		if len(reply.Lamps)+len(reply.Facts)+len(reply.AskBack)+len(reply.Missing)+len(reply.Law) > 0 {
			t.Errorf("%q: more than a polite line in the document", q)
		}
	}
}

// TestOwnRecordIsNotInvented: only demo data is called invented.
func TestOwnRecordIsNotInvented(t *testing.T) {
	c := knowntest.Demo()
	c.Invented = false
	r := reply.NewReplier(replyKnowledge(), &c, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
	reply := r.Reply("H11 projector low beam, which LED?")
	for _, style := range answer.ReplyStyles() {
		if text := answer.ReplyText(&reply, style); strings.Contains(strings.ToLower(text), "invented") {
			t.Errorf("%s: %s", style, text)
		}
	}
}

// TestEmptyRecord: a catalog without bulbs still answers.
func TestEmptyRecord(t *testing.T) {
	r := reply.NewReplier(replyKnowledge(), &data.Catalog{Name: "empty"}, known.Words(), reply.ReplyOptions{Today: "2026-11-25", Seed: 1})
	for _, q := range []string{"H7 low beam projector, which LED?", "which LED?", "is it legal in GB?", "mine flicker"} {
		reply := r.Reply(q)
		for _, style := range answer.ReplyStyles() {
			if text := answer.ReplyText(&reply, style); len(text) < 40 {
				t.Errorf("%q, %s: %q", q, style, text)
			}
		}
	}
}
