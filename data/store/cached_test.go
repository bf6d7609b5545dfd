package store

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"stillbright/data"
	"stillbright/data/invented"
	"stillbright/data/quantity"
)

// laidOut writes an invented catalog to a folder.
func laidOut(t testing.TB, bulbs int) string {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "catalog")
	c := invented.Catalog(bulbs)
	write := func(name string, record any) {
		text, err := Encode(record)
		if err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(folder, name), string(text))
	}
	write(HeadFile, data.CatalogHead{Format: 1, Name: c.Name, Source: "invented"})
	for _, rig := range c.Rigs {
		write("rigs/"+rig.ID+".yaml", rig)
	}
	for _, bulb := range c.Bulbs {
		write("bulbs/"+bulb.ID+".yaml", bulb)
	}
	write("cars/wagon.yaml", data.Car{Format: 1, ID: "wagon", Name: "Wagon", Lamps: []data.Lamp{{Size: "h11", Beam: "low", Housing: data.Projector}}, Source: "invented"})
	return folder
}

func put(t testing.TB, file, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// ahead is a cache whose clock runs ahead, so that no test has to wait until a
// file is left alone for two seconds. tick waits until the next change shows in
// the times of a file.
func ahead(t testing.TB) Cache {
	return Cache{Folder: filepath.Join(t.TempDir(), "cache"), Program: "test", now: func() time.Time { return time.Now().Add(time.Minute) }}
}

func tick() { time.Sleep(12 * time.Millisecond) }

// sameAsLoad holds what is read with a cache against what is read without, and
// says how many files were known.
func sameAsLoad(t *testing.T, folder string, known Knowledge, cache Cache) (hits int) {
	t.Helper()
	if _, ok := lookAt(os.DirFS(folder), HeadFile); !ok {
		t.Skip("this system tells no change times, so nothing is kept")
	}
	want, wantFaults := Load(os.DirFS(folder), folder, known)
	r := cache.open(folder)
	if r != nil {
		l := newLoader(os.DirFS(folder), folder)
		l.recall = r
		l.load(known)
		hits = r.hits
	}
	got, faults := LoadCached(folder, known, cache)
	if !reflect.DeepEqual(faults, wantFaults) {
		t.Fatalf("faults\n%v\nwithout a cache\n%v", faults, wantFaults)
	}
	if len(faults.Wrong()) == 0 && !reflect.DeepEqual(got.Catalog, want.Catalog) {
		t.Fatalf("the catalog differs from that without a cache")
	}
	if !reflect.DeepEqual(got.Rules, want.Rules) || !reflect.DeepEqual(got.Words, want.Words) || !reflect.DeepEqual(got.Check, want.Check) {
		t.Fatalf("rules, words or thresholds differ from those without a cache")
	}
	return hits
}

func caches(t *testing.T, cache Cache) []string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(cache.Folder, "*"))
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// The same records and faults come back, from the files, from the cache, and
// from a cache that knows some of the files; over a random course of edits.
func TestCacheIsInvisible(t *testing.T) {
	folder, known, cache := laidOut(t, 24), knowledge(t), ahead(t)
	const files = 24 + 32 + 1
	if hits := sameAsLoad(t, folder, known, cache); hits != 0 {
		t.Fatalf("%d known at first", hits)
	}
	if hits := sameAsLoad(t, folder, known, cache); hits != files {
		t.Fatalf("%d of %d known", hits, files)
	}
	steps := 40
	if more, err := strconv.Atoi(os.Getenv("STILLBRIGHT_CACHE_STEPS")); err == nil {
		steps = more // for a long run
	}
	known1, all := 0, 0
	for step := range steps {
		rng := random(step)
		what := anEdit(t, rng, folder)
		tick()
		hits := sameAsLoad(t, folder, known, cache)
		known1, all = known1+hits, all+files
		if t.Failed() {
			t.Fatalf("step %d: %s", step, what)
		}
		tick()
	}
	if known1 < all/2 {
		t.Errorf("the cache knew %d of %d files: it is of little use", known1, all)
	}
}

