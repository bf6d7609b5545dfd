package data

import (
	"sync"
	"sync/atomic"
)

// hands are how many calls SideBySide makes at a time; more than there are
// processors do no harm.
const hands = 8

// SideBySide calls do for 0 to n-1, some at a time, and returns when all are done.
// A caller whose result is to be the same each time keeps what do finds by its
// number.
func SideBySide(n int, do func(int)) {
	var group sync.WaitGroup
	var next atomic.Int64
	work := func() {
		for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
			do(i)
		}
	}
	for range min(n, hands) - 1 {
		group.Go(work)
	}
	work()
	group.Wait()
}
