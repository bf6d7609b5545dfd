package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// writeAtomically writes a picture in one step: whoever reads it sees the old
// content or the new, never a part. It can be made again, so that nothing waits
// for the disk.
func writeAtomically(name string, content []byte) error {
	folder := filepath.Dir(name)
	file, err := os.CreateTemp(folder, ".stillbright-*")
	if errors.Is(err, fs.ErrNotExist) {
		return usage(fmt.Sprintf("%s: there is no such folder", folder), "make it first: mkdir -p "+folder)
	}
	if err != nil {
		return err
	}
	defer os.Remove(file.Name()) // of no effect once it has been renamed
	if _, err = file.Write(content); err == nil {
		err = file.Chmod(0o644)
	}
	if errClose := file.Close(); err == nil {
		err = errClose
	}
	if err == nil {
		err = os.Rename(file.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("%s was not written: %w", name, err)
	}
	return nil
}
