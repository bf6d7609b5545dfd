package store

import (
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"stillbright/data"
	"stillbright/testdata/badfiles"
)

// Every hostile file is refused with a position, in bounded time and memory,
// and with faults that are clean text.
func TestHostileFiles(t *testing.T) {
	seeds := badfiles.Records()
	if len(seeds) < 200 {
		t.Fatalf("only %d hostile files", len(seeds))
	}
	var (
		legal   []string
		slowest time.Duration
		name    string
	)
	for reason, text := range seeds {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		start := time.Now()
		var bulb data.Bulb
		_, faults := Decode("bulbs/b.yaml", []byte(text), &bulb)
		took := time.Since(start)
		runtime.ReadMemStats(&after)
		if took > slowest {
			slowest, name = took, reason
		}
		if took > 10*time.Second {
			t.Errorf("%s: took %v", reason, took)
		}
		if used := after.TotalAlloc - before.TotalAlloc; used > 600<<20 {
			t.Errorf("%s: used %d MB", reason, used>>20)
		}
		if len(faults) == 0 {
			legal = append(legal, reason)
			continue
		}
		if len(faults) > maxFaults+1 {
			t.Errorf("%s: %d faults", reason, len(faults))
		}
		for _, fault := range faults {
			if text := fault.String() + fault.Hint; strings.ContainsFunc(text, hostile) || strings.Contains(text, "\n") || len(text) > 2000 {
				t.Errorf("%s: a fault that is not clean text: %q", reason, text)
			}
			if !strings.HasPrefix(fault.At(), "bulbs/b.yaml") {
				t.Errorf("%s: at %s", reason, fault.At())
			}
		}
	}
	slices.Sort(legal)
	if want := slices.Sorted(slices.Values(badfiles.Honest())); !slices.Equal(legal, want) {
		t.Errorf("read without a fault: %q, want only %q", legal, want)
	}
	t.Logf("%d files, the slowest %v (%s)", len(seeds), slowest, name)
}
