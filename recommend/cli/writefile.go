package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"

	"stillbright/data/store"
	"stillbright/recommend/need"
)

// writeAtomically writes a picture or an export in one step: whoever reads it
// sees the old content or the new, never a part. A symbolic link stays one: the
// file it names is written. A file that was there keeps its permissions.
func writeAtomically(name string, content []byte) error {
	target, mode := name, fs.FileMode(0o644)
	if resolved, err := filepath.EvalSymlinks(name); err == nil {
		target = resolved
	} else if info, err := os.Lstat(name); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return fmt.Errorf("%s is a symbolic link to nothing", name)
	}
	if info, err := os.Stat(target); err == nil {
		if !info.Mode().IsRegular() {
			return usage(name+" is not a plain file", "name another file")
		}
		mode = info.Mode().Perm()
	}
	folder := filepath.Dir(target)
	file, err := os.CreateTemp(folder, ".stillbright-*")
	if errors.Is(err, fs.ErrNotExist) {
		return usage(fmt.Sprintf("%s: there is no such folder", folder), "make it first: mkdir -p "+need.ShellWord(folder))
	}
	if err != nil {
		return notWritten(name, err)
	}
	defer os.Remove(file.Name()) // of no effect once it has been renamed
	if _, err = file.Write(content); err == nil {
		err = file.Chmod(mode)
	}
	if err == nil {
		// Else a power cut after the rename could leave an empty file in the
		// place of an older export.
		err = file.Sync()
	}
	if errClose := file.Close(); err == nil {
		err = errClose
	}
	if err == nil {
		err = os.Rename(file.Name(), target)
	}
	if err != nil {
		return notWritten(name, err)
	}
	return nil
}

// notWritten says that a file was not written, why, and what to do.
func notWritten(name string, err error) error {
	hint := ""
	switch {
	case errors.Is(err, syscall.ENOSPC):
		hint = "make room and try again"
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		hint = "name a file in a folder that you may write to"
	}
	return &store.Failure{File: name, Message: "was not written: " + pathless(err).Error(), Hint: hint, Err: err}
}

// pathless is the cause without the name of a temporary file, which tells
// nobody anything.
func pathless(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
