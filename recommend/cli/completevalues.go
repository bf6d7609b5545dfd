package cli

import (
	"os"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/quantity"
	"stillbright/data/store"
	"stillbright/recommend/cli/entry"
	"stillbright/recommend/need"
)

// source makes the candidates for a value or an argument. A nil source is a
// decision too: nothing can be offered.
type source func(*slot) candidates

// argumentsOf says what the arguments of a verb are.
func argumentsOf(path string) (source, bool) {
	wanted, ok := map[string]source{
		"pick":           nil,
		"fit":            upTo(1, bulbs),
		"reply":          nil,
		"compare":        upTo(6, bulbs),
		"show":           upTo(1, bulbs),
		"size":           sizesAndMarkings,
		"law":            upTo(1, places),
		"aim":            nil,
		"bench add":      upTo(1, bulbs),
		"bench run":      upTo(1, bulbs),
		"bench reduce":   upTo(1, files("csv", "tsv", "txt")),
		"pattern":        nil,
		"car add":        nil,
		"car list":       nil,
		"car show":       upTo(1, cars),
		"catalog start":  upTo(1, folders),
		"catalog check":  nil,
		"catalog import": upTo(1, files("csv", "tsv", "xlsx", "json")),
		"catalog export": upTo(1, files("csv", "xlsx", "json")),
		"catalog list":   nil,
		"completion":     upTo(1, oneOf(known.CompletionShells()...)),
		"help":           helpWords,
	}[path]
	if wanted == nil {
		return func(*slot) candidates { return candidates{} }, ok
	}
	return wanted, ok
}

// valueOf says what the values of a flag are: by verb where a name means
// different things, else by name. A fact of a bench record is known by its tags.
func valueOf(path, flag string) (wanted source, decided bool) {
	if wanted, decided = valuesByVerb()[path+" --"+flag]; decided {
		return wanted, true
	}
	if path == "bench add" || path == "bench run" {
		if wanted, decided = recordValue(flag); decided {
			return wanted, true
		}
	}
	wanted, decided = valuesByName()[flag]
	return wanted, decided
}

func valuesByVerb() map[string]source {
	return map[string]source{
		"law --beam":              oneOf("low", "high", "fog", "drl"),
		"aim --beam":              oneOf("low", "high", "fog"),
		"aim --marking":           oneOf("VOL", "VOR", "VO", "UN"),
		"aim --plot":              files("svg", "pdf", "png"),
		"pattern --beam":          oneOf("low", "high", "fog"),
		"pattern --marks":         nil, // pixels
		"pattern --rig":           rigs,
		"pick --picture":          oneOf(pickPictures...),
		"compare --picture":       oneOf(comparePictures...),
		"car add --canbus":        oneOf("true", "false"),
		"car add --name":          nil,
		"bench add --bulb":        bulbs,
		"bench run --bulb":        bulbs,
		"bench add --rig":         rigs,
		"bench run --rig":         rigs,
		"bench add --marks":       keyValues(digits, "cutoff", "hot_spot", "stray", "dark", "width"),
		"bench add --parts":       keyValues(nil, "sharpness", "hot_spot", "stray", "dark", "width"),
		"bench reduce --stock":    amount("lx"),
		"catalog import --rig":    rigs,
		"catalog import --lot":    nil,
		"catalog import --date":   day,
		"catalog import --sheet":  nil,
		"bench reduce --column":   nil,
		"reply --column":          nil,
		"catalog start --name":    nil,
		"catalog list --size":     sizes,
		"catalog import --lux-at": amount("min"),
	}
}

