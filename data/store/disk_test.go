package store

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"stillbright/data"
)

// mounted makes a small filesystem of its own for a test.
func mounted(t *testing.T, options string) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "disk")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "tmpfs", folder).CombinedOutput(); err != nil {
		t.Skipf("this user may not mount: %s", out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", folder).CombinedOutput(); err != nil {
			t.Errorf("umount: %s", out)
		}
	})
	return folder
}

// A full disk: a clear error, the old records intact, no leftovers.
func TestFullDisk(t *testing.T) {
	disk := mounted(t, "size=160k")
	folder := filepath.Join(disk, "catalog")
	if _, err := Start(folder, "Small", nil); err != nil {
		t.Fatal(err)
	}
	w, err := Open(folder, Options{Known: knowledge(t), Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	rig := exampleRig()
	rig.ID = "proj"
	if _, err := w.SaveRig(rig); err != nil {
		t.Fatal(err)
	}
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	draft, err := OpenDraft(folder, "talk", clock)
	if err != nil {
		t.Fatal(err)
	}
	defer draft.Close()
	if err := draft.Append("size", "H7"); err != nil {
		t.Fatal(err)
	}
	filler := filepath.Join(disk, "filler")
	for n := 0; ; n++ {
		before := tree(t, folder)
		test := testOn("2026-01-01", float64(1000+n))
		test.Notes = []string{strings.Repeat("much was heard of the fan ", 40)}
		_, err := w.AddTest("b", "a", "", test)
		if err == nil {
			if n > 200 {
				t.Fatal("the disk never got full")
			}
			continue
		}
		var failed *Failure
		if !errors.As(err, &failed) || !errors.Is(err, syscall.ENOSPC) || failed.Message != "the disk is full; nothing was changed" || failed.Hint == "" {
			t.Errorf("error %v", err)
		}
		after := tree(t, folder)
		for name, text := range before {
			if after[name] != text {
				t.Errorf("%s changed", name)
			}
		}
		for name := range after {
			if strings.HasSuffix(name, ".tmp") {
				t.Errorf("%s was left behind", name)
			}
		}
		if b := theBulb(t, folder); len(b.Lots[0].Tests) != n {
			t.Errorf("%d tests, want the %d that were acknowledged", len(b.Lots[0].Tests), n)
		}
		break
	}
	// Now without a byte left: a draft refuses too, and keeps what it has.
	_ = os.WriteFile(filler, make([]byte, 1<<20), 0o644)
	var failed *Failure
	if err := draft.Append("note", strings.Repeat("x", 8192)); !errors.As(err, &failed) || !errors.Is(err, syscall.ENOSPC) {
		t.Errorf("a draft on a full disk: %v", err)
	}
	// Room again: everything goes on.
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if err := os.RemoveAll(filepath.Join(folder, HistoryDir)); err != nil {
		t.Fatal(err)
	}
	if _, err := w.AddTest("b", "a", "", testOn("2026-02-02", 900)); err != nil {
		t.Error(err)
	}
	if err := draft.Append("note", "x"); err != nil {
		t.Error(err)
	}
	if text := read(t, folder, DraftsDir, "talk.jsonl"); strings.Count(text, "\n") != 2 || len(draft.Entries) != 2 {
		t.Errorf("the draft holds\n%s", text)
	}
}

// Whichever of the writes of one change finds no room, nothing is changed.
func TestDiskFullAtEveryStep(t *testing.T) {
	disk := mounted(t, "size=256k")
	folder := filepath.Join(disk, "catalog")
	if _, err := Start(folder, "Small", nil); err != nil {
		t.Fatal(err)
	}
	w, err := Open(folder, Options{Known: knowledge(t), Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	b := bulbOf("b")
	for range 5 {
		b.Notes = append(b.Notes, strings.Repeat("long note ", 390))
	}
	if _, err := w.SaveBulb(b); err != nil {
		t.Fatal(err)
	}
	filler, err := os.Create(filepath.Join(disk, "filler"))
	if err != nil {
		t.Fatal(err)
	}
	defer filler.Close()
	size := int64(0)
	for page := make([]byte, 4096); err == nil; size += int64(len(page)) {
		_, err = filler.Write(page)
	}
	size -= 4096
	b.Claims.Lumens = some(5000.0)
	steps := map[string]int{}
	for {
		before := tree(t, folder)
		_, err := w.SaveBulb(b)
		if err == nil {
			break
		}
		var failed *Failure
		if !errors.As(err, &failed) || !errors.Is(err, syscall.ENOSPC) {
			t.Fatal(err)
		}
		steps[strings.TrimPrefix(failed.File, folder)]++
		after := tree(t, folder)
		for name, text := range before {
			if after[name] != text {
				t.Errorf("%s changed", name)
			}
		}
		for name := range after {
			if _, there := before[name]; !there {
				t.Errorf("%s is new", name)
			}
		}
		if size -= 4096; size < 0 {
			t.Fatal("never room enough")
		}
		if err := filler.Truncate(size); err != nil {
			t.Fatal(err)
		}
	}
	if steps["/bulbs/b.yaml"] == 0 || len(steps) < 2 {
		t.Errorf("the disk was full only at %v", steps)
	}
	if got := theBulb(t, folder); *got.Claims.Lumens != 5000 {
		t.Error("the change is not there")
	}
}

// A read-only folder: a clear error, and reading still works.
func TestReadOnlyFolder(t *testing.T) {
	disk := mounted(t, "size=1m")
	folder := filepath.Join(disk, "catalog")
	if _, err := Start(folder, "Still", nil); err != nil {
		t.Fatal(err)
	}
	w, err := Open(folder, Options{Known: knowledge(t), Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-o", "remount,ro", disk).CombinedOutput(); err != nil {
		t.Skipf("this user may not remount: %s", out)
	}
	readOnly := "the folder is read-only; nothing was changed"
	refuses(t, folder, readOnly, func() error { _, err := w.SaveBulb(bulbOf("b")); return err })
	refuses(t, folder, readOnly, func() error { _, err := OpenDraft(folder, "d", clock); return err })
	refuses(t, disk, readOnly, func() error { _, err := Start(filepath.Join(disk, "other"), "x", nil); return err })
	clean(t, folder)
	if _, err := w.Plan(func(*data.Catalog) error { return nil }); err != nil {
		t.Error(err)
	}
}

// Links are read, and never written through or replaced.
func TestLinks(t *testing.T) {
	w, folder := bench(t)
	outside := filepath.Join(t.TempDir(), "outside.yaml")
	text := "format: 1\nid: b\nname: Tarn\nkind: led\nsize: H11\nsource: s\n"
	if err := os.WriteFile(outside, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(folder, "bulbs", "b.yaml")
	inside := filepath.Join(folder, "spare.txt")
	if err := os.WriteFile(inside, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, to := range []string{outside, "../spare.txt"} {
		if err := os.Symlink(to, file); err != nil {
			t.Fatal(err)
		}
		if _, ok := theCatalog(t, folder).Bulb("b"); !ok {
			t.Error("a linked record was not read")
		}
		refuses(t, folder, "is a symbolic link", func() error { _, err := w.AddTest("b", "a", "", testOn("2026-01-01", 1000)); return err })
		if read(t, outside) != text || read(t, inside) != text {
			t.Error("the file behind the link changed")
		}
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
	}
	// A whole subfolder elsewhere, and the folders the program keeps for itself.
	elsewhere := t.TempDir()
	for _, name := range []string{"cars", HistoryDir, DraftsDir} {
		if err := os.RemoveAll(filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(elsewhere, filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	refuses(t, folder, "is not a plain folder", func() error { _, err := w.SaveCar(carOf("c")); return err })
	refuses(t, folder, "is not a plain folder", func() error {
		rig := exampleRig()
		rig.ID, rig.Name = "proj", "changed"
		_, err := w.SaveRig(rig)
		return err
	})
	refuses(t, folder, "is not a plain folder", func() error { _, err := OpenDraft(folder, "d", clock); return err })
	if entries, _ := os.ReadDir(elsewhere); len(entries) > 0 {
		t.Errorf("%v was written outside the folder", entries)
	}
	// The lock as a link: its target is not emptied.
	lock := filepath.Join(folder, LockFile)
	if err := os.Remove(lock); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, lock); err != nil {
		t.Fatal(err)
	}
	refuses(t, folder, "is not a plain file, so it cannot be locked", func() error { _, err := w.SaveBulb(bulbOf("n")); return err })
	if read(t, outside) != text {
		t.Error("the file behind the lock changed")
	}
	// The catalog itself may be reached by a link: the user named it.
	alias := filepath.Join(t.TempDir(), "alias")
	if err := os.Remove(lock); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(folder, alias); err != nil {
		t.Fatal(err)
	}
	by, err := Open(alias, Options{Known: knowledge(t), Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := by.SaveBulb(bulbOf("n")); err != nil {
		t.Error(err)
	}
}

func theCatalog(t *testing.T, folder string) *data.Catalog {
	catalog := clean(t, folder).Catalog
	return &catalog
}

// A file that somebody protected, or saved while we were at it, is left alone.
func TestTarget(t *testing.T) {
	w, folder := bench(t)
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(folder, "bulbs", "b.yaml")
	if err := os.Chmod(file, 0o444); err != nil {
		t.Fatal(err)
	}
	refuses(t, folder, "is write-protected", func() error { _, err := w.AddTest("b", "a", "", testOn("2026-01-01", 1000)); return err })
	if err := os.Chmod(file, 0o644); err != nil {
		t.Fatal(err)
	}
	edited := read(t, file) + "notes: [by hand]\n"
	_, err := w.Change(func(c *data.Catalog) error {
		c.Bulbs[0].Name = "other"
		return os.WriteFile(file, []byte(edited), 0o644) // an editor saves just now
	})
	if err == nil || !strings.Contains(err.Error(), "was changed by another program meanwhile") || read(t, file) != edited {
		t.Errorf("%v\n%s", err, read(t, file))
	}
	fresh := filepath.Join(folder, "bulbs", "n.yaml")
	_, err = w.Change(func(c *data.Catalog) error {
		n := bulbOf("n")
		n.Format = 1
		c.Bulbs = append(c.Bulbs, n)
		return os.WriteFile(fresh, []byte("by hand"), 0o644)
	})
	if err == nil || !strings.Contains(err.Error(), "is there already") || read(t, fresh) != "by hand" {
		t.Errorf("%v\n%s", err, read(t, fresh))
	}
}

// Leftovers of killed writers go after an hour; nothing else does.
func TestSweep(t *testing.T) {
	w, folder := bench(t)
	old, young := clock().Add(-2*time.Hour), clock().Add(-time.Minute)
	kept := map[string]time.Time{
		"bulbs/.b.yaml.77-xyz.tmp": young, "bulbs/.b.yaml.swp": old, "bulbs/b.yaml.77-xyz.tmp.txt": old, "bulbs/.mine.tmp": old, "rigs/.keep": old, ".drafts/d.jsonl": old,
	}
	gone := []string{"bulbs/.b.yaml.77-xy1.tmp", "rigs/.r.yaml.1-0.tmp", "cars/.c.yaml.99999-1abc.tmp", ".history/.b-20260101T000000Z.yaml.5-q.tmp", ".catalog.yaml.12-zz.tmp"}
	for _, dir := range []string{HistoryDir, DraftsDir} {
		if err := os.MkdirAll(filepath.Join(folder, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	put := func(name string, at time.Time) {
		file := filepath.Join(folder, name)
		if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(file, at, at); err != nil {
			t.Fatal(err)
		}
	}
	for name, at := range kept {
		put(name, at)
	}
	for _, name := range gone {
		put(name, old)
	}
	if _, err := w.SaveBulb(bulbOf("n")); err != nil {
		t.Fatal(err)
	}
	after := tree(t, folder)
	for name := range kept {
		if after[name] != "x" {
			t.Errorf("%s is gone", name)
		}
	}
	for _, name := range gone {
		if _, there := after[name]; there {
			t.Errorf("%s is still there", name)
		}
	}
}

// The names of our temporary files are of the shape that is swept, and start
// with a dot.
func TestTempName(t *testing.T) {
	_, folder := bench(t)
	root, err := os.OpenRoot(folder)
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	d := disk{root: root, label: folder}
	// A folder in the place of the target makes the rename fail after the
	// temporary file is complete.
	if err := root.Mkdir("bulbs/x.yaml", 0o755); err != nil {
		t.Fatal(err)
	}
	err = d.create("bulbs/x.yaml", []byte("x"), 0)
	var at *os.LinkError
	if !errors.As(err, &at) {
		t.Fatalf("%v", err)
	}
	if name := filepath.Base(at.Old); !tempName().MatchString(name) || !strings.HasPrefix(name, ".") {
		t.Errorf("temporary name %q", name)
	}
	if entries, _ := os.ReadDir(filepath.Join(folder, "bulbs")); len(entries) != 2 {
		t.Errorf("the temporary file was left: %v", entries)
	}
}

func TestLock(t *testing.T) {
	w, folder := bench(t)
	w.wait = 200 * time.Millisecond
	other, err := Open(folder, Options{Known: knowledge(t), Now: clock, Wait: 200 * time.Millisecond})
	if err != nil {
		t.Fatal(err)
	}
	err = w.locked(func() error {
		start := time.Now()
		_, err := other.SaveBulb(bulbOf("b"))
		if !errors.Is(err, ErrLocked) || time.Since(start) < 200*time.Millisecond {
			t.Errorf("%v after %v", err, time.Since(start))
		}
		want := regexp.MustCompile(fmt.Sprintf(`is being written by process %d on \S+, since 2026-11-25T08:32:00Z; waited 200ms$`, os.Getpid()))
		if !want.MatchString(err.Error()) {
			t.Errorf("message %q", err)
		}
		// Reading needs no lock.
		clean(t, folder)
		_, err = other.Plan(func(*data.Catalog) error { return nil })
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	// A lock file with the words of a process long dead blocks nobody.
	if err := os.WriteFile(filepath.Join(folder, LockFile), []byte("process 999999\nhost gone\nsince 2020-01-01T00:00:00Z\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := other.SaveBulb(bulbOf("b")); err != nil {
		t.Error(err)
	}
	if text := read(t, folder, LockFile); text != "" {
		t.Errorf("the lock file still names its last holder: %q", text)
	}
	// Words that are none of ours are not repeated to a terminal.
	err = w.locked(func() error {
		if err := os.WriteFile(filepath.Join(folder, LockFile), []byte("\x1b[2J\nb\nc\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		_, err := other.SaveBulb(bulbOf("c"))
		return err
	})
	if err == nil || strings.ContainsFunc(err.Error(), hostile) {
		t.Errorf("%q", err)
	}
}
