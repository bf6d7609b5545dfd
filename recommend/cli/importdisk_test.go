//go:build linux

package cli_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// smallDisk mounts a disk of its own, or skips.
func smallDisk(t *testing.T, options string) string {
	t.Helper()
	folder := t.TempDir()
	if out, err := exec.Command("mount", "-t", "tmpfs", "-o", options, "tmpfs", folder).CombinedOutput(); err != nil {
		t.Skipf("this user may not mount: %s", out)
	}
	t.Cleanup(func() {
		if out, err := exec.Command("umount", folder).CombinedOutput(); err != nil {
			t.Errorf("umount: %s", out)
		}
	})
	return folder
}

// copyTree copies a catalog onto a disk.
func copyTree(t *testing.T, from, to string) {
	t.Helper()
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		t.Fatal(err)
	}
}

// refused runs the program and wants it to fail with code 1 and these words.
func refused(t *testing.T, args []string, words ...string) {
	t.Helper()
	command := program(t, args...)
	out, err := command.CombinedOutput()
	if err == nil || command.ProcessState.ExitCode() != 1 {
		t.Errorf("%v: exit %d: %s", args, command.ProcessState.ExitCode(), out)
	}
	said := strings.Join(strings.Fields(string(out)), " ")
	for _, word := range words {
		if !strings.Contains(said, word) {
			t.Errorf("%v does not say %q:\n%s", args, word, out)
		}
	}
}

// noTemps wants no temporary file under any of the folders.
func noTemps(t *testing.T, folders ...string) {
	t.Helper()
	for _, folder := range folders {
		for _, pattern := range []string{".*.tmp", "*/.*.tmp", ".stillbright-*"} {
			if left, _ := filepath.Glob(filepath.Join(folder, pattern)); len(left) > 0 {
				t.Errorf("left over: %v", left)
			}
		}
	}
}

