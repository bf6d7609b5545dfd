package data

import (
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Implausible looks for what is legal and yet unlikely: a slip of the keyboard,
// a wrong unit, a page copied twice. Every fault is a warning that names its
// reason, with File (the record's origin) and Path; Locate of the folder adds
// line and column. The catalog must be valid and its sizes brought to their
// category, as Validate leaves them; today bounds the dates, and empty does not.
func (c *Catalog) Implausible(sizes []Size, rules CheckRules, today Date) Faults {
	k := checker{catalog: c, sizes: sizes, rules: rules, today: today, stock: stockHistory(c)}
	for i := range c.Bulbs {
		b := &c.Bulbs[i]
		k.file = b.Origin
		k.priceMissing(b)
		k.wattsAboveRating("supply.watts", b, Rig{Size: b.Size, Beam: BeamBoth}, Test{Watts: b.Supply.Watts})
		for j := range b.Lots {
			lot := &b.Lots[j]
			k.dateAhead(fmt.Sprintf("lots[%d].bought", j), lot.Bought)
			for n := range lot.Tests {
				k.test(fmt.Sprintf("lots[%d].tests[%d]", j, n), b, lot.Tests[n])
			}
		}
	}
	return k.faults
}

// checker holds what the rules look at.
type checker struct {
	catalog *Catalog
	sizes   []Size
	rules   CheckRules
	today   Date
	stock   map[stockKey][]float64
	seen    map[string]string // a test's rig, day and readings -> where it stood first
	file    string
	faults  Faults
}

func (k *checker) warn(path, message, hint string) {
	k.faults = append(k.faults, Fault{File: k.file, Path: path, Message: message, Hint: hint, Warning: true})
}

// miss remarks on a figure that is not there: nothing about it is implausible.
func (k *checker) miss(path, message, hint string) {
	k.warn(path, message, hint)
	k.faults[len(k.faults)-1].Absent = true
}

func (k *checker) test(at string, b *Bulb, t Test) {
	rig, ok := k.catalog.Rig(t.Rig)
	if !ok {
		return
	}
	k.dateAhead(at+".date", t.Date)
	k.ambientUnusual(at, t)
	k.voltsMissing(at, t)
	k.hotAboveCold(at, b, t)
	k.wattsAboveRating(at+".watts", b, rig, t)
	k.stockOffHistory(at, t)
	k.luxAgainstDistance(at, rig, t)
	k.luxAgainstStock(at, t)
	k.testTwice(at, t)
}

// priceMissing: a bulb without a price is never held against a budget.
func (k *checker) priceMissing(b *Bulb) {
	if b.Price == nil {
		k.miss("price", "is missing, so the bulb cannot be held against a budget", "price: 60USD, and per: pair")
	}
}

// dateAhead: a bench does not know tomorrow.
func (k *checker) dateAhead(path string, day Date) {
	if k.today != "" && day > k.today {
		k.warn(path, fmt.Sprintf("%s lies in the future; today is %s", day, k.today), "")
	}
}

// ambientUnusual: far from room temperature the warm-up says little about other
// days, and a Fahrenheit reading typed as Celsius shows here.
func (k *checker) ambientUnusual(at string, t Test) {
	low, high := k.rules.AmbientLow.Value, k.rules.AmbientHigh.Value
	if t.Ambient != nil && (*t.Ambient < low || *t.Ambient > high) {
		k.warn(at+".ambient", fmt.Sprintf("%s C is outside %s to %s C: %s", plain(*t.Ambient), plain(low), plain(high), k.rules.AmbientHigh.Why), "")
	}
}

// voltsMissing: a halogen's light goes with the 3.4th power of its volts, so
// that vs stock is not known to a third without them.
func (k *checker) voltsMissing(at string, t Test) {
	if (t.Stock.First != nil || t.Stock.Last != nil) && t.Stock.Volts == nil {
		k.miss(at+".stock", "volts are missing; a halogen at 12.0 V gives 24 to 28 percent less than at 13.2 V, so vs stock gets a wide band", "measure at the plug, halogen lit: volts: 13.2")
	}
	if t.Volts == nil && len(t.Readings) > 0 {
		k.miss(at+".volts", "is missing; without it nobody can repeat the test", "measure at the plug, bulb lit: volts: 13.2")
	}
}

// hotAboveCold: the light of an LED falls as its junction warms; more light at
// the end than at switch-on means two readings changed places or a meter moved.
func (k *checker) hotAboveCold(at string, b *Bulb, t Test) {
	if b.Kind != KindLED || len(t.Readings) < 2 {
		return
	}
	last := len(t.Readings) - 1
	cold, hot := t.Readings[0].Lux, t.Readings[last].Lux
	if rise := 100 * (hot/cold - 1); rise > k.rules.HotAboveCold.Value {
		k.warn(fmt.Sprintf("%s.readings[%d].lux", at, last), fmt.Sprintf("%s lx hot is %.0f percent above %s lx at switch-on: %s",
			plain(hot), rise, plain(cold), k.rules.HotAboveCold.Why), "check the readings, and whether the meter was moved")
	}
}

// wattsAboveRating: an LED rarely takes more than its pack claims, and a
// halogen no more than the greatest power of its size.
func (k *checker) wattsAboveRating(path string, b *Bulb, rig Rig, t Test) {
	if t.Watts == nil {
		return
	}
	limit, whose := 0.0, ""
	switch {
	case b.Kind == KindLED && b.Claims.Watts != nil:
		limit, whose = *b.Claims.Watts, "the pack claims"
		if b.Claims.Per == "pair" {
			limit, whose = limit/2, "the pack claims for one of a pair"
		}
	case b.Kind == KindHalogen:
		limit, whose = k.mostWatts(rig, t), "is the most of size "+b.Size
	}
	if most := limit * (1 + k.rules.WattsOver.Value/100); limit > 0 && *t.Watts > most {
		k.warn(path, fmt.Sprintf("%s W is above the %s W that %s: %s", plain(*t.Watts), plain(limit), whose, k.rules.WattsOver.Why), "check whether two bulbs were measured together")
	}
}

// mostWatts is the greatest power of a halogen's filament; 0 when not known.
func (k *checker) mostWatts(rig Rig, t Test) float64 {
	size, ok := SizeOf(k.sizes, rig.Size)
	if !ok {
		return 0
	}
	most := 0.0
	for _, f := range size.Functions {
		beam := t.Beam
		if beam == "" {
			beam = rig.Beam
		}
		if f.MaxW != nil && (beam == BeamBoth || f.Beam == "any" || f.Beam == beam) {
			most = max(most, *f.MaxW)
		}
	}
	return most
}

// luxAgainstDistance: lux times the square of the distance is the intensity, and
// a headlamp's hot spot lies within known bounds. Feet taken for metres are off
// by 10.8.
func (k *checker) luxAgainstDistance(at string, rig Rig, t Test) {
	level, path := stockLevel(at, t)
	beam := rig.Beam
	if beam == BeamBoth {
		beam = t.Beam
	}
	if level == 0 || rig.Distance == nil || beam == BeamFog {
		return
	}
	candela := level * *rig.Distance * *rig.Distance
	low, high := k.rules.CandelaLow, k.rules.CandelaHigh
	var why string
	switch {
	case candela < low.Value:
		why = low.Why
	case candela > high.Value:
		why = high.Why
	default:
		return
	}
	k.warn(path, fmt.Sprintf("%s lx at %s m is %.3g cd, outside %s to %s cd: %s", plain(level), plain(*rig.Distance), candela, plain(low.Value), plain(high.Value), why),
		"check the unit of the reading, and the distance of rig "+rig.ID)
}

// luxAgainstStock: a bulb and the halogen in one lamp differ by a few times at
// most. A foot-candle taken for a lux is off by 10.8.
func (k *checker) luxAgainstStock(at string, t Test) {
	if len(t.Readings) == 0 {
		return
	}
	level, _ := stockLevel(at, t)
	whose := "the halogen's"
	if level == 0 {
		history := k.stock[stockKeyOf(t)]
		if len(history) == 0 {
			return
		}
		level, whose = median(history), "the halogen's usual"
	}
	times, first := k.rules.TimesStock.Value, t.Readings[0].Lux
	if first > level*times || first < level/times {
		k.warn(at+".readings[0].lux", fmt.Sprintf("%s lx against %s %s lx is %.2g times; more than %s times either way is unlikely: %s",
			plain(first), whose, plain(level), first/level, plain(times), k.rules.TimesStock.Why), "check the unit of both readings")
	}
}

// testTwice: the same readings on the same day in the same rig are one test
// entered twice, or one bulb's page copied to another.
func (k *checker) testTwice(at string, t Test) {
	if len(t.Readings) == 0 {
		return
	}
	key := fmt.Sprint(t.Rig, "|", t.Beam, "|", t.Date, "|", t.Readings)
	if k.seen == nil {
		k.seen = map[string]string{}
	}
	first, twice := k.seen[key]
	if !twice {
		k.seen[key] = k.file + " " + at
		return
	}
	k.warn(at, "the same rig, day and readings stand in "+first+": one test entered twice, or copied to another bulb", "keep one")
}

// stockLevel is the mean of the halogen's readings and where it stands; 0 when
// there is none.
func stockLevel(at string, t Test) (level float64, path string) {
	first, last := t.Stock.First, t.Stock.Last
	switch {
	case first != nil && last != nil:
		return (*first + *last) / 2, at + ".stock.first"
	case first != nil:
		return *first, at + ".stock.first"
	case last != nil:
		return *last, at + ".stock.last"
	}
	return 0, at
}

func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	middle := len(sorted) / 2
	if len(sorted)%2 == 1 {
		return sorted[middle]
	}
	return (sorted[middle-1] + sorted[middle]) / 2
}

// plain prints a number for a message, with four significant digits at most.
func plain(value float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(value, 'e', 3, 64), 64)
	if err != nil || math.IsInf(rounded, 0) {
		rounded = value
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
