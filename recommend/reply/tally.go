package reply

import (
	"cmp"
	"fmt"
	"slices"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/need"
)

// Tally is the document of `reply --tally`: what viewers ask for against what the
// catalog can answer.
type Tally struct {
	Schema    string                `json:"schema" enum:"stillbright/tally/1" doc:"document and version"`
	Questions int                   `json:"questions" doc:"questions that were read"`
	Bad       int                   `json:"bad" doc:"rows that could not be read"`
	OffTopic  int                   `json:"off_topic" doc:"questions that are not about headlamp bulbs"`
	NoSize    int                   `json:"no_size" doc:"questions about a bulb to buy or fit that name no size"`
	Asks      []TallyCount          `json:"asks" doc:"what is asked first"`
	Lamps     []TallyLamp           `json:"lamps" doc:"lamps asked for, most wanted first"`
	Driving   []TallyCount          `json:"driving" doc:"driving environments"`
	Places    []TallyPlace          `json:"places" doc:"places"`
	TestNext  []TestNext            `json:"test_next" doc:"what to test next: lamps without a ranked LED, most wanted first"`
	Catalog   recommend.CatalogLine `json:"catalog" doc:"where the records come from"`
}

// TallyCount is how often something was said.
type TallyCount struct {
	Name  string `json:"name" doc:"what was said"`
	Count int    `json:"count" doc:"questions that say it"`
}

// TallyLamp is how often a lamp was asked for, and what the catalog has for it.
type TallyLamp struct {
	Size      string         `json:"size" doc:"bulb size"`
	Housing   recommend.Word `json:"housing" enum:"projector|reflector" doc:"kind of lamp; null: not said"`
	Count     int            `json:"count" doc:"lamps asked for"`
	Answered  int            `json:"answered" doc:"of these, lamps for which a ranked LED meets the asker's need"`
	LEDRanked bool           `json:"led_ranked" doc:"an LED is ranked for this size and housing without further wishes"`
}

// TallyPlace is how often a place was named, and whether a rule is on file.
type TallyPlace struct {
	Where    string `json:"where" doc:"place code"`
	Name     string `json:"name" doc:"name of the place"`
	Count    int    `json:"count" doc:"questions that name it"`
	LawKnown bool   `json:"law_known" doc:"a rule for low beam is on file there or in its country"`
}

// TestNext is a lamp that is asked for and has no ranked LED.
type TestNext struct {
	Size    string  `json:"size" doc:"bulb size"`
	Housing string  `json:"housing" enum:"projector|reflector" doc:"kind of lamp to test in"`
	Demand  float64 `json:"demand" min:"0" doc:"lamps asked for; those whose housing was not said are shared out as the said ones are, else by halves"`
	Why     string  `json:"why" doc:"what is missing"`
}

// Counter counts questions for a tally. It holds counts only, however many
// questions come.
type Counter struct {
	replier *Replier
	tally   Tally
	asks    map[string]int
	driving map[string]int
	places  map[string]int
	lamps   map[tallyKey]*TallyLamp
	order   *recent[bool]
}

type tallyKey struct{ size, housing string }

// keptOrders is how many answers to "is an LED ranked for this need" are kept.
const keptOrders = 5000

// NewCounter starts a tally from the same catalog and flags as the replies.
func NewCounter(r *Replier) *Counter {
	return &Counter{
		replier: r, asks: map[string]int{}, driving: map[string]int{}, places: map[string]int{},
		lamps: map[tallyKey]*TallyLamp{}, order: newRecent[bool](keptOrders),
	}
}

// AddBad counts a row that could not be read.
func (c *Counter) AddBad() { c.tally.Bad++ }

// Add counts one question.
func (c *Counter) Add(text string) {
	c.tally.Questions++
	r := c.replier
	u := r.reader.Read(text)
	words := wordsOf(text)
	all, _ := r.needs(u, words)
	if silent(u) && len(all) == 0 && !r.onTopic(text, words) {
		c.tally.OffTopic++
		return
	}
	c.asks[u.Asks[0]]++
	for _, name := range u.Driving {
		c.driving[name]++
	}
	if place, _, ok := data.FindPlace(r.know.Places, string(u.Where)); ok {
		c.places[place.Code]++
	}
	if len(all) == 0 && slices.Contains(decisionAsks, u.Asks[0]) {
		c.tally.NoSize++
	}
	for _, n := range all {
		c.lamp(n)
	}
}

