package store

import (
	"bytes"
	"errors"
	"io/fs"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"

	"stillbright/data"
)

// staleAfter is the age from which a temporary file is taken for the leftover
// of a killed process. No write takes a minute.
const staleAfter = time.Hour

// swapEnding is that of a file that has swapped its name with a record, or is
// about to: it may hold what somebody else wrote.
const swapEnding = ".swap"

// tempName is the shape of our temporary files: the leading dot keeps them from
// being read as records.
var tempName = data.LateRegexp(`^\.([A-Za-z0-9_.-]+)\.[0-9]+-[0-9a-z]+(\.tmp|\.swap)$`)

// disk is the catalog folder as the writer sees it: nothing outside it can be
// reached, whatever links lie in it.
type disk struct {
	root  *os.Root
	label string // the folder, as the user knows it
	seam  Seam   // nil but in tests
	git   *asker // nil: not asked yet
}

func (d disk) name(file string) string { return filepath.Join(d.label, filepath.FromSlash(file)) }

// ErrUnsynced is what a Failure wraps when a file has its new content, and the
// system could not promise that the name survives a power cut.
var ErrUnsynced = errors.New("the folder was not synced")

// create puts content under a name that is not taken, whole or not at all; what
// another program put there in the meantime stays. mode 0 is what the mask of the
// process leaves of 0666.
func (d disk) create(file string, content []byte, mode fs.FileMode) error {
	temp := tempFor(file)
	err := d.fill(temp, content, mode)
	if err == nil {
		err = d.do("link", file, func() error { return d.root.Link(temp, file) })
		if err != nil && !errors.Is(err, fs.ErrExist) && linkless(err) {
			err = d.renameNew(temp, file)
		}
	}
	_ = d.root.Remove(temp)
	if errors.Is(err, fs.ErrExist) {
		return &Failure{File: d.name(file), Message: "is there already, and was not a moment ago; nothing was changed", Hint: "try again", Err: err}
	}
	if err != nil {
		return failure(d.name(file), err)
	}
	return d.settle(file)
}

// linkless says that a file system has no second names (FAT, some shares).
func linkless(err error) bool {
	return tolerate(err) == nil || errors.Is(err, syscall.EPERM) || errors.Is(err, syscall.EMLINK)
}

// renameNew leaves a gap of one call, on file systems without links only.
func (d disk) renameNew(temp, file string) error {
	if _, err := d.root.Lstat(file); err == nil {
		return fs.ErrExist
	}
	return d.do("rename", file, func() error { return d.root.Rename(temp, file) })
}

// replace puts content in the place of before, whole or not at all. A temporary
// file in the same folder is written, synced and closed; then the two swap their
// names in one step, and what came out is looked at. If it is not before, another
// program has saved the file since it was read: its text goes back. Last the
// folder is synced, so that the name survives a power cut.
func (d disk) replace(file string, before, content []byte, mode fs.FileMode) error {
	temp := tempFor(file)
	if err := d.fill(temp, content, mode); err != nil {
		_ = d.root.Remove(temp)
		return failure(d.name(file), err)
	}
	if _, err := d.target(file, before); err != nil {
		_ = d.root.Remove(temp)
		return err
	}
	// From here on the temporary file may hold somebody's work, and its name says so.
	swap := strings.TrimSuffix(temp, ".tmp") + swapEnding
	err := d.do("rename", swap, func() error { return d.root.Rename(temp, swap) })
	if err != nil {
		_ = d.root.Remove(temp)
		_ = d.root.Remove(swap)
		return failure(d.name(file), err)
	}
	swapped := false
	err = d.do("exchange", file, func() error {
		err := exchange(d.root, swap, file)
		swapped = err == nil
		return err
	})
	if !swapped && exchangeless(err) {
		return d.replaceBlind(file, swap, before)
	}
	if !swapped {
		_ = d.root.Remove(swap)
		return failure(d.name(file), err)
	}
	out, errOut := d.root.ReadFile(swap)
	if errOut == nil && bytes.Equal(out, before) {
		_ = d.do("remove", swap, func() error { return d.root.Remove(swap) })
		return d.settle(file)
	}
	return d.giveBack(file, swap, content)
}

