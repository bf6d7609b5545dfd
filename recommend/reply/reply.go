// Package reply makes a reply of a question in plain words: what was understood, one
// decision for each lamp, the law, facts beside the record, and what to ask back. It
// also counts what many questions ask for.
package reply

import (
	"errors"
	"slices"
	"sync"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/need"
	"stillbright/recommend/question"
)

// Reply is the document of `reply`: one question in plain words, what was
// understood, the decision for each lamp, and the text to paste.
type Reply struct {
	Schema     string                `json:"schema" enum:"stillbright/reply/1" doc:"document and version"`
	Question   string                `json:"question" doc:"the question, without control characters"`
	Understood question.Understood   `json:"understood" doc:"what the question states"`
	Heard      []Heard               `json:"heard" doc:"the words each slot came from"`
	Missing    []need.Slot           `json:"missing" doc:"what the answer would use and nobody said"`
	Asks       []string              `json:"asks" enum:"pick|fit|compare|law|flicker|aim|pattern|size|other" doc:"what is asked, leading first"`
	Named      []string              `json:"named" doc:"ids of the bulbs of the record that the question names"`
	Lamps      []ReplyLamp           `json:"lamps" doc:"one decision for each lamp whose size is known"`
	Together   *Together             `json:"together" doc:"what the bulbs to buy cost together; null for fewer than two, or prices in several currencies"`
	Law        []ReplyLaw            `json:"law" doc:"what is known of the rules, one for each beam spoken of"`
	Facts      []ReplyFact           `json:"facts" doc:"what is said beside the tester's record, with its source"`
	AskBack    []AskBack             `json:"ask_back" doc:"what to ask back, most useful first; two at most"`
	Answer     string                `json:"answer" doc:"the reply in words"`
	Notes      []string              `json:"notes" doc:"what was assumed or left out"`
	Catalog    recommend.CatalogLine `json:"catalog" doc:"where the records come from"`
}

// Heard is the words a slot came from.
type Heard struct {
	Slot string  `json:"slot" doc:"slot, with the place in the list where it is one"`
	Text string  `json:"text" doc:"the words"`
	Sure float64 `json:"sure" min:"0" max:"1" doc:"how probable it is that the reading of the slot is right"`
}

// ReplyLamp is one lamp with its decision.
type ReplyLamp struct {
	Need    recommend.Need  `json:"need" doc:"the need, completed where there is a decision"`
	Pick    *recommend.Pick `json:"pick" doc:"what pick says; null when nothing can be decided"`
	Command string          `json:"command" doc:"the pick command that gives the same decision"`
	Problem recommend.Word  `json:"problem" doc:"why nothing can be decided"`
}

// Together is the price of the bulbs of several lamps, a pair for each.
type Together struct {
	Amount   float64 `json:"amount" min:"0" doc:"sum"`
	Currency string  `json:"currency" doc:"ISO 4217"`
	Within   *bool   `json:"within" doc:"within a budget that was said for all; null without one"`
}

// ReplyLaw is the law line with the name of the place and whom to ask.
type ReplyLaw struct {
	recommend.LawLine
	Name      recommend.Word `json:"name" doc:"name of the place"`
	Authority recommend.Word `json:"authority" doc:"whom to ask"`
}

// ReplyFact is one statement that is not from the tester's record.
type ReplyFact struct {
	ID         string `json:"id" doc:"short name"`
	Text       string `json:"text" doc:"the statement"`
	Short      string `json:"short" doc:"the statement for a comment"`
	Source     string `json:"source" doc:"where it comes from"`
	Confidence string `json:"confidence" enum:"read|read_secondary|mixed|computed|inferred|memory|common_practice|not_found" doc:"how it is known"`
}

// AskBack is one thing to ask back.
type AskBack struct {
	Slot     need.Slot `json:"slot" doc:"slot that the answer fills"`
	Question string    `json:"question" doc:"what to ask"`
	Worth    float64   `json:"worth" min:"0" doc:"what the answer is worth on average, in points of the score; 100: nothing can be decided without it"`
}

