package terminal

import (
	"os"
	"runtime"

	"github.com/inconshreveable/mousetrap"
)

// DoubleClicked says whether the program was started from a desktop, where nobody reads what it
// prints: on Windows by the Explorer; elsewhere where there is a screen, none of its streams is
// a terminal, and no other program waits for what it prints.
func DoubleClicked() bool {
	return mousetrap.StartedByExplorer() || runtime.GOOS != "windows" && HasScreen() &&
		!awaited(os.Stdin, os.Stdout, os.Stderr)
}

// HasScreen says whether a browser could be seen.
func HasScreen() bool {
	return runtime.GOOS == "windows" || runtime.GOOS == "darwin" ||
		os.Getenv("DISPLAY") != "" || os.Getenv("WAYLAND_DISPLAY") != ""
}

// awaited says whether somebody reads what is printed: a person at a terminal, or a program at
// the other end of a pipe.
func awaited(in, out, errout *os.File) bool {
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
