package store

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"stillbright/data"
)

// bench is a catalog with a rig and a writer on it.
func bench(t testing.TB) (*Writer, string) {
	t.Helper()
	folder := started(t)
	w, err := Open(folder, Options{Known: knowledge(t), Now: clock})
	if err != nil {
		t.Fatal(err)
	}
	rig := exampleRig()
	rig.ID = "proj"
	if _, err := w.SaveRig(rig); err != nil {
		t.Fatal(err)
	}
	return w, folder
}

func bulbOf(id string) data.Bulb {
	return data.Bulb{ID: id, Name: "Tarn", Kind: data.KindLED, Size: "H11", Source: "own bench"}
}

func carOf(id string) data.Car {
	return data.Car{ID: id, Name: "Old car", Source: "owner", Lamps: []data.Lamp{{Size: "9005", Beam: data.BeamHigh}, {Size: "H11", Beam: data.BeamLow, Rear: some(60.0)}}}
}

// theBulb is the bulb b of a catalog without a fault.
func theBulb(t testing.TB, folder string) data.Bulb {
	t.Helper()
	catalog := clean(t, folder).Catalog
	b, ok := catalog.Bulb("b")
	if !ok {
		t.Fatal("the bulb is gone")
	}
	return b
}

func testOn(day data.Date, lux float64) data.Test {
	return data.Test{Rig: "proj", Date: day, Volts: some(13.2), Stock: data.StockReading{First: some(900.0), Volts: some(13.2)}, Readings: []data.Reading{{At: 0, Lux: lux}}}
}

func read(t testing.TB, parts ...string) string {
	t.Helper()
	content, err := os.ReadFile(filepath.Join(parts...))
	if err != nil {
		t.Fatal(err)
	}
	return string(content)
}

