package store

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"
)

// A cache that is damaged, cut short, of another program or made up changes
// nothing and breaks nothing.
func TestCacheDamaged(t *testing.T) {
	folder, known, cache := laidOut(t, 8), knowledge(t), ahead(t)
	sameAsLoad(t, folder, known, cache)
	list := caches(t, cache)
	if len(list) != 1 {
		t.Fatal(list)
	}
	whole, err := os.ReadFile(list[0])
	if err != nil {
		t.Fatal(err)
	}
	put := func(content []byte) {
		if err := os.WriteFile(list[0], content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	for _, content := range [][]byte{nil, whole[:10], whole[:len(whole)/2], whole[:len(whole)-1], append(bytes.Clone(whole), 0), []byte(strings.Repeat("\xff", 5000))} {
		put(content)
		if hits := sameAsLoad(t, folder, known, cache); hits != 0 {
			t.Errorf("%d files known from a damaged cache", hits)
		}
	}
	for seed := range 10 {
		content := bytes.Clone(whole)
		spoil(random(seed), content)
		put(content)
		if hits := sameAsLoad(t, folder, known, cache); hits != 0 && !bytes.Equal(content, whole) {
			t.Errorf("seed %d: %d files known from a damaged cache", seed, hits)
		}
	}
	put(whole)
	other := cache
	other.Program = "another"
	if hits := sameAsLoad(t, folder, known, other); hits != 0 {
		t.Errorf("%d files known from the cache of another program", hits)
	}
}

// Whatever stands behind a right digest, taking it apart ends in an error or in
// something small, never in a panic.
func TestCacheMadeUp(t *testing.T) {
	folder, known, cache := laidOut(t, 8), knowledge(t), ahead(t)
	LoadCached(folder, known, cache)
	whole, err := os.ReadFile(caches(t, cache)[0])
	if err != nil {
		t.Fatal(err)
	}
	r := cache.open(folder)
	taken, refused, hits := 0, 0, 0
	body := whole[len(cacheMagic)+sha256.Size:]
	for seed := range 100 {
		rng := random(seed)
		forged := bytes.Clone(body)
		spoil(rng, forged[sha256.Size:])
		if rng.IntN(3) == 0 {
			forged = forged[:sha256.Size+rng.IntN(len(forged)-sha256.Size)]
		}
		digest := sha256.Sum256(forged)
		old, ok := readCacheFile(append(append([]byte(cacheMagic), digest[:]...), forged...), r.use)
		if !ok {
			refused++
			continue
		}
		taken++
		made := cache.open(folder)
		made.old = old
		made.unpacked.New = func() any { return &unpacker{texts: old.texts} }
		l := newLoader(os.DirFS(folder), folder)
		l.recall = made
		got, _ := l.load(known)
		hits += made.hits
		for _, bulb := range got.Catalog.Bulbs {
			if _, err := Encode(bulb); err != nil {
				t.Errorf("seed %d: a bulb that no file can hold: %v", seed, err)
			}
		}
	}
	if taken == 0 || refused == 0 || hits == 0 {
		t.Errorf("%d forgeries taken apart, %d refused, %d records taken: the test sees nothing", taken, refused, hits)
	}
}

// A folder that cannot be written, a cache that others may write, a link: the
// answer is the same and nothing is said.
func TestCacheNeverNeeded(t *testing.T) {
	folder, known, cache := laidOut(t, 8), knowledge(t), ahead(t)
	blocked := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(blocked, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, place := range []string{"", filepath.Join(blocked, "cache"), "/dev/null/x"} {
		none := cache
		none.Folder = place
		for range 2 {
			if hits := sameAsLoad(t, folder, known, none); hits != 0 {
				t.Errorf("%q: %d known", place, hits)
			}
		}
	}
	sameAsLoad(t, folder, known, cache)
	file := caches(t, cache)[0]
	info, err := os.Stat(file)
	if err != nil {
		t.Fatal(err)
	}
	if inner, err := os.Stat(cache.Folder); err != nil || info.Mode().Perm() != 0o600 || inner.Mode().Perm() != 0o700 {
		t.Errorf("others may look at %v in %v", info.Mode(), inner.Mode())
	}
	if err := os.Chmod(file, 0o666); err != nil {
		t.Fatal(err)
	}
	if readOwn(file, time.Now()) != nil {
		t.Error("took a cache that anybody may write")
	}
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Chmod(file, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(file, link); err != nil {
		t.Fatal(err)
	}
	if readOwn(file, time.Now()) == nil || readOwn(link, time.Now()) != nil {
		t.Error("a link was followed, or the file itself refused")
	}
}

// The caches of catalogs that are no longer used go, and so do left-over
// temporary files.
func TestCacheBounded(t *testing.T) {
	known, cache := knowledge(t), ahead(t)
	if err := os.MkdirAll(cache.Folder, 0o700); err != nil {
		t.Fatal(err)
	}
	stale := filepath.Join(cache.Folder, "."+cacheName("/x")+".1.tmp")
	for _, name := range []string{stale, filepath.Join(cache.Folder, "notes.txt")} {
		if err := os.WriteFile(name, nil, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(name, time.Unix(1e9, 0), time.Unix(1e9, 0)); err != nil {
			t.Fatal(err)
		}
	}
	var first string
	for i := range mostCaches + 3 {
		folder := laidOut(t, 8)
		LoadCached(folder, known, cache)
		if i == 0 {
			absolute, _ := filepath.Abs(folder)
			first = filepath.Join(cache.Folder, cacheName(absolute))
			if _, err := os.Stat(first); err != nil {
				t.Fatal(err)
			}
		}
		tick()
	}
	if n := len(caches(t, cache)); n != mostCaches+1 { // and notes.txt, which is not ours
		t.Errorf("%d files: %v", n, caches(t, cache))
	}
	for _, gone := range []string{first, stale} {
		if _, err := os.Stat(gone); err == nil {
			t.Errorf("%s is still there", gone)
		}
	}
}

// Many processes at once, some of them after an edit: everyone reads what stands
// in the files.
func TestCacheTogether(t *testing.T) {
	folder, known, cache := laidOut(t, 16), knowledge(t), ahead(t)
	file := filepath.Join(folder, "bulbs", "extra.yaml")
	write := func(n int) {
		text := fmt.Sprintf("format: 1\nid: extra\nname: v%d\nkind: led\nsize: H11\nsource: s\n", n)
		if err := os.WriteFile(file+".new~", []byte(text), 0o644); err != nil {
			t.Error(err)
		}
		if err := os.Rename(file+".new~", file); err != nil {
			t.Error(err)
		}
	}
	write(0)
	var readers, writer sync.WaitGroup
	stop := make(chan struct{})
	writer.Go(func() {
		for n := 1; ; n++ {
			select {
			case <-stop:
				return
			default:
			}
			write(n)
			tick()
		}
	})
	for range 40 {
		readers.Go(func() {
			last := -1
			for range 4 {
				read, faults := LoadCached(folder, known, cache)
				bulb, ok := read.Catalog.Bulb("extra")
				n := -1
				if _, err := fmt.Sscanf(bulb.Name, "v%d", &n); err != nil || !ok || len(faults) > 0 || n < last || len(read.Catalog.Bulbs) != 17 {
					t.Errorf("read %q after v%d, %d bulbs, %v", bulb.Name, last, len(read.Catalog.Bulbs), faults)
				}
				last = n
			}
		})
	}
	readers.Wait()
	close(stop)
	writer.Wait()
	tick()
	sameAsLoad(t, folder, known, cache)
	if left, _ := filepath.Glob(filepath.Join(cache.Folder, ".*")); len(left) > 0 {
		t.Errorf("left over: %v", left)
	}
	want, _ := Load(os.DirFS(folder), folder, known)
	if got, _ := LoadCached(folder, known, cache); !reflect.DeepEqual(got.Catalog, want.Catalog) {
		t.Error("the last reading differs")
	}
}

// A cache that gives a file another file's record is not believed.
func TestCacheExchanged(t *testing.T) {
	folder, known, cache := laidOut(t, 2), knowledge(t), ahead(t)
	LoadCached(folder, known, cache)
	r := cache.open(folder)
	var bulbs []string
	for name := range r.old.files {
		if strings.HasPrefix(name, bulbsDir+"/") {
			bulbs = append(bulbs, name)
		}
	}
	if len(bulbs) != 2 {
		t.Fatalf("%d bulbs are kept", len(bulbs))
	}
	a, b := r.old.files[bulbs[0]], r.old.files[bulbs[1]]
	a.from, a.to, b.from, b.to = b.from, b.to, a.from, a.to
	r.old.files[bulbs[0]], r.old.files[bulbs[1]] = a, b
	l := newLoader(os.DirFS(folder), folder)
	l.recall = r
	got, faults := l.load(known)
	want, _ := Load(os.DirFS(folder), folder, known)
	if len(faults.Wrong()) > 0 || !reflect.DeepEqual(got.Catalog, want.Catalog) {
		t.Errorf("the records of two files changed places: %v", faults)
	}
	if r.missed != 2 {
		t.Errorf("%d files were read anew, want the two bulbs", r.missed)
	}
}
