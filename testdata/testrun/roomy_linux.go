package testrun

import "syscall"

// memory is the folder that Linux keeps in memory.
const memory = "/dev/shm"

// roomy says whether a folder has a gigabyte to spare: in a container it is often small.
func roomy(dir string) bool {
	var s syscall.Statfs_t
	return syscall.Statfs(dir, &s) == nil && s.Bavail*uint64(s.Bsize) >= 1<<30
}
