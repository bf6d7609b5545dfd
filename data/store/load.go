package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"reflect"
	"slices"
	"strings"

	"stillbright/data"
)

// Folder names inside a catalog.
const (
	HeadFile  = "catalog.yaml"
	RulesFile = "rules.yaml"
	WordsFile = "words.yaml"
	CheckFile = "check.yaml"
	bulbsDir  = "bulbs"
	rigsDir   = "rigs"
	carsDir   = "cars"
)

// maxFiles bounds a catalog; a hundred thousand bulbs is far past any bench.
const maxFiles = 100_000

// Folder is a catalog folder as read.
type Folder struct {
	Catalog data.Catalog
	Rules   data.Rules // the rules given, with the folder's own overrides
	Words   data.Words // the words given, with the folder's own additions
	// Check holds the thresholds of what is implausible, with the folder's own
	// overrides.
	Check data.CheckRules

	find func(file string) Places
}

// Locate fills in line and column of faults that name a file of the folder and
// a path in it, as the checks of package data make them, and sorts them.
func (f Folder) Locate(faults data.Faults) data.Faults {
	located := make(data.Faults, len(faults))
	places := map[string]Places{}
	for i, fault := range faults {
		if _, ok := places[fault.File]; !ok {
			places[fault.File] = f.find(fault.File)
		}
		located[i] = places[fault.File].Locate(fault)
		located[i].File = fault.File
	}
	located.Sort()
	return located
}

// Load reads a catalog folder strictly. rules and words are what the program
// knows; the folder's own rules.yaml and words.yaml go on top. label is how the
// user knows the folder; it stands before every file name in a fault. All
// faults are returned at once; with a fault that is not a warning the catalog
// must not be used.
func Load(fsys fs.FS, label string, known Knowledge) (Folder, data.Faults) {
	return newLoader(fsys, label).load(known)
}

func (l *loader) load(known Knowledge) (Folder, data.Faults) {
	folder := l.folder(known)
	switch {
	case len(l.faults.Wrong()) > 0:
		// Records that could not be read would only make false echoes in the
		// checks between records.
	case l.recall != nil && l.recall.unchanged():
		for _, warning := range l.recall.old.warnings {
			warning.File = l.name(warning.File)
			l.faults = append(l.faults, warning)
		}
	default:
		found := folder.Locate(folder.Catalog.Validate(known.Sizes, known.Places))
		l.faults = append(l.faults, found...)
		if l.recall != nil && len(found.Wrong()) == 0 && keepable(found) {
			l.recall.checked, l.recall.warnings = true, slices.Clone(found)
		}
	}
	l.faults.Sort()
	return folder, l.faults
}

// folder reads every file as it is written; nothing is checked between records.
func (l *loader) folder(known Knowledge) Folder {
	folder := Folder{Rules: known.Rules, Words: known.Words, Check: data.DefaultCheckRules()}
	var head data.CatalogHead
	l.one(HeadFile, &head, noCatalog)
	folder.Catalog.Name, folder.Catalog.Invented = head.Name, head.Invented
	l.rules(&folder.Rules)
	l.over(CheckFile, &folder.Check)
	l.words(&folder.Words)

	folder.Catalog.Bulbs = each(l, bulbsDir, func(b *data.Bulb) (string, *string) { return b.ID, &b.Origin })
	folder.Catalog.Rigs = each(l, rigsDir, func(r *data.Rig) (string, *string) { return r.ID, &r.Origin })
	folder.Catalog.Cars = each(l, carsDir, func(c *data.Car) (string, *string) { return c.ID, &c.Origin })
	folder.find = l.find
	return folder
}

// Knowledge is what the program knows and a folder is read against.
type Knowledge struct {
	Sizes  []data.Size
	Places []data.Place
	Rules  data.Rules
	Words  data.Words
}

type loader struct {
	fsys   fs.FS
	label  string
	faults data.Faults
	texts  map[string][]byte // what stood in each file; with a cache only in those that were read
	recall *recall           // nil: no cache
}

func newLoader(fsys fs.FS, label string) *loader {
	return &loader{fsys: fsys, label: label, texts: map[string][]byte{}}
}

// find tells where the values of a record file stand. To hold that for every file
// would take many times the memory of the records, and few are ever asked for.
func (l *loader) find(name string) Places {
	var record any
	file := path.Base(name)
	switch folder := path.Base(path.Dir(name)); folder {
	case bulbsDir:
		record, file = &data.Bulb{}, path.Join(folder, file)
	case rigsDir:
		record, file = &data.Rig{}, path.Join(folder, file)
	case carsDir:
		record, file = &data.Car{}, path.Join(folder, file)
	default:
		record = &data.CatalogHead{}
	}
	content, ok := l.texts[name]
	if !ok && l.name(file) == name {
		content, _ = readBounded(l.fsys, file)
	}
	places, _ := Decode(name, content, record)
	return places
}

func (l *loader) fail(file, message, hint string) {
	l.faults = append(l.faults, data.Fault{File: l.name(file), Message: message, Hint: hint})
}

func (l *loader) name(file string) string { return path.Join(l.label, file) }

const (
	noCatalog = "this file is missing, so the folder is not a catalog"
	noFile    = "was removed meanwhile, or is a link to nothing"
)

