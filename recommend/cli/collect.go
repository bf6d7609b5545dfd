package cli

import (
	"math"
	"os"
	"runtime"
	"runtime/debug"
)

// uncollected is how much a run may allocate before the first collection of
// garbage, bytes. Nearly every run ends sooner, and collecting what the end of
// the process frees anyway took a tenth of a decision.
const uncollected = 96 << 20

// collectLate puts the first collection off, and lets the runtime go on as usual
// from there. Who has set the runtime's own variables gets what they say.
func collectLate() {
	if os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(uncollected)
	// The sentinel is garbage at once; the first collection finds that.
	runtime.SetFinalizer(&sentinel{}, func(*sentinel) {
		debug.SetGCPercent(100)
		debug.SetMemoryLimit(math.MaxInt64)
	})
}

// sentinel has a pointer, so that it is no part of a block of small things.
type sentinel struct{ _ *int }
