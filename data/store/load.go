package store

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"

	"stillbright/data"
)

// Folder names inside a catalog.
const (
	HeadFile  = "catalog.yaml"
	RulesFile = "rules.yaml"
	WordsFile = "words.yaml"
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
}

// Load reads a catalog folder strictly. rules and words are what the program
// knows; the folder's own rules.yaml and words.yaml go on top. label is how the
// user knows the folder; it stands before every file name in a fault. All
// faults are returned at once; with a fault that is not a warning the catalog
// must not be used.
func Load(fsys fs.FS, label string, known Knowledge) (Folder, data.Faults) {
	l := loader{fsys: fsys, label: label}
	folder := Folder{Rules: known.Rules, Words: known.Words}

	var head data.CatalogHead
	l.one(HeadFile, &head, true)
	folder.Catalog.Name, folder.Catalog.Invented = head.Name, head.Invented
	l.rules(&folder.Rules)
	l.words(&folder.Words)

	folder.Catalog.Bulbs = each(&l, bulbsDir, func(b *data.Bulb) (string, *string) { return b.ID, &b.Origin })
	folder.Catalog.Rigs = each(&l, rigsDir, func(r *data.Rig) (string, *string) { return r.ID, &r.Origin })
	folder.Catalog.Cars = each(&l, carsDir, func(c *data.Car) (string, *string) { return c.ID, &c.Origin })

	// Records that could not be read would only make false echoes in the
	// checks between records.
	if len(l.faults.Wrong()) == 0 {
		for _, fault := range folder.Catalog.Validate(known.Sizes, known.Places) {
			l.faults = append(l.faults, l.places[fault.File].Locate(fault))
		}
	}
	l.faults.Sort()
	return folder, l.faults
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
}

func (l *loader) fail(file, message, hint string) {
	l.faults = append(l.faults, data.Fault{File: l.name(file), Message: message, Hint: hint})
}

func (l *loader) name(file string) string { return path.Join(l.label, file) }

// one reads a single file into record. Absent optional files are no fault.
func (l *loader) one(file string, record any, required bool) bool {
	content, err := readBounded(l.fsys, file)
	if errors.Is(err, fs.ErrNotExist) {
		if required {
			l.fail(file, "this file is missing, so the folder is not a catalog", "make one with: stillbright catalog start "+l.label)
		}
		return false
	}
	if err != nil {
		l.fail(file, plainError(err), "")
		return false
	}
	places, faults := Decode(l.name(file), content, record)
	if l.places == nil {
		l.places = map[string]Places{}
	}
	l.places[l.name(file)] = places
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
	list := make([]T, 0, len(entries))
	for _, entry := range entries {
		name := entry.Name()
		file := path.Join(folder, name)
		switch {
		case strings.HasPrefix(name, "."), strings.HasSuffix(name, "~"), entry.IsDir():
			continue
		case strings.HasSuffix(name, ".yml"):
			l.fail(file, "is left out: record files end in .yaml", "rename it")
			continue
		case !strings.HasSuffix(name, ".yaml"):
			continue
		}
		var record T
		if !l.one(file, &record, false) {
			continue
		}
		id, origin := key(&record)
		*origin = l.name(file)
		if want := strings.TrimSuffix(name, ".yaml"); id != want {
			l.faults = append(l.faults, l.places[*origin].Locate(data.Fault{
				Path: "id", Message: fmt.Sprintf("%q does not match the file name", id), Hint: "id: " + want,
			}))
		}
		list = append(list, record)
	}
	return list
}

// rules lays the folder's own rules over the known ones, key by key.
func (l *loader) rules(rules *data.Rules) {
	content, err := readBounded(l.fsys, RulesFile)
	if errors.Is(err, fs.ErrNotExist) {
		return
	}
	if err != nil {
		l.fail(RulesFile, plainError(err), "")
		return
	}
	own := *rules
	own.Driving = slices.Clone(rules.Driving)
	profiles := own.Driving
	_, faults := decodeOver(l.name(RulesFile), content, &own)
	l.faults = append(l.faults, faults...)
	if len(faults) > 0 {
		return
	}
	own.Driving = mergeProfiles(profiles, own.Driving)
	*rules = own
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
	if l.one(WordsFile, &own, false) {
		*words = words.Merge(own)
	}
}

func readBounded(fsys fs.FS, file string) ([]byte, error) {
	opened, err := fsys.Open(file)
	if err != nil {
		return nil, err
	}
	defer opened.Close()
	info, err := opened.Stat()
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() {
		return nil, errors.New("is not a regular file")
	}
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
