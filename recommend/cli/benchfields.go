package cli

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/quantity"
	"stillbright/data/store"
	"stillbright/recommend/ask"
)

// benchField is one fact of a test, or of the bulb, lot or rig it needs. The key
// is where it stands in the record, whose tags say what is legal.
type benchField struct {
	key    string // test.volts, bulb.size, rig.distance
	flag   string // without dashes
	label  string
	help   string
	needed bool
}

// benchRecords are the records that the first part of a key names.
var benchRecords = map[string]reflect.Type{
	"test": reflect.TypeFor[data.Test](), "bulb": reflect.TypeFor[data.Bulb](), "rig": reflect.TypeFor[data.Rig](), "lot": reflect.TypeFor[data.Lot](),
}

// Groups of fields, in the order in which they are asked.
var (
	newBulbFields = []benchField{
		{"bulb.name", "name", "Name as sold", "As printed on the box.", true},
		{"bulb.id", "bulb", "Short name for it (e.g. grenholt-h11)", "Small letters, digits and hyphens; its file gets this name.", true},
		{"bulb.kind", "kind", "Kind of bulb", "A halogen can be a record too: it is ranked beside the LEDs.", true},
		{"bulb.size", "size", "Bulb size (e.g. H11)", "It is printed on the base.", true},
		{"bulb.price", "price", "Price paid (e.g. 60USD)", "With its currency. Without a price it cannot be held against a budget.", false},
		{"bulb.per", "per", "What that price buys", "each: one bulb; pair: two.", false},
		{"bulb.claims.lumens", "claim-lumens", "Lumens on the pack (e.g. 3600lm)", "As advertised; they are audited, never ranked.", false},
		{"bulb.claims.watts", "claim-watts", "Watts on the pack (e.g. 30W)", "As advertised.", false},
		{"bulb.claims.cct", "claim-cct", "Colour temperature on the pack (e.g. 6000K)", "As advertised.", false},
		{"bulb.claims.per", "claim-per", "Are those lumens for one or two", "Packs often add both bulbs up.", false},
		{"bulb.build.rear_length", "rear-length", "Flange to its rearmost point (e.g. 44mm)", "With the plug in. Without it nobody can say whether it goes behind a cap.", false},
		{"bulb.build.emitter_depth", "emitter-depth", "Flange to the middle of its emitters (e.g. 25mm)", "With a calliper, collar on.", false},
		{"bulb.supply.driver", "driver", "Where its driver sits", "In the body, in the cable, or in a box of its own.", false},
		{"bulb.source", "source", "Who measures", "It stands beside every figure: own bench, garage.", true},
	}
	newRigFields = []benchField{
		{"rig.name", "rig-name", "What the rig is (e.g. H11 projector on a board)", "The lamp on the bench, in a few words.", true},
		{"rig.id", "rig", "Short name for it (e.g. h11-projector)", "Small letters, digits and hyphens; its file gets this name.", true},
		{"rig.size", "rig-size", "Bulb size of the lamp (e.g. H11)", "The size the lamp was made for.", true},
		{"rig.beam", "rig-beam", "What the lamp does", "both: one bulb does low and high.", true},
		{"rig.housing", "housing", "Kind of lamp", "A glass ball in front is a projector, a mirrored bowl a reflector.", true},
		{"rig.distance", "distance", "Lamp to meter (e.g. 7.62m, 25ft)", "From the lens to the meter's dome, with a tape.", false},
		{"rig.meter_class", "meter-class", "Class of the meter (e.g. DIN 5032-7)", "It stands in the manual; without it the meter counts as class C.", false},
		{"rig.source", "rig-source", "Who built it", "It stands in the record.", true},
	}
	lotFields = []benchField{
		{"lot.lot", "lot", "Lot (date code, or a name of your own)", "Makers change a bulb under the same name; a figure belongs to the lot it was measured on.", true},
		{"lot.bought", "bought", "Day the lot was bought (e.g. 2026-03-02)", "The newest lot speaks for the bulb.", false},
	}
	setUpFields = []benchField{
		{"test.beam", "beam", "Which beam is measured", "The rig does low and high.", true},
		{"test.date", "date", "Day of the test (e.g. 2026-03-14)", "", true},
		{"test.stock.first", "stock", "Stock halogen before the bulb, lux", "The halogen in the same rig, same point, warm for two minutes. Without it there is no vs stock.", false},
		{"test.stock.volts", "stock-volts", "Volts at the plug, halogen lit (e.g. 13.2V)", "With a meter at the plug. Without it vs stock gets a wide band: 12.0 V against 13.2 V costs a halogen 28 percent.", false},
	}
	afterFields = []benchField{
		{"test.stock.last", "stock-last", "Stock halogen after the bulb, lux", "The same halogen again: it shows whether anything moved.", false},
		{"test.volts", "volts", "Volts at the plug, bulb lit (e.g. 13.2V)", "With a meter at the plug.", false},
		{"test.point", "point", "Where the meter stood", "fixed: at one point for halogen and bulb; searched: moved to the peak with each.", false},
		{"test.cap", "cap", "Dust cap during the test", "With the cap off the bulb runs cooler than in the car.", false},
		{"test.ambient", "ambient", "Air at the bench (e.g. 21C, 70F)", "", false},
		{"test.body", "body", "Hottest point of its body, hot (e.g. 88C)", "At the last reading.", false},
		{"test.surface", "surface", "What the thermometer saw", "Bare metal reads low by 10 K and more; tape or matt paint reads true.", false},
		{"test.fold_back", "fold-back", "Was the driver seen cutting power", "A sudden drop of light and watts after some minutes.", false},
		{"test.watts", "watts", "Watts of this bulb, hot (e.g. 23.6W)", "Volts times amps at the plug, one bulb.", false},
		{"test.seatings", "seatings", "How many times was it seated", "Taken out and put back, and read again.", false},
		{"test.seating_spread", "seating-spread", "Largest minus smallest of those (e.g. 5%)", "Percent of the mean, over the seatings.", false},
		{"test.samples", "samples", "How many bulbs of the lot were tried", "", false},
		{"test.cct", "measured-cct", "Colour temperature as measured (e.g. 5800K)", "With a colour meter.", false},
	}
	patternFields = []benchField{
		{"test.pattern.method", "pattern-method", "How was the beam judged", "grade: five marks by eye; grid or photo: parts from 0 to 1, as stillbright pattern gives them.", false},
		{"test.pattern.stray_vs_stock", "stray-vs-stock", "Light above the cutoff, times stock (e.g. 1.1)", "Meter at fixed points 0.5 to 2 degrees above the cutoff, stock and bulb.", false},
		{"test.pattern.over_limit", "over-limit", "Over a published limit even after re-aim", "As stillbright pattern says.", false},
		{"test.pattern.g", "sharpness-g", "Sharpness G of the cutoff", "Only where it could be measured: a fine slit, far away.", false},
		{"test.pattern.width", "width", "Width at a tenth of the peak (e.g. 40deg)", "", false},
		{"test.pattern.hot_spot_h", "hot-spot-h", "Hot spot, degrees right of the axis", "", false},
		{"test.pattern.hot_spot_v", "hot-spot-v", "Hot spot, degrees above the axis", "Below the axis is negative.", false},
	}
	markFields = []benchField{
		{"test.pattern.marks.cutoff", "marks", "Cutoff, 0 to 3", "3 one clean line as sharp as stock; 0 no line.", false},
		{"test.pattern.marks.hot_spot", "marks", "Hot spot, 0 to 3", "3 tight under the cutoff where stock's is; 0 split or far off.", false},
		{"test.pattern.marks.stray", "marks", "Dark above the cutoff, 0 to 3", "3 as dark as stock; 0 it dazzles.", false},
		{"test.pattern.marks.dark", "marks", "Evenness of the road area, 0 to 3", "3 even; 0 a hole.", false},
		{"test.pattern.marks.width", "marks", "Width, 0 to 3", "3 as wide as stock; 0 a narrow spot.", false},
	}
	partFields = []benchField{
		{"test.pattern.parts.sharpness", "parts", "Sharpness, 0 to 1", "As stillbright pattern gives it.", false},
		{"test.pattern.parts.hot_spot", "parts", "Hot spot, 0 to 1", "As stillbright pattern gives it.", false},
		{"test.pattern.parts.stray", "parts", "Stray light, 0 to 1", "As stillbright pattern gives it.", false},
		{"test.pattern.parts.dark", "parts", "Dark spots, 0 to 1", "As stillbright pattern gives it.", false},
		{"test.pattern.parts.width", "parts", "Width, 0 to 1", "As stillbright pattern gives it.", false},
	}
)

