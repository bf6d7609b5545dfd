// Command speed measures the program on this machine beside programs that a
// reader knows, and writes the table of the README. Run it by .ci/bench.
//
// Every run is checked: its exit status, and that it found what it should have
// found. What is compared in one row takes turns, so that a busy moment of the
// machine meets all of them. Given are medians.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
)

func main() {
	rounds := flag.Int("rounds", 41, "runs of each short program; long ones run less often")
	most := flag.Int("tests", 100_000, "tests in the longest catalog: 1000, 10000 or 100000")
	write := flag.String("write", "", "file whose table between the marks is written anew")
	flag.Parse()
	if runtime.GOOS != "linux" {
		fmt.Fprintln(os.Stderr, "speed: only measured on Linux")
		os.Exit(2)
	}
	if err := run(*rounds, *most, *write); err != nil {
		fmt.Fprintln(os.Stderr, "speed: "+err.Error())
		os.Exit(1)
	}
}

func run(rounds, most int, write string) error {
	folder, err := os.MkdirTemp("", "stillbright-speed-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	before := load()
	built, err := build(folder)
	if err != nil {
		return err
	}
	r := report{built: built, machine: machine(), loadBefore: before}
	if r.start, err = startUp(built, folder, rounds); err != nil {
		return err
	}
	fmt.Fprintf(os.Stderr, "processor time, ms: line %.1f, linked %.1f, version %.1f, pick %.1f\n",
		r.start.line.medianCPU(), r.start.linked.medianCPU(), r.start.version.medianCPU(), r.start.pick.medianCPU())
	for tests := 1000; tests <= most; tests *= 10 {
		fmt.Fprintf(os.Stderr, "catalog of %d tests\n", tests)
		b, err := newBench(filepath.Join(folder, fmt.Sprint(tests)), tests)
		if err != nil {
			return err
		}
		row, err := b.measure(built, max(5, rounds*1000/tests/2))
		if err != nil {
			return fmt.Errorf("%d tests: %w", tests, err)
		}
		fmt.Fprintf(os.Stderr, "  processor time, ms: pick %.0f, first %.0f, no cache %.0f, sqlite3 %.0f, mlr %.0f; cache %.1f MB\n",
			row.pick.medianCPU(), row.first.medianCPU(), row.plain.medianCPU(), row.sqlite.medianCPU(), row.mlr.medianCPU(), float64(row.cacheBytes)/1e6)
		r.catalogs = append(r.catalogs, row)
	}
	r.loadAfter = load()
	table := r.markdown()
	fmt.Print(table)
	if write == "" {
		return nil
	}
	return replaceTable(write, table)
}
