package sheet

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"stillbright/data"
)

// entry makes the records of a row from its cells.
func (r *rowReading) entry() (Entry, error) {
	p := r.p
	e := Entry{Lines: []int{r.row.Line}, Bulb: r.all.Bulb, Lot: r.all.Lot}
	if r.more[2] != "" {
		var rig data.Rig
		if err := overlay(r.more[2], &rig); err != nil {
			return e, fmt.Errorf("the rig: %w", err)
		}
		rig.Format = 1
		e.Rigs = append(e.Rigs, rig)
		if !slices.ContainsFunc(p.rigs, func(o data.Rig) bool { return o.ID == rig.ID }) {
			p.rigs = append(p.rigs, rig)
		}
	}
	e.Bulb.Format = 1
	if r.maker != "" && e.Bulb.Name != "" && !strings.HasPrefix(strings.ToLower(e.Bulb.Name), strings.ToLower(r.maker)+" ") {
		e.Bulb.Name = r.maker + " " + e.Bulb.Name
	} else if e.Bulb.Name == "" {
		e.Bulb.Name = r.maker
	}
	if e.Bulb.Kind == "" && has(headWords(e.Bulb.Name), []string{"halogen"}) {
		e.Bulb.Kind = data.KindHalogen
	}
	tests, err := r.tests()
	if err != nil {
		return e, err
	}
	// Each row brings the rigs it needs: another that needs them may fail.
	for _, rig := range p.made {
		if slices.ContainsFunc(tests, func(t data.Test) bool { return t.Rig == rig.ID }) {
			e.Rigs = append(e.Rigs, rig)
		}
	}
	if e.Bulb.Size == "" {
		e.Bulb.Size = r.all.Bulb.Size // found while looking for the rig
	}
	if e.Lot.Name == "" && len(tests) > 0 {
		e.Lot.Name = p.m.Lot
	}
	e.single = len(tests) > 0 && r.hotAt != nil && r.p.aRowAReading && !slices.ContainsFunc(tests, func(t data.Test) bool { return len(t.Readings) > 1 })
	if e.single {
		e.at = *r.hotAt
	}
	if err := r.name(&e.Bulb, tests); err != nil {
		return e, err
	}
	e.Tests = tests
	if r.more[0] != "" {
		if err := overlay(r.more[0], &e.Bulb); err != nil {
			return e, fmt.Errorf("more of the bulb: %w", err)
		}
	}
	if r.more[1] != "" {
		more := lotAndTest{Lot: e.Lot}
		if len(tests) == 1 {
			more.Test = tests[0]
		}
		if err := overlay(r.more[1], &more); err != nil {
			return e, fmt.Errorf("more of the test: %w", err)
		}
		e.Lot = more.Lot
		if len(tests) == 1 {
			e.Tests[0] = more.Test
		} else if !isMissing(reflect.ValueOf(more.Test)) {
			return e, errors.New("more of the test: the row holds no test, or more than one")
		}
	}
	return e, nil
}

// lotAndTest is what the column "more of the test" holds.
type lotAndTest struct {
	Lot  data.Lot  `yaml:"lot"`
	Test data.Test `yaml:"test"`
}

