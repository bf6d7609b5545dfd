package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// HistoryDir is where the former text of a replaced file is kept.
const HistoryDir = ".history"

// gitTimeout is how long git may take once; after that it is not asked again in
// the same change.
const gitTimeout = 2 * time.Second

// asker asks git about the files of one change.
type asker struct{ hangs bool }

// keep leaves a dated copy of a file that is about to be replaced:
// .history/ID-20261125T083200Z.yaml. A text that git has committed needs none.
// It returns the copy's name, or nothing.
func (d disk) keep(file string, content []byte, mode fs.FileMode, now time.Time) (string, error) {
	if d.git.committed(d.name(file), content) {
		return "", nil
	}
	if err := d.folder(HistoryDir); err != nil {
		return "", err
	}
	name, err := d.free(strings.TrimSuffix(path.Base(file), ".yaml"), ".yaml", now)
	if err != nil {
		return "", err
	}
	return name, d.create(name, content, mode)
}

// free finds a name in the history that is not taken. Only the holder of the
// lock on the file or draft that is kept looks for one.
func (d disk) free(base, ending string, now time.Time) (string, error) {
	stamp := now.UTC().Format("20060102T150405Z")
	for n := 1; ; n++ {
		name := path.Join(HistoryDir, base+"-"+stamp+ending)
		if n > 1 {
			name = path.Join(HistoryDir, fmt.Sprintf("%s-%s-%d%s", base, stamp, n, ending))
		}
		if _, err := d.root.Lstat(name); errors.Is(err, fs.ErrNotExist) {
			return name, nil
		} else if err != nil {
			return "", failure(d.name(name), err)
		}
	}
}

// committed says whether the last commit of the git repository around a file
// holds exactly this content. Asking git for the committed text and comparing
// is safer than asking for its status: an ignored file, or one marked to be
// taken as unchanged, has a clean status and no copy. It also runs none of the
// programs that a repository's settings can name. Without git, without a
// repository, after an error or a while, the answer is no.
func (a *asker) committed(file string, content []byte) bool {
	absolute, err := filepath.Abs(file)
	if err != nil || a.hangs || !inRepository(filepath.Dir(absolute)) {
		return false
	}
	ctx, stop := context.WithTimeout(context.Background(), gitTimeout)
	defer stop()
	ask := exec.CommandContext(ctx, "git", "--no-pager", "-c", "core.fsmonitor=false", "-c", "core.hooksPath="+os.DevNull, "cat-file", "blob", "HEAD:./"+filepath.Base(absolute))
	ask.Dir = filepath.Dir(absolute)
	ask.WaitDelay = time.Second
	ask.Env = append(slices.DeleteFunc(os.Environ(), func(entry string) bool { return strings.HasPrefix(entry, "GIT_") }),
		// No protocol is allowed: a git that knows no GIT_NO_LAZY_FETCH would fetch a
		// missing text by the command of the folder's remote.
		"GIT_ALLOW_PROTOCOL=", "GIT_NO_LAZY_FETCH=1", "GIT_TERMINAL_PROMPT=0", "GIT_OPTIONAL_LOCKS=0")
	there, err := ask.Output()
	a.hangs = ctx.Err() != nil
	return err == nil && bytes.Equal(there, content)
}

// inRepository looks for .git upward, so that git is not started for nothing.
func inRepository(folder string) bool {
	for {
		if _, err := os.Lstat(filepath.Join(folder, ".git")); err == nil {
			return true
		}
		up := filepath.Dir(folder)
		if up == folder {
			return false
		}
		folder = up
	}
}
