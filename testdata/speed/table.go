package main

import (
	"fmt"
	"os"
	"runtime"
	"strings"
	"time"
)

// report is everything that the table says.
type report struct {
	built                 programs
	machine               string
	loadBefore, loadAfter string
	start                 started
	catalogs              []measured
}

// The marks between which the README holds the table.
const (
	beginMark = "<!-- table: bash .ci/bench -->\n"
	endMark   = "<!-- end of table -->\n"
)

func (r *report) markdown() string {
	var b strings.Builder
	line := func(format string, values ...any) { fmt.Fprintf(&b, format+"\n", values...) }
	line("| start-up, embedded data | median ms | over a one-line program | peak memory MB | binary MB |")
	line("|---|--:|--:|--:|--:|")
	base := r.start.line.median()
	for _, row := range []struct {
		name string
		c    *contestant
	}{
		{"a Go program that prints one line", r.start.line}, {"one that links the same libraries and does nothing", r.start.linked},
		{"`stillbright --version`", r.start.version}, {"`stillbright pick`", r.start.pick},
	} {
		line("| %s | %.1f | +%.1f | %.0f | %.1f |", row.name, row.c.median(), row.c.median()-base, row.c.megabytes(), megabytesOf(row.c.args[0]))
	}
	line("")
	line("| own catalog | `pick` | first time | no cache | sqlite3 | mlr | pick / sqlite3 | memory of pick, sqlite3, mlr MB |")
	line("|---|--:|--:|--:|--:|--:|--:|--:|")
	for _, m := range r.catalogs {
		line("| %s tests in %s files, %.1f MB | %.0f ms | %.0f | %.0f | %.0f | %.0f | %.2f | %.0f, %.0f, %.0f |",
			grouped(m.bench.tests), grouped(m.bench.bulbs), float64(m.bench.bytes)/1e6, m.pick.median(), m.first.median(), m.plain.median(), m.sqlite.median(), m.mlr.median(),
			m.pick.median()/m.sqlite.median(), m.pick.megabytes(), m.sqlite.megabytes(), m.mlr.megabytes())
	}
	line("")
	line("%s, %s, %s, load %s before and %s after. `pick` over the linked program: %.1f ms.", time.Now().Format("2006-01-02"), r.machine, runtime.Version(), r.loadBefore, r.loadAfter,
		r.start.pick.median()-r.start.linked.median())
	return b.String()
}

func megabytesOf(file string) float64 {
	info, err := os.Stat(file)
	if err != nil {
		return 0
	}
	return float64(info.Size()) / 1e6
}

// grouped writes a number with commas between the thousands.
func grouped(n int) string {
	text := fmt.Sprint(n)
	for i := len(text) - 3; i > 0; i -= 3 {
		text = text[:i] + "," + text[i:]
	}
	return text
}

func machine() string {
	model := "unknown processor"
	text, _ := os.ReadFile("/proc/cpuinfo")
	for line := range strings.Lines(string(text)) {
		if name, value, ok := strings.Cut(line, ":"); ok && strings.TrimSpace(name) == "model name" {
			model = strings.TrimSpace(value)
			break
		}
	}
	return fmt.Sprintf("%d cores of %s, %s/%s", runtime.NumCPU(), model, runtime.GOOS, runtime.GOARCH)
}

// load is the number of processes waiting to run, over the last minute.
func load() string {
	text, _ := os.ReadFile("/proc/loadavg")
	first, _, _ := strings.Cut(string(text), " ")
	return first
}

// replaceTable writes the table between the marks of a file.
func replaceTable(file, table string) error {
	text, err := os.ReadFile(file)
	if err != nil {
		return err
	}
	before, rest, ok := strings.Cut(string(text), beginMark)
	_, after, ended := strings.Cut(rest, endMark)
	if !ok || !ended {
		return fmt.Errorf("%s: the marks of the table are missing", file)
	}
	return os.WriteFile(file, []byte(before+beginMark+"\n"+table+"\n"+endMark+after), 0o644)
}
