//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package store

import (
	"errors"
	"os"
	"syscall"
)

// hold keeps a file from being taken for one left behind, until it is closed or
// the run ends, however it ends. It returns nil where the file system holds no
// files, or the file is gone.
func hold(name string) *os.File {
	f, err := os.Open(name)
	if err != nil {
		return nil
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX); err != nil { // waits for a sweep to let go
		_ = f.Close()
		return nil
	}
	return f
}

// removeLeft removes a file that no run holds.
func removeLeft(name string) {
	f, err := os.Open(name)
	if err != nil {
		return
	}
	defer f.Close() // only then may a run hold it, and find it gone
	switch err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); {
	case err == nil:
		_ = os.Remove(name)
	case !errors.Is(err, syscall.EWOULDBLOCK):
		removeOld(name)
	}
}
