package store

import (
	"os"
	"path"

	"golang.org/x/sys/unix"
)

// exchange has two files of one folder swap their names in one step, so that
// what stood under the name in that very moment is still there afterwards.
func exchange(root *os.Root, a, b string) error {
	folder, err := root.Open(path.Dir(a))
	if err != nil {
		return err
	}
	defer folder.Close()
	fd := int(folder.Fd())
	return unix.Renameat2(fd, path.Base(a), fd, path.Base(b), unix.RENAME_EXCHANGE)
}
