package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path"
	"reflect"
	"slices"
	"strings"
	"time"

	"stillbright/data"
)

// Options are what a Writer needs of the world.
type Options struct {
	Known Knowledge        // what records are checked against
	Now   func() time.Time // the clock, for the dates of copies and the age of leftovers
	Wait  time.Duration    // how long to wait for another writer; 0 means DefaultWait
	Stop  context.Context  // when it ends, no further file is written; nil: never
	Seam  Seam             // nil but in tests
}

// Writer changes the records of one catalog folder. Several processes may have
// a Writer on one folder; each change takes the lock, reads the folder anew,
// checks the whole result, and only then writes. It may be used by several
// goroutines.
type Writer struct {
	folder string
	known  Knowledge
	now    func() time.Time
	wait   time.Duration
	stop   context.Context
	seam   Seam
}

// Open returns a Writer on a catalog folder. It fails when the folder is not
// there or is no catalog; nothing is locked or written yet.
func Open(folder string, options Options) (*Writer, error) {
	w := &Writer{folder: folder, known: options.Known, now: options.Now, wait: options.Wait, stop: options.Stop, seam: options.Seam}
	if w.wait == 0 {
		w.wait = DefaultWait
	}
	if w.stop == nil {
		w.stop = context.Background()
	}
	info, err := os.Stat(folder)
	switch {
	case err != nil:
		return nil, &Failure{File: folder, Message: "there is no such catalog folder", Hint: "make one with: stillbright catalog start " + folder, Err: err}
	case !info.IsDir():
		return nil, &Failure{File: folder, Message: "is not a folder", Hint: "make a catalog with: stillbright catalog start DIR"}
	}
	l := newLoader(os.DirFS(folder), folder)
	var head data.CatalogHead
	if l.one(HeadFile, &head, noCatalog); len(l.faults) > 0 {
		return nil, l.faults
	}
	return w, nil
}

// Folder is the catalog folder, as it was given to Open.
func (w *Writer) Folder() string { return w.folder }

// Saved tells what became of one record file.
type Saved struct {
	File    string // as the user knows it
	Created bool   // it was not there before
	Changed bool   // false: the file said so already
	Copy    string // where its former text is kept; empty when it was new, unchanged or committed to git
}

// Planned is one file as it is and as it would be.
type Planned struct {
	File   string // as the user knows it
	Before []byte // nil when the file is not there yet
	After  []byte
}

// change is a Planned with the file's name inside the folder.
type change struct {
	Planned
	file string
}

// Change edits the catalog under the lock and writes the records that differ,
// rigs first, so that a test never stands without its rig. edit gets the
// records as they are written in the files; it may change them and add new
// ones, but not take one out: the store deletes nothing. When edit fails, or
// any record is wrong afterwards, nothing is written. Wrong data is returned as
// data.Faults, a failed write as a *Failure; after a failure in the middle, the
// files written so far are returned as well, and each of them is whole.
func (w *Writer) Change(edit func(*data.Catalog) error) ([]Saved, error) {
	var saved []Saved
	err := w.locked(func() error {
		root, err := os.OpenRoot(w.folder)
		if err != nil {
			return failure(w.folder, err)
		}
		defer root.Close()
		d := disk{root: root, label: w.folder, seam: w.seam, git: &asker{}}
		d.sweep(w.now())
		changes, err := w.plan(edit)
		if err != nil {
			return err
		}
		for i, c := range changes {
			if w.stop.Err() != nil {
				return w.stopped(i, len(changes))
			}
			one, err := w.write(d, c)
			if err == nil || errors.Is(err, ErrUnsynced) {
				saved = append(saved, one)
			}
			if err != nil {
				return partly(err, i, len(changes))
			}
		}
		return nil
	})
	return saved, err
}

// stopped says how far a change had come when it was interrupted.
func (w *Writer) stopped(done, of int) error {
	f := &Failure{File: w.folder, Message: "interrupted; nothing was changed", Err: ErrStopped}
	if done > 0 {
		f.Message = fmt.Sprintf("interrupted; files written, each whole: %d of %d", done, of)
		f.Hint = "the same command does the rest"
	}
	return f
}

// partly has a failure in the middle say what was written before it.
func partly(err error, done, of int) error {
	var f *Failure
	if done == 0 || !errors.As(err, &f) {
		return err
	}
	told := *f
	told.Message = strings.TrimSuffix(f.Message, "; nothing was changed") +
		fmt.Sprintf("; files written before it, each whole: %d of %d", done, of)
	return &told
}

// Plan tells what Change would write, without the lock and without writing.
func (w *Writer) Plan(edit func(*data.Catalog) error) ([]Planned, error) {
	changes, err := w.plan(edit)
	var list []Planned
	for _, c := range changes {
		list = append(list, c.Planned)
	}
	return list, err
}

