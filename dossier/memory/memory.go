// Package memory says how a run of the program uses the memory of the machine: it
// trades memory for time, since a run is short and holds much of what it makes to the end.
//
// # Decisions
//
// 2026-12-01, large pages where the system gives them to who asks. A small check meets some
// 21 MB; to meet them in pages of 4 kB took a third of its processor time, in pages of 2 MB it
// takes little. What is met stays much the same: 55 MB in all in place of 51.
package memory

import (
	"os"
	"runtime"
	"runtime/debug"
)

// Per cent of what is alive after which memory is collected, the first time of 4 MB, and the bytes
// above which it is collected all the time: the largest workshop measured has 205 MB alive
// and meets 557 MB.
const more, first, most = 400, 1200, 520 << 20

// Tune sets the collector up for a run that computes. The user's own settings prevail.
func Tune() {
	large()
	if os.Getenv("GOGC") == "" {
		// a small check ends before anything has to be collected; what goes on collects as
		// often as it should from the first time on
		debug.SetGCPercent(first)
		runtime.AddCleanup(new([64]byte), func(int) { debug.SetGCPercent(more) }, 0)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(most)
	}
}
