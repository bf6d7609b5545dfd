package store

import (
	"os"
	"path/filepath"
)

// WriteFile writes a file that the user asked for, outside a catalog, by the same
// calls as a record: whole or not at all, synced, its folder too. mode 0 is what
// the mask of the process leaves of 0666. What was under the name is replaced. An
// error that wraps ErrUnsynced is told after the file got its content.
func WriteFile(name string, content []byte, mode os.FileMode) error {
	root, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return err
	}
	defer root.Close()
	d := disk{root: root, label: filepath.Dir(name)}
	file := filepath.Base(name)
	temp := tempFor(file)
	if err = d.fill(temp, content, mode); err == nil {
		err = d.do("rename", file, func() error { return root.Rename(temp, file) })
	}
	if err != nil {
		_ = root.Remove(temp)
		return err
	}
	return d.settle(file)
}
