//go:build !unix

package dossier

import "time"

// cpuTime is not measured here.
func cpuTime() time.Duration { return 0 }