// benchFlag makes the flag of a field, with the unit of a bare number and the
// legal words in its help.
func benchFlag(f benchField) cli.Flag {
	text := strings.ToLower(f.label[:1]) + f.label[1:]
	tag := f.tag()
	if words := tag.Get("enum"); words != "" {
		text += ": " + strings.ReplaceAll(words, "|", ", ")
	}
	if f.isTruth() {
		text += ": true, false"
	}
	if unit := tag.Get("unit"); unit != "" {
		text += " (bare: " + unit + ")"
	}
	record, _, _ := strings.Cut(f.key, ".")
	return &cli.StringFlag{Name: f.flag, Usage: text, Category: map[string]string{"bulb": "a new bulb", "rig": "a new rig", "lot": "the test", "test": "the test"}[record]}
}

// tag finds the tags of the field in its record.
func (f benchField) tag() reflect.StructTag {
	parts := strings.Split(f.key, ".")
	of := benchRecords[parts[0]]
	var tag reflect.StructTag
	for _, part := range parts[1:] {
		for of.Kind() == reflect.Pointer {
			of = of.Elem()
		}
		field, ok := of.FieldByNameFunc(func(name string) bool {
			candidate, _ := of.FieldByName(name)
			return candidate.Tag.Get("yaml") == part
		})
		if !ok {
			return ""
		}
		tag, of = field.Tag, field.Type
	}
	return tag
}

