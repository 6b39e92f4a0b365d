package watched

import (
	"io/fs"
	"syscall"
)

// nodeOf says which file it is, and when anything of it was changed.
func nodeOf(info fs.FileInfo) (node uint64, changed int64) {
	if s, ok := info.Sys().(*syscall.Stat_t); ok {
		return s.Ino, s.Ctim.Nano()
	}
	return 0, 0
}
