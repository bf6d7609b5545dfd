package store

import (
	"errors"
	"io/fs"
	"syscall"
)

// Failure is a write that did not happen: what was under the name before is still
// there, unchanged. One that wraps ErrUnsynced did happen.
type Failure struct {
	File    string // file or folder, as the user knows it
	Message string // what happened; lower case, no full stop
	Hint    string // something to type or do, or empty
	Err     error  // the system's error, or nil
}

// Error is the file and what happened, without the hint.
func (f *Failure) Error() string { return f.File + ": " + f.Message }

// Unwrap returns the system's error.
func (f *Failure) Unwrap() error { return f.Err }

// ErrLocked is what a Failure wraps when another process holds the catalog.
var ErrLocked = errors.New("the catalog is locked")

// ErrStopped is what a Failure wraps when a signal ended a change.
var ErrStopped = errors.New("interrupted")

// failure words a system error for a person.
func failure(file string, err error) error {
	var known *Failure
	if errors.As(err, &known) {
		return err
	}
	f := &Failure{File: file, Message: "cannot be written: " + plainError(err), Err: err}
	switch {
	case errors.Is(err, syscall.ENOSPC):
		f.Message, f.Hint = "the disk is full; nothing was changed", "make room and try again"
	case errors.Is(err, syscall.EDQUOT):
		f.Message, f.Hint = "your share of the disk is full; nothing was changed", "make room and try again"
	case errors.Is(err, syscall.EROFS):
		f.Message, f.Hint = "the folder is read-only; nothing was changed", "name another with --catalog"
	case errors.Is(err, fs.ErrPermission):
		f.Message, f.Hint = "you may not write here; nothing was changed", "look at who owns the folder, or name another with --catalog"
	}
	return f
}