// one reads a single file into record. missing is the fault of a file that is
// not there; empty when that is none.
func (l *loader) one(file string, record any, missing string) (Places, bool) {
	content, err := readBounded(l.fsys, file)
	if errors.Is(err, fs.ErrNotExist) {
		hint := ""
		if missing == noCatalog {
			hint = "make one with: stillbright catalog start " + l.label
		}
		if missing != "" {
			l.fail(file, missing, hint)
		}
		return Places{}, false
	}
	if err != nil {
		l.fail(file, plainError(err), "")
		return Places{}, false
	}
	places, faults := Decode(l.name(file), content, record)
	l.texts[l.name(file)] = content
	l.faults = append(l.faults, faults...)
	return places, len(faults) == 0
}

// each reads every .yaml file of a subfolder as one record, in the order of
// their names; the record's id has to be the file's name.
func each[T any](l *loader, folder string, key func(*T) (id string, origin *string)) []T {
	entries, err := fs.ReadDir(l.fsys, folder)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		l.fail(folder, plainError(err), "")
		return nil
	}
	if len(entries) > maxFiles {
		l.fail(folder, fmt.Sprintf("more than %d files", maxFiles), "")
		return nil
	}
	var names []string
	for _, entry := range entries {
		name := entry.Name()
		switch {
		case strings.HasPrefix(name, "."), strings.HasSuffix(name, "~"), entry.IsDir():
		case !strings.HasSuffix(name, ".yaml") && slices.Contains([]string{".yml", ".yaml"}, strings.ToLower(path.Ext(name))):
			l.fail(path.Join(folder, name), "is left out: record files end in .yaml", "rename it")
		case strings.HasSuffix(name, ".yaml"):
			names = append(names, name)
		}
	}
	// The files are read side by side, and put together in the order of their names.
	parts := make([]*loader, len(names))
	records := make([]T, len(names))
	good := make([]bool, len(names))
	data.SideBySide(len(names), func(i int) {
		parts[i] = newLoader(l.fsys, l.label)
		good[i] = l.record(parts[i], folder, names[i], reflect.ValueOf(&records[i]), func() (string, *string) { return key(&records[i]) })
	})
	list := make([]T, 0, len(names))
	for i := range names {
		l.faults = append(l.faults, parts[i].faults...)
		maps.Copy(l.texts, parts[i].texts)
		if good[i] {
			list = append(list, records[i])
		}
	}
	return list
}

// record reads one record file, or remembers it. What is found out goes to part.
func (l *loader) record(part *loader, folder, name string, record reflect.Value, key func() (id string, origin *string)) bool {
	file := path.Join(folder, name)
	if l.recall == nil {
		return part.read(file, record.Interface(), key)
	}
	s, settled, known := l.recall.look(l.fsys, folder, file, record.Elem())
	id, origin := key()
	known = known && id+".yaml" == name
	good := known
	if known {
		*origin = l.name(file)
	} else {
		record.Elem().SetZero()
		good = part.read(file, record.Interface(), key)
	}
	l.recall.note(l.fsys, file, s, settled, known, good && len(part.faults) == 0)
	return good
}

// read reads one record file; the id inside has to be the file's name.
func (l *loader) read(file string, record any, key func() (id string, origin *string)) bool {
	places, ok := l.one(file, record, noFile)
	if !ok {
		return false
	}
	id, origin := key()
	*origin = l.name(file)
	if want := strings.TrimSuffix(path.Base(file), ".yaml"); id != want {
		l.faults = append(l.faults, places.Locate(data.Fault{
			Path: "id", Message: fmt.Sprintf("%q does not match the file name", id), Hint: "id: " + want,
		}))
	}
	return true
}

// rules lays the folder's own rules over the known ones, key by key.
func (l *loader) rules(rules *data.Rules) {
	own := *rules
	own.Driving = nil
	if l.over(RulesFile, &own) {
		own.Driving = mergeProfiles(rules.Driving, own.Driving)
		*rules = own
	}
}

// over reads an optional file over a record that is already full. It says
// whether there was one without a fault; else record may hold anything.
func (l *loader) over(file string, record any) bool {
	content, err := readBounded(l.fsys, file)
	if errors.Is(err, fs.ErrNotExist) {
		return false
	}
	if err != nil {
		l.fail(file, plainError(err), "")
		return false
	}
	_, faults := decodeOver(l.name(file), content, record)
	l.faults = append(l.faults, faults...)
	return len(faults) == 0
}

func mergeProfiles(known, own []data.Profile) []data.Profile {
	merged := slices.Clone(known)
	for _, profile := range own {
		i := slices.IndexFunc(merged, func(p data.Profile) bool { return p.Name == profile.Name })
		if i >= 0 {
			merged[i] = profile
		} else {
			merged = append(merged, profile)
		}
	}
	return merged
}

func (l *loader) words(words *data.Words) {
	var own data.Words
	if _, ok := l.one(WordsFile, &own, ""); ok {
		*words = words.Merge(own)
	}
}

func readBounded(fsys fs.FS, file string) ([]byte, error) {
	// Looked at before it is opened: opening a pipe would wait for ever.
	info, err := fs.Stat(fsys, file)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("is not a regular file")
	}
	opened, err := fsys.Open(file)
	if err != nil {
		return nil, err
	}
	defer opened.Close()
	return ReadBounded(opened)
}

// plainError drops the operation and path that the caller names anyway.
func plainError(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	return err.Error()
}

// ReadBounded reads the text of a record, and no more of it than shows Decode that
// it is too long: a device has no end.
func ReadBounded(r io.Reader) ([]byte, error) {
	return io.ReadAll(io.LimitReader(r, maxFileBytes+1))
}
