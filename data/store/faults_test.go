package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"

	"stillbright/data"
)

// writes are the ways in which verbs change records: a test for a bulb that is
// there, a new bulb, a new car, many files at once as an import does.
var writes = map[string]func(*data.Catalog) error{
	"test": func(c *data.Catalog) error { c.Bulbs[0].Name += " again"; return nil },
	"bulb": func(c *data.Catalog) error { addBulb(c, "new-one"); return nil },
	"car":  func(c *data.Catalog) error { c.Cars = append(c.Cars, carWith("new-car")); return nil },
	"import": func(c *data.Catalog) error {
		c.Bulbs[0].Name += " again"
		for i := range 3 {
			addBulb(c, fmt.Sprintf("new-%d", i))
		}
		return nil
	},
}

func addBulb(c *data.Catalog, id string) {
	b := bulbOf(id)
	b.Format = 1
	c.Bulbs = append(c.Bulbs, b)
}

func carWith(id string) data.Car {
	car := carOf(id)
	car.Format = 1
	return car
}

// recordOf is where a write puts its text, judged from the name in a call.
func recordOf(file string) string {
	dir, base := filepath.Split(file)
	if m := tempName().FindStringSubmatch(base); m != nil {
		base = m[1]
	}
	if dir == HistoryDir+"/" || !strings.HasSuffix(base, ".yaml") {
		return ""
	}
	return dir + base
}

