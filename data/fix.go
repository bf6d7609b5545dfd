package data

import "fmt"

// Fix is one safe change of one place of a record.
type Fix struct {
	File string // the record's origin
	Path string // key path in the file
	From string // as it stood
	To   string // as it stands now
	Why  string // why this is safe
}

// Fix changes in c what can be changed without anybody having to decide, and
// lists it: a bulb size written as another name of the same category, and a
// place written by its name. A name that is only close to a category, or read
// as one, stays: it carries a remark. Nothing is sorted, filled in or taken out.
func (c *Catalog) Fix(sizes []Size, places []Place) []Fix {
	f := fixer{sizes: sizes, places: places}
	for i := range c.Rigs {
		f.file = c.Rigs[i].Origin
		f.size("size", &c.Rigs[i].Size)
	}
	for i := range c.Bulbs {
		b := &c.Bulbs[i]
		f.file = b.Origin
		f.size("size", &b.Size)
		for j := range b.AlsoFits {
			f.size(fmt.Sprintf("also_fits[%d]", j), &b.AlsoFits[j])
		}
		for j := range b.Approval {
			f.place(fmt.Sprintf("approval[%d].place", j), &b.Approval[j].Place)
		}
	}
	for i := range c.Cars {
		car := &c.Cars[i]
		f.file = car.Origin
		f.place("where", &car.Where)
		for j := range car.Lamps {
			f.size(fmt.Sprintf("lamps[%d].size", j), &car.Lamps[j].Size)
		}
	}
	return f.fixes
}

type fixer struct {
	sizes  []Size
	places []Place
	file   string
	fixes  []Fix
}

func (f *fixer) set(path string, text *string, to, why string) {
	if *text != to {
		f.fixes = append(f.fixes, Fix{f.file, path, *text, to, why})
		*text = to
	}
}

func (f *fixer) size(path string, text *string) {
	match, ok := sizeNamed(f.sizes, *text)
	if ok && (match.How == MatchCategory || match.How == MatchAlias) {
		f.set(path, text, match.Size.Category, "another name of the same size")
	}
}

func (f *fixer) place(path string, text *string) {
	if place, _, ok := FindPlace(f.places, *text); ok {
		f.set(path, text, place.Code, "the code of the same place")
	}
}
