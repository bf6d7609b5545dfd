package need

import (
	"cmp"
	"reflect"
	"slices"
	"strings"
)

// Slot is the key of a fact in the need's document, and in what a reader of plain
// words understood.
type Slot string

// Slots that are spoken of by name.
const (
	Size     Slot = "size"
	Beam     Slot = "beam"
	Housing  Slot = "housing"
	Driving  Slot = "driving"
	Rear     Slot = "rear_clearance_mm"
	Canbus   Slot = "canbus"
	Polarity Slot = "polarity"
	Money    Slot = "budget"
	PlugPlay Slot = "plug_and_play"
	Where    Slot = "where"
)

// Kind is how a fact is written.
type Kind int

// The kinds of fact.
const (
	OfSize    Kind = iota // a bulb size
	OfWord                // a word of a closed list
	OfRoads               // several words, of the driving profiles
	OfCar                 // a car of the catalog
	OfNumber              // a number with its unit
	OfTruth               // true, false, unknown
	OfWish                // there or not
	OfMoney               // an amount with its currency
	OfPer                 // what the amount is for
	OfPlace               // a place whose rules apply
	OfWeights             // three named numbers
)

// Likely is one plausible answer to an open fact, as it is typed, and how
// plausible it is beside the others: a judgement, no count of owners is known.
// Empty: the fact stays as it is.
type Likely struct {
	Text   string
	Chance float64
}

// Fact is one line of the table.
type Fact struct {
	Slot Slot // empty: no key of its own in the document
	Flag string
	Kind Kind
	Help string // of the flag; a word in backquotes names its value

	Unit        string  // of a bare number
	Least, Most float64 // in Unit
	Noun        string  // what a number is, in a sentence
	Says        string  // how a value is said, %s is the value; empty: not said
	Denies      string  // how false is said, of a truth

	// The interview. Turn is the place of the question in it, 0: never asked. A
	// fact that is always asked is so while it is open; else only where an answer
	// can change the decision.
	Turn    int
	Always  bool
	Label   string
	Example string
	Explain string            // how it is found out
	Words   []string          // legal words; from the document where nil
	Choices []string          // the words in the order in which they are offered; nil: as they are
	Means   map[string]string // what a word means, where it does not speak for itself

	// Ask is the question that a reply asks back, and Rank its place among those
	// whose answers are worth the same; 0: never asked back.
	Ask    string
	Rank   int
	Likely []Likely

	field int // of Need
}