// TestImportAndExportOnAFullDisk: a clear error, what was there is there
// unchanged, and with room again the same command takes the rest.
func TestImportAndExportOnAFullDisk(t *testing.T) {
	disk := smallDisk(t, "size=256k")
	folder, sheets := filepath.Join(disk, "bench"), t.TempDir()
	copyTree(t, importCatalog(t), folder)
	first := importSheet(t, sheets, 0)
	if out, err := program(t, "catalog", "import", first, "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	before := testsOnDisk(t, folder)
	// Fill the disk, all but two pages.
	filler := filepath.Join(disk, "filler")
	_ = os.WriteFile(filler, make([]byte, 1<<20), 0o600)
	info, err := os.Stat(filler)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(filler, info.Size()-2*4096); err != nil {
		t.Fatal(err)
	}
	second := importSheet(t, sheets, 1)
	refused(t, []string{"catalog", "import", second, "--catalog", folder}, "the disk is full", "hint: make room")
	after := testsOnDisk(t, folder)
	for day, bulbs := range before {
		if len(after[day]) != len(bulbs) {
			t.Errorf("%s: %d tests, there were %d", day, len(after[day]), len(bulbs))
		}
	}
	noTemps(t, folder)
	// An export finds no room either; the older one stands.
	target := filepath.Join(disk, "out.csv")
	_ = os.WriteFile(target, []byte("older\n"), 0o600)
	_ = os.WriteFile(filepath.Join(disk, "rest"), make([]byte, 1<<20), 0o600)
	refused(t, []string{"catalog", "export", target, "--force", "--catalog", folder}, "out.csv: was not written: no space left", "hint: make room")
	if text, err := os.ReadFile(target); err != nil || string(text) != "older\n" {
		t.Errorf("the older export holds %q, %v", text, err)
	}
	refused(t, []string{"catalog", "import", first, "--catalog", folder, "--save-map", filepath.Join(disk, "map.yaml")}, "map.yaml: was not written")
	noTemps(t, disk)
	// Room again.
	for _, name := range []string{filler, filepath.Join(disk, "rest")} {
		if err := os.Remove(name); err != nil {
			t.Fatal(err)
		}
	}
	if out, err := program(t, "catalog", "import", second, "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("with room again: %v: %s", err, out)
	}
	if n := len(testsOnDisk(t, folder)[importDay(1)]); n != 4 {
		t.Errorf("with room again %d of 4 tests are there", n)
	}
}

// TestImportStopsHalfway: when the room ends in the middle, it says how many
// files are written, and they are whole.
func TestImportStopsHalfway(t *testing.T) {
	disk := smallDisk(t, "size=256k")
	folder, sheets := filepath.Join(disk, "bench"), t.TempDir()
	copyTree(t, importCatalog(t), folder)
	filler := filepath.Join(disk, "filler")
	_ = os.WriteFile(filler, make([]byte, 1<<20), 0o600)
	info, err := os.Stat(filler)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(filler, info.Size()-4*4096); err != nil {
		t.Fatal(err)
	}
	sheet := importSheet(t, sheets, 0)
	refused(t, []string{"catalog", "import", sheet, "--catalog", folder}, "the disk is full; files written before it, each whole:", "the same command again takes the rest")
	if n := len(testsOnDisk(t, folder)[importDay(0)]); n == 0 || n == 4 {
		t.Errorf("%d of 4 tests are there: the room did not end in the middle", n)
	}
	if err := os.Remove(filler); err != nil {
		t.Fatal(err)
	}
	if out, err := program(t, "catalog", "import", sheet, "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if n := len(testsOnDisk(t, folder)[importDay(0)]); n != 4 {
		t.Errorf("the rest did not come: %d of 4", n)
	}
}

// TestImportAndExportReadOnly: a disk that may only be read.
func TestImportAndExportReadOnly(t *testing.T) {
	disk := smallDisk(t, "size=1m")
	folder, sheets := filepath.Join(disk, "bench"), t.TempDir()
	copyTree(t, importCatalog(t), folder)
	if out, err := program(t, "catalog", "import", importSheet(t, sheets, 9), "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	target := filepath.Join(disk, "out.xlsx")
	if err := os.WriteFile(target, []byte("older\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if out, err := exec.Command("mount", "-o", "remount,ro", disk).CombinedOutput(); err != nil {
		t.Skipf("cannot be made read-only: %s", out)
	}
	refused(t, []string{"catalog", "import", importSheet(t, sheets, 0), "--catalog", folder}, "read-only", "hint:")
	refused(t, []string{"catalog", "export", target, "--force", "--catalog", folder}, "out.xlsx: was not written: read-only file system", "hint: name a file in a folder that you may write to")
	if text, err := os.ReadFile(target); err != nil || string(text) != "older\n" {
		t.Errorf("the older export holds %q, %v", text, err)
	}
}

// TestExportThroughALink: a link stays a link, its file gets the export and
// keeps its permissions; a link to nothing and a folder are refused.
func TestExportThroughALink(t *testing.T) {
	folder, place := importCatalog(t), t.TempDir()
	if out, err := program(t, "catalog", "import", importSheet(t, t.TempDir(), 9), "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	real, link := filepath.Join(place, "real.csv"), filepath.Join(place, "link.csv")
	if err := os.WriteFile(real, []byte("older\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink("real.csv", link); err != nil {
		t.Fatal(err)
	}
	if out, err := program(t, "catalog", "export", link, "--force", "--catalog", folder).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	info, err := os.Lstat(link)
	if err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone: %v, %v", info.Mode(), err)
	}
	text, err := os.ReadFile(real)
	if err != nil || bytes.Equal(text, []byte("older\n")) {
		t.Errorf("the file of the link holds %q, %v", text, err)
	}
	if info, _ := os.Stat(real); info.Mode().Perm() != 0o600 {
		t.Errorf("its permissions are %v now", info.Mode().Perm())
	}
	if err := os.Remove(real); err != nil {
		t.Fatal(err)
	}
	refused(t, []string{"catalog", "export", link, "--force", "--catalog", folder}, "is a symbolic link to nothing")
	command := program(t, "catalog", "export", place+"/d.csv", "--force", "--catalog", folder)
	if err := os.Mkdir(filepath.Join(place, "d.csv"), 0o755); err != nil {
		t.Fatal(err)
	}
	if out, err := command.CombinedOutput(); command.ProcessState.ExitCode() != 2 {
		t.Errorf("onto a folder: %v: %s", err, out)
	}
	noTemps(t, place)
}
