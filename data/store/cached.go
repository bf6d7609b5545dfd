package store

import (
	"crypto/sha256"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"slices"
	"sync"
	"time"

	"stillbright/data"
)

// Cache says where decoded records may be kept from one run to the next. It never
// changes what LoadCached returns, and is never needed: a file counts as known
// only as long as its size, its times, its place on the disk are those it was
// read with and it has been left alone for two seconds; and a cache that is
// damaged, of another program, another user's or not writable is passed over. The
// zero value keeps nothing. What LoadCached is given as known has to hang on
// Program alone, since the cache does not look at it.
type Cache struct {
	Folder  string // made when it is not there; empty: no cache
	Program string // another program may read files otherwise, and has its own

	now func() time.Time // nil: the clock
}

// LoadCached is Load of a folder on the disk with the help of a cache.
func LoadCached(folder string, known Knowledge, cache Cache) (Folder, data.Faults) {
	l := newLoader(os.DirFS(folder), folder)
	r := cache.open(folder)
	if r == nil {
		return l.load(known)
	}
	l.recall = r
	read, faults := l.load(known)
	if r.worthSaving() {
		r.save(&read.Catalog, l)
	}
	return read, faults
}

// recall is a cache during one reading of a folder.
type recall struct {
	file string // of the cache
	use  [sha256.Size]byte
	old  *cacheFile // never nil
	code coders
	now  time.Time

	lock     sync.Mutex
	hits     int
	found    map[string]signature // files whose records may be kept, by name inside the folder
	missed   int                  // files that were read
	restless bool                 // some file may not be kept yet, or has a fault
	unpacked sync.Pool
	checked  bool // all records were checked against one another
	warnings data.Faults
}

// open reads the cache of a folder; nil when there is to be none.
func (c Cache) open(folder string) *recall {
	if c.Folder == "" {
		return nil
	}
	absolute, err := filepath.Abs(folder)
	if err != nil {
		return nil
	}
	now := time.Now
	if c.now != nil {
		now = c.now
	}
	r := &recall{code: theCoders(), now: now(), found: map[string]signature{}, old: &cacheFile{}}
	shape := r.code.shape()
	r.use = sha256.Sum256([]byte(string(shape[:]) + c.Program + "\x00" + absolute))
	r.file = filepath.Join(c.Folder, cacheName(absolute))
	if content := readOwn(r.file, r.now); content != nil {
		if old, ok := readCacheFile(content, r.use); ok {
			r.old = old
		}
	}
	r.unpacked.New = func() any { return &unpacker{texts: r.old.texts} }
	return r
}

var theCoders = sync.OnceValue(newCoders)

// look gives the signature of a file that may be kept if nothing happens to it,
// and fills record when it is known; good says so.
func (r *recall) look(fsys fs.FS, folder, name string, record reflect.Value) (s signature, settled, good bool) {
	s, ok := lookAt(fsys, name)
	if !ok || !s.settled(r.now) {
		return s, false, false
	}
	k, ok := r.old.files[name]
	if !ok || k.signature != s {
		return s, true, false
	}
	u := r.unpacked.Get().(*unpacker)
	u.bytes, u.err = r.old.records[k.from:k.to], nil
	r.code.of(folder).read(u, record)
	good = u.err == nil && len(u.bytes) == 0
	if !good {
		record.SetZero()
		u.passed = nil // it may name a text that has not passed
	}
	r.unpacked.Put(u)
	return s, true, good
}

// note remembers how a file came to be read.
func (r *recall) note(fsys fs.FS, name string, s signature, settled, known, good bool) {
	if !known && settled && good {
		again, ok := lookAt(fsys, name)
		settled = ok && again == s
	}
	r.lock.Lock()
	defer r.lock.Unlock()
	if known {
		r.hits++
	} else {
		r.missed++
	}
	if settled && good {
		r.found[name] = s
	} else {
		r.restless = true
	}
}

// unchanged says whether every file of the folder is as it was when the records
// were last checked against one another.
func (r *recall) unchanged() bool {
	return r.old.whole && r.missed == 0 && !r.restless && r.hits == len(r.old.files)
}

// worthSaving says whether the cache on the disk would be another.
func (r *recall) worthSaving() bool {
	if len(r.found) == 0 {
		return false
	}
	if r.missed == 0 && r.hits == len(r.old.files) {
		return r.checked && !r.restless && !r.old.whole
	}
	if len(r.found) != len(r.old.files) {
		return true // one is gone, or one is new
	}
	for name, s := range r.found {
		if k, ok := r.old.files[name]; !ok || k.signature != s {
			return true
		}
	}
	return false
}

// save writes the cache anew. That it cannot is nobody's concern.
func (r *recall) save(c *data.Catalog, l *loader) {
	var list []keptRecord
	add := func(folder, origin string, record reflect.Value) {
		name := path.Join(folder, path.Base(origin))
		if s, ok := r.found[name]; ok && l.name(name) == origin {
			list = append(list, keptRecord{name, s, func(w *packer) { r.code.of(folder).write(w, record) }})
		}
	}
	for i := range c.Bulbs {
		add(bulbsDir, c.Bulbs[i].Origin, reflect.ValueOf(&c.Bulbs[i]).Elem())
	}
	for i := range c.Rigs {
		add(rigsDir, c.Rigs[i].Origin, reflect.ValueOf(&c.Rigs[i]).Elem())
	}
	for i := range c.Cars {
		add(carsDir, c.Cars[i].Origin, reflect.ValueOf(&c.Cars[i]).Elem())
	}
	whole := r.checked && !r.restless
	warnings := r.warnings
	if !whole {
		warnings = nil
	}
	for i := range warnings {
		folder := path.Base(path.Dir(warnings[i].File))
		warnings[i].File = path.Join(folder, path.Base(warnings[i].File))
	}
	writeOwn(r.file, cacheContent(r.use, whole, warnings, list), r.now)
}

// mostWarnings bounds what is kept of a catalog's warnings.
const mostWarnings = 1000

// keepable says whether warnings are few and short enough to be kept. Else the
// records are kept and checked against one another each time.
func keepable(warnings data.Faults) bool {
	return len(warnings) <= mostWarnings && !slices.ContainsFunc(warnings, func(f data.Fault) bool { return len(f.Path+f.Message+f.Hint) > maxTextBytes })
}