func valuesByName() map[string]source {
	values := map[string]source{
		"aperture":         amount("mm"),
		"at":               amount("min"),
		"axis":             nil,
		"blur-px":          nil,
		"catalog":          folders,
		"currency":         currencies,
		"cutoff":           oneOf("un", "vol", "vor"),
		"days":             oneOf("day_first", "month_first"),
		"decimal":          oneOf("point", "comma"),
		"dip":              amount("%", "deg"),
		"distance":         amount("m"),
		"first":            amount("min"),
		"from":             files("csv", "tsv", "jsonl", "txt"),
		"grade":            keyValues(digits, "cutoff", "hot_spot", "stray", "dark", "width"),
		"grid":             files("csv", "ies"),
		"height":           amount("mm"),
		"lamp":             lampKeys,
		"limits":           limits,
		"load":             oneOf("empty", "driver", "full"),
		"long-photo":       files("png", "jpg", "jpeg", "tif", "tiff", "dng"),
		"long-stock-photo": files("png", "jpg", "jpeg", "tif", "tiff", "dng"),
		"map":              files("yaml"),
		"note":             nil,
		"off-photo":        files("png", "jpg", "jpeg", "tif", "tiff", "dng"),
		"photo":            files("png", "jpg", "jpeg", "tif", "tiff", "dng"),
		"plan":             nil, // minutes
		"plot":             files("png", "svg"),
		"px-per-deg":       nil,
		"reading":          nil, // minute and lux
		"rig-projector":    rigs,
		"rig-reflector":    rigs,
		"save":             bulbs,
		"save-map":         files("yaml"),
		"seed":             nil,
		"stock-grid":       files("csv", "ies"),
		"stock-last":       amount("lx"),
		"stock-lux":        amount("lx"),
		"stock-photo":      files("png", "jpg", "jpeg", "tif", "tiff", "dng"),
		"photos":           folders,
		"check-photos":     folders,
		"marks-photo":      files("png", "jpg", "jpeg", "tif", "tiff", "dng"),
		"marks-apart":      nil,
		"lux-at":           nil,
		"stock-lux-at":     nil,
		"sheet":            files("pdf"),
		"tone":             oneOf("srgb", "linear"),
		"stock-volts":      amount("V"),
		"style":            oneOf("full", "short", "markdown"),
		"tilt":             nil,
		"time-unit":        oneOf("s", "min", "h"),
		"to":               files("csv", "tsv", "jsonl"),
		"top":              nil,
		"traffic":          oneOf("left", "right"),
	}
	for _, f := range need.Facts() {
		values[f.Flag] = factValues(f)
	}
	return values
}

// factValues is what the flag of a fact of the need takes.
func factValues(f need.Fact) source {
	switch f.Kind {
	case need.OfSize:
		return sizes
	case need.OfRoads:
		return driving
	case need.OfCar:
		return cars
	case need.OfNumber:
		return amount(f.Unit)
	case need.OfTruth:
		return oneOf("true", "false", "unknown")
	case need.OfMoney:
		return money
	case need.OfPlace:
		return places
	case need.OfWeights:
		return keyValues(nil, "output", "pattern", "heat")
	}
	return oneOf(f.Words...)
}

// recordValue finds what a flag of the bench verbs takes by the tags of the
// record it fills.
func recordValue(flag string) (source, bool) {
	for _, f := range entry.Fields(data.NewBulb, data.OfBulb, data.NewRig, data.OfLot, data.BeforeTest, data.AfterTest, data.OfPattern) {
		if f.Flag == flag {
			return tagValue(f.Tag, f.IsSize(), f.IsTruth(), f.Key == "test.date" || f.Key == "lot.bought", f.Key == "bulb.price"), true
		}
	}
	return nil, false
}

func tagValue(tag reflect.StructTag, isSize, isTruth, isDay, isMoney bool) source {
	switch words, unit := tag.Get("enum"), tag.Get("unit"); {
	case words != "":
		return oneOf(strings.Split(words, "|")...)
	case isSize:
		return sizes
	case isTruth:
		return oneOf("true", "false")
	case isDay:
		return day
	case isMoney:
		return money
	case unit != "":
		return amount(unit)
	}
	return nil
}

// upTo offers candidates for the first n arguments, but for those given.
func upTo(n int, wanted source) source {
	return func(s *slot) candidates {
		if len(s.args) >= n {
			return candidates{}
		}
		c := wanted(s)
		c.items = slices.DeleteFunc(c.items, func(i item) bool { return slices.Contains(s.args, i.value) })
		return c
	}
}

func oneOf(words ...string) source {
	return func(s *slot) candidates {
		var items []item
		for _, word := range words {
			items = append(items, item{word, meaning(word)})
		}
		return candidates{items: matching(items, s.current)}
	}
}

// meanings are said beside words that do not speak for themselves; those of the
// need stand in its table.
var meanings = map[string]string{
	"drl": "daytime running light",
	"VOL": "US, aimed by the cutoff on the left", "VOR": "US, aimed by the cutoff on the right", "UN": "circle E on the lens",
	"vol": "US, cutoff on the left", "vor": "US, cutoff on the right", "un": "circle E on the lens",
	"driver": "only the driver on board", "full": "all seats taken, or everything shown", "empty": "nobody on board",
	"short": "under 500 characters", "day_first": "3/4 is 3 April", "month_first": "3/4 is March 4",
}