// exchangeless says that the system or the file system cannot swap names.
func exchangeless(err error) bool {
	return err != nil && tolerate(err) == nil
}

// replaceBlind compares as late as can be; between that and the rename is a gap of
// one call, on systems that cannot swap names.
func (d disk) replaceBlind(file, swap string, before []byte) error {
	_, err := d.target(file, before)
	if err == nil {
		err = d.do("rename", file, func() error { return d.root.Rename(swap, file) })
	}
	if err != nil {
		_ = d.root.Remove(swap)
		return failure(d.name(file), err)
	}
	return d.settle(file)
}

// giveBack swaps again. Should the file have been saved once more in that moment,
// it is that text which comes out, and the history keeps it.
func (d disk) giveBack(file, swap string, ours []byte) error {
	f := &Failure{File: d.name(file), Message: "was changed by another program meanwhile; its text stands, nothing was changed", Hint: "try again"}
	if err := d.do("exchange", file, func() error { return exchange(d.root, swap, file) }); err != nil {
		f.Message, f.Hint, f.Err = "was changed by another program in the same moment; its text is in "+d.name(swap), "compare the two", err
		return f
	}
	if out, err := d.root.ReadFile(swap); err == nil && bytes.Equal(out, ours) {
		_ = d.root.Remove(swap)
		return f
	}
	where := swap
	if name, err := d.rescue(swap); err == nil {
		where = name
	}
	f.Message, f.Hint = "was changed twice by another program in the same moment; the later text is in "+d.name(where), "compare the two"
	return f
}

// rescue moves a file that may hold somebody's work into the history.
func (d disk) rescue(file string) (string, error) {
	if err := d.folder(HistoryDir); err != nil {
		return "", err
	}
	name := path.Join(HistoryDir, "found-"+strings.TrimPrefix(path.Base(file), "."))
	return name, d.do("rename", name, func() error { return d.root.Rename(file, name) })
}

// settle makes a name last that a file has got.
func (d disk) settle(file string) error {
	err := d.syncFolder(path.Dir(file))
	if err == nil {
		return nil
	}
	return &Failure{File: d.name(file), Message: "was written, but the disk did not confirm it (" + pathless(err).Error() + "); a power cut may undo it", Hint: "look at the disk, then try again", Err: errors.Join(ErrUnsynced, err)}
}

func pathless(err error) error {
	var of *fs.PathError
	if errors.As(err, &of) {
		return of.Err
	}
	return err
}

// tempFor is a name for a file in the making.
func tempFor(file string) string {
	return path.Join(path.Dir(file), "."+path.Base(file)+"."+strconv.Itoa(os.Getpid())+"-"+strconv.FormatUint(rand.Uint64(), 36)+".tmp")
}

func (d disk) fill(file string, content []byte, mode fs.FileMode) error {
	var opened *os.File
	first := fs.FileMode(0o666)
	if mode != 0 {
		first = mode & 0o600 // nobody else looks in before the mode is right
	}
	err := d.do("create", file, func() (err error) {
		opened, err = d.root.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, first)
		return err
	})
	if opened == nil {
		return err
	}
	if err == nil {
		err = d.do("write", file, func() error { _, err := opened.Write(content); return err })
	}
	if err == nil && mode != 0 {
		err = opened.Chmod(mode)
	}
	if err == nil {
		err = d.do("sync", file, func() error { return tolerate(opened.Sync()) })
	}
	return errors.Join(err, opened.Close())
}

// syncFolder makes a new name in a folder last. The file has its name already,
// so that a failure here is not one of the write. Windows refuses to sync a
// folder, and its file system logs names by itself.
func (d disk) syncFolder(folder string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	return d.do("sync folder", folder, func() error {
		opened, err := d.root.Open(folder)
		if err != nil {
			return err
		}
		defer opened.Close()
		return tolerate(opened.Sync())
	})
}

// tolerate lets pass that a filesystem knows no sync.
func tolerate(err error) error {
	for _, none := range []error{syscall.EINVAL, syscall.ENOTSUP, syscall.ENOSYS, syscall.ENOTTY, errors.ErrUnsupported} {
		if errors.Is(err, none) {
			return nil
		}
	}
	return err
}

