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
// file it names is written. A file that was there keeps its permissions, and one
// that is write-protected stays as it is; a new one gets what the mask of the
// process leaves. File and folder are synced. The files the verb reads are never
// written: inputs are their names.
func writeAtomically(name string, content []byte, inputs ...string) error {
	target, mode := name, fs.FileMode(0)
	if resolved, err := filepath.EvalSymlinks(name); err == nil {
		target = resolved
	} else if info, err := os.Lstat(name); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return fmt.Errorf("%s is a symbolic link to nothing", name)
	}
	if info, err := os.Stat(target); err == nil {
		for _, input := range inputs {
			if read, err := os.Stat(input); err == nil && os.SameFile(info, read) {
				return usage(name+" is a file that is read here; it would be lost", "name another file")
			}
		}
		if !info.Mode().IsRegular() {
			return usage(name+" is not a plain file", "name another file")
		}
		if info.Mode()&0o200 == 0 {
			return usage(name+" is write-protected", "name another file")
		}
		mode = info.Mode().Perm()
	}
	err := store.WriteFile(target, content, mode)
	if errors.Is(err, fs.ErrNotExist) {
		folder := filepath.Dir(target)
		return usage(fmt.Sprintf("%s: there is no such folder", folder), "make it first: mkdir -p "+need.ShellWord(folder))
	}
	if err != nil && !errors.Is(err, store.ErrUnsynced) {
		return notWritten(name, err)
	}
	return err
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
