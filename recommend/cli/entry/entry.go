// Package entry asks for the facts of a record, one question for each, and makes the
// record of the answers; a test may be given by flags instead.
package entry

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"

	"stillbright/data"
	"stillbright/data/quantity"
	"stillbright/data/store"
	"stillbright/recommend/cli/wrong"
	"stillbright/recommend/plaintext"
)

// Entry is a test as far as it is known: texts by key. An empty text is
// "don't know". Readings and notes are numbered: readings[0], notes[0].
type Entry struct {
	Answers map[string]string
	Draft   *store.Draft // nil: nothing is journalled
	allRead bool         // the flags give the readings
}

// set takes an answer and puts it on the disk.
func (e *Entry) set(key, value string) error {
	if e.Draft != nil {
		if err := e.Draft.Append(key, value); err != nil {
			return err
		}
	}
	e.Answers[key] = value
	return nil
}

// has says whether a key was answered, be it with "don't know".
func (e *Entry) has(key string) bool {
	_, ok := e.Answers[key]
	return ok
}

// Listed are the values of a numbered key, in order.
func (e *Entry) Listed(key string) []string {
	var values []string
	for i := 0; e.has(Numbered(key, i)); i++ {
		if value := e.Answers[Numbered(key, i)]; value != "" {
			values = append(values, value)
		}
	}
	return values
}

func Numbered(key string, i int) string { return fmt.Sprintf("%s[%d]", key, i) }

// readings reads what was typed as minute=lux, several in one answer.
func (e *Entry) readings() ([]data.Reading, error) {
	var list []data.Reading
	for _, text := range e.Listed("readings") {
		some, err := ParseReadings(text)
		if err != nil {
			return nil, err
		}
		list = append(list, some...)
	}
	for i := 1; i < len(list); i++ {
		if list[i].At <= list[i-1].At {
			return nil, fmt.Errorf("reading at %s min is not later than the one before it, at %s min: list readings in the order of time", quantity.Number(list[i].At), quantity.Number(list[i-1].At))
		}
	}
	return list, nil
}

// ParseReadings reads "0min=1001 5=890lx, 30min = 832".
func ParseReadings(text string) ([]data.Reading, error) {
	text = strings.NewReplacer(",", " ", ";", " ", " min", "min", " lx", "lx", " lux", "lux").Replace(text)
	text = strings.Join(strings.FieldsFunc(strings.ReplaceAll(text, "=", " = "), func(r rune) bool { return r == ' ' || r == '\t' }), " ")
	text = strings.ReplaceAll(text, " = ", "=")
	var list []data.Reading
	for _, part := range strings.Fields(text) {
		at, light, ok := strings.Cut(part, "=")
		if !ok {
			return nil, fmt.Errorf("%q: a reading is minute=lux, for example 30min=832", part)
		}
		reading, err := ReadingOf(at, light)
		if err != nil {
			return nil, err
		}
		list = append(list, reading)
	}
	if len(list) == 0 {
		return nil, fmt.Errorf("%q: a reading is minute=lux, for example 30min=832", text)
	}
	return list, nil
}

// Limits of a reading of a record (data.Reading).
const (
	MostReadingMin  = 1440
	leastReadingLux = 0.1
	mostReadingLux  = 1e6
)

func ReadingOf(at, light string) (data.Reading, error) {
	minutes, err := quantity.ParseBare(at, "min")
	if err != nil {
		_, message := wrong.HintOf(err)
		return data.Reading{}, fmt.Errorf("the time %s", message)
	}
	lux, err := quantity.ParseBare(light, "lx")
	if err != nil {
		_, message := wrong.HintOf(err)
		return data.Reading{}, fmt.Errorf("the light %s", message)
	}
	return CheckedReading(data.Reading{At: Tidy(minutes), Lux: Tidy(lux)})
}

func CheckedReading(r data.Reading) (data.Reading, error) {
	switch {
	case !(r.At >= 0 && r.At <= MostReadingMin):
		return r, fmt.Errorf("%s min: must be from 0 to %d min", quantity.Number(r.At), MostReadingMin)
	case !(r.Lux >= leastReadingLux && r.Lux <= mostReadingLux):
		return r, fmt.Errorf("%s lux: must be from %g to %.0f lux", quantity.Number(r.Lux), leastReadingLux, mostReadingLux)
	}
	return r, nil
}

// Test builds the record of the test.
func (e *Entry) Test() (data.Test, error) {
	var test data.Test
	if err := e.record("test", &test, map[string]string{"rig": e.Id("rig")}); err != nil {
		return test, err
	}
	var err error
	if test.Readings, err = e.readings(); err != nil {
		return test, wrong.Use(err.Error(), "--reading 0min=1001 --reading 30min=832")
	}
	test.Notes = e.Listed("notes")
	return test, nil
}

// record decodes the answers of one record by the strict rules of a file.
func (e *Entry) record(name string, target any, more map[string]string) error {
	texts := maps.Clone(more)
	for key, value := range e.Answers {
		if own, ok := strings.CutPrefix(key, name+"."); ok && value != "" {
			texts[own] = value
		}
	}
	_, faults := store.Decode(name, []byte(recordText(texts)), target)
	if len(faults) > 0 {
		return wrong.Use(fmt.Sprintf("%s: %s: %s", name, faults[0].Path, faults[0].Message), faults[0].Hint)
	}
	return nil
}

// recordText writes keys such as stock.first as the YAML of a record. format and
// other numbers of the record stand quoted like the rest: the reader takes a
// value by its key, not by its form.
func recordText(texts map[string]string) string {
	if len(texts) == 0 {
		return "{}\n"
	}
	var text strings.Builder
	keys := slices.Sorted(maps.Keys(texts))
	// A group's own keys stand together, and a plain key before the groups.
	sort.SliceStable(keys, func(i, j int) bool { return groupOf(keys[i]) < groupOf(keys[j]) })
	var open []string
	for _, key := range keys {
		path := strings.Split(key, ".")
		groups := path[:len(path)-1]
		shared := 0
		for shared < len(groups) && shared < len(open) && groups[shared] == open[shared] {
			shared++
		}
		for i := shared; i < len(groups); i++ {
			fmt.Fprintf(&text, "%s%s:\n", strings.Repeat("  ", i), groups[i])
		}
		open = groups
		fmt.Fprintf(&text, "%s%s: %s\n", strings.Repeat("  ", len(groups)), path[len(path)-1], Quoted(texts[key]))
	}
	return text.String()
}

// groupOf is the group a key stands in; keys without one come first.
func groupOf(key string) string {
	cut := strings.LastIndexByte(key, '.')
	if cut < 0 {
		return ""
	}
	return key[:cut]
}

// Quoted writes typed text as a YAML scalar that can be nothing else: true and
// false stay words of their own, everything else stands in single quotes.
func Quoted(text string) string {
	if text == "true" || text == "false" {
		return text
	}
	return "'" + strings.ReplaceAll(plaintext.Clean(text), "'", "''") + "'"
}
