package store

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"stillbright/data"
)

// knowledge reads what the program ships with.
func knowledge(t testing.TB) Knowledge {
	t.Helper()
	read := func(name string, record any) {
		content, err := os.ReadFile(filepath.Join("..", "known", "yaml", name))
		if err != nil {
			t.Fatal(err)
		}
		if _, faults := Decode(name, content, record); len(faults) > 0 {
			t.Fatal(faults)
		}
	}
	var sizes data.SizeFile
	var places data.PlaceFile
	var known Knowledge
	read("sizes.yaml", &sizes)
	read("places.yaml", &places)
	read("rules.yaml", &known.Rules)
	known.Sizes, known.Places = sizes.Sizes, places.Places
	return known
}

// started lays out a catalog for a test.
func started(t testing.TB) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "catalog")
	if _, err := Start(folder, "Test bench", nil); err != nil {
		t.Fatal(err)
	}
	return folder
}

// clean loads a catalog that has to be without a fault.
func clean(t testing.TB, folder string) Folder {
	t.Helper()
	read, faults := Load(os.DirFS(folder), folder, knowledge(t))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	return read
}

func TestStart(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "a", "b")
	made, err := Start(folder, "Bench: no 1", nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := filepath.Join(folder, "catalog.yaml"); len(made) != 8 || made[0] != want {
		t.Errorf("made %v, want 8 files, first %s", made, want)
	}
	read := clean(t, folder)
	if read.Catalog.Name != "Bench: no 1" || read.Catalog.Invented || len(read.Catalog.Bulbs)+len(read.Catalog.Rigs)+len(read.Catalog.Cars) != 0 {
		t.Errorf("a fresh catalog holds %+v", read.Catalog)
	}
	// Again: nothing is made, nothing is overwritten.
	own := filepath.Join(folder, "bulbs", "example-led-h11.yaml.example")
	if err := os.WriteFile(own, []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Remove(filepath.Join(folder, "rules.yaml.example")); err != nil {
		t.Fatal(err)
	}
	made, err = Start(folder, "Other name", nil)
	if err != nil || len(made) != 1 || !strings.HasSuffix(made[0], "rules.yaml.example") {
		t.Errorf("a second start made %v, %v", made, err)
	}
	if content, _ := os.ReadFile(own); string(content) != "mine" {
		t.Error("a file of the user's was overwritten")
	}
	if name := clean(t, folder).Catalog.Name; name != "Bench: no 1" {
		t.Errorf("the catalog is now called %q", name)
	}
}

// The examples are records that the reader takes and that are not implausible,
// and they explain every key.
func TestStartExamples(t *testing.T) {
	folder := started(t)
	var names []string
	err := filepath.WalkDir(folder, func(file string, entry os.DirEntry, err error) error {
		if plain, ok := strings.CutSuffix(file, ".example"); ok {
			names = append(names, entry.Name())
			return os.Rename(file, plain)
		}
		return err
	})
	if err != nil || len(names) != 6 {
		t.Fatalf("%v, examples %v", err, names)
	}
	read := clean(t, folder)
	if faults := read.Catalog.Implausible(knowledge(t).Sizes, read.Check, "2026-11-25"); len(faults) > 0 {
		t.Error(faults)
	}
	if read.Rules.Choice.TripMin.Value != 40 || read.Rules.Gate.StrayLow.Value != 1.5 || !slices.Contains(read.Words.Sizes["H7"], "the usual one") {
		t.Error("the example overrides were not read")
	}
	bulb, err := os.ReadFile(filepath.Join(folder, "bulbs", "example-led-h11.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"cable_bend:", "approval:", "readings:", "marks:", "needed", "one of fixed, removable, friction, set_screw", "0mm to 300mm"} {
		if !strings.Contains(string(bulb), want) {
			t.Errorf("the example bulb does not tell of %q", want)
		}
	}
	for i, line := range strings.Split(string(bulb), "\n") {
		if len(line) > 120 {
			t.Errorf("line %d of the example bulb is %d characters long", i+1, len(line))
		}
	}
}

func TestStartRefuses(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "holiday.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Start(folder, "x", nil); err == nil || !strings.Contains(err.Error(), "holds holiday.txt") {
		t.Errorf("a folder with other things: %v", err)
	}
	if entries, _ := os.ReadDir(folder); len(entries) != 1 {
		t.Error("something was written all the same")
	}
	for _, name := range []string{"", "  ", "a\x1b[2Jb"} {
		fresh := filepath.Join(t.TempDir(), "fresh")
		if _, err := Start(fresh, name, nil); err == nil {
			t.Errorf("the name %q was taken", name)
		}
		if _, err := os.Stat(fresh); err == nil {
			t.Error("a folder was made all the same")
		}
	}
	file := filepath.Join(folder, "holiday.txt")
	if _, err := Start(file, "x", nil); err == nil {
		t.Error("a file was taken for a folder")
	}
	// A folder with nothing but a git repository is fine.
	git := t.TempDir()
	if err := os.Mkdir(filepath.Join(git, ".git"), 0o755); err != nil {
		t.Fatal(err)
	}
	if _, err := Start(git, "x", nil); err != nil {
		t.Error(err)
	}
}

// A start that was killed after catalog.yaml can be repeated.
func TestStartIsRepeated(t *testing.T) {
	folder := started(t)
	for _, name := range []string{"bulbs", "rigs", "cars", ".gitignore"} {
		if err := os.RemoveAll(filepath.Join(folder, name)); err != nil {
			t.Fatal(err)
		}
	}
	if made, err := Start(folder, "x", nil); err != nil || len(made) != 4 {
		t.Errorf("made %v, %v", made, err)
	}
}

// clock is a clock for tests that stands still.
func clock() time.Time { return time.Date(2026, 11, 25, 8, 32, 0, 0, time.UTC) }
