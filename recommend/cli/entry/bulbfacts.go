package entry

import (
	"fmt"
	"maps"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
	"stillbright/recommend/cli/wrong"
)

// Fact is one fact of a bulb on record as it was and as it is said to be.
type Fact struct {
	Name, Before, After string // Before is empty where nothing was on record
}

// NoTest says whether nothing but the bulb was named: there is no test to record.
func (e *Entry) NoTest() bool {
	return !slices.ContainsFunc(slices.Collect(maps.Keys(e.Answers)), func(key string) bool {
		return key != "bulb" && !strings.HasPrefix(key, "bulb.")
	})
}

// BulbFacts are the facts said of a bulb that is on record, as far as they are not
// there already. Name, kind and size say which bulb it is: another one is an error.
func (e *Entry) BulbFacts(c *data.Catalog) (facts []Fact, err error) {
	bulb, ok := c.Bulb(e.Answers["bulb"])
	if !ok {
		return nil, nil
	}
	said := bulb
	if err := e.setFacts(&said); err != nil {
		return nil, err
	}
	for _, f := range e.ofBulb() {
		is, will := text(&f, &bulb), text(&f, &said)
		if is == will {
			continue
		}
		name := f.Name
		if name == "" {
			name = strings.ReplaceAll(f.Path(), "_", " ")
			name = name[strings.LastIndexByte(name, '.')+1:]
		}
		facts = append(facts, Fact{name, is, will})
	}
	return facts, nil
}

func text(f *Field, bulb *data.Bulb) string {
	return data.RecordedText(reflect.ValueOf(f.At(bulb)).Elem(), f.Tag)
}

// ofBulb are the facts of a bulb that flags said.
func (e *Entry) ofBulb() []Field {
	return slices.DeleteFunc(Fields(data.NewBulb, data.OfBulb), func(f Field) bool {
		return e.Answers[f.Key] == "" || f.Key == "bulb.id"
	})
}

// setFacts writes what flags said of a bulb that is on record into it.
func (e *Entry) setFacts(bulb *data.Bulb) error {
	fields := e.ofBulb()
	if e.IsFresh("bulb") || len(fields) == 0 {
		return nil
	}
	said := data.Bulb{}
	is := map[string]string{"format": "1", "id": bulb.ID, "name": bulb.Name, "kind": bulb.Kind, "size": bulb.Size, "source": bulb.Source}
	if err := e.record("bulb", &said, is); err != nil {
		return err
	}
	for _, f := range fields {
		to, from := reflect.ValueOf(f.At(bulb)).Elem(), reflect.ValueOf(f.At(&said)).Elem()
		if f.Needed && !reflect.DeepEqual(to.Interface(), from.Interface()) {
			return wrong.Use(fmt.Sprintf("--%s %v: bulb %q is on record with %v", f.Flag, from, bulb.ID, to),
				"another bulb wants a short name of its own: stillbright bench add NEW-NAME")
		}
		to.Set(from)
	}
	return nil
}

// EditBulb is the change of the catalog by facts alone.
func (e *Entry) EditBulb() func(*data.Catalog) error {
	return func(c *data.Catalog) error {
		i := slices.IndexFunc(c.Bulbs, func(b data.Bulb) bool { return b.ID == e.Id("bulb") })
		if i < 0 {
			return wrong.Use(fmt.Sprintf("bulb %q is no longer in the catalog", e.Id("bulb")), "")
		}
		return e.setFacts(&c.Bulbs[i])
	}
}
