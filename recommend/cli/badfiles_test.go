package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"stillbright/data/store"
	"stillbright/recommend/cli/wrong"
	"stillbright/testdata/badfiles"
)

// badFiles are the hostile and broken files of one reader.
type badFiles struct {
	name  string // of the file, as the command line has it
	files map[string][]byte
	line  []string // CATALOG and FILE stand for the two
	// cleaned are files that are taken all the same, or told to hold nothing to
	// take, with a reason. They may write; what they print must be clean.
	cleaned map[string]string
}

// TestBadFiles gives each of a few hundred hostile or broken files to the verb
// that reads it. Each is refused with exit code 4 and a position, in bounded
// time and memory; no file is written or changed, and nothing that a terminal
// would obey is printed.
func TestBadFiles(t *testing.T) {
	records := map[string][]byte{}
	for reason, text := range badfiles.Records() {
		records[reason] = []byte(text)
	}
	legal := map[string]string{}
	for _, reason := range badfiles.Honest() {
		legal[reason] = "large or odd, and legal"
	}
	count := 0
	for _, kind := range []badFiles{
		{"CATALOG/bulbs/b.yaml", records, []string{"catalog", "check", "--catalog", "CATALOG"}, legal},
		{"tests.csv", badfiles.Tables(), []string{"catalog", "import", "FILE", "--catalog", "CATALOG"}, map[string]string{
			"size line end": "the white space in a size is passed over",
			"size path":     "the signs round a size are passed over; it becomes no file name",
			"day minus":     "the sign before a day is passed over",
		}},
		{"tests.xlsx", badfiles.Workbooks(), []string{"catalog", "import", "FILE", "--catalog", "CATALOG"}, map[string]string{
			"lux nothing but a sign": "a dash stands for nothing known",
		}},
		{"records.json", badfiles.Documents(), []string{"catalog", "import", "FILE", "--catalog", "CATALOG"}, nil},
		{"map.yaml", badfiles.Mappings(), []string{"catalog", "import", "GOOD", "--map", "FILE", "--catalog", "CATALOG"}, nil},
		{"log.csv", badfiles.Series(), []string{"bench", "reduce", "FILE", "--catalog", "CATALOG"}, nil},
		{"grid.csv", badfiles.Grids(), []string{"pattern", "--grid", "FILE", "--distance", "10m"}, nil},
		{"wall.png", badfiles.Pictures(), []string{"pattern", "--photo", "FILE", "--stock-photo", "FILE", "--axis", "1,1", "--px-per-deg", "10"}, nil},
		{"questions.csv", badfiles.Questions(), []string{"reply", "--from", "FILE", "--tally", "--catalog", "CATALOG"}, map[string]string{"open quote": "it is read as a text that begins with a quote"}},
	} {
		count += len(kind.files)
		t.Run(kind.name, func(t *testing.T) { kind.check(t) })
	}
	t.Logf("%d files", count)
	if count < 500 {
		t.Errorf("only %d files", count)
	}
}

func (kind badFiles) check(t *testing.T) {
	folder := t.TempDir()
	catalog, good, file := kind.prepare(t, folder)
	var slowest time.Duration
	var most uint64
	slow, large := "", ""
	for _, reason := range slices.Sorted(maps.Keys(kind.files)) {
		given := file
		if kind.name == "grid.csv" && strings.HasSuffix(reason, " ies") {
			given = filepath.Join(folder, "grid.ies")
		}
		if err := os.WriteFile(given, kind.files[reason], 0o644); err != nil {
			t.Fatal(err)
		}
		replace := strings.NewReplacer("CATALOG", catalog, "FILE", given, "GOOD", good)
		line := []string{"stillbright"}
		for _, word := range kind.line {
			line = append(line, replace.Replace(word))
		}
		before := digest(t, folder)
		code, stdout, stderr, took, used := guarded(t, reason, line)
		if took > slowest {
			slowest, slow = took, reason
		}
		if used > most {
			most, large = used, reason
		}
		if text := stdout + stderr; strings.ContainsFunc(text, isHostile) {
			t.Errorf("%s: what is printed is not clean: %q", reason, text[:min(len(text), 800)])
		}
		if why := kind.cleaned[reason]; why != "" {
			if code != wrong.ExitDone {
				t.Errorf("%s: exit code %d though %s: %s", reason, code, why, stdout+stderr)
			}
			if strings.HasPrefix(kind.name, "tests.") { // it may have written
				folder = t.TempDir()
				catalog, good, file = kind.prepare(t, folder)
			}
			continue
		}
		if code != wrong.ExitBadData {
			t.Errorf("%s: exit code %d: %.600s", reason, code, stdout+stderr)
		}
		if !kind.tellsPlace(given, stdout+stderr) {
			t.Errorf("%s: no position: %.600s", reason, stdout+stderr)
		}
		if after := digest(t, folder); !maps.Equal(before, after) {
			t.Errorf("%s: files were written: %v, before: %v", reason, slices.Sorted(maps.Keys(after)), slices.Sorted(maps.Keys(before)))
		}
	}
	t.Logf("%d files; the slowest %v (%s); the most memory %d MB (%s)", len(kind.files), slowest, slow, most>>20, large)
}

