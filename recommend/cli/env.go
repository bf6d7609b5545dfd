package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"time"

	"stillbright/data"
	"stillbright/data/known"
	"stillbright/data/store"
	"stillbright/recommend"
	"stillbright/recommend/ask"
	"stillbright/recommend/need"
)

// Env is what a verb may touch of the world. Costly things are made on first
// use, so that start-up does nothing a verb does not need.
type Env struct {
	In       io.Reader
	Out      io.Writer
	Err      io.Writer
	Screen   *os.File // standard output when it is a file; asked for its width
	Getenv   func(string) string
	Now      func() time.Time // nil: the clock
	Clock    Clock            // nil: the real one; drives a live run
	Prompter ask.Prompter     // nil: the terminal
	Build    Build            // what the release script stamped

	stop  context.Context // ends with the first signal
	wrote bool            // all that was to be written is: a signal after that changes nothing
}

// today is the date used to tell an old law row. STILLBRIGHT_TODAY fixes it,
// so that an answer can be made again later.
func (env *Env) today() data.Date {
	if fixed, err := data.ParseDate(env.Getenv("STILLBRIGHT_TODAY")); err == nil {
		return fixed
	}
	now := time.Now
	if env.Now != nil {
		now = env.Now
	}
	return data.Date(now().Format("2006-01-02"))
}

// bench is what a decision is made from: what is known, and somebody's records.
type bench struct {
	known   recommend.Knowledge
	own     *data.Words // the user's words with those shipped; nil: those shipped
	catalog data.Catalog
	folder  string // the user's catalog folder, or empty for the demo
	flag    string // the folder as --catalog named it
}

// words are the words for the reading of questions.
func (b *bench) words() data.Words {
	if b.own != nil {
		return *b.own
	}
	return known.Words()
}

// open finds and reads the catalog: the folder named by the flag, else by the
// environment, else the user's data folder, else the invented demo.
func (env *Env) open(flag string) (*bench, error) {
	b := &bench{known: knowledge(), flag: flag}
	folder, named := env.catalogFolder(flag)
	if folder == "" {
		b.catalog = known.Demo()
		return b, nil
	}
	info, err := os.Stat(folder)
	if err != nil || !info.IsDir() {
		if link := danglingLink(folder); link != "" {
			return nil, usage(link+" is a link to a folder that is not there", "plug in the drive it is on, or name another folder with --catalog")
		}
		if !named && errors.Is(err, fs.ErrNotExist) {
			b.catalog = known.Demo()
			return b, nil
		}
		return nil, usage(fmt.Sprintf("%s: there is no such catalog folder", folder), "make one with: stillbright catalog start "+need.ShellWord(folder))
	}
	read, faults := store.LoadCached(folder, storeKnowledge(), env.cache())
	if wrong := faults.Wrong(); len(wrong) > 0 {
		return nil, wrong
	}
	b.catalog, b.known.Rules, b.own, b.folder = read.Catalog, read.Rules, &read.Words, folder
	return b, nil
}

// danglingLink is the part of a folder's name that is a link to nothing, if one is:
// a drive that is not plugged in is no reason to answer from the demo.
func danglingLink(folder string) string {
	for at := filepath.Clean(folder); ; at = filepath.Dir(at) {
		if info, err := os.Lstat(at); err == nil {
			if _, err := os.Stat(at); err != nil && info.Mode()&fs.ModeSymlink != 0 {
				return at
			}
			return ""
		}
		if filepath.Dir(at) == at {
			return ""
		}
	}
}

// openBulbs is open for the verbs that speak of bulbs. A user who keeps a car or
// two and has measured no bulb still gets the demo's bulbs: they go when there
// are own ones. In a folder named on purpose nothing is put that is not there.
func (env *Env) openBulbs(flag string) (*bench, error) {
	b, err := env.open(flag)
	if err != nil || b.folder == "" || len(b.catalog.Bulbs)+len(b.catalog.Rigs) > 0 {
		return b, err
	}
	if _, named := env.catalogFolder(flag); named {
		return b, nil
	}
	cars := b.catalog.Cars
	b.catalog = known.Demo()
	b.catalog.Cars = append(cars, b.catalog.Cars...)
	return b, nil
}

// catalogFolder returns the folder to read and whether the user named it.
func (env *Env) catalogFolder(flag string) (folder string, named bool) {
	if flag != "" {
		return flag, true
	}
	if folder := env.Getenv("STILLBRIGHT_CATALOG"); folder != "" {
		return folder, true
	}
	return env.dataFolder(), false
}

// dataFolder is where the user's own catalog stands when nothing else is said
// (XDG Base Directory Specification; on Windows, which sets no HOME, the folder
// it names for the data of programs).
func (env *Env) dataFolder() string {
	base := env.Getenv("XDG_DATA_HOME")
	if home := env.Getenv("HOME"); !filepath.IsAbs(base) && home != "" {
		base = filepath.Join(home, ".local", "share")
	}
	if local := env.Getenv("LOCALAPPDATA"); !filepath.IsAbs(base) && runtime.GOOS == "windows" {
		base = local
	}
	if !filepath.IsAbs(base) {
		return ""
	}
	return filepath.Join(base, "stillbright", "catalog")
}

func knowledge() recommend.Knowledge {
	return recommend.Knowledge{
		Sizes: known.Sizes(), Law: known.Law(), LawNotes: known.LawNotes(), Places: known.Places(),
		Rules: known.Rules(), Fit: known.Fit(), Pattern: known.Pattern(), Cautions: known.Cautions(), Claims: known.Claims(), Aim: known.Aim(), Replies: known.Replies(),
	}
}

// readerGone says whether a write failed because nobody reads any more. Windows
// has three words for it (winerror.h): ERROR_BROKEN_PIPE, ERROR_NO_DATA and
// ERROR_PIPE_NOT_CONNECTED.
func readerGone(err error) bool {
	if errors.Is(err, syscall.EPIPE) {
		return true
	}
	var code syscall.Errno
	return runtime.GOOS == "windows" && errors.As(err, &code) && (code == 109 || code == 232 || code == 233)
}

// pipeWriter remembers that the reader has gone, so that a verb can stop.
type pipeWriter struct {
	w    io.Writer
	gone bool
}

func (p *pipeWriter) Write(b []byte) (int, error) {
	if p.gone {
		return 0, syscall.EPIPE
	}
	n, err := p.w.Write(b)
	if readerGone(err) {
		p.gone = true
		return n, syscall.EPIPE
	}
	return n, err
}