// table has the facts in the order of the help.
var table = []Fact{
	{Slot: Size, Flag: "size", Kind: OfSize, Help: "bulb `SIZE` printed on the old bulb: H11, H7, 9005",
		Turn: 2, Always: true, Label: "Bulb size",
		Explain: "It is printed on the base of the old bulb, in the handbook, and on many US lenses (HB3, H11).",
		Ask:     "Which bulb size? It is printed on the base of the old bulb, in the owner's handbook, and on many US lenses.", Rank: 1},
	{Slot: Beam, Flag: "beam", Kind: OfWord, Help: "what the lamp does: low, high, fog, both",
		Turn: 3, Always: true, Label: "What this lamp does",
		Explain: "low: the dipped beam; high: the main beam; fog: the front fog lamp; both: one bulb does low and high.",
		Means:   map[string]string{"low": "dipped beam", "high": "main beam", "fog": "front fog lamp", "both": "one bulb does low and high"}},
	{Slot: Housing, Flag: "housing", Kind: OfWord, Help: "projector (a glass ball in front) or reflector", Says: "%s",
		Turn: 4, Always: true, Label: "Kind of lamp",
		Explain: "Look in from the front with the lamp off. A round glass lens of about 6 to 8 cm is a projector; a wide mirror in which you see the bulb is a reflector.",
		Means:   map[string]string{"projector": "a round glass lens in front of the bulb", "reflector": "a mirrored bowl round the bulb"},
		Ask:     "Is the lamp a projector (a glass ball behind the lens) or a reflector (a mirrored bowl)?", Rank: 2,
		Likely: []Likely{{"projector", 0.5}, {"reflector", 0.5}}},
	{Slot: Driving, Flag: "driving", Kind: OfRoads, Says: "%s",
		Help: "where you drive: city suburban rural highway mountain rain fog snow offroad; several with commas",
		Turn: 5, Always: true, Label: "Where you drive in the dark",
		Explain: "Take what is most usual; a second one is asked for. It decides how much light, pattern and heat count: distance on an unlit road, little glare in town, rain and fog.",
		Means: map[string]string{"city": "street lamps nearly everywhere", "suburban": "street lamps here and there", "rural": "unlit roads",
			"highway": "fast and long, mostly unlit", "mountain": "bends and slopes", "rain": "wet roads", "offroad": "tracks, no traffic"},
		Ask: "Where do you mostly drive in the dark: town, motorway, unlit roads, rain, snow?", Rank: 3,
		Likely: []Likely{{"city", 0.2}, {"rural", 0.2}, {"highway", 0.2}, {"rain", 0.2}, {"snow", 0.2}}},
	{Flag: "car", Kind: OfCar, Help: "a `CAR` of the catalog; its lamp fills what the other flags leave open",
		Turn: 1, Always: true, Label: "Your car",
		Explain: "These are the cars of the catalog. Any other car is described by its bulb size."},
	{Slot: "trip_min", Flag: "trip", Kind: OfNumber, Help: "length of the usual drive: 30min, 1h 30min (bare: minutes)",
		Unit: "min", Least: 1, Most: 24 * 60, Noun: "drive in minutes", Says: "%s",
		Turn: 6, Label: "Length of the usual drive", Example: "30min, 1h",
		Explain: "Count from switch-on to arrival, one way. An LED loses light as it warms up.",
		Ask:     "How long is the usual drive, one way?", Rank: 9,
		Likely: []Likely{{"10min", 0.3}, {"30min", 0.4}, {"60min", 0.3}}},
	{Slot: "speed_kmh", Flag: "speed", Kind: OfNumber, Help: "usual speed on unlit road: 90km/h, 55mph (bare: km/h)",
		Unit: "km/h", Least: 5, Most: 200, Noun: "speed in km/h", Says: "%s"},
	{Slot: "climate", Flag: "climate", Kind: OfWord, Help: "hot, mild or cold", Says: "%s climate",
		Turn: 9, Label: "Climate where it is driven", Explain: "Hot: summers above 35 C; cold: winters below -15 C.",
		Ask: "Are summers very hot or winters very cold where you drive?", Rank: 8,
		Likely: []Likely{{"hot", 0.3}, {"mild", 0.4}, {"cold", 0.3}}},
	{Slot: Money, Flag: "budget", Kind: OfMoney, Help: "the most you will pay: 60USD, 45GBP", Says: "budget %s",
		Turn: 11, Label: "Most you will pay for a pair", Example: "60USD",
		Explain: "Amount and currency, such as 60USD or 45GBP; a bare amount is in the currency of the record. \"Don't know\" sets no limit.",
		Ask:     "What is the most you would pay for a pair?", Rank: 11}, // the answers are the prices of the catalog
	{Flag: "per", Kind: OfPer, Help: "what the budget is for: each, pair, all (not said: pair)", Words: []string{"each", "pair", "all"},
		Means: map[string]string{"each": "one bulb", "pair": "two bulbs", "all": "everything that is bought"}},
	{Slot: Rear, Flag: "rear-clearance", Kind: OfNumber, Help: "flange to the inside of the closed cap: 55mm, 2.25in (bare: mm)",
		Unit: "mm", Least: 0, Most: 500, Noun: "room behind the lamp in mm", Says: "%s of room behind the bulb",
		Turn: 7, Label: "Room behind the bulb", Example: "55mm, 2.25in",
		Explain: "Take the cap off. Measure from the bulb's flange to the rim, then add the depth of the cap. A strip of paper and a calliper will do.",
		Ask:     "How much room is behind the bulb, from its flange to the inside of the closed cap?", Rank: 4,
		Likely: []Likely{{"35mm", 0.2}, {"45mm", 0.3}, {"55mm", 0.3}, {"70mm", 0.2}}},
	{Slot: "front_clearance_mm", Flag: "front-clearance", Kind: OfNumber, Help: "flange to the nearest shield or lens: 45mm (bare: mm)",
		Unit: "mm", Least: 0, Most: 300, Noun: "room in front of the flange in mm", Says: "%s of room in front of the flange",
		Ask: "How much room is in front of the flange, to the nearest shield or lens?", Rank: 13,
		Likely: []Likely{{"40mm", 0.1}, {"50mm", 0.3}, {"60mm", 0.6}}}, // few lamps have a shield so near
	{Slot: "driver", Flag: "driver", Kind: OfWord, Help: "where a driver may sit: internal, inline, external, any", Says: "driver %s",
		Turn: 10, Label: "Where may a driver box sit", Choices: []string{"any", "internal", "inline", "external"},
		Explain: "Some bulbs have a small box on the cable that needs a safe place.",
		Means:   map[string]string{"internal": "in the bulb's body", "inline": "in the cable", "external": "a box of its own", "any": "anywhere"},
		Ask:     "May a driver box sit outside the lamp, or must all be inside?", Rank: 7,
		Likely: []Likely{{"internal", 0.4}, {"any", 0.6}}},
	{Slot: Canbus, Flag: "canbus", Kind: OfTruth, Help: "the car warns when a bulb is out: true, false, unknown",
		Says: "the car warns when a bulb is out", Denies: "the car does not warn when a bulb is out",
		Turn: 8, Label: "Does the car warn when a bulb is out",
		Explain: "Look in the handbook for \"bulb failure\", or unplug one bulb with the lights on and look at the dash.",
		Means:   map[string]string{"unknown": "not known"},
		Ask:     "Does the car warn when a bulb is out?", Rank: 5,
		Likely: []Likely{{"true", 0.5}, {"false", 0.5}}},
	{Slot: Polarity, Flag: "polarity", Kind: OfWord, Help: "how the plug is wired: normal, reversed, ground_switched, ac", Says: "plug wired %s",
		Means: map[string]string{"ground_switched": "common pin at 12 V", "ac": "alternating current, some motorcycles"},
		Ask:   "Does the plug have plus on the usual contact? A meter at the plug tells.", Rank: 6,
		Likely: []Likely{{"normal", 0.9}, {"reversed", 0.1}}}, // nearly every car is wired the same way
	{Slot: "volts", Flag: "volts", Kind: OfNumber, Help: "volts at the lamp plug, lamps lit: 13.2V (bare: V)",
		Unit: "V", Least: 5, Most: 32, Noun: "supply in volts", Says: "%s at the plug",
		Ask: "What does a meter read at the lamp plug, engine running, lamps lit?", Rank: 10,
		Likely: []Likely{{"12.2V", 0.25}, {"13.5V", 0.72}, {"28V", 0.03}}}, // a lorry is rare, and its owner says so
	{Slot: "halogens", Flag: "halogens", Kind: OfWord, Help: "the halogens fitted now: new, old (three years and more)", Says: "%s halogens",
		Means: map[string]string{"new": "less than three years old", "old": "three years and more"}},
	{Slot: "lens", Flag: "lens", Kind: OfWord, Help: "the lamp's lens: clear, hazy", Says: "%s lens",
		Means: map[string]string{"clear": "no haze in the sun", "hazy": "dull or yellow in the sun"}},
	{Slot: PlugPlay, Flag: "plug-and-play", Kind: OfWish, Help: "nothing cut, nothing added", Says: "nothing cut, nothing added",
		Ask: "Must it go in without cutting or adding anything?", Rank: 12,
		Likely: []Likely{{"", 0.7}, {"true", 0.3}}}, // mostly, work is welcome
	{Slot: "cct_k", Flag: "cct", Kind: OfNumber, Help: "wished colour temperature: 4300K (bare: K)",
		Unit: "K", Least: 1000, Most: 30000, Noun: "colour temperature in K", Says: "%s wished"},
	{Slot: Where, Flag: "where", Kind: OfPlace, Help: "place whose rules apply: GB, DE, US-VA, or its name", Says: "law of %s",
		Turn: 12, Always: true, Label: "Place whose law applies",
		Explain: "Where the car is registered. Without it the answer assumes that the LED is not allowed.",
		Ask:     "Which country or state is the car registered in?", Rank: 14},
	{Slot: "weights", Flag: "weights", Kind: OfWeights, Help: "your own weights: output=0.5,pattern=0.3,heat=0.2", Says: "weights %s"},
}