// prepare lays out a catalog of one rig and a table that is in order.
func (kind badFiles) prepare(t *testing.T, folder string) (catalog, good, file string) {
	t.Helper()
	catalog, good = filepath.Join(folder, "catalog"), filepath.Join(folder, "good.csv")
	if code, _, stderr := run(t, "catalog", "start", catalog); code != wrong.ExitDone {
		t.Fatal(stderr)
	}
	const rig = "format: 1\nid: a-projector\nname: a projector\nsize: H11\nhousing: projector\nbeam: low\nsource: s\n"
	for name, text := range map[string]string{filepath.Join(catalog, "rigs", "a-projector.yaml"): rig, good: "Bulb,Size,Date,Projector lux 0 min\nOne,H11,2026-01-14,700\n"} {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	file = filepath.Join(folder, kind.name)
	if rest, in := strings.CutPrefix(kind.name, "CATALOG/"); in {
		file = filepath.Join(catalog, rest)
	}
	return catalog, good, file
}

// tellsPlace looks for file:line:col; a list of questions is told by its line,
// and a picture, which has no lines, by its name.
func (kind badFiles) tellsPlace(file, text string) bool {
	place := regexp.QuoteMeta(file)
	switch filepath.Ext(kind.name) {
	case ".png":
		place += ":"
	case ".csv":
		place += `:[1-9]\d*:`
		if kind.name == "questions.csv" {
			break // a row is one question
		}
		place += `[1-9]\d*:`
	default:
		place += `:[1-9]\d*:[1-9]\d*:`
	}
	// A long place is broken where the screen ends.
	return regexp.MustCompile(place).MatchString(strings.Join(strings.Fields(text), ""))
}

// guarded runs a command line within a bound of time and of memory taken in all.
func guarded(t *testing.T, reason string, line []string) (code int, stdout, stderr string, took time.Duration, used uint64) {
	t.Helper()
	ctx, stop := context.WithTimeout(t.Context(), 60*time.Second)
	defer stop()
	home := t.TempDir()
	var out, wrong bytes.Buffer
	env := &Env{In: strings.NewReader(""), Out: &out, Err: &wrong, Getenv: func(name string) string {
		return map[string]string{"HOME": home, "STILLBRIGHT_TODAY": "2026-11-25"}[name]
	}}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	done := make(chan int, 1)
	go func() { done <- env.Run(ctx, line) }()
	select {
	case code = <-done:
	case <-ctx.Done():
		t.Fatalf("%s: still running after %v", reason, time.Since(start))
	}
	took = time.Since(start)
	runtime.ReadMemStats(&after)
	if used = after.TotalAlloc - before.TotalAlloc; used > 700<<20 {
		t.Errorf("%s: took %d MB of memory in all", reason, used>>20)
	}
	return code, out.String(), wrong.String(), took, used
}

// isHostile is what a terminal would obey, or what hides text; written down here
// again, apart from the filters of the program.
func isHostile(r rune) bool {
	return r != '\n' && (unicode.IsControl(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x200e || r == 0x200f || r == 0x061c || r == 0x2028 || r == 0x2029 || r == 0xfeff)
}

// digest is a sum for every file of a folder; the time of a change counts for a
// file that was written again with the same text.
func digest(t *testing.T, folder string) map[string]string {
	t.Helper()
	sums := map[string]string{}
	err := filepath.WalkDir(folder, func(name string, entry fs.DirEntry, err error) error {
		// The lock file of a catalog holds who writes, and is no record.
		if err != nil || entry.Name() == store.LockFile {
			return err
		}
		if entry.IsDir() {
			sums[name] = "folder"
			return err
		}
		info, err := entry.Info()
		if err != nil {
			return err
		}
		content, err := os.ReadFile(name)
		sums[name] = fmt.Sprintf("%x %v %v", sha256.Sum256(content), info.Mode(), info.ModTime())
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return sums
}
