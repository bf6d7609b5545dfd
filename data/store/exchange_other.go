//go:build !linux

package store

import (
	"errors"
	"os"
)

// exchange is not offered here; the caller compares once more and renames.
func exchange(*os.Root, string, string) error { return errors.ErrUnsupported }
