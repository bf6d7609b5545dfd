package cli

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/recommend"
	"stillbright/recommend/question"
)

const (
	groupNeed   = "the need"
	groupOutput = "the answer"
)

// needFlags are the flags of an owner's need, the same for every verb.
func needFlags() []cli.Flag {
	text := func(name, usage string) cli.Flag {
		return &cli.StringFlag{Name: name, Usage: usage, Category: groupNeed}
	}
	return []cli.Flag{
		text("size", "bulb `SIZE` printed on the old bulb: H11, H7, 9005"),
		text("beam", "what the lamp does: low, high, fog, both"),
		text("housing", "projector (a glass ball in front) or reflector"),
		&cli.StringSliceFlag{Name: "driving", Usage: "where you drive: city suburban rural highway mountain rain fog snow offroad; several with commas", Category: groupNeed},
		text("car", "a `CAR` of the catalog; its lamp fills what the other flags leave open"),
		text("trip", "length of the usual drive: 27min, 1h 30min (bare: minutes)"),
		text("speed", "usual speed on unlit road: 90km/h, 55mph (bare: km/h)"),
		text("climate", "hot, mild or cold"),
		text("budget", "the most you will pay: 60USD, 45GBP"),
		text("per", "what the budget is for: each, pair, all (not said: pair)"),
		text("rear-clearance", "flange to the inside of the closed cap: 55mm, 2.25in (bare: mm)"),
		text("front-clearance", "flange to the nearest shield or lens: 45mm (bare: mm)"),
		text("driver", "where a driver may sit: internal, inline, external, any"),
		text("canbus", "the car warns when a bulb is out: true, false, unknown"),
		text("polarity", "how the plug is wired: normal, reversed, ground_switched, ac"),
		text("volts", "volts at the lamp plug, lamps lit: 13.2V (bare: V)"),
		&cli.BoolFlag{Name: "plug-and-play", Usage: "nothing cut, nothing added", Category: groupNeed},
		text("cct", "wished colour temperature: 4300K (bare: K)"),
		text("where", "place whose rules apply: GB, DE, US-VA, or its name"),
		text("weights", "your own weights: output=0.5,pattern=0.3,heat=0.2"),
	}
}

func catalogFlag() cli.Flag {
	return &cli.StringFlag{Name: "catalog", Usage: "`FOLDER` with your own records (see: stillbright help format)", Category: groupOutput}
}

func jsonFlag() cli.Flag {
	return &cli.BoolFlag{Name: "json", Usage: "one JSON document on standard output", Category: groupOutput}
}

func fullFlag() cli.Flag {
	return &cli.BoolFlag{Name: "full", Usage: "show everything", Category: groupOutput}
}

// needFromFlags builds the need from the flags of a command line. It reports
// contradictions; what is missing is the caller's business.
func needFromFlags(c *cli.Context, b *bench) (recommend.Need, error) {
	var need recommend.Need
	var err error
	if need, err = fromCar(c, b); err != nil {
		return need, err
	}
	r := flagReader{c: c}
	if size := c.String("size"); size != "" {
		need.Size = size
	}
	need.Beam = r.word("beam", need.Beam, data.BeamLow, data.BeamHigh, data.BeamFog, data.BeamBoth)
	need.Housing = recommend.Word(r.word("housing", string(need.Housing), data.Projector, data.Reflector))
	need.Driving = r.driving(b)
	need.TripMin = r.number("trip", "min", 1, 24*60, 0)
	need.SpeedKmh = r.optional("speed", "km/h", 5, 200, need.SpeedKmh)
	need.Imperial = strings.Contains(strings.ToLower(c.String("speed")), "mph")
	need.Climate = recommend.Word(r.word("climate", string(need.Climate), "hot", "mild", "cold"))
	need.Budget = r.budget()
	need.RearClearanceMM = r.optional("rear-clearance", "mm", 0, 500, need.RearClearanceMM)
	need.FrontClearanceMM = r.optional("front-clearance", "mm", 0, 300, need.FrontClearanceMM)
	need.Driver = recommend.Word(r.word("driver", "", "internal", "inline", "external", "any"))
	need.Canbus = r.truth("canbus", need.Canbus)
	need.Polarity = recommend.Word(r.word("polarity", string(need.Polarity), "normal", "reversed", "ground_switched", "ac"))
	need.Volts = r.optional("volts", "V", 5, 32, need.Volts)
	need.PlugAndPlay = c.Bool("plug-and-play")
	need.CCTK = r.optional("cct", "K", 1000, 30000, nil)
	need.Where = r.place(b, need.Where)
	r.weights(&need)
	return need, r.err
}

