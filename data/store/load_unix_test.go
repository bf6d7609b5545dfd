//go:build unix

package store

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"stillbright/data"
)

// A pipe, a folder, a dangling link: none of them may hang or pass for a record.
func TestLoadOddFiles(t *testing.T) {
	folder := started(t)
	bulbs := filepath.Join(folder, "bulbs")
	if err := syscall.Mkfifo(filepath.Join(bulbs, "pipe.yaml"), 0o644); err != nil {
		t.Skip("no pipes here")
	}
	for name, to := range map[string]string{"zero.yaml": "/dev/zero", "gone.yaml": "nowhere", "folder.yaml": bulbs, "loop.yaml": "loop.yaml"} {
		if err := os.Symlink(to, filepath.Join(bulbs, name)); err != nil {
			t.Fatal(err)
		}
	}
	done := make(chan data.Faults)
	go func() {
		_, faults := Load(os.DirFS(folder), folder, knowledge(t))
		done <- faults
	}()
	select {
	case faults := <-done:
		var messages []string
		for _, fault := range faults {
			messages = append(messages, filepath.Base(fault.File)+": "+fault.Message)
		}
		want := []string{"folder.yaml: is not a regular file", "gone.yaml: was removed meanwhile, or is a link to nothing", "loop.yaml: too many levels of symbolic links", "pipe.yaml: is not a regular file", "zero.yaml: is not a regular file"}
		if !slices.Equal(messages, want) {
			t.Errorf("faults\n%s\nwant\n%s", strings.Join(messages, "\n"), strings.Join(want, "\n"))
		}
	case <-time.After(20 * time.Second):
		t.Fatal("the reader hangs")
	}
}