func (c *Counter) lamp(n recommend.Need) {
	size, err := c.replier.know.Size(n.Size)
	if err != nil {
		return // a discharge lamp: nothing to test an LED for
	}
	key := tallyKey{size.Category, string(n.Housing)}
	if c.lamps[key] == nil {
		c.lamps[key] = &TallyLamp{Size: key.size, Housing: recommend.Word(key.housing), LEDRanked: c.ledRanked(recommend.Need{Size: key.size, Housing: recommend.Word(key.housing)})}
	}
	c.lamps[key].Count++
	if c.ledRanked(n) {
		c.lamps[key].Answered++
	}
}

// ledRanked says whether any LED is ranked for a need.
func (c *Counter) ledRanked(n recommend.Need) bool {
	key := need.Command(n)
	if seen, ok := c.order.get(key); ok {
		return seen
	}
	pick, err := recommend.Order(c.replier.know, c.replier.catalog, n)
	found := err == nil && slices.ContainsFunc(pick.Ranked, func(r recommend.Ranked) bool { return r.Kind == data.KindLED })
	c.order.put(key, found)
	return found
}

// Tally is the count so far.
func (c *Counter) Tally() Tally {
	r := c.replier
	t := c.tally
	t.Schema, t.Catalog = "stillbright/tally/1", recommend.CatalogLine{Name: r.catalog.Name, Invented: r.catalog.Invented}
	t.Asks, t.Driving = counts(c.asks), counts(c.driving)
	t.Lamps, t.Places, t.TestNext = []TallyLamp{}, []TallyPlace{}, []TestNext{}
	for _, lamp := range c.lamps {
		t.Lamps = append(t.Lamps, *lamp)
	}
	slices.SortFunc(t.Lamps, func(a, b TallyLamp) int {
		return cmp.Or(-cmp.Compare(a.Count, b.Count), cmp.Compare(a.Size, b.Size), cmp.Compare(a.Housing, b.Housing))
	})
	for _, count := range counts(c.places) {
		place, _, _ := data.FindPlace(r.know.Places, count.Name)
		answer := data.Law(r.know.Law, r.know.Places, nil, count.Name, data.BeamLow)
		t.Places = append(t.Places, TallyPlace{count.Name, place.Name, count.Count, answer.From != data.LawNone})
	}
	t.TestNext = c.testNext()
	return t
}

// testNext lists the sizes and housings without a ranked LED, by demand. A lamp
// whose housing was not said is shared out between the two.
func (c *Counter) testNext() []TestNext {
	list := []TestNext{}
	var sizes []string
	for key := range c.lamps {
		if !slices.Contains(sizes, key.size) {
			sizes = append(sizes, key.size)
		}
	}
	count := func(size, housing string) float64 {
		if lamp := c.lamps[tallyKey{size, housing}]; lamp != nil {
			return float64(lamp.Count)
		}
		return 0
	}
	for _, size := range sizes {
		projector, reflector, unsaid := count(size, data.Projector), count(size, data.Reflector), count(size, "")
		share := 0.5
		if projector+reflector > 0 {
			share = projector / (projector + reflector)
		}
		for housing, demand := range map[string]float64{data.Projector: projector + share*unsaid, data.Reflector: reflector + (1-share)*unsaid} {
			if demand > 0 && !c.ledRanked(recommend.Need{Size: size, Housing: recommend.Word(housing)}) {
				list = append(list, TestNext{size, housing, demand, c.why(size, housing)})
			}
		}
	}
	slices.SortFunc(list, func(a, b TestNext) int {
		return cmp.Or(-cmp.Compare(a.Demand, b.Demand), cmp.Compare(a.Size, b.Size), cmp.Compare(a.Housing, b.Housing))
	})
	return list
}

// why says what the catalog lacks for a lamp.
func (c *Counter) why(size, housing string) string {
	pick, err := recommend.Order(c.replier.know, c.replier.catalog, recommend.Need{Size: size, Housing: recommend.Word(housing)})
	if err != nil {
		return err.Error()
	}
	aside := 0
	for _, bulb := range pick.SetAside {
		if bulb.Kind == data.KindLED {
			aside++
		}
	}
	for _, bulb := range pick.MeasureFirst {
		if bulb.Kind == data.KindLED {
			return fmt.Sprintf("%s lacks %s", bulb.Name, bulb.Missing[0].What)
		}
	}
	if aside > 0 {
		return "every LED in the record is set aside for it"
	}
	return "no LED for this size is in the record"
}

// counts lists how often each name came, most first.
func counts(of map[string]int) []TallyCount {
	list := []TallyCount{}
	for name, count := range of {
		list = append(list, TallyCount{name, count})
	}
	slices.SortFunc(list, func(a, b TallyCount) int { return cmp.Or(-cmp.Compare(a.Count, b.Count), cmp.Compare(a.Name, b.Name)) })
	return list
}
