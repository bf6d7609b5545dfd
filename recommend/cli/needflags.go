package cli

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"stillbright/data"
	"stillbright/recommend"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/need"
	"stillbright/recommend/question"
)

const (
	groupNeed   = "the need"
	groupOutput = "the answer"
)

// needFlags are the flags of an owner's need, the same for every verb.
func needFlags() (flags []cli.Flag) {
	for _, f := range need.Facts() {
		switch f.Kind {
		case need.OfRoads:
			flags = append(flags, &cli.StringSliceFlag{Name: f.Flag, Usage: f.Help, Category: groupNeed})
		case need.OfWish:
			flags = append(flags, &cli.BoolFlag{Name: f.Flag, Usage: f.Help, Category: groupNeed})
		default:
			flags = append(flags, &cli.StringFlag{Name: f.Flag, Usage: f.Help, Category: groupNeed})
		}
	}
	return flags
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
	n, err := fromCar(c, b)
	if err != nil {
		return n, err
	}
	facts := need.Facts()
	for i := range facts {
		f := &facts[i]
		text, given := flagText(c, f)
		if !given {
			continue
		}
		if err := f.Take(&n, text, b.toKnow()); err != nil {
			return n, named(f.Flag, err)
		}
	}
	return n, nil
}

// flagText is a fact as the command line gives it. An empty word of a closed list
// is a slip to be told; any other empty value says nothing.
func flagText(c *cli.Context, f *need.Fact) (text string, given bool) {
	switch f.Kind {
	case need.OfRoads:
		text = strings.Join(c.StringSlice(f.Flag), ",")
	case need.OfWish:
		return strconv.FormatBool(c.Bool(f.Flag)), c.IsSet(f.Flag)
	default:
		text = c.String(f.Flag)
	}
	return text, text != "" || c.IsSet(f.Flag) && (f.Kind == need.OfWord || f.Kind == need.OfPer)
}

// toKnow is what the words of a need are held against.
func (b *bench) toKnow() need.Known {
	known := need.Known{Places: b.known.Places, RoadsMeant: func(word string) []string {
		return question.New(b.words(), nil).Read("headlights, mostly " + word + " roads").Driving
	}}
	for _, profile := range b.known.Rules.Driving {
		known.Roads = append(known.Roads, profile.Name)
	}
	return known
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
	hint := "list them with: stillbright car list"
	if len(b.catalog.Cars) == 0 {
		hint = noCar
	}
	if near := data.Near(name, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return data.Car{}, usage(fmt.Sprintf("car %q is not in the catalog %q", name, b.catalog.Name), hint)
}

// noCar is the hint where a catalog keeps no car.
const noCar = "keep one with: stillbright car add my-car"

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
	hint := "list them with: stillbright catalog list"
	if near := data.Near(name, names); len(near) > 0 {
		hint = "did you mean " + strings.Join(near, " or ") + "?"
	}
	return data.Bulb{}, usage(fmt.Sprintf("bulb %q is not in the catalog %q", name, b.catalog.Name), hint)
}

// idOf is the id of the bulb that is meant, or the name itself where none is.
func (b *bench) idOf(name string) string {
	if bulb, err := b.bulb(name); err == nil {
		return bulb.ID
	}
	return name
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
	if text == "" && !r.c.IsSet(name) {
		return otherwise
	}
	value, err := need.Legal(name, text, legal)
	if err != nil {
		r.fail(named(name, err))
		return otherwise
	}
	return value
}

// number reads a quantity; a bare number is in unit.
func (r *flagReader) number(name, unit string, least, most, otherwise float64) float64 {
	text := r.c.String(name)
	if text == "" {
		return otherwise
	}
	value, err := need.Within(text, unit, least, most)
	if err != nil {
		r.fail(named(name, err))
		return otherwise
	}
	return value
}

// named is the fault of a flag's value.
func named(flag string, err error) error {
	hint, plain := wrong.HintOf(err)
	return usage("--"+flag+" "+plain, hint)
}

func (r *flagReader) optional(name, unit string, least, most float64, otherwise *float64) *float64 {
	if r.c.String(name) == "" {
		return otherwise
	}
	value := r.number(name, unit, least, most, 0)
	return &value
}

// place reads the flag of a place whose rules apply; empty where it says nothing.
func (r *flagReader) place(b *bench) recommend.Word {
	var n recommend.Need
	where := need.Of(need.Where)
	if text := r.c.String(where.Flag); text != "" {
		if err := where.Take(&n, text, b.toKnow()); err != nil {
			r.fail(named(where.Flag, err))
		}
	}
	return n.Where
}
