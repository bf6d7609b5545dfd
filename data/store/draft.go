package store

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/gofrs/flock"

	"stillbright/data"
)

// DraftsDir holds the journals of interviews and bench runs that are not yet
// saved as records, one file a draft, one JSON object a line.
const DraftsDir = ".drafts"

const draftEnding = ".jsonl"

// Entry is one answer or one reading of a draft.
type Entry struct {
	At    time.Time `json:"at"`    // when it was typed
	Key   string    `json:"key"`   // which question or series it belongs to
	Value string    `json:"value"` // as it was typed
}

// Draft is the journal of one interview or bench run. An entry is on the disk
// when Append returns, so that nothing typed is lost, whatever kills the
// process. One process at a time may have a draft open.
type Draft struct {
	Name    string
	Entries []Entry // in the order they were typed
	Torn    int     // lines that could not be read: writes that were cut short and never acknowledged

	disk disk
	file *os.File
	lock *flock.Flock
	now  func() time.Time
	size int64 // up to here the file is whole
}

// OpenDraft starts a draft in a catalog folder, or resumes the one of that name.
// Close or Finish ends it.
func OpenDraft(folder, name string, now func() time.Time) (*Draft, error) {
	if !safeName(name) {
		return nil, data.Faults{{File: filepath.Join(folder, DraftsDir), Message: fmt.Sprintf("%q is not a short name", clip(name, 40)), Hint: "use small letters, digits and hyphens, at most 63"}}
	}
	root, err := os.OpenRoot(folder)
	if err != nil {
		return nil, failure(folder, err)
	}
	d := &Draft{Name: name, disk: disk{root: root, label: folder}, now: now}
	if err := d.open(); err != nil {
		return nil, errors.Join(err, d.Close())
	}
	return d, nil
}

func (d *Draft) path() string { return path.Join(DraftsDir, d.Name+draftEnding) }

func (d *Draft) open() error {
	if err := d.disk.folder(DraftsDir); err != nil {
		return err
	}
	where := d.disk.name(d.path())
	if info, err := d.disk.root.Lstat(d.path()); err == nil && !info.Mode().IsRegular() {
		return &Failure{File: where, Message: "is not a plain file", Hint: "move it away"}
	}
	var err error
	if d.file, err = d.disk.root.OpenFile(d.path(), os.O_RDWR|os.O_CREATE, 0o644); err != nil {
		return failure(where, err)
	}
	lock := flock.New(where, flock.SetFlag(os.O_RDWR))
	if got, err := lock.TryLock(); err != nil {
		return failure(where, err)
	} else if !got {
		return &Failure{File: where, Message: "is open in another process", Hint: "end that interview or run first, or take another name", Err: ErrLocked}
	}
	d.lock = lock
	content, err := io.ReadAll(d.file)
	if err != nil {
		return failure(where, err)
	}
	d.Entries, d.Torn = readEntries(content)
	d.size = int64(len(content))
	if len(content) > 0 && content[len(content)-1] != '\n' {
		// The torn line keeps a line of its own.
		return d.write([]byte("\n"))
	}
	return d.disk.syncFolder(DraftsDir)
}

// readEntries reads what can be read, and counts what cannot.
func readEntries(content []byte) (entries []Entry, torn int) {
	for line := range bytes.SplitSeq(content, []byte("\n")) {
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		var entry Entry
		if err := json.Unmarshal(line, &entry); err != nil || entry.Key == "" {
			torn++
			continue
		}
		entries = append(entries, entry)
	}
	return entries, torn
}

// Append adds an entry and returns when it is on the disk. The key may not be
// empty. After a failure the draft is as it was before.
func (d *Draft) Append(key, value string) error {
	if key == "" {
		return errors.New("store: a draft entry needs a key")
	}
	entry := Entry{d.now(), key, value}
	line, err := json.Marshal(entry)
	if err != nil {
		return fmt.Errorf("store: draft entry: %w", err)
	}
	if err := d.write(append(line, '\n')); err != nil {
		return err
	}
	d.Entries = append(d.Entries, entry)
	return nil
}

func (d *Draft) write(line []byte) error {
	_, err := d.file.WriteAt(line, d.size)
	if err == nil {
		err = tolerate(d.file.Sync())
	}
	if err != nil {
		_ = d.file.Truncate(d.size)
		return failure(d.disk.name(d.path()), err)
	}
	d.size += int64(len(line))
	return nil
}

// Finish closes a draft whose entries are saved as a record, and moves it into
// the history; it is not deleted. A draft without entries leaves nothing.
func (d *Draft) Finish() error {
	err := d.finish()
	return errors.Join(err, d.Close())
}

func (d *Draft) finish() error {
	if len(d.Entries) == 0 && d.Torn == 0 {
		return d.disk.root.Remove(d.path())
	}
	if err := d.disk.folder(HistoryDir); err != nil {
		return err
	}
	name, err := d.disk.free(d.Name, draftEnding, d.now())
	if err != nil {
		return err
	}
	if err := d.disk.root.Rename(d.path(), name); err != nil {
		return failure(d.disk.name(name), err)
	}
	return errors.Join(d.disk.syncFolder(HistoryDir), d.disk.syncFolder(DraftsDir))
}

// Close leaves the draft for later.
func (d *Draft) Close() error {
	var err error
	if d.lock != nil {
		err = d.lock.Unlock()
	}
	if d.file != nil {
		err = errors.Join(err, d.file.Close())
	}
	return errors.Join(err, d.disk.root.Close())
}

// DraftInfo is a draft that waits to be resumed.
type DraftInfo struct {
	Name    string
	Entries int
	Last    time.Time // when the last entry was typed; zero without entries
}

// Drafts lists the drafts of a catalog folder by name; none when there is no
// folder. A draft that cannot be read is listed without entries.
func Drafts(folder string) ([]DraftInfo, error) {
	files, err := os.ReadDir(filepath.Join(folder, DraftsDir))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, failure(filepath.Join(folder, DraftsDir), err)
	}
	var list []DraftInfo
	for _, file := range files {
		name, isDraft := strings.CutSuffix(file.Name(), draftEnding)
		if !isDraft || !safeName(name) || !file.Type().IsRegular() {
			continue
		}
		info := DraftInfo{Name: name}
		if content, err := os.ReadFile(filepath.Join(folder, DraftsDir, file.Name())); err == nil {
			entries, _ := readEntries(content)
			info.Entries = len(entries)
			if len(entries) > 0 {
				info.Last = entries[len(entries)-1].At
			}
		}
		list = append(list, info)
	}
	slices.SortFunc(list, func(a, b DraftInfo) int { return strings.Compare(a.Name, b.Name) })
	return list, nil
}