// target looks at the file that is to be written. A symbolic link is never
// written through, nor replaced: the file it points to may be another's, and a
// link that quietly became a file would part from it. It is an error for before
// not to be what stands there: another program may have saved the file in the
// meantime, and its work would be lost.
func (d disk) target(file string, before []byte) (fs.FileMode, error) {
	info, err := d.root.Lstat(file)
	switch {
	case errors.Is(err, fs.ErrNotExist) && before == nil:
		return 0, nil // what the mask of the process leaves
	case err != nil:
		return 0, failure(d.name(file), err)
	case before == nil:
		return 0, &Failure{File: d.name(file), Message: "is there already, and was not a moment ago; nothing was changed", Hint: "try again"}
	case info.Mode()&fs.ModeSymlink != 0:
		return 0, &Failure{File: d.name(file), Message: "is a symbolic link, and links are read but never written", Hint: "change the file it points to, or put a plain file here"}
	case !info.Mode().IsRegular():
		return 0, &Failure{File: d.name(file), Message: "is not a plain file"}
	case info.Mode()&0o200 == 0:
		return 0, &Failure{File: d.name(file), Message: "is write-protected", Hint: "chmod u+w " + d.name(file)}
	}
	now, err := d.root.ReadFile(file)
	if err != nil {
		return 0, failure(d.name(file), err)
	}
	if !bytes.Equal(now, before) {
		return 0, &Failure{File: d.name(file), Message: "was changed by another program meanwhile; nothing was changed", Hint: "try again"}
	}
	return info.Mode().Perm(), nil
}

// folder makes sure that a folder of the catalog is there and is no link.
func (d disk) folder(folder string) error {
	err := d.do("mkdir", folder, func() error { return d.root.Mkdir(folder, 0o777) })
	if err == nil {
		return d.settle(folder)
	}
	if !errors.Is(err, fs.ErrExist) {
		return failure(d.name(folder), err)
	}
	info, err := d.root.Lstat(folder)
	if err != nil {
		return failure(d.name(folder), err)
	}
	if !info.IsDir() {
		return &Failure{File: d.name(folder), Message: "is not a plain folder, and links are never written through", Hint: "put a folder here, or name another with --catalog"}
	}
	return nil
}

// known says whether a leftover holds what the record itself or a copy in the
// history holds, so that nothing goes with it.
func (d disk) known(leftover, record string) bool {
	text, err := d.root.ReadFile(leftover)
	if err != nil {
		return false
	}
	same := func(file string) bool {
		other, err := d.root.ReadFile(file)
		return err == nil && bytes.Equal(text, other)
	}
	if same(record) {
		return true
	}
	copies, _ := fs.Glob(d.root.FS(), path.Join(HistoryDir, strings.TrimSuffix(path.Base(record), ".yaml")+"-*.yaml"))
	return slices.ContainsFunc(copies, same)
}

// sweep removes temporary files that killed writers have left behind. They hold
// nothing that was ever acknowledged; one that swapped its name with a record may
// hold somebody's work, and goes into the history unless that is known.
func (d disk) sweep(now time.Time) {
	for _, folder := range []string{".", bulbsDir, rigsDir, carsDir, HistoryDir, DraftsDir} {
		opened, err := d.root.Open(folder)
		if err != nil {
			continue
		}
		entries, _ := opened.ReadDir(-1)
		_ = opened.Close()
		for _, entry := range entries {
			kind := tempName().FindStringSubmatch(entry.Name())
			if kind == nil || !entry.Type().IsRegular() {
				continue
			}
			info, err := entry.Info()
			if err != nil || now.Sub(info.ModTime()) <= staleAfter {
				continue
			}
			file := path.Join(folder, entry.Name())
			if kind[2] == swapEnding && !d.known(file, path.Join(folder, kind[1])) {
				_, _ = d.rescue(file)
				continue
			}
			_ = d.do("remove", file, func() error { return d.root.Remove(file) })
		}
	}
}

// safeName says whether an id can be the name of a file on any system.
func safeName(id string) bool {
	return idPattern().MatchString(id) && filepath.IsLocal(id+".yaml") && !strings.ContainsAny(id, `/\`)
}