func meaning(word string) string {
	text := meanings[word]
	for _, f := range need.Facts() {
		if text == "" && f.Kind != need.OfRoads {
			text = f.Means[word]
		}
	}
	return text
}

func files(endings ...string) source {
	return func(*slot) candidates { return candidates{files: endings} }
}

func folders(*slot) candidates { return candidates{folder: true} }

func day(s *slot) candidates {
	return candidates{items: matching([]item{{string(s.env.today()), "today"}}, s.current)}
}

// amount offers the units behind a number.
func amount(units ...string) source {
	return func(s *slot) candidates {
		all := slices.Clone(units)
		if kind, ok := quantity.Kind(units[0]); ok {
			for _, unit := range quantity.UnitsOf(kind) {
				if !slices.Contains(all, unit) {
					all = append(all, unit)
				}
			}
		}
		return behindNumber(s.current, all)
	}
}

func money(s *slot) candidates { return behindNumber(s.current, usualCurrencies) }

// usualCurrencies are offered; every ISO 4217 code is taken.
var usualCurrencies = []string{"USD", "EUR", "GBP", "CAD", "AUD", "NZD", "CHF", "JPY", "SEK", "NOK", "DKK", "PLN", "CZK", "INR", "BRL", "MXN", "ZAR"}

func currencies(s *slot) candidates { return oneOf(usualCurrencies...)(s) }

func behindNumber(typed string, units []string) candidates {
	number := typed[:len(typed)-len(strings.TrimLeft(typed, "0123456789."))]
	if number == "" {
		return candidates{}
	}
	var items []item
	for _, unit := range units {
		items = append(items, item{value: number + unit})
	}
	return candidates{items: matching(items, typed)}
}

var digits = oneOf("0", "1", "2", "3")

// keyValues offers the parts of key=value,key=value that are still missing.
func keyValues(values source, names ...string) source {
	return func(s *slot) candidates {
		return keyed(s, names, func(string) source { return values })
	}
}

func keyed(s *slot, names []string, values func(name string) source) candidates {
	start := strings.LastIndexByte(s.current, ',') + 1
	inner := *s
	inner.current = s.current[start:]
	if name, _, isValue := strings.Cut(inner.current, "="); isValue {
		wanted := values(name)
		if wanted == nil {
			return candidates{}
		}
		start += len(name) + 1
		inner.current = s.current[start:]
		c := wanted(&inner)
		c.skip, c.list = start, true
		return c
	}
	var items []item
	for _, name := range names {
		if !strings.Contains(","+s.current[:start], ","+name+"=") {
			items = append(items, item{value: name + "="})
		}
	}
	return candidates{items: matching(items, inner.current), skip: start, open: true}
}

// lampKeys offers the keys of a lamp and their values, by the record's tags.
func lampKeys(s *slot) candidates {
	of := reflect.TypeFor[data.Lamp]()
	sources := map[string]source{}
	var names []string
	for i := range of.NumField() {
		field := of.Field(i)
		key := field.Tag.Get("yaml")
		if key == "" || key == "-" || field.Type.Kind() == reflect.Slice {
			continue
		}
		names = append(names, key)
		sources[key] = tagValue(field.Tag, key == "size", field.Type == reflect.TypeFor[*bool](), false, false)
	}
	return keyed(s, names, func(name string) source { return sources[name] })
}

// driving offers the environments that are not named yet.
func driving(s *slot) candidates {
	start := strings.LastIndexByte(s.current, ',') + 1
	named := strings.Split(strings.ToLower(strings.Join(append(slices.Clone(s.given["driving"]), s.current[:start]), ",")), ",")
	var items []item
	for _, profile := range known.Rules().Driving {
		if !slices.Contains(named, profile.Name) {
			items = append(items, item{value: profile.Name})
		}
	}
	return candidates{items: matching(items, s.current[start:]), skip: start, list: true}
}

