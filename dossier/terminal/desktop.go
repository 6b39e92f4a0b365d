package terminal

import (
	"os"
	"runtime"
)

// HasScreen says whether a browser that is opened could be seen.
func HasScreen() bool {
	return runtime.GOOS == "windows" || runtime.GOOS == "darwin" ||
		os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}

// Awaited says whether somebody reads what is printed: a person at a terminal, or a program at
// the other end of a pipe. What a desktop starts has neither.
func Awaited(in, out, errout *os.File) bool {
	nowhere, err := os.Stat(os.DevNull)
	if err != nil {
		return true
	}
	for _, f := range []*os.File{in, out, errout} {
		is, err := f.Stat()
		if err == nil && is.Mode()&os.ModeCharDevice != 0 && !os.SameFile(is, nowhere) {
			return true
		}
	}
	is, err := out.Stat()
	return err == nil && is.Mode()&os.ModeNamedPipe != 0
}
