package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"

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

	places map[string]Places
}

// Locate fills in line and column of faults that name a file of the folder and
// a path in it, as the checks of package data make them, and sorts them.
func (f Folder) Locate(faults data.Faults) data.Faults {
	located := make(data.Faults, len(faults))
	for i, fault := range faults {
		located[i] = f.places[fault.File].Locate(fault)
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
	l := newLoader(fsys, label)
	folder := l.folder(known)
	// Records that could not be read would only make false echoes in the
	// checks between records.
	if len(l.faults.Wrong()) == 0 {
		l.faults = append(l.faults, folder.Locate(folder.Catalog.Validate(known.Sizes, known.Places))...)
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
	folder.places = l.places
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
	places map[string]Places
	texts  map[string][]byte // what stood in each file
}

func newLoader(fsys fs.FS, label string) *loader {
	return &loader{fsys: fsys, label: label, places: map[string]Places{}, texts: map[string][]byte{}}
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
func (l *loader) one(file string, record any, missing string) bool {
	content, err := readBounded(l.fsys, file)
	if errors.Is(err, fs.ErrNotExist) {
		hint := ""
		if missing == noCatalog {
			hint = "make one with: stillbright catalog start " + l.label
		}
		if missing != "" {
			l.fail(file, missing, hint)
		}
		return false
	}
	if err != nil {
		l.fail(file, plainError(err), "")
		return false
	}
	places, faults := Decode(l.name(file), content, record)
	l.places[l.name(file)], l.texts[l.name(file)] = places, content
	l.faults = append(l.faults, faults...)
	return len(faults) == 0
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
		case strings.HasSuffix(name, ".yml"):
			l.fail(path.Join(folder, name), "is left out: record files end in .yaml", "rename it")
		case strings.HasSuffix(name, ".yaml"):
			names = append(names, name)
		}
	}
	// The files are read side by side, and put together in the order of their names.
	parts := make([]loader, len(names))
	records := make([]T, len(names))
	good := make([]bool, len(names))
	var group sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i, name := range names {
		slots <- struct{}{}
		group.Go(func() {
			parts[i] = *newLoader(l.fsys, l.label)
			good[i] = parts[i].record(path.Join(folder, name), &records[i], func() (string, *string) { return key(&records[i]) })
			<-slots
		})
	}
	group.Wait()
	list := make([]T, 0, len(names))
	for i := range names {
		l.add(parts[i])
		if good[i] {
			list = append(list, records[i])
		}
	}
	return list
}

// record reads one record file; the id inside has to be the file's name.
func (l *loader) record(file string, record any, key func() (id string, origin *string)) bool {
	if !l.one(file, record, noFile) {
		return false
	}
	id, origin := key()
	*origin = l.name(file)
	if want := strings.TrimSuffix(path.Base(file), ".yaml"); id != want {
		l.faults = append(l.faults, l.places[*origin].Locate(data.Fault{
			Path: "id", Message: fmt.Sprintf("%q does not match the file name", id), Hint: "id: " + want,
		}))
	}
	return true
}

// add takes over what another loader has read.
func (l *loader) add(other loader) {
	l.faults = append(l.faults, other.faults...)
	maps.Copy(l.places, other.places)
	maps.Copy(l.texts, other.texts)
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
	if l.one(WordsFile, &own, "") {
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
	return io.ReadAll(io.LimitReader(opened, maxFileBytes+1))
}

// plainError drops the operation and path that the caller names anyway.
func plainError(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		err = at.Err
	}
	return err.Error()
}
