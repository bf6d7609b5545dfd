package store

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"
)

// BenchmarkLoadCached reads a catalog of 1,000, 10,000 and 100,000 tests that is
// remembered as a whole; the time should grow as the tests do.
func BenchmarkLoadCached(b *testing.B) {
	known := knowledge(b)
	for _, bulbs := range []int{100, 1000, 10_000} {
		b.Run(fmt.Sprint(bulbs*10), func(b *testing.B) {
			folder := laidOut(b, bulbs)
			cache := Cache{Folder: filepath.Join(b.TempDir(), "cache"), Program: "bench", now: func() time.Time { return time.Now().Add(time.Minute) }}
			LoadCached(folder, known, cache)
			if r := cache.open(folder); r == nil || !r.old.whole {
				b.Skip("nothing is kept on this system")
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, faults := LoadCached(folder, known, cache); len(faults) > 0 {
					b.Fatal(faults)
				}
			}
		})
	}
}

// BenchmarkLoadUncached reads the same from the files.
func BenchmarkLoadUncached(b *testing.B) {
	known := knowledge(b)
	for _, bulbs := range []int{100, 1000} {
		b.Run(fmt.Sprint(bulbs*10), func(b *testing.B) {
			folder := laidOut(b, bulbs)
			for b.Loop() {
				if _, faults := Load(os.DirFS(folder), folder, known); len(faults) > 0 {
					b.Fatal(faults)
				}
			}
		})
	}
}
