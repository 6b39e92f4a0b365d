package store

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"syscall"

	"gallipot/ingredients/exact"
)

// writeError is a failure to write, with the error of the system for programs
// and its words for the maker.
type writeError struct {
	words *exact.ValueError
	cause error
}

func (e *writeError) Error() string { return e.words.Error() }

func (e *writeError) Unwrap() []error { return []error{e.words, e.cause} }

// CannotWrite words why a file cannot be written. Errors that are no errors of
// the system keep their words.
func CannotWrite(path string, err error) error {
	shown, dir := filepath.ToSlash(path), filepath.ToSlash(filepath.Dir(path))
	what, fix := "", "check the folder, or name another one with --out"
	switch {
	case noRoom(err):
		what, fix = Reason(err), "make room, or name a folder on another disk with --out"
	case busy(err):
		what, fix = "another program has it open", "close it there and run this again"
	case isFolder(path):
		what, fix = "a folder has that name", "move the folder out of the way"
	case errors.Is(err, fs.ErrExist):
		what, fix = "there is one already", "move it out of the way"
	case errors.Is(err, syscall.EROFS):
		what, fix = "the disk can only be read", "name a folder on another disk with --out"
	case errors.Is(err, fs.ErrPermission):
		what, fix = "no permission",
			"give yourself the right to write into "+dir+" and close the file in other programs, or name another folder with --out"
	case errors.Is(err, fs.ErrNotExist):
		what, fix = "there is no folder "+dir, "make the folder"
	default:
		what = Reason(err)
	}
	return &writeError{&exact.ValueError{What: shown + " cannot be written: " + what +
		"; what was there is unchanged", Fix: fix}, err}
}

// noRoom says whether the disk takes no more.
func noRoom(err error) bool {
	if n := syscall.Errno(0); runtime.GOOS == "windows" && errors.As(err, &n) {
		return n == 39 || n == 112 || n == 223
	}
	return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) || errors.Is(err, syscall.EFBIG)
}

// busy says whether Windows keeps the file for another program: errors 32 and 33
// of its system.
func busy(err error) bool {
	var n syscall.Errno
	return runtime.GOOS == "windows" && errors.As(err, &n) && (n == 32 || n == 33)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}
