package store

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/gofrs/flock"
)

// LockFile is the file in a catalog folder that writers lock. It is never
// removed: a writer that waits for it may already have it open. A file that is
// left over blocks nobody, because the lock is the kernel's and dies with the
// process that holds it, however it dies. What is written in the file is only
// for the message to those who wait.
const LockFile = ".lock"

// DefaultWait is how long a writer waits for another one.
const DefaultWait = 10 * time.Second

const lockRetry = 15 * time.Millisecond

// locked runs work while this process alone may write to the catalog.
func (w *Writer) locked(work func() error) error {
	path := filepath.Join(w.folder, LockFile)
	if info, err := os.Lstat(path); err == nil && !info.Mode().IsRegular() {
		return &Failure{File: path, Message: "is not a plain file, so it cannot be locked", Hint: "move it away"}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return failure(path, err)
	}
	// Opened for reading only: another user of a shared folder may lock it too.
	lock := flock.New(path, flock.SetFlag(os.O_CREATE|os.O_RDONLY), flock.SetPermissions(0o644))
	ctx, stop := context.WithTimeout(w.stop, w.wait)
	defer stop()
	got, err := lock.TryLockContext(ctx, lockRetry)
	if !got {
		if w.stop.Err() != nil {
			return w.stopped(0, 0)
		}
		if err == nil || errors.Is(err, context.DeadlineExceeded) {
			return w.busy(path)
		}
		return failure(w.folder, err)
	}
	// The words are a courtesy; without them the lock holds all the same.
	host, _ := os.Hostname()
	_ = os.WriteFile(path, fmt.Appendf(nil, "process %d\nhost %s\nsince %s\n", os.Getpid(), host, w.now().Format(time.RFC3339)), 0o644)
	defer func() {
		_ = os.Truncate(path, 0)
		_ = lock.Unlock()
	}()
	if w.stop.Err() != nil {
		return w.stopped(0, 0)
	}
	return work()
}

// busy says who holds the lock.
func (w *Writer) busy(path string) error {
	who := "another process"
	if content, err := os.ReadFile(path); err == nil && len(content) < 1000 {
		lines := strings.Split(strings.TrimSpace(string(content)), "\n")
		if len(lines) == 3 {
			who = clip(lines[0], 40) + " on " + clip(lines[1], 80) + ", " + clip(lines[2], 60)
		}
	}
	return &Failure{
		File: w.folder, Message: fmt.Sprintf("is being written by %s; waited %v", strings.Replace(who, "on host ", "on ", 1), w.wait),
		Hint: "try again; if that process hangs, end it: the lock goes with it", Err: ErrLocked,
	}
}