// attempt makes one change with a seam, in a fresh folder, and counts the calls.
func attempt(t *testing.T, edit func(*data.Catalog) error, seam func(folder string, n int, c Call) error, stop context.Context) (folder string, before map[string]string, saved []Saved, calls int, err error) {
	t.Helper()
	folder = t.TempDir()
	if err := os.CopyFS(folder, os.DirFS(layout(t))); err != nil {
		t.Fatal(err)
	}
	w, err := Open(folder, Options{Known: knowledge(t), Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	before = filesOf(t, folder)
	w.stop = stop
	if stop == nil {
		w.stop = context.Background()
	}
	w.seam = func(c Call) error { calls++; return seam(folder, calls, c) }
	saved, err = w.Change(edit)
	return
}

// layout is a catalog with a rig and a bulb, made once: laying one out syncs every
// file, and hundreds are needed.
var (
	layoutOnce string
	layoutLock sync.Mutex
)

func layout(t *testing.T) string {
	t.Helper()
	layoutLock.Lock()
	defer layoutLock.Unlock()
	if layoutOnce != "" {
		return layoutOnce
	}
	w, folder := bench(t)
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	kept, err := os.MkdirTemp("", "layout")
	if err == nil {
		err = os.CopyFS(kept, os.DirFS(folder))
	}
	if err != nil {
		t.Fatal(err)
	}
	layoutOnce = kept
	return kept
}

// stride is how many points are passed over: none in the long run.
func stride(few int) int {
	if os.Getenv("STILLBRIGHT_LONG") != "" {
		return 1
	}
	return few
}

// filesOf are the files of a catalog, the lock apart.
func filesOf(t *testing.T, folder string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(folder, func(file string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || entry.Name() == LockFile {
			return err
		}
		content, err := os.ReadFile(file)
		name, _ := filepath.Rel(folder, file)
		found[filepath.ToSlash(name)] = string(content)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

func none(string, int, Call) error { return nil }

// A record that is saved by hand at any call of a change is neither lost nor
// written over: its text is in its file or in the history.
func TestHandEditAtEveryCall(t *testing.T) {
	t.Parallel()
	points := 0
	for name, edit := range writes {
		_, before, planned, calls, err := attempt(t, edit, none, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, target := range planned {
			for _, inPlace := range []bool{false, true} {
				for n := 1 + points%stride(5); n <= calls; n += stride(5) {
					points++
					mark := ""
					folder, _, _, _, err := attempt(t, edit, func(folder string, at int, c Call) error {
						if at != n {
							return nil
						}
						file := filepath.Join(folder, "bulbs", filepath.Base(target.File))
						if strings.Contains(target.File, "cars") {
							file = filepath.Join(folder, "cars", filepath.Base(target.File))
						}
						now, _ := os.ReadFile(file)
						mark = string(now) + "# by hand\n"
						_ = os.MkdirAll(filepath.Dir(file), 0o777)
						if inPlace {
							return os.WriteFile(file, []byte(mark), 0o666)
						}
						temp := filepath.Join(folder, "editor~")
						if err := os.WriteFile(temp, []byte(mark), 0o666); err != nil {
							return err
						}
						return os.Rename(temp, file)
					}, nil)
					found := false
					after := filesOf(t, folder)
					for _, text := range after {
						found = found || text == mark
					}
					if !found {
						t.Errorf("%s, call %d, in place %v: the edit is lost (%v)", name, n, inPlace, err)
					}
					for file := range before {
						if _, there := after[file]; !there {
							t.Errorf("%s, call %d: %s is gone", name, n, file)
						}
					}
				}
			}
		}
	}
	t.Logf("%d forced points", points)
	if points < 100 {
		t.Errorf("only %d points", points)
	}
}

// An error at any call leaves each record old or new, says so truthfully, and the
// folder can be read and written afterwards.
func TestFaultAtEveryCall(t *testing.T) {
	t.Parallel()
	tried := 0
	for name, edit := range writes {
		_, _, _, calls, err := attempt(t, edit, none, nil)
		if err != nil {
			t.Fatal(err)
		}
		for _, fault := range []error{syscall.EIO, syscall.ENOSPC, syscall.EACCES, errShort} {
			for n := 1 + tried%stride(11); n <= calls; n += stride(11) {
				tried++
				where := Call{}
				folder, before, saved, _, err := attempt(t, edit, func(folder string, at int, c Call) error {
					if at != n || c.Done {
						return nil
					}
					where = c
					if fault == errShort {
						if c.Op != "write" {
							return nil
						}
						_ = os.WriteFile(filepath.Join(folder, c.File), []byte("form"), 0o666)
					}
					return fault
				}, nil)
				told := fmt.Sprintf("%s, %v at %+v", name, fault, where)
				checkStates(t, told, folder, before, saved, err)
				if err == nil && where.Op != "" && where.Op != "remove" && fault != errShort {
					t.Errorf("%s: no error", told)
				}
			}
		}
	}
	t.Logf("%d faults", tried)
}

var errShort = errors.New("short write")

// A signal at any call: what was written is whole and counted; with nothing left
// to write the change is done and no error is told.
func TestStopAtEveryCall(t *testing.T) {
	t.Parallel()
	tried := 0
	for name, edit := range writes {
		_, _, all, calls, err := attempt(t, edit, none, nil)
		if err != nil {
			t.Fatal(err)
		}
		for n := 1; n <= calls; n += stride(5) {
			tried++
			ctx, stop := context.WithCancel(context.Background())
			folder, before, saved, _, err := attempt(t, edit, func(_ string, at int, _ Call) error {
				if at == n {
					stop()
				}
				return nil
			}, ctx)
			told := fmt.Sprintf("%s, stopped at %d", name, n)
			checkStates(t, told, folder, before, saved, err)
			switch {
			case err == nil && len(saved) != len(all):
				t.Errorf("%s: no error, and %d of %d files", told, len(saved), len(all))
			case err != nil && !errors.Is(err, ErrStopped):
				t.Errorf("%s: %v", told, err)
			case err != nil && len(saved) >= len(all):
				t.Errorf("%s: all was written, and yet: %v", told, err)
			case err != nil && !strings.Contains(err.Error(), fmt.Sprintf("%d of %d", len(saved), len(all))):
				t.Errorf("%s: %v", told, err)
			}
		}
	}
	t.Logf("%d signals", tried)
}

// checkStates holds a folder to what saved and err say of it.
func checkStates(t *testing.T, told, folder string, before map[string]string, saved []Saved, err error) {
	t.Helper()
	after := filesOf(t, folder)
	written := map[string]bool{}
	for _, s := range saved {
		name, _ := filepath.Rel(folder, s.File)
		written[filepath.ToSlash(name)] = true
	}
	for file, text := range after {
		if recordOf(file) != file {
			continue // a copy, or a leftover of a failing disk
		}
		if changed := before[file] != text; changed != written[file] {
			t.Errorf("%s: %s changed %v, told %v (%v)", told, file, changed, written[file], err)
		}
	}
	for file := range before {
		if _, there := after[file]; !there {
			t.Errorf("%s: %s is gone", told, file)
		}
	}
	if _, faults := Load(os.DirFS(folder), folder, knowledge(t)); len(faults.Wrong()) > 0 {
		t.Errorf("%s: %v", told, faults)
	}
	if err != nil && strings.Contains(err.Error(), "nothing was changed") && len(saved) > 0 {
		t.Errorf("%s: %v, and %d files were", told, err, len(saved))
	}
	if bytes.Contains([]byte(fmt.Sprint(err)), []byte(".tmp")) {
		t.Errorf("%s: names a temporary file: %v", told, err)
	}
}