// ReplyOptions are what replies need beside knowledge and records.
type ReplyOptions struct {
	Today data.Date
	Seed  uint64
	// Override changes what was understood of a lamp's need before it is decided:
	// the flags of a command line. alone says that it is the only lamp. nil: nothing
	// is changed.
	Override func(n *recommend.Need, alone bool)
	Car      string // id of the car, whatever the question says; empty: as the question says
	// Records are the words that a command needs to be given the same records, with
	// a blank before them; empty where it finds them by itself.
	Records string
	Keep    int // decisions kept for repeated needs; 0: a few
}

// Replier answers questions from one catalog. It keeps decisions, so that the
// same need is decided once; it may be used by several goroutines.
type Replier struct {
	know    *recommend.Knowledge
	catalog *data.Catalog
	reader  *question.Reader
	others  *question.Reader // knows only the words for lights and parts that are no headlamps
	topics  topicWords
	texts   []prepared
	options ReplyOptions
	bulbs   func() []bulbPhrase
	sizes   []string // sizes of the catalog with most LED bulbs, for asking back before a size is known

	mutex     sync.Mutex
	decisions *recent[decided]
	questions *recent[[]recommend.NextQuestion]
}

// decided is a decision or the reason why there is none.
type decided struct {
	pick    *recommend.Pick
	problem *recommend.NeedError
}

const (
	keptDecisions = 64   // a decision is some hundred kilobytes
	keptQuestions = 2000 // the questions of a need are a kilobyte
)

// NewReplier makes a replier. The words are how people say things.
func NewReplier(k *recommend.Knowledge, c *data.Catalog, words data.Words, options ReplyOptions) *Replier {
	if options.Keep <= 0 {
		options.Keep = keptDecisions
	}
	return &Replier{
		know: k, catalog: c, reader: question.New(words, carNames(c)), others: otherThings(words), topics: newTopicWords(), texts: prepare(k.Replies),
		options: options, sizes: sizesMostTested(c), bulbs: sync.OnceValue(func() []bulbPhrase { return bulbPhrases(c) }),
		decisions: newRecent[decided](options.Keep), questions: newRecent[[]recommend.NextQuestion](keptQuestions),
	}
}

// carNames are the cars of the catalog as the reader wants them.
func carNames(c *data.Catalog) []question.CarName {
	var names []question.CarName
	for _, car := range c.Cars {
		name := question.CarName{ID: car.ID, Name: car.Name}
		for _, lamp := range car.Lamps {
			name.Lamps = append(name.Lamps, lamp.Size)
		}
		names = append(names, name)
	}
	return names
}

// MaxQuestion is the length in bytes of the longest question that is read whole.
const MaxQuestion = question.MaxBytes

// Reply answers one question. Answer stays empty: it is the work of the room that
// turns values into text. A text that says nothing known gives a document without
// lamps and facts.
func (r *Replier) Reply(text string) Reply {
	u, said := r.reader.Read(text), wordsOf(text)
	named := r.named(said)
	if silent(u) || len(u.Spans) == 0 && len(named) > 0 {
		u = r.readNamed(text, named, u)
	}
	u, doubted := r.doubt(u, said)
	u.Lamps, u.Driving = recommend.NeverNil(u.Lamps), recommend.NeverNil(u.Driving)
	reply := Reply{
		Schema: "stillbright/reply/1", Question: tidy(text), Understood: u, Heard: heard(u), Asks: u.Asks,
		Named: []string{}, Lamps: []ReplyLamp{}, Law: []ReplyLaw{}, Facts: []ReplyFact{}, AskBack: []AskBack{}, Missing: []need.Slot{}, Notes: []string{},
		Catalog: recommend.CatalogLine{Name: r.catalog.Name, Invented: r.catalog.Invented},
	}
	if u.Truncated {
		reply.Notes = append(reply.Notes, "The question is long; only its beginning was read.")
	}
	for _, bulb := range named {
		reply.Named = append(reply.Named, bulb.id)
	}
	needs, notes := r.needs(u, said)
	reply.Notes = append(reply.Notes, notes...)
	if silent(u) && len(needs) == 0 && !r.onTopic(text, said) {
		return reply
	}
	for _, n := range needs {
		reply.Lamps = append(reply.Lamps, r.decide(n))
	}
	reply.Together = together(reply.Lamps)
	reply.Law = r.lawOf(&reply)
	reply.Facts = r.facts(&reply, said)
	if len(needs) == 0 && len(reply.Facts) == 0 && slices.Equal(u.Asks, []string{"other"}) {
		reply.Law = []ReplyLaw{}
		return reply
	}
	reply.Missing = r.missing(&reply, needs, r.whereOf(&reply))
	reply.AskBack = r.askBack(&reply, needs)
	if len(doubted) > 0 {
		reply.AskBack = slices.DeleteFunc(reply.AskBack, func(a AskBack) bool {
			return slices.ContainsFunc(doubted, func(d AskBack) bool { return d.Slot == a.Slot })
		})
		reply.AskBack = append(doubted, reply.AskBack...)
		reply.AskBack = reply.AskBack[:min(mostAskBack, len(reply.AskBack))]
	}
	return reply
}