var (
	bySlot = map[Slot]*Fact{}
	ranked []*Fact // those that may be asked back
)

func init() {
	fields := map[Slot]reflect.StructField{}
	of := reflect.TypeFor[Need]()
	for i := range of.NumField() {
		fields[Slot(of.Field(i).Tag.Get("json"))] = of.Field(i)
	}
	for i := range table {
		f := &table[i]
		if f.Rank > 0 {
			ranked = append(ranked, f)
		}
		if f.Slot == "" {
			continue
		}
		bySlot[f.Slot] = f
		field := fields[f.Slot]
		f.field = field.Index[0]
		if words := field.Tag.Get("enum"); words != "" {
			f.Words = strings.Split(words, "|")
		}
	}
	for _, car := range []bool{true, false} {
		for i := range table {
			if (table[i].Kind == OfCar) == car {
				written = append(written, &table[i])
			}
		}
	}
	slices.SortFunc(ranked, func(a, b *Fact) int { return cmp.Compare(a.Rank, b.Rank) })
}

// Facts are the lines of the table, in the order of the help. They are shared and
// must not be changed.
func Facts() []Fact { return table }

// Of is the line of a slot; a slot without one is the caller's mistake.
func Of(s Slot) *Fact { return bySlot[s] }

// Interview has the facts that a person is asked for, in the order of asking.
func Interview() (facts []*Fact) {
	for i := range table {
		if table[i].Turn > 0 {
			facts = append(facts, &table[i])
		}
	}
	slices.SortFunc(facts, func(a, b *Fact) int { return cmp.Compare(a.Turn, b.Turn) })
	return facts
}

// Asked are the facts that are asked back, in the order of their rank.
func Asked() []*Fact { return ranked }