// anEdit does one thing to a catalog that a user or another program may do.
func anEdit(t *testing.T, rng *rand.Rand, folder string) string {
	t.Helper()
	list, err := filepath.Glob(filepath.Join(folder, "bulbs", "*"))
	if err != nil || len(list) == 0 {
		t.Fatal(err, "no bulbs left")
	}
	file := list[rng.IntN(len(list))]
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := string(content)
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	switch rng.IntN(12) {
	case 10: // the user's own thresholds and rules, beside records that stay
		put(t, filepath.Join(folder, CheckFile), fmt.Sprintf("stock_z: {value: %d, why: a test}\n", 3+rng.IntN(5)))
		put(t, filepath.Join(folder, RulesFile), fmt.Sprintf("format: 1\nchoice:\n  trip: {value: %d, why: a test}\n", 20+rng.IntN(20)))
		return "own rules"
	case 11:
		for _, name := range []string{CheckFile, RulesFile} {
			if err := os.Remove(filepath.Join(folder, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
		}
		return "no own rules"
	case 0:
		later := time.Now().Add(-time.Duration(rng.IntN(1000)) * time.Hour)
		if err := os.Chtimes(file, later, later); err != nil {
			t.Fatal(err)
		}
		return "touch " + file
	case 1, 2: // the same length, and the old time put back
		put(t, file, strings.Replace(text, "lux: 1", "lux: 2", 1+rng.IntN(3)))
		if err := os.Chtimes(file, info.ModTime(), info.ModTime()); err != nil {
			t.Fatal(err)
		}
		return "edit in place, same length and time, " + file
	case 3: // another file takes its name, same length and time
		other := file + ".new"
		put(t, other, strings.Replace(text, "volts: 13.5", "volts: 13.4", 1))
		if err := os.Chtimes(other, info.ModTime(), info.ModTime()); err != nil {
			t.Fatal(err)
		}
		if err := os.Rename(other, file); err != nil {
			t.Fatal(err)
		}
		return "replace " + file
	case 4:
		if len(list) < 12 {
			return "nothing"
		}
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
		return "remove " + file
	case 5: // a name that does not go with its id is a fault, until it is put right
		if err := os.Rename(file, strings.TrimSuffix(file, ".yaml")+"-x.yaml"); err != nil {
			t.Fatal(err)
		}
		return "rename " + file
	case 6:
		put(t, file, strings.Replace(text, "kind: led", "kind: lede", 1))
		return "spoil " + file
	case 7: // the price no longer says what it buys: a warning
		put(t, file, strings.Replace(text, "per: pair\n", "", 1))
		return "warn " + file
	case 8: // puts every file right again
		for _, one := range list {
			content, err := os.ReadFile(one)
			if err != nil {
				t.Fatal(err)
			}
			right := strings.TrimSuffix(strings.ReplaceAll(one, "-x.yaml", ".yaml"), ".yaml") + ".yaml"
			if fixed := strings.Replace(string(content), "kind: lede", "kind: led", 1); fixed != string(content) || right != one {
				put(t, right, fixed)
				if right != one {
					if err := os.Remove(one); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		return "put right"
	}
	put(t, file, text+fmt.Sprintf("# %d\n", rng.IntN(1000)))
	return "comment " + file
}

// With the real clock: a file that was just touched is not kept, and one that
// was is read anew after an edit of the same length that puts the time back.
func TestCacheClock(t *testing.T) {
	folder, known := laidOut(t, 8), knowledge(t)
	cache := Cache{Folder: filepath.Join(t.TempDir(), "cache"), Program: "test"}
	if sameAsLoad(t, folder, known, cache); len(caches(t, cache)) != 0 {
		t.Fatal("files were kept within two seconds of being written")
	}
	time.Sleep(restless + 100*time.Millisecond)
	sameAsLoad(t, folder, known, cache)
	if hits := sameAsLoad(t, folder, known, cache); hits != 8+32+1 {
		t.Fatalf("%d known", hits)
	}
	file := filepath.Join(folder, "bulbs", invented.Catalog(8).Bulbs[3].ID+".yaml")
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	put(t, file, strings.Replace(string(content), "volts: 13.5", "volts: 12.5", 1))
	if err := os.Chtimes(file, info.ModTime(), info.ModTime()); err != nil {
		t.Fatal(err)
	}
	if hits := sameAsLoad(t, folder, known, cache); hits != 8+32 {
		t.Fatalf("%d known after an edit in place", hits)
	}
	read, _ := LoadCached(folder, known, cache)
	bulb, _ := read.Catalog.Bulb(invented.Catalog(8).Bulbs[3].ID)
	if *bulb.Lots[0].Tests[0].Volts != 12.5 {
		t.Error("the edit was not seen")
	}
}

// A record that is gone leaves the cache too, and what is left is whole again.
func TestCacheForgets(t *testing.T) {
	folder, known, cache := laidOut(t, 8), knowledge(t), ahead(t)
	sameAsLoad(t, folder, known, cache)
	before := len(cache.open(folder).old.files)
	if err := os.Remove(filepath.Join(folder, "bulbs", invented.Catalog(8).Bulbs[2].ID+".yaml")); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		sameAsLoad(t, folder, known, cache)
	}
	if old := cache.open(folder).old; len(old.files) != before-1 || !old.whole {
		t.Errorf("%d files are kept of %d, whole: %v", len(old.files), before-1, old.whole)
	}
}

// More warnings than are kept: the records are kept all the same, and the cache
// is not written again and again.
func TestCacheManyWarnings(t *testing.T) {
	folder, known, cache := laidOut(t, 2), knowledge(t), ahead(t)
	bulb := data.Bulb{Format: 1, Kind: data.KindLED, Size: "H11", Price: &quantity.Money{Amount: 60, Currency: "USD"}, Source: "invented"} // for one, or for two?
	for i := range mostWarnings + 1 {
		bulb.ID = fmt.Sprintf("copy-%04d", i)
		bulb.Name = bulb.ID
		text, err := Encode(bulb)
		if err != nil {
			t.Fatal(err)
		}
		put(t, filepath.Join(folder, "bulbs", bulb.ID+".yaml"), string(text))
	}
	tick()
	sameAsLoad(t, folder, known, cache)
	kept, err := os.Stat(caches(t, cache)[0])
	if err != nil {
		t.Fatal(err)
	}
	if _, faults := LoadCached(folder, known, cache); len(faults) <= mostWarnings {
		t.Fatalf("only %d warnings", len(faults))
	}
	again, err := os.Stat(caches(t, cache)[0])
	if err != nil || !os.SameFile(kept, again) {
		t.Errorf("the cache was written again: %v", err)
	}
}

// Warnings come back with their places from a cache that knows every file.
func TestCacheWarnings(t *testing.T) {
	folder, known, cache := laidOut(t, 8), knowledge(t), ahead(t)
	file := filepath.Join(folder, "bulbs", invented.Catalog(8).Bulbs[2].ID+".yaml")
	content, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	put(t, file, strings.Replace(string(content), "per: pair\n", "", 1))
	tick()
	for range 3 {
		sameAsLoad(t, folder, known, cache)
	}
	_, faults := LoadCached(folder, known, cache)
	if len(faults) != 1 || !faults[0].Warning || faults[0].Line < 2 || faults[0].File != file {
		t.Errorf("%+v", faults)
	}
	r := cache.open(folder)
	if !r.old.whole || len(r.old.warnings) != 1 {
		t.Errorf("the warning was not kept: %+v", r.old.warnings)
	}
}