func (w *Writer) write(d disk, c change) (Saved, error) {
	saved := Saved{File: c.File, Created: c.Before == nil, Changed: true}
	if err := d.folder(path.Dir(c.file)); err != nil {
		return saved, beforeIt(c.File, err)
	}
	mode, err := d.target(c.file, c.Before)
	if err != nil {
		return saved, err
	}
	if c.Before == nil {
		return saved, d.create(c.file, c.After, mode)
	}
	copied, err := d.keep(c.file, c.Before, mode, w.now())
	if err != nil {
		return saved, beforeIt(c.File, err)
	}
	if err := d.replace(c.file, c.Before, c.After, mode); err != nil {
		if now, again := d.root.ReadFile(c.file); copied != "" && again == nil && bytes.Equal(now, c.Before) {
			_ = d.root.Remove(copied) // the file itself is still there
		}
		if copied != "" && errors.Is(err, ErrUnsynced) {
			saved.Copy = d.name(copied)
		}
		return saved, err
	}
	if copied != "" {
		saved.Copy = d.name(copied)
	}
	return saved, nil
}

// beforeIt says of a record that was not touched, because what has to be on the
// disk before it could not be confirmed.
func beforeIt(file string, err error) error {
	if !errors.Is(err, ErrUnsynced) {
		return err
	}
	var f *Failure
	errors.As(err, &f)
	return &Failure{File: file, Message: "was not touched; nothing was changed, for the disk did not confirm " + f.File, Hint: "look at the disk, then try again"}
}

// plan reads the folder, edits a copy of its records, checks the result and
// works out the new text of every file that differs.
func (w *Writer) plan(edit func(*data.Catalog) error) ([]change, error) {
	l := newLoader(os.DirFS(w.folder), w.folder)
	folder := l.folder(w.known)
	if wrong := l.faults.Wrong(); len(wrong) > 0 {
		wrong.Sort()
		return nil, wrong
	}
	after := clone(reflect.ValueOf(folder.Catalog)).Interface().(data.Catalog)
	if err := edit(&after); err != nil {
		return nil, err
	}
	var changes []change
	var faults data.Faults
	collect := func(list []change, wrong data.Faults) {
		changes, faults = append(changes, list...), append(faults, wrong...)
	}
	collect(changed(l, rigsDir, folder.Catalog.Rigs, after.Rigs, func(r *data.Rig) (string, *string) { return r.ID, &r.Origin }))
	collect(changed(l, bulbsDir, folder.Catalog.Bulbs, after.Bulbs, func(b *data.Bulb) (string, *string) { return b.ID, &b.Origin }))
	collect(changed(l, carsDir, folder.Catalog.Cars, after.Cars, func(c *data.Car) (string, *string) { return c.ID, &c.Origin }))
	if len(faults) == 0 {
		// Validate brings sizes to their category; the files keep what the user wrote.
		checked := clone(reflect.ValueOf(after)).Interface().(data.Catalog)
		faults = folder.Locate(checked.Validate(w.known.Sizes, w.known.Places)).Wrong()
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return changes, nil
}

// changed works out the new texts of the records of one subfolder, and marks
// new records with the file they will stand in.
func changed[T any](l *loader, folder string, before, after []T, key func(*T) (id string, origin *string)) ([]change, data.Faults) {
	var (
		changes []change
		faults  data.Faults
		old     = map[string]*T{}
		seen    = map[string]bool{}
	)
	for i := range before {
		_, origin := key(&before[i])
		old[*origin] = &before[i]
	}
	for i := range after {
		id, origin := key(&after[i])
		file := path.Join(folder, id+".yaml")
		label := l.name(file)
		fail := func(message, hint string) {
			faults = append(faults, data.Fault{File: label, Path: "id", Message: message, Hint: hint})
		}
		was := old[*origin]
		switch {
		case !safeName(id):
			label = l.name(folder)
			fail(fmt.Sprintf("%q is not a short name", clip(id, 40)), "use small letters, digits and hyphens, at most 63")
			continue
		case was != nil && *origin != label:
			fail(fmt.Sprintf("the id of a record cannot be changed; the file is %s", *origin), "rename the file by hand")
			continue
		case seen[id], was == nil && old[label] != nil:
			fail(fmt.Sprintf("%q is taken", id), "")
			continue
		}
		seen[id] = true
		*origin = label
		delete(old, label)
		if was != nil && same(reflect.ValueOf(*was), reflect.ValueOf(after[i])) {
			continue
		}
		text, err := newText(l.texts[label], after[i], was != nil)
		if err != nil {
			faults = append(faults, asFaults(label, err)...)
			continue
		}
		changes = append(changes, change{Planned{File: label, Before: l.texts[label], After: text}, file})
	}
	for _, origin := range slices.Sorted(maps.Keys(old)) {
		if len(faults) == 0 { // else it may only have lost its name
			faults = append(faults, data.Fault{File: origin, Message: "a record is never taken out by the program", Hint: "delete the file by hand"})
		}
	}
	return changes, faults
}

func newText(old []byte, record any, exists bool) ([]byte, error) {
	if exists {
		return Merge(old, record)
	}
	return Encode(record)
}

func asFaults(label string, err error) data.Faults {
	if faults, ok := err.(data.Faults); ok {
		return faults
	}
	return data.Faults{{File: label, Message: strings.TrimPrefix(err.Error(), label+" ")}}
}