// tests makes one test for each housing and beam that the row measured.
func (r *rowReading) tests() ([]data.Test, error) {
	for _, u := range r.untimed {
		at := r.hotAt
		if at == nil {
			at = r.p.m.At
		}
		if at == nil {
			r.hint, r.about = "say it for the whole file: --lux-at 30min", []string{meansHotAt, meansLux}
			return nil, errors.New("a lux reading does not say how long the bulb had been lit")
		}
		t := r.part(Column{Housing: u.key.housing, Beam: u.key.beam})
		t.Readings = append(t.Readings, data.Reading{At: *at, Lux: u.lux})
	}
	common := r.all.Test
	for _, key := range r.order {
		if part := r.parts[key]; len(part.Readings) == 0 && part.Pattern != nil {
			common.Notes = append(slices.Clip(common.Notes), marksOf(strings.TrimSpace(key.housing+" "+key.beam), part.Pattern))
		}
	}
	var tests []data.Test
	var keys []partKey
	for _, key := range r.order {
		if part := r.parts[key]; len(part.Readings) > 0 {
			tests, keys = append(tests, laid(*part, common)), append(keys, key)
		}
	}
	switch {
	case len(tests) > 0 && len(common.Readings) > 0:
		return nil, errors.New("some lux columns say the housing or beam and others do not; the row cannot be divided into tests")
	case len(tests) == 0 && !hasFigures(common) && !(r.p.exported && common.Rig != ""):
		return nil, nil // a bulb without a test
	case len(tests) == 0:
		tests, keys = append(tests, common), append(keys, partKey{})
	}
	if len(tests) == 1 {
		addMarks(&tests[0], common.Pattern)
	}
	for i := range tests {
		t := &tests[i]
		sortReadings(t.Readings)
		if t.Date == "" {
			if t.Date = data.Date(r.p.m.Date); t.Date == "" {
				r.hint, r.about = "say it for the whole file: --date 2026-03-01", []string{"date"}
				return nil, errors.New("the day of the test is missing")
			}
		}
		if err := r.rig(t, keys[i]); err != nil {
			return nil, err
		}
	}
	r.shared(tests, common)
	return tests, nil
}

// hasFigures says whether a test holds more than where, when and notes.
func hasFigures(t data.Test) bool {
	t.Rig, t.Date, t.Beam, t.Notes = "", "", "", nil
	return !isMissing(reflect.ValueOf(t))
}

// laid puts a part of its own over what the row says in common.
func laid(part, common data.Test) data.Test {
	notes := slices.Concat(part.Notes, common.Notes)
	fillBlank(&part, common)
	part.Notes = notes
	return part
}

// rig finds the rig of a test: the id or name in the row, else the named or the
// only rig of that size, housing and beam.
func (r *rowReading) rig(t *data.Test, key partKey) error {
	p := r.p
	housing, beam := key.housing, key.beam
	if housing == "" {
		housing = r.housing
	}
	if beam == "" {
		beam = t.Beam
	}
	rig, called := p.rigCalled(t.Rig)
	if !called {
		p.fromSection(&r.all.Bulb.Size, p.section.size)
	}
	if t.Rig == "" {
		p.fromSection(&housing, p.section.housing)
		p.fromSection(&beam, p.section.beam)
	}
	if written := t.Rig; written != "" {
		if called {
			t.Rig = rig.ID
			p.beam(t, rig, beam)
			return nil
		}
		word := housingIn(written)
		if word == "" {
			r.hint, r.about = p.rigHint(), []string{"rig"}
			return fmt.Errorf("there is no rig %s", quoted(written))
		}
		housing = word
		if r.all.Bulb.Size == "" {
			r.all.Bulb.Size = p.sizeIn(written)
		}
	}
	var fits []data.Rig
	size := p.category(r.all.Bulb.Size)
	for _, rig := range p.rigs {
		if (housing == "" || rig.Housing == housing) && (size == "" || p.category(rig.Size) == size) && (beam == "" || rig.Beam == beam || rig.Beam == data.BeamBoth) {
			fits = append(fits, rig)
		}
	}
	if named := slices.DeleteFunc(slices.Clone(fits), func(rig data.Rig) bool { return !slices.Contains(p.m.Rigs, rig.ID) }); len(named) > 0 {
		fits = named
	}
	what := strings.Join(strings.Fields(strings.Join([]string{r.all.Bulb.Size, housing, beam}, " ")), " ")
	switch len(fits) {
	case 1:
		t.Rig = fits[0].ID
		p.beam(t, fits[0], beam)
		return nil
	case 0:
		r.hint, r.about = p.rigHint(), []string{"rig", meansHousing, "size"}
		if _, _, ok := data.FindSize(p.sizes, r.all.Bulb.Size); !ok && r.all.Bulb.Size != "" {
			r.hint, r.about = "the sizes: stillbright size", []string{"size"}
			return fmt.Errorf("%s is no bulb size", quoted(r.all.Bulb.Size))
		}
		if rig, ok := p.newRig(r.all.Bulb.Size, housing, beam); ok && p.m.NewRigs {
			t.Rig = rig.ID
			p.beam(t, rig, beam)
			return nil
		} else if ok {
			r.hint += "; or let the import make it: --new-rigs"
		} else if housing == "" {
			r.hint += "; or add a column Housing with projector or reflector, and let the import make the rig: --new-rigs"
		}
		return fmt.Errorf("there is no rig for %q", what)
	}
	var ids []string
	for _, rig := range fits {
		ids = append(ids, rig.ID)
	}
	r.hint, r.about = "name one: --rig "+ids[0], []string{"rig", meansHousing, "size"}
	return fmt.Errorf("several rigs serve %q: %s", what, strings.Join(ids, ", "))
}