// tree lists every file below a folder but the lock, with its content.
func tree(t testing.TB, folder string) map[string]string {
	t.Helper()
	found := map[string]string{}
	err := filepath.WalkDir(folder, func(file string, entry os.DirEntry, err error) error {
		if err == nil && !entry.IsDir() && entry.Name() != LockFile {
			name, _ := filepath.Rel(folder, file)
			if entry.Type()&os.ModeSymlink != 0 {
				found[name], err = os.Readlink(file)
			} else {
				found[name] = read(t, file)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

// refuses checks that a call fails with a message and changes no file.
func refuses(t *testing.T, folder, message string, call func() error) {
	t.Helper()
	before := tree(t, folder)
	err := call()
	if err == nil || !strings.Contains(err.Error(), message) {
		t.Errorf("error %v, want it to say %q", err, message)
	}
	if after := tree(t, folder); !reflect.DeepEqual(before, after) {
		t.Errorf("%q: the folder changed all the same", message)
	}
}

func TestSaveNewAndAgain(t *testing.T) {
	w, folder := bench(t)
	saved, err := w.SaveBulb(bulbOf("tarn-h11"))
	if err != nil || !saved.Created || !saved.Changed || saved.Copy != "" || saved.File != filepath.Join(folder, "bulbs", "tarn-h11.yaml") {
		t.Fatalf("%+v, %v", saved, err)
	}
	if text := read(t, saved.File); text != "format: 1\nid: tarn-h11\nname: Tarn\nkind: led\nsize: H11\nsource: own bench\n" {
		t.Errorf("wrote\n%s", text)
	}
	again, err := w.SaveBulb(bulbOf("tarn-h11"))
	if err != nil || again.Created || again.Changed {
		t.Errorf("saving the same again: %+v, %v", again, err)
	}
	more := bulbOf("tarn-h11")
	more.Build.Rear = some(57.0)
	saved, err = w.SaveBulb(more)
	if err != nil || saved.Created || !saved.Changed || saved.Copy != filepath.Join(folder, ".history", "tarn-h11-20261125T083200Z.yaml") {
		t.Errorf("%+v, %v", saved, err)
	}
	if text := read(t, saved.Copy); strings.Contains(text, "rear_length") || !strings.Contains(text, "id: tarn-h11") {
		t.Errorf("the copy holds\n%s", text)
	}
	clean(t, folder)
}

// Saving lays what is given over what is there, and takes nothing away.
func TestSaveKeepsTheRest(t *testing.T) {
	w, folder := bench(t)
	file := filepath.Join(folder, "bulbs", "b.yaml")
	old := "# my bulb\nformat: 1\nid: b\nname: Tarn\nkind: led\nsize: h-11   # printed\nalso_fits: [H8]\nsource: own bench\nclaims: {lumens: 6000, per: pair}\nlots:\n  - lot: a\n    tests:\n      - rig: proj # the old one\n        date: 2026-01-02\n        readings: [{at: 0s, lux: 1000}]\n        body: 80C\n"
	if err := os.WriteFile(file, []byte(old), 0o640); err != nil {
		t.Fatal(err)
	}
	b := bulbOf("b")
	b.Claims.Lumens = some(5000.0)
	b.AlsoFits = []string{"H8", "H9"}
	corrected := data.Test{Rig: "proj", Date: "2026-01-02", Readings: []data.Reading{{At: 0, Lux: 1010}}}
	b.Lots = []data.Lot{{Name: "b", Bought: "2026-02-01"}, {Name: "a", Bought: "2026-01-01", Tests: []data.Test{corrected, testOn("2026-03-01", 990)}}}
	saved, err := w.SaveBulb(b)
	if err != nil {
		t.Fatal(err)
	}
	want := "# my bulb\nformat: 1\nid: b\nname: Tarn\nkind: led\nsize: h-11   # printed\nalso_fits: [H8, H9]\nsource: own bench\nclaims: {lumens: 5000, per: pair}\nlots:\n  - lot: a\n    bought: 2026-01-01\n    tests:\n      - rig: proj # the old one\n        date: 2026-01-02\n        readings: [{at: 0s, lux: 1010}]\n        body: 80C\n" +
		"      - rig: proj\n        date: 2026-03-01\n        volts: 13.2\n        stock: {first: 900, volts: 13.2}\n        readings:\n          - {at: 0min, lux: 990}\n  - lot: b\n    bought: 2026-02-01\n"
	if got := read(t, file); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if read(t, saved.Copy) != old {
		t.Error("the copy is not the old text")
	}
	if info, _ := os.Stat(file); info.Mode().Perm() != 0o640 {
		t.Errorf("the file's mode became %v", info.Mode())
	}
	if saved, err := w.SaveBulb(b); err != nil || saved.Changed {
		t.Errorf("the same again: %+v, %v", saved, err)
	}
}

// A lamp is added or replaced by its beam; the same size keeps what was not
// measured again, another size is another lamp.
func TestSaveCarLamps(t *testing.T) {
	w, folder := bench(t)
	if _, err := w.SaveCar(carOf("c")); err != nil {
		t.Fatal(err)
	}
	lamps := func(lamp ...data.Lamp) []data.Lamp {
		t.Helper()
		if _, err := w.SaveCar(data.Car{ID: "c", Name: "Old car", Source: "owner", Lamps: lamp}); err != nil {
			t.Fatal(err)
		}
		clean(t, folder)
		var car data.Car
		Decode("", []byte(read(t, folder, "cars", "c.yaml")), &car)
		return car.Lamps
	}
	got := lamps(data.Lamp{Size: "HB3", Beam: data.BeamHigh, Housing: data.Reflector})
	if len(got) != 2 || got[0].Size != "9005" || got[0].Housing != data.Reflector || *got[1].Rear != 60 {
		t.Errorf("%+v", got)
	}
	got = lamps(data.Lamp{Size: "H11", Beam: data.BeamLow, Cap: "hard"}, data.Lamp{Size: "H8", Beam: data.BeamFog})
	if len(got) != 3 || *got[1].Rear != 60 || got[1].Cap != "hard" || got[2].Size != "H8" {
		t.Errorf("%+v", got)
	}
	got = lamps(data.Lamp{Size: "H7", Beam: data.BeamLow})
	if len(got) != 3 || got[1].Size != "H7" || got[1].Rear != nil {
		t.Errorf("%+v", got)
	}
}

func TestAddTest(t *testing.T) {
	w, folder := bench(t)
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	add := func(lot string, bought data.Date, test data.Test) (Saved, error) {
		return w.AddTest("b", lot, bought, test)
	}
	for _, step := range []struct {
		lot    string
		bought data.Date
		test   data.Test
	}{{"a", "2026-01-01", testOn("2026-01-05", 1000)}, {"", "", testOn("2026-01-06", 1001)}, {"b", "", testOn("2026-01-07", 1002)}, {"b", "2026-01-07", testOn("2026-01-08", 1003)}} {
		if saved, err := add(step.lot, step.bought, step.test); err != nil || !saved.Changed {
			t.Fatalf("%+v, %v", saved, err)
		}
	}
	if saved, err := add("a", "", testOn("2026-01-05", 1000)); err != nil || saved.Changed {
		t.Errorf("the same test again: %+v, %v", saved, err)
	}
	b := theBulb(t, folder)
	if len(b.Lots) != 2 || len(b.Lots[0].Tests) != 2 || len(b.Lots[1].Tests) != 2 || b.Lots[1].Bought != "2026-01-07" {
		t.Errorf("%+v", b.Lots)
	}
	for message, call := range map[string]func() error{
		"the test does not say which it belongs to":   func() error { _, err := add("", "", testOn("2026-02-01", 1)); return err },
		"was bought on 2026-01-01, not on 2026-01-02": func() error { _, err := add("a", "2026-01-02", testOn("2026-02-01", 1)); return err },
		`there is no rig "prj"`: func() error {
			bad := testOn("2026-02-01", 1)
			bad.Rig = "prj"
			_, err := add("a", "", bad)
			return err
		},
		"2025-12-31 is before the lot was bought": func() error { _, err := add("a", "", testOn("2025-12-31", 1)); return err },
		"must be from 0.1":                        func() error { _, err := add("a", "", testOn("2026-02-01", 0)); return err },
		`there is no bulb "c"`:                    func() error { _, err := w.AddTest("c", "a", "", testOn("2026-02-01", 1)); return err },
	} {
		refuses(t, folder, message, call)
		var faults data.Faults
		if err := call(); !errors.As(err, &faults) || !strings.HasPrefix(faults[0].File, folder) {
			t.Errorf("%q: %T without the file", message, err)
		}
	}
}

func TestSetPattern(t *testing.T) {
	w, folder := bench(t)
	two := exampleRig()
	two.ID, two.Beam, two.Size = "both", data.BeamBoth, "H4"
	if _, err := w.SaveRig(two); err != nil {
		t.Fatal(err)
	}
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	for _, test := range []data.Test{testOn("2026-01-05", 1000), testOn("2026-03-05", 1001), testOn("2026-02-05", 1002), {Rig: "both", Beam: "low", Date: "2026-01-01"}, {Rig: "both", Beam: "high", Date: "2026-01-02"}} {
		if _, err := w.AddTest("b", "a", "", test); err != nil {
			t.Fatal(err)
		}
	}
	grade := data.PatternRecord{Method: "grade", Marks: &data.Marks{Stray: some(2)}}
	for _, target := range [][2]string{{"proj", ""}, {"proj", "low"}, {"both", "low"}} {
		if _, err := w.SetPattern("b", target[0], target[1], grade); err != nil {
			t.Fatal(err)
		}
	}
	b := theBulb(t, folder)
	for i, want := range []bool{false, true, false, true, false} {
		if (b.Lots[0].Tests[i].Pattern != nil) != want {
			t.Errorf("test %d: pattern %v, want %v", i, b.Lots[0].Tests[i].Pattern, want)
		}
	}
	grid := data.PatternRecord{Method: "grid", StrayVsStock: some(1.2)}
	if _, err := w.SetPattern("b", "proj", "low", grid); err != nil {
		t.Fatal(err)
	}
	b = theBulb(t, folder)
	if got := b.Lots[0].Tests[1].Pattern; got.Marks != nil || *got.StrayVsStock != 1.2 {
		t.Errorf("the old pattern shines through: %+v", got)
	}
	for message, call := range map[string]func() error{
		`has no test in rig "proj" high`: func() error { _, err := w.SetPattern("b", "proj", "high", grid); return err },
		"does low and high":              func() error { _, err := w.SetPattern("b", "both", "", grid); return err },
		"marks belong to method grade": func() error {
			_, err := w.SetPattern("b", "proj", "", data.PatternRecord{Method: "grid", Marks: &data.Marks{Dark: some(1)}})
			return err
		},
	} {
		refuses(t, folder, message, call)
	}
}

// Wrong records, tricks with ids and a catalog that is already wrong: faults,
// and nothing written.
func TestSaveRefuses(t *testing.T) {
	w, folder := bench(t)
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"", ".", "..", "../up", "a/b", `a\b`, "/etc/passwd", "a\x00b", "A", ".hidden", "a.yaml", strings.Repeat("a", 64), "-a", "é"} {
		b := bulbOf(id)
		refuses(t, folder, "is not a short name", func() error { _, err := w.SaveBulb(b); return err })
		car := carOf(id)
		refuses(t, folder, "is not a short name", func() error { _, err := w.SaveCar(car); return err })
	}
	for message, spoil := range map[string]func(*data.Bulb){
		`size "H77" is not known`: func(b *data.Bulb) { b.Size = "H77" },
		"kind: ":                  func(b *data.Bulb) { b.Kind = "candle" },
		"stands without a price":  func(b *data.Bulb) { b.Per = "pair" },
		"file is larger than": func(b *data.Bulb) {
			for range 400 {
				b.Notes = append(b.Notes, strings.Repeat("x", 4000))
			}
		},
	} {
		for _, id := range []string{"b", "new"} {
			bad := bulbOf(id)
			spoil(&bad)
			refuses(t, folder, message, func() error { _, err := w.SaveBulb(bad); return err })
		}
	}
	refuses(t, folder, "is never taken out", func() error {
		_, err := w.Change(func(c *data.Catalog) error { c.Bulbs = nil; return nil })
		return err
	})
	refuses(t, folder, "cannot be changed", func() error {
		_, err := w.Change(func(c *data.Catalog) error { c.Bulbs[0].ID = "other"; return nil })
		return err
	})
	refuses(t, folder, "is taken", func() error {
		_, err := w.Change(func(c *data.Catalog) error { c.Bulbs = append(c.Bulbs, bulbOf("b")); return nil })
		return err
	})
	refuses(t, folder, "no thanks", func() error {
		_, err := w.Change(func(*data.Catalog) error { return errors.New("no thanks") })
		return err
	})
	newer := filepath.Join(folder, "bulbs", "b.yaml")
	if err := os.WriteFile(newer, []byte("format: 2\nid: b\nlens: new\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	refuses(t, folder, "bulbs/b.yaml:1:9: format: 2: made by a newer version", func() error { _, err := w.SaveBulb(bulbOf("b")); return err })
	refuses(t, folder, "made by a newer version", func() error { _, err := w.SaveCar(carOf("c")); return err })
}

func TestOpenRefuses(t *testing.T) {
	folder := t.TempDir()
	for message, where := range map[string]string{"there is no such catalog folder": filepath.Join(folder, "none"), "is not a catalog": folder} {
		if _, err := Open(where, Options{Now: clock}); err == nil || !strings.Contains(err.Error(), message) {
			t.Errorf("%s: %v", where, err)
		}
	}
	file := filepath.Join(folder, "file")
	if err := os.WriteFile(file, nil, 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(file, Options{Now: clock}); err == nil || !strings.Contains(err.Error(), "is not a folder") {
		t.Error(err)
	}
	if err := os.WriteFile(filepath.Join(folder, HeadFile), []byte("format: 9\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := Open(folder, Options{Now: clock}); err == nil || !strings.Contains(err.Error(), "made by a newer version") {
		t.Error(err)
	}
}

// Several records at once: planned first, then written, references first.
func TestChangeAndPlan(t *testing.T) {
	w, folder := bench(t)
	edit := func(c *data.Catalog) error {
		b := bulbOf("b")
		b.Format = 1
		b.Lots = []data.Lot{{Name: "a", Tests: []data.Test{{Rig: "fresh", Date: "2026-01-01"}}}}
		rig := exampleRig()
		rig.ID = "fresh"
		car := carOf("c")
		car.Format = 1
		c.Bulbs, c.Rigs, c.Cars = append(c.Bulbs, b), append(c.Rigs, rig), append(c.Cars, car)
		c.Rigs[0].Notes = []string{"cleaned"}
		return nil
	}
	before := tree(t, folder)
	planned, err := w.Plan(edit)
	if err != nil || len(planned) != 4 {
		t.Fatalf("%v, %v", planned, err)
	}
	if !reflect.DeepEqual(before, tree(t, folder)) {
		t.Error("a plan wrote something")
	}
	saved, err := w.Change(edit)
	if err != nil || len(saved) != 4 {
		t.Fatal(saved, err)
	}
	for i, p := range planned {
		if saved[i].File != p.File || saved[i].Created != (p.Before == nil) || read(t, p.File) != string(p.After) {
			t.Errorf("planned %s, saved %+v", p.File, saved[i])
		}
	}
	order := []string{"rigs/proj.yaml", "rigs/fresh.yaml", "bulbs/b.yaml", "cars/c.yaml"}
	for i, want := range order {
		if !strings.HasSuffix(saved[i].File, want) {
			t.Errorf("file %d is %s, want %s", i, saved[i].File, want)
		}
	}
	// The safe fixes, planned as a diff and then made.
	fix := func(c *data.Catalog) error {
		c.Fix(knowledge(t).Sizes, knowledge(t).Places)
		return nil
	}
	if saved, err = w.Change(fix); err != nil || len(saved) != 1 || !strings.Contains(read(t, folder, "cars", "c.yaml"), "size: HB3") {
		t.Errorf("%+v, %v", saved, err)
	}
	clean(t, folder)
}