// sizes offers the categories, and other names once one is typed.
func sizes(s *slot) candidates {
	var items []item
	for _, size := range known.Sizes() {
		items = append(items, item{size.Category, strings.Join(size.Beams, ", ")})
		if s.current == "" {
			continue
		}
		for _, alias := range size.Aliases {
			items = append(items, item{alias, size.Category})
		}
		for _, variant := range size.Variants {
			items = append(items, item{variant.Name, "see " + size.Category})
		}
	}
	return candidates{items: distinct(matching(items, s.current))}
}

func sizesAndMarkings(s *slot) candidates {
	c := sizes(s)
	for _, marking := range known.Markings() {
		c.items = append(c.items, matching([]item{{marking.Mark, marking.Meaning}}, s.current)...)
	}
	c.items = distinct(c.items)
	return c
}

// places offers the codes, and names once one is typed.
func places(s *slot) candidates {
	var codes, names []item
	for _, place := range known.Places() {
		codes = append(codes, item{place.Code, place.Name})
		for _, name := range append([]string{place.Name}, place.Aliases...) {
			names = append(names, item{name, place.Code})
		}
	}
	items := matching(codes, s.current)
	if s.current != "" {
		items = append(items, matching(names, s.current)...)
	}
	return candidates{items: distinct(items)}
}

func limits(s *slot) candidates {
	var items []item
	for _, table := range known.Limits() {
		if !slices.Contains(s.given["limits"], table.ID) {
			items = append(items, item{table.ID, table.Beam + ": " + table.Title})
		}
	}
	return candidates{items: matching(items, s.current)}
}

func distinct(items []item) []item {
	seen := map[string]bool{}
	return slices.DeleteFunc(items, func(i item) bool {
		again := seen[i.value]
		seen[i.value] = true
		return again
	})
}

func bulbs(s *slot) candidates {
	return s.records(store.BulbRecords, func(c data.Catalog) (items []item) {
		for _, b := range c.Bulbs {
			items = append(items, item{b.ID, b.Name})
		}
		return items
	})
}

func cars(s *slot) candidates {
	return s.records(store.CarRecords, func(c data.Catalog) (items []item) {
		for _, car := range c.Cars {
			items = append(items, item{car.ID, car.Name})
		}
		return items
	})
}

func rigs(s *slot) candidates {
	return s.records(store.RigRecords, func(c data.Catalog) (items []item) {
		for _, rig := range c.Rigs {
			items = append(items, item{rig.ID, rig.Name})
		}
		return items
	})
}

// records offers the records of the user's catalog, or of the demo where he
// has none. They are not checked: a fault in one of them is no reason to offer
// nothing.
func (s *slot) records(kind string, demo func(data.Catalog) []item) candidates {
	flag := ""
	if given := s.given["catalog"]; len(given) > 0 {
		flag = s.env.atHome(given[len(given)-1])
	}
	folder, named := s.env.catalogFolder(flag)
	if info, err := os.Stat(folder); folder == "" || err != nil || !info.IsDir() {
		if named && folder != "" {
			return candidates{}
		}
		return candidates{items: matching(demo(known.Demo()), s.current)}
	}
	var items []item
	for _, record := range store.Glance(os.DirFS(folder), kind, strings.ToLower(s.current)) {
		items = append(items, item{record.ID, record.Name})
	}
	return candidates{items: items}
}

// atHome puts the home folder for a leading ~, which the shell has not yet
// done in a line that is still being typed.
func (env *Env) atHome(path string) string {
	if rest, ok := strings.CutPrefix(path, "~/"); ok && env.Getenv("HOME") != "" {
		return env.Getenv("HOME") + "/" + rest
	}
	return path
}

// helpWords offers topics and verbs, then what stands below them.
func helpWords(s *slot) candidates {
	var items []item
	switch {
	case len(s.args) == 0:
		for _, topic := range helpTopics() {
			items = append(items, item{topic, "topic"})
		}
	case s.args[0] == "format" && len(s.args) == 1:
		for _, part := range store.FormatParts() {
			items = append(items, item{value: part})
		}
	case s.args[0] == "schemas" && len(s.args) == 1:
		for _, name := range slices.Concat(known.SchemaNames(), known.FileSchemaNames()) {
			items = append(items, item{value: name})
		}
	}
	level := s.env.commands()
	for _, word := range s.args {
		next := find(level, word)
		if next == nil {
			level = nil
			break
		}
		level = next.Subcommands
	}
	for _, command := range level {
		if !command.Hidden {
			items = append(items, item{command.Name, command.Usage})
		}
	}
	return candidates{items: matching(items, s.current)}
}