// newRig makes a rig of what a table tells of it, size and housing: enough for
// tests to stand beside each other, and the tester fills in the rest. It is not
// ok where one of the two is not known.
func (p *interpreter) newRig(size, housing, beam string) (data.Rig, bool) {
	match, _, ok := data.FindSize(p.sizes, size)
	if !ok || housing == "" {
		return data.Rig{}, false
	}
	said := beam != ""
	if serves := match.Size.Serves(); !said && match.Size.Dual {
		beam = data.BeamLow
	} else if !said && len(serves) > 0 {
		beam = serves[0]
	}
	if beam == "" {
		return data.Rig{}, false
	}
	rig := data.Rig{Format: 1, Name: match.Size.Category + " " + housing + ", " + beam + " beam", Size: match.Size.Category, Beam: beam, Housing: housing,
		Source: "made by the import of " + baseName(p.t.File) + " for tests that name no rig; nothing else is known of it"}
	rig.ID = data.ShortName(match.Size.Category + " " + housing)
	if beam != data.BeamLow {
		rig.ID = data.ShortName(rig.ID + " " + beam)
	}
	for n, id := 2, rig.ID; slices.ContainsFunc(p.rigs, func(o data.Rig) bool { return o.ID == rig.ID }); n++ {
		rig.ID = fmt.Sprintf("%s-%d", id, n)
	}
	if p.m.NewRigs {
		p.rigs, p.made = append(p.rigs, rig), append(p.made, rig)
		note := fmt.Sprintf("rig %s is new: add to rigs/%s.yaml how far the meter stands and what lamp it is", rig.ID, rig.ID)
		if !said {
			note += "; no beam is told, " + beam + " is taken, the usual one"
		}
		p.result.Notes = append(p.result.Notes, note)
	}
	return rig, true
}

// rigCalled finds a rig by its id or name.
func (p *interpreter) rigCalled(written string) (data.Rig, bool) {
	id := data.ShortName(written)
	i := slices.IndexFunc(p.rigs, func(rig data.Rig) bool {
		return rig.ID == written || strings.EqualFold(rig.Name, written) || rig.ID == id
	})
	if i < 0 {
		return data.Rig{}, false
	}
	return p.rigs[i], true
}

// housingIn reads a cell that says projector or reflector; empty when it does not.
func housingIn(text string) string {
	if word := housingWords[strings.ToLower(text)]; word != "" {
		return word
	}
	return oneOf(headWords(text), housingWords)
}

// sizeIn finds a bulb size among the words of a cell.
func (p *interpreter) sizeIn(text string) string {
	for _, word := range headWords(text) {
		if match, _, ok := data.FindSize(p.sizes, word); ok && (match.How == data.MatchCategory || match.How == data.MatchAlias) {
			return strings.ToUpper(word)
		}
	}
	return ""
}

func (p *interpreter) beam(t *data.Test, rig data.Rig, beam string) {
	if rig.Beam == data.BeamBoth && t.Beam == "" {
		t.Beam = beam
	}
}

