package store

import (
	"errors"
	"io/fs"
	"runtime"
	"strings"
	"syscall"
)

// ErrNoFile says that what has the name of a file is none.
var ErrNoFile = errors.New("it is a folder, a pipe or a device, not a file")

// Readable says whether a file can be read to its end: pipes, sockets and devices
// may never end, and folders hold no text. What is neither, such as a file that a
// synchronising program fetches when it is opened, can.
func Readable(mode fs.FileMode) bool {
	return mode&(fs.ModeDir|fs.ModeNamedPipe|fs.ModeSocket|fs.ModeDevice|fs.ModeCharDevice|fs.ModeSymlink) == 0
}

// Reason puts an error of the system into words, without the path, which the message
// already has. The system itself would say it in its own terms, and on Windows in the
// language of the country.
func Reason(err error) string {
	var number syscall.Errno
	switch {
	case LeadsOutside(err):
		return "it leads outside the workshop"
	case errors.As(err, &number):
		if s := numbered(number); s != "" {
			return s
		}
	}
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "no permission"
	case errors.Is(err, fs.ErrNotExist):
		return "it is not there"
	case errors.Is(err, fs.ErrExist):
		return "there is one already"
	}
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	for errors.Unwrap(err) != nil {
		err = errors.Unwrap(err)
	}
	return err.Error()
}

// numbered words an error of the system by its number, "" for one that is rare.
func numbered(n syscall.Errno) string {
	if runtime.GOOS == "windows" {
		return onWindows[n]
	}
	switch n {
	case syscall.ENOSPC:
		return "the disk is full"
	case syscall.EDQUOT:
		return "your share of the disk is used up"
	case syscall.EFBIG:
		return "a file there may not be so large"
	case syscall.EROFS:
		return "the disk can only be read"
	case syscall.EISDIR:
		return "it is a folder, not a file"
	case syscall.ENOTDIR:
		return "a part of its path is a file, not a folder"
	case syscall.ENAMETOOLONG:
		return "the name is too long"
	case syscall.ELOOP:
		return "links lead in a circle"
	case syscall.EIO:
		return "the disk reports a fault"
	case syscall.EMFILE, syscall.ENFILE:
		return "too many files are open"
	case syscall.EPIPE:
		return "the program that was to take it has ended"
	case syscall.EADDRINUSE:
		return "another program has it"
	}
	return ""
}

// onWindows words errors by the numbers of Windows.
//
// Source: Microsoft, System Error Codes, and Windows Sockets Error Codes.
var onWindows = map[syscall.Errno]string{
	2:     "it is not there",
	3:     "a folder of its path is not there",
	4:     "too many files are open",
	5:     "no permission",
	19:    "the disk is write-protected",
	21:    "the disk is not ready",
	23:    "the disk reports a fault",
	32:    "another program has it open",
	33:    "another program has it open",
	39:    "the disk is full",
	53:    "the network drive cannot be reached",
	64:    "the network drive cannot be reached",
	80:    "there is one already",
	109:   "the program that was to take it has ended",
	112:   "the disk is full",
	123:   "Windows does not allow this name",
	183:   "there is one already",
	206:   "the name is too long",
	223:   "a file there may not be so large",
	232:   "the program that was to take it has ended",
	267:   "it is no folder",
	362:   "the program that synchronises this folder is not running",
	395:   "the program that synchronises this folder did not allow it",
	10013: "the system does not allow it",
	10048: "another program has it",
}

// LeadsOutside says whether a link was refused. The standard library exports no
// error value for it, only this text.
func LeadsOutside(err error) bool { return strings.Contains(err.Error(), "path escapes from parent") }