// together adds up the prices of the bulbs to buy.
func together(lamps []ReplyLamp) *Together {
	var sum Together
	count := 0
	for _, lamp := range lamps {
		if lamp.Pick == nil || lamp.Pick.Answer.Bulb == "" {
			continue
		}
		price := recommend.BulbOf(lamp.Pick, string(lamp.Pick.Answer.Bulb)).Price
		if price == nil || sum.Currency != "" && sum.Currency != price.Currency {
			return nil
		}
		pair := price.Amount
		if price.Per == "each" {
			pair *= 2
		}
		sum.Amount, sum.Currency, count = sum.Amount+pair, price.Currency, count+1
		if b := lamp.Need.Budget; b != nil && b.Per == "all" && (b.Currency == "" || string(b.Currency) == price.Currency) {
			within := sum.Amount <= b.Amount
			sum.Within = &within
		}
	}
	if count < 2 {
		return nil
	}
	return &sum
}

// silent says whether a question states nothing and asks nothing that is known.
func silent(u question.Understood) bool {
	return len(u.Spans) == 0 && slices.Equal(u.Asks, []string{"other"})
}

// otherThings is a reader that knows only the words of other things, so that no
// longer phrase hides one of them.
func otherThings(words data.Words) *question.Reader {
	return question.New(data.Words{Topics: data.Section{"off": words.Topics["off"]}}, nil)
}

// onTopic says whether a question that states nothing is about headlamp bulbs: it
// names a headlamp, or a light and nothing else that has lights.
func (r *Replier) onTopic(text string, words said) bool {
	return words.hasAny(r.topics.headlamps) || words.hasAny(r.topics.lights) && !r.others.OtherThing(text)
}

// decide makes the decision for one lamp, or takes the one that was made for the
// same need.
func (r *Replier) decide(n recommend.Need) ReplyLamp {
	key := need.Command(n)
	lamp := ReplyLamp{Need: n, Command: key + r.options.Records}
	r.mutex.Lock()
	made, ok := r.decisions.get(key)
	r.mutex.Unlock()
	if !ok {
		made = r.decideAnew(n)
		r.mutex.Lock()
		r.decisions.put(key, made)
		r.mutex.Unlock()
	}
	if made.problem != nil {
		lamp.Problem = recommend.Word(made.problem.Message)
		if lamp.Need.Driving == nil {
			lamp.Need.Driving = []string{}
		}
		return lamp
	}
	lamp.Pick, lamp.Need = made.pick, made.pick.Need
	return lamp
}

// decideAnew decides as pick does, its next question included.
func (r *Replier) decideAnew(n recommend.Need) decided {
	pick, err := recommend.Decide(r.know, r.catalog, n, recommend.Options{Today: r.options.Today, Seed: r.options.Seed})
	var wrong *recommend.NeedError
	if errors.As(err, &wrong) {
		return decided{problem: wrong}
	}
	if list := r.questionsOf(n); len(list) > 0 {
		pick.NextQuestion = &list[0]
	}
	return decided{pick: &pick}
}