func (p *interpreter) rigHint() string {
	var ids []string
	for _, rig := range p.rigs {
		ids = append(ids, rig.ID)
	}
	if len(ids) == 0 {
		return "the catalog has no rigs; write one first, rigs/example-projector.yaml.example shows how"
	}
	return "rigs: " + strings.Join(ids[:min(len(ids), 20)], " ")
}

func (p *interpreter) category(size string) string {
	if match, _, ok := data.FindSize(p.sizes, size); ok {
		return match.Size.Category
	}
	return size
}

// name gives the bulb its id: the one written, that of the bulb with the same
// name and size, or one made of both.
func (r *rowReading) name(b *data.Bulb, tests []data.Test) error {
	p := r.p
	if b.Size == "" && len(tests) > 0 {
		if i := slices.IndexFunc(p.rigs, func(rig data.Rig) bool { return rig.ID == tests[0].Rig }); i >= 0 {
			b.Size = p.rigs[i].Size
		}
	}
	if b.ID != "" {
		// Two ids that differ in what an id cannot hold would become one.
		if written := b.ID; data.ShortName(written) != strings.ToLower(written) {
			r.hint, r.about = "small letters, digits and hyphens", []string{"id"}
			return fmt.Errorf("%s is no id", quoted(written))
		}
		b.ID = strings.ToLower(b.ID)
		if b.Name == "" {
			b.Name = b.ID
		}
		if i := slices.IndexFunc(p.bulbs, func(o data.Bulb) bool { return o.ID == b.ID }); i >= 0 && b.Size == "" {
			b.Size = p.bulbs[i].Size
		}
		return nil
	}
	if b.Name == "" {
		r.hint, r.about = "where a blank means the one above: --fill-down", []string{"name", "id", meansMaker}
		return errors.New("the bulb is missing")
	}
	for _, o := range p.bulbs {
		if sameName(o.Name, b.Name) && (b.Size == "" || p.category(o.Size) == p.category(b.Size)) {
			b.ID, b.Name, b.Size = o.ID, o.Name, o.Size
			return nil
		}
	}
	if p.names[b.Name] != "" { // the id, written for the name
		b.ID, b.Name = b.Name, p.names[b.Name]
		return nil
	}
	// A name without a letter or digit that can stand in a file name would leave
	// the size alone, and two such bulbs would become one.
	if b.ID = data.ShortName(b.Name); b.ID == "" {
		r.hint, r.about = "give it one in a column id: small letters, digits and hyphens", []string{"name"}
		return fmt.Errorf("no short name can be made of %s", quoted(b.Name))
	}
	if b.Size == "" {
		r.about = []string{"size"}
		return errors.New("the bulb size is missing")
	}
	if size := data.ShortName(p.category(b.Size)); !slices.Contains(strings.Split(b.ID, "-"), size) && !slices.Contains(strings.Split(b.ID, "-"), data.ShortName(b.Size)) {
		b.ID = data.ShortName(b.Name + " " + size)
	}
	// Another bulb can have the same short name: it differs in letters that an id
	// cannot hold, or beyond its end.
	for n, id := 2, b.ID; p.names[b.ID] != "" && !sameName(p.names[b.ID], b.Name); n++ {
		b.ID = fmt.Sprintf("%s-%d", id, n)
	}
	p.names[b.ID] = b.Name
	return nil
}

// sameName says whether two names are the same but for capitals and for what
// stands between their words.
func sameName(a, b string) bool {
	return a == b || plainName(a) == plainName(b)
}

func plainName(name string) string {
	words := strings.FieldsFunc(strings.ToLower(norm.NFC.String(name)), func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("-_./,'’", r)
	})
	return strings.Join(words, " ")
}

// overlay reads a cell with the rest of a record over the record.
func overlay(text string, record any) error {
	node, err := parseJSON([]byte(text))
	if err != nil {
		return fmt.Errorf("is no JSON as export writes it: %w", err)
	}
	return decodeRecord(node, record, "")
}
