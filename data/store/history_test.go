package store

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func git(t *testing.T, folder string, args ...string) {
	t.Helper()
	command := exec.Command("git", append([]string{"-c", "user.name=Test", "-c", "user.email=test@example.org", "-c", "core.autocrlf=false", "-c", "init.defaultBranch=main"}, args...)...)
	command.Dir = folder
	if out, err := command.CombinedOutput(); err != nil {
		t.Fatalf("git %v: %v\n%s", args, err, out)
	}
}

// A replaced file leaves a copy, unless the last commit holds that very text.
func TestHistoryAndGit(t *testing.T) {
	if _, err := exec.LookPath("git"); err != nil {
		t.Skip("no git here")
	}
	w, folder := bench(t)
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	lux := 1000.0
	change := func(step string, copied bool) {
		t.Helper()
		lux++
		before := read(t, folder, "bulbs", "b.yaml")
		saved, err := w.AddTest("b", "a", "", testOn("2026-01-01", lux))
		if err != nil {
			t.Fatal(err)
		}
		if (saved.Copy != "") != copied {
			t.Errorf("%s: copy %q, want one: %v", step, saved.Copy, copied)
		}
		if saved.Copy != "" && read(t, saved.Copy) != before {
			t.Errorf("%s: the copy is not the former text", step)
		}
	}
	change("no repository", true)
	git(t, filepath.Dir(folder), "init", "-q")
	change("an empty repository above", true)
	git(t, folder, "add", "bulbs")
	change("added, not committed", true)
	git(t, folder, "add", "bulbs")
	git(t, folder, "commit", "-q", "-m", "bulbs")
	change("committed", false)
	change("changed since", true)
	git(t, folder, "commit", "-q", "-a", "-m", "more")
	git(t, folder, "update-index", "--assume-unchanged", "bulbs/b.yaml")
	change("committed again", false)
	change("changed, and marked as unchanged", true) // git status is silent here
	git(t, folder, "update-index", "--no-assume-unchanged", "bulbs/b.yaml")
	git(t, folder, "rm", "-q", "--cached", "bulbs/b.yaml")
	git(t, folder, "commit", "-q", "-m", "out")
	if err := os.WriteFile(filepath.Join(folder, ".gitignore"), []byte("bulbs\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	change("ignored", true) // and here
	// A git that fails, and one that hangs.
	bin := t.TempDir()
	fake := filepath.Join(bin, "git")
	t.Setenv("PATH", bin+":/bin:/usr/bin")
	for script, step := range map[string]string{"#!/bin/sh\nexit 3\n": "a git that fails", "#!/bin/sh\nsleep 60\n": "a git that hangs"} {
		if err := os.WriteFile(fake, []byte(script), 0o755); err != nil {
			t.Fatal(err)
		}
		start := time.Now()
		change(step, true)
		if took := time.Since(start); took > gitTimeout+5*time.Second {
			t.Errorf("%s took %v", step, took)
		}
	}
	t.Setenv("PATH", "/nowhere")
	change("no git", true)
	clean(t, folder)
}

// Copies of one second do not overwrite each other.
func TestHistoryKeepsEveryCopy(t *testing.T) {
	w, folder := bench(t)
	if _, err := w.SaveBulb(bulbOf("b")); err != nil {
		t.Fatal(err)
	}
	for lux := 1.0; lux <= 4; lux++ {
		if _, err := w.AddTest("b", "a", "", testOn("2026-01-01", lux)); err != nil {
			t.Fatal(err)
		}
	}
	var names []string
	for name := range tree(t, folder) {
		if strings.HasPrefix(name, HistoryDir) {
			names = append(names, name)
		}
	}
	for _, want := range []string{"", "-2", "-3", "-4"} {
		file := filepath.Join(folder, HistoryDir, "b-20260101T000000Z"+want+".yaml")
		file = strings.Replace(file, "20260101T000000Z", clock().Format("20060102T150405Z"), 1)
		if _, err := os.Stat(file); err != nil {
			t.Errorf("%v; there are %v", err, names)
		}
	}
	if len(names) != 4 {
		t.Errorf("copies %v", names)
	}
}
