package memory

import (
	"bytes"
	"os"
	"syscall"
	"unsafe"
)

// asking is what the system says where large pages are given to who asks for them.
var asking = []byte("[madvise]")

// room is what large pages are asked for: a small check and as much again. A stack is as large as the next
// power of two, and one of 64 MB would not stand where memory is met first.
const room = 31 << 20

// large asks for large pages for what will be met first. The room has to stand in one piece before any
// of it is met, and to be free after: a stack is both, and unlike what else is made it is given
// back without the collector, whose first time costs a tenth of a small check.
func large() {
	said, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || !bytes.Contains(said, asking) {
		return
	}
	done := make(chan struct{})
	go func() {
		tall(false)
		close(done)
	}()
	<-done
}

// tall has a stack on which the room can be passed by value. It never is, so nothing of it is met.
//
//go:noinline
func tall(pass bool) {
	if pass {
		last([room]byte{})
	}
	var top byte // what is passed would lie below it
	const page = 4096
	to := uintptr(unsafe.Pointer(&top)) &^ (page - 1)
	// where it is refused, all is as it was
	_, _, _ = syscall.Syscall(syscall.SYS_MADVISE, to-room+page, room-page, syscall.MADV_HUGEPAGE)
}

//go:noinline
func last([room]byte) {}
