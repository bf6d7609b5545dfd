package store

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func draftOf(t *testing.T, folder, name string) *Draft {
	t.Helper()
	d, err := OpenDraft(folder, name, clock)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDraft(t *testing.T) {
	folder := started(t)
	d := draftOf(t, folder, "car-add")
	entries := [][2]string{{"size", "H7"}, {"note", "two\nlines \"quoted\" \x1b[2J é"}, {"rear", ""}}
	for _, entry := range entries {
		if err := d.Append(entry[0], entry[1]); err != nil {
			t.Fatal(err)
		}
	}
	if err := d.Append("", "x"); err == nil {
		t.Error("an entry without a key was taken")
	}
	// Somebody else may look, but not write.
	if _, err := OpenDraft(folder, "car-add", clock); !errors.Is(err, ErrLocked) || !strings.Contains(err.Error(), "is open in another process") {
		t.Errorf("a second writer: %v", err)
	}
	list, err := Drafts(folder)
	if err != nil || len(list) != 1 || list[0].Name != "car-add" || list[0].Entries != 3 || !list[0].Last.Equal(clock()) {
		t.Errorf("%+v, %v", list, err)
	}
	if err := d.Close(); err != nil {
		t.Fatal(err)
	}
	d = draftOf(t, folder, "car-add")
	if len(d.Entries) != 3 || d.Torn != 0 {
		t.Fatalf("%+v", d)
	}
	for i, want := range entries {
		if got := d.Entries[i]; got.Key != want[0] || got.Value != want[1] || !got.At.Equal(clock()) {
			t.Errorf("entry %d is %+v, want %v", i, got, want)
		}
	}
	text := read(t, folder, DraftsDir, "car-add.jsonl")
	if err := d.Finish(); err != nil {
		t.Fatal(err)
	}
	if list, _ := Drafts(folder); len(list) != 0 {
		t.Errorf("%v is still open", list)
	}
	if kept := read(t, folder, HistoryDir, "car-add-20261125T083200Z.jsonl"); kept != text {
		t.Errorf("kept\n%s", kept)
	}
	// The same name again, in the same second.
	d = draftOf(t, folder, "car-add")
	if len(d.Entries) != 0 {
		t.Errorf("a finished draft came back: %v", d.Entries)
	}
	if err := errors.Join(d.Append("a", "b"), d.Finish()); err != nil {
		t.Fatal(err)
	}
	if kept := read(t, folder, HistoryDir, "car-add-20261125T083200Z.jsonl"); kept != text {
		t.Error("the first was overwritten")
	}
	// Nothing typed, nothing left.
	if err := draftOf(t, folder, "empty").Finish(); err != nil {
		t.Error(err)
	}
	for name := range tree(t, folder) {
		if strings.Contains(name, "empty") {
			t.Errorf("%s", name)
		}
	}
	clean(t, folder)
}

// A line cut short at any byte costs that line and no other, and what is typed
// afterwards is read.
func TestDraftTorn(t *testing.T) {
	folder := started(t)
	d := draftOf(t, folder, "d")
	if err := errors.Join(d.Append("a", "1"), d.Append("b", "2"), d.Close()); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(folder, DraftsDir, "d.jsonl")
	whole := read(t, file)
	first := strings.Index(whole, "\n") + 1
	for cut := 0; cut <= len(whole); cut++ {
		if err := os.WriteFile(file, []byte(whole[:cut]), 0o644); err != nil {
			t.Fatal(err)
		}
		want := 0
		if cut >= first-1 {
			want = 1
		}
		if cut >= len(whole)-1 {
			want = 2
		}
		d := draftOf(t, folder, "d")
		if len(d.Entries) != want || d.Torn > 1 {
			t.Fatalf("cut at %d of %d: %d entries, %d torn; want %d", cut, len(whole), len(d.Entries), d.Torn, want)
		}
		if err := errors.Join(d.Append("c", "3"), d.Close()); err != nil {
			t.Fatal(err)
		}
		d = draftOf(t, folder, "d")
		if len(d.Entries) != want+1 || d.Entries[want].Value != "3" {
			t.Fatalf("cut at %d: then %+v", cut, d.Entries)
		}
		if err := d.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestDraftRefuses(t *testing.T) {
	folder := started(t)
	for _, name := range []string{"", "..", "../x", "a/b", "A", ".x", "a.jsonl", "a\x00"} {
		if _, err := OpenDraft(folder, name, clock); err == nil || !strings.Contains(err.Error(), "is not a short name") {
			t.Errorf("%q: %v", name, err)
		}
	}
	if _, err := OpenDraft(filepath.Join(folder, "none"), "d", clock); err == nil {
		t.Error("a folder that is not there was taken")
	}
	if list, err := Drafts(filepath.Join(folder, "none")); err != nil || list != nil {
		t.Errorf("%v, %v", list, err)
	}
	if err := os.MkdirAll(filepath.Join(folder, DraftsDir, "folder.jsonl"), 0o755); err != nil {
		t.Fatal(err)
	}
	outside := filepath.Join(t.TempDir(), "o.jsonl")
	if err := os.WriteFile(outside, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(folder, DraftsDir, "link.jsonl")); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"folder", "link"} {
		if _, err := OpenDraft(folder, name, clock); err == nil || !strings.Contains(err.Error(), "is not a plain file") {
			t.Errorf("%s: %v", name, err)
		}
	}
	if list, err := Drafts(folder); err != nil || len(list) != 0 {
		t.Errorf("%v, %v", list, err)
	}
	if read(t, outside) != "x" {
		t.Error("the file behind the link changed")
	}
}

func FuzzDraft(f *testing.F) {
	f.Add([]byte(`{"at":"2026-11-25T08:32:00Z","key":"a","value":"1"}` + "\n{\"at\""))
	f.Add([]byte("\n\n[1]\nnull\n{}\n"))
	f.Fuzz(func(t *testing.T, content []byte) {
		entries, torn := readEntries(content)
		again, _ := readEntries(append(append([]byte{}, content...), '\n'))
		if len(again) != len(entries) || torn < 0 {
			t.Fatalf("%q: %d entries, %d with a line break more", content, len(entries), len(again))
		}
	})
}
