package memory

import (
	"bytes"
	"os"
	"runtime"
	"syscall"
)

// asking is what the system says where large pages are given to who asks for them.
var asking = []byte("[madvise]")

// large asks for large pages for what will be met first: room that is taken at once and given back, so
// that all of it stands in one piece before any of it is met.
func large() {
	const room = 32 << 20
	said, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || !bytes.Contains(said, asking) {
		return
	}
	if syscall.Madvise(make([]byte, room), syscall.MADV_HUGEPAGE) == nil {
		runtime.GC() // which gives it back; hardly anything is alive yet
	}
}