// fromCar starts a need from a car of the catalog.
func fromCar(c *cli.Context, b *bench) (recommend.Need, error) {
	name := c.String("car")
	if name == "" {
		return recommend.Need{}, nil
	}
	car, err := b.car(name)
	if err != nil {
		return recommend.Need{}, err
	}
	return recommend.NeedOfCar(&b.known, car, c.String("size"), c.String("beam"))
}

// car finds a car by id or name.
func (b *bench) car(name string) (data.Car, error) {
	if car, ok := b.catalog.Car(name); ok {
		return car, nil
	}
	var names []string
	for _, car := range b.catalog.Cars {
		if strings.EqualFold(car.Name, name) {
			return car, nil
		}
		names = append(names, car.ID, car.Name)
	}
	hint := "list them with: stillbright car list" + catalogWord(b.flag)
	if len(b.catalog.Cars) == 0 {
		hint = noCar(b.flag)
	}
	if near := data.Near(name, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return data.Car{}, usage(fmt.Sprintf("car %q is not in the catalog %q", name, b.catalog.Name), hint)
}

// noCar is the hint where a catalog keeps no car.
func noCar(flag string) string {
	return "keep one with: stillbright car add my-car" + catalogWord(flag)
}

// bulb finds a bulb by id or name.
func (b *bench) bulb(name string) (data.Bulb, error) {
	if bulb, ok := b.catalog.Bulb(name); ok {
		return bulb, nil
	}
	var names []string
	for _, bulb := range b.catalog.Bulbs {
		if strings.EqualFold(bulb.Name, name) {
			return bulb, nil
		}
		names = append(names, bulb.ID, bulb.Name)
	}
	hint := "list them with: stillbright catalog list" + catalogWord(b.flag)
	if near := data.Near(name, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return data.Bulb{}, usage(fmt.Sprintf("bulb %q is not in the catalog %q", name, b.catalog.Name), hint)
}

// flagReader reads flag values and keeps the first fault.
type flagReader struct {
	c   *cli.Context
	err error
}

func (r *flagReader) fail(err error) {
	if r.err == nil {
		r.err = err
	}
}

// word reads a flag with a closed list of values.
func (r *flagReader) word(name, otherwise string, legal ...string) string {
	text := r.c.String(name)
	if text == "" {
		if r.c.IsSet(name) {
			r.fail(usage(fmt.Sprintf("--%s is empty; legal: %s", name, strings.Join(legal, " ")), ""))
		}
		return otherwise
	}
	value := strings.ReplaceAll(strings.ToLower(strings.TrimSpace(text)), "-", "_")
	if !slices.Contains(legal, value) {
		hint := ""
		if near := data.Near(value, legal); len(near) > 0 {
			hint = fmt.Sprintf("--%s %s", name, near[0])
		}
		r.fail(usage(fmt.Sprintf("--%s %q: must be %s", name, text, strings.Join(legal, ", ")), hint))
	}
	return value
}

// driving reads the roads. An everyday word for one of them ("town", "motorway")
// is answered with the name it has here; it is not taken for it, since a script
// that typed it should be put right once.
func (r *flagReader) driving(b *bench) []string {
	var list, legal []string
	for _, profile := range b.known.Rules.Driving {
		legal = append(legal, profile.Name)
	}
	for _, given := range r.c.StringSlice("driving") {
		for _, word := range strings.FieldsFunc(given, func(c rune) bool { return c == ',' || c == ' ' }) {
			word = strings.ToLower(word)
			if !slices.Contains(legal, word) {
				r.fail(usage(fmt.Sprintf("--driving %q: must be %s", word, strings.Join(legal, ", ")), b.hintOfRoad(word, legal)))
				return nil
			}
			if !slices.Contains(list, word) {
				list = append(list, word)
			}
		}
	}
	return list
}

// hintOfRoad is the flag as it was likely meant: by spelling, else by meaning.
func (b *bench) hintOfRoad(word string, legal []string) string {
	if near := data.Near(word, legal); len(near) > 0 {
		return "--driving " + near[0]
	}
	if meant := question.New(b.words(), nil).Read("headlights, mostly " + word + " roads").Driving; len(meant) > 0 {
		return "--driving " + strings.Join(meant, ",")
	}
	return ""
}

// number reads a quantity; a bare number is in unit.
func (r *flagReader) number(name, unit string, least, most, otherwise float64) float64 {
	text := r.c.String(name)
	if text == "" {
		return otherwise
	}
	value, err := quantity.ParseBare(text, unit)
	if err != nil {
		r.fail(named(name, err))
		return otherwise
	}
	if value < least || value > most {
		r.fail(usage(fmt.Sprintf("--%s %s: must be from %s to %s", name, text,
			quantity.Format(least, unit, 6), quantity.Format(most, unit, 6)), ""))
	}
	return value
}

func named(flag string, err error) error {
	hint, plain := hintOf(err)
	return usage("--"+flag+" "+plain, hint)
}

func (r *flagReader) optional(name, unit string, least, most float64, otherwise *float64) *float64 {
	if r.c.String(name) == "" {
		return otherwise
	}
	value := r.number(name, unit, least, most, 0)
	return &value
}

// truth reads a three-valued flag.
func (r *flagReader) truth(name string, otherwise *bool) *bool {
	yes, no := true, false
	switch text := strings.ToLower(r.c.String(name)); text {
	case "":
		return otherwise
	case "true", "yes":
		return &yes
	case "false", "no":
		return &no
	case "null", "unknown":
		return nil
	default:
		r.fail(usage(fmt.Sprintf("--%s %q: must be true, false, unknown", name, text), ""))
		return otherwise
	}
}

func (r *flagReader) budget() *recommend.Budget {
	per := r.word("per", "", "each", "pair", "all")
	text := r.c.String("budget")
	if text == "" {
		if per != "" {
			r.fail(usage("--per needs --budget", "--budget 60USD --per "+per))
		}
		return nil
	}
	money, err := quantity.ParseMoney(text)
	if err != nil {
		r.fail(named("budget", err))
		return nil
	}
	return &recommend.Budget{Amount: money.Amount, Currency: recommend.Word(money.Currency), Per: per}
}

func (r *flagReader) place(b *bench, otherwise recommend.Word) recommend.Word {
	text := r.c.String("where")
	if text == "" {
		return otherwise
	}
	place, near, ok := data.FindPlace(b.known.Places, text)
	if !ok {
		hint := "a country code such as GB, or a region such as US-VA"
		if len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "?"
		}
		r.fail(usage(fmt.Sprintf("--where %q is not a place that is known", text), hint))
		return otherwise
	}
	return recommend.Word(place.Code)
}

// weights reads output=…,pattern=…,heat=… in any order; all three are needed.
func (r *flagReader) weights(need *recommend.Need) {
	text := r.c.String("weights")
	if text == "" {
		return
	}
	const form = "--weights output=0.5,pattern=0.3,heat=0.2"
	values := map[string]float64{}
	for _, part := range strings.Split(text, ",") {
		name, number, ok := strings.Cut(strings.TrimSpace(part), "=")
		value, err := plainNumber(number)
		if !ok || err != nil || !slices.Contains([]string{"output", "pattern", "heat"}, name) {
			r.fail(usage(fmt.Sprintf("--weights %q: three numbers named output, pattern and heat are wanted", text), form))
			return
		}
		if _, twice := values[name]; twice {
			r.fail(usage(fmt.Sprintf("--weights %q: %s is given twice", text, name), form))
			return
		}
		values[name] = value
	}
	if len(values) != 3 {
		r.fail(usage(fmt.Sprintf("--weights %q: all three of output, pattern and heat are wanted", text), form))
		return
	}
	if err := need.SetWeights(recommend.Weights{Output: values["output"], Pattern: values["pattern"], Heat: values["heat"]}); err != nil {
		r.fail(usage("--weights "+err.Error(), form))
	}
}

// plainNumber reads a finite decimal number without sign tricks or exponents.
func plainNumber(text string) (float64, error) {
	value, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) || strings.ContainsAny(text, "_xXpP") {
		return 0, fmt.Errorf("%q is not a plain number", text)
	}
	return value, nil
}