// isTruth says whether the field is true or false.
func (f benchField) isTruth() bool {
	return f.key == "test.pattern.over_limit"
}

func (f benchField) isSize() bool { return f.key == "bulb.size" || f.key == "rig.size" }

// normal writes an answer as the record wants it: a bare number gets the unit
// that help names, words lose their hyphens.
func (f benchField) normal(text string) string {
	text = strings.TrimSpace(text)
	tag := f.tag()
	if words := tag.Get("enum"); words != "" {
		if word := strings.ReplaceAll(strings.ToLower(text), "-", "_"); slices.Contains(strings.Split(words, "|"), word) {
			return word
		}
		return text
	}
	if f.isSize() {
		return strings.ToUpper(text)
	}
	if f.isTruth() {
		switch strings.ToLower(text) {
		case "yes":
			return "true"
		case "no":
			return "false"
		}
	}
	if unit := tag.Get("unit"); unit != "" {
		if value, err := quantity.ParseBare(text, unit); err == nil {
			return quantity.Format(tidy(value), unit, 0)
		}
	}
	return text
}

// tidy takes off the endless digits that a conversion of units leaves.
func tidy(value float64) float64 {
	const decimals = 1e4
	if rounded := math.Round(value*decimals) / decimals; rounded != 0 {
		return rounded
	}
	return value
}

// check reads one answer by the rules of the record. An empty answer is "don't know".
func (f benchField) check(text string) error {
	switch {
	case text == "" && f.needed:
		return errors.New("an answer is needed here")
	case text == "":
		return nil
	case f.isSize():
		if _, near, ok := data.FindSize(known.Sizes(), text); !ok {
			return errors.New(strings.TrimSuffix(fmt.Sprintf("size %q is not known; near: %s", text, strings.Join(near, " ")), "; near: "))
		}
		return nil
	}
	record, key, _ := strings.Cut(f.key, ".")
	target := reflect.New(benchRecords[record]).Interface()
	_, faults := store.Decode("answer", []byte(recordText(map[string]string{key: f.normal(text)})), target)
	for _, fault := range faults {
		if fault.Path == key {
			return errors.New(strings.TrimSuffix(fault.Message+"; "+fault.Hint, "; "))
		}
	}
	return nil
}

// question asks for the field.
func (f benchField) question() ask.Question {
	q := ask.Question{Label: f.label, Help: f.help, Flag: "--" + f.flag, AllowUnknown: !f.needed, Kind: ask.Text}
	words := f.tag().Get("enum")
	switch {
	case f.isTruth():
		q.Kind = ask.YesNo
	case words != "":
		q.Kind, q.Search = ask.List, true
		for _, word := range strings.Split(words, "|") {
			q.Options = append(q.Options, ask.Option{Value: word, Label: strings.ReplaceAll(word, "_", " ")})
		}
	default:
		q.Validate = f.check
	}
	return q
}
