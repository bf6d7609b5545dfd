package recommend

import (
	"fmt"
	"strconv"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
)

// buildFacts lists what is recorded of a bulb as an object, in the order of the
// record, units included; what is not known is left out.
func buildFacts(b data.Bulb) []Fact {
	f := factList{}
	number, word, truth := f.number, f.word, f.truth
	word("collar", b.Build.Collar)
	word("clocking", b.Build.Clocking)
	number("emitter depth", b.Build.Emitter, "mm")
	number("strip length", b.Build.Strip, "mm")
	number("board", b.Build.Board, "mm")
	truth("cup under the low emitters", b.Build.Cup)
	number("tip", b.Build.Tip, "mm")
	number("rear length", b.Build.Rear, "mm")
	number("body diameter", b.Build.BodyDia, "mm")
	word("cooling", b.Build.Cooling)
	word("ingress", b.Build.IngressBody)
	number("mass", b.Build.Mass, "g")
	word("driver", b.Supply.Driver)
	if b.Supply.VoltsMin != nil && b.Supply.VoltsMax != nil {
		f.facts = append(f.facts, Fact{"supply", fmt.Sprintf("%s to %s V", plainText(*b.Supply.VoltsMin), plainText(*b.Supply.VoltsMax))})
	}
	word("polarity", b.Supply.Polarity)
	number("watts", b.Supply.Watts, "W")
	number("amps at 13.5 V", b.Supply.Amps, "A")
	word("against bulb-out warnings", b.Supply.BulbOut)
	return f.known()
}

// factList collects recorded figures as text, and the names of those that are
// not known.
type factList struct {
	facts   []Fact
	unknown []string
}

// known is what was collected; never nil.
func (f *factList) known() []Fact {
	if f.facts == nil {
		return []Fact{}
	}
	return f.facts
}

func (f *factList) add(name, value string) {
	if value == "" {
		f.unknown = append(f.unknown, name)
		return
	}
	f.facts = append(f.facts, Fact{name, value})
}

func (f *factList) number(name string, value *float64, unit string) {
	text := ""
	if value != nil {
		text = quantity.Format(*value, unit, 4)
	}
	f.add(name, text)
}

func (f *factList) word(name, value string) { f.add(name, strings.ReplaceAll(value, "_", " ")) }

func (f *factList) truth(name string, value *bool) {
	text := ""
	if value != nil {
		text = map[bool]string{true: "yes", false: "no"}[*value]
	}
	f.add(name, text)
}

func plainText(value float64) string { return strconv.FormatFloat(value, 'f', -1, 64) }

// figuresOf reduces the readings of a test at the end of the trip, for the
// sheet and its curve; nil when they cannot be used.
func (d *decision) figuresOf(t tried) *figures {
	reduced, err := reduceReadings(readingsOf(t.test), d.need.TripMin, d.warmupOptions())
	if err != nil {
		return nil
	}
	return &reduced
}
