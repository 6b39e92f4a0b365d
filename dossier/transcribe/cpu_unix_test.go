//go:build unix

package transcribe_test

import (
	"syscall"
	"time"
)

// cpuTime is the processor time that the process has had.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
