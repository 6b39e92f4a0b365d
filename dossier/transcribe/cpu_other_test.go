//go:build !unix

package transcribe_test

import "time"

// cpuTime is not measured here.
func cpuTime() time.Duration { return 0 }
