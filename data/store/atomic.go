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
	"strconv"
	"strings"
	"syscall"
	"time"

	"stillbright/data"
)

// staleAfter is the age from which a temporary file is taken for the leftover
// of a killed process. No write takes a minute.
const staleAfter = time.Hour

// tempName is the shape of our temporary files: the leading dot keeps them from
// being read as records.
var tempName = data.LateRegexp(`^\.[A-Za-z0-9_.-]+\.[0-9]+-[0-9a-z]+\.tmp$`)

// disk is the catalog folder as the writer sees it: nothing outside it can be
// reached, whatever links lie in it.
type disk struct {
	root  *os.Root
	label string // the folder, as the user knows it
}

func (d disk) name(file string) string { return filepath.Join(d.label, filepath.FromSlash(file)) }

// replace puts content in the place of file, whole or not at all: a temporary
// file in the same folder is written, synced and closed, and then takes the
// name; last the folder is synced, so that the name survives a power cut.
func (d disk) replace(file string, content []byte, mode fs.FileMode) error {
	temp := path.Join(path.Dir(file), "."+path.Base(file)+"."+strconv.Itoa(os.Getpid())+"-"+strconv.FormatUint(rand.Uint64(), 36)+".tmp")
	err := d.fill(temp, content, mode)
	if err == nil {
		err = d.root.Rename(temp, file)
	}
	if err != nil {
		_ = d.root.Remove(temp)
		return failure(d.name(file), err)
	}
	return d.syncFolder(path.Dir(file))
}

func (d disk) fill(file string, content []byte, mode fs.FileMode) error {
	opened, err := d.root.OpenFile(file, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = opened.Write(content)
	if err == nil {
		err = opened.Chmod(mode) // the mask of the process does not count
	}
	if err == nil {
		err = tolerate(opened.Sync())
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
	opened, err := d.root.Open(folder)
	if err != nil {
		return failure(d.name(folder), err)
	}
	defer opened.Close()
	if err := tolerate(opened.Sync()); err != nil {
		return failure(d.name(folder), err)
	}
	return nil
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
		return 0o644, nil
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
	err := d.root.Mkdir(folder, 0o755)
	if err == nil {
		return d.syncFolder(".")
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

// sweep removes temporary files that killed writers have left behind. They hold
// nothing that was ever acknowledged.
func (d disk) sweep(now time.Time) {
	for _, folder := range []string{".", bulbsDir, rigsDir, carsDir, HistoryDir, DraftsDir} {
		opened, err := d.root.Open(folder)
		if err != nil {
			continue
		}
		entries, _ := opened.ReadDir(-1)
		_ = opened.Close()
		for _, entry := range entries {
			if !tempName().MatchString(entry.Name()) || !entry.Type().IsRegular() {
				continue
			}
			if info, err := entry.Info(); err == nil && now.Sub(info.ModTime()) > staleAfter {
				_ = d.root.Remove(path.Join(folder, entry.Name()))
			}
		}
	}
}

// safeName says whether an id can be the name of a file on any system.
func safeName(id string) bool {
	return idPattern().MatchString(id) && filepath.IsLocal(id+".yaml") && !strings.ContainsAny(id, `/\`)
}
