// Command gallipot turns a small cosmetics maker's formulas and supplier papers
// into the file that a safety assessor needs. It prepares an assessment; it
// never is one.
//
// # Decisions
//
// 2026-11-30, a start from a desktop is told by its streams: where nobody reads help, the
// workbench opens. On macOS a bare program has a terminal, so its help names the workbench first.
//
// 2026-11-29, one browser surface. The workbench takes the place of serve, whose pages
// were for reading: bench --read-only shows the same pages as bench without a way to change
// anything, and asks for no token, as serve did not. The name serve is answered with one
// line, so that nobody who learned it is lost.
//
// 2026-11-28, no cache between runs. One would have to know every file a finding depends
// on, and a stale finding costs more than the time.
package main

import (
	"io"
	"os"
	"strings"
	"time"

	"gallipot/dossier/memory"
	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/ingredients/exact"

	"github.com/spf13/cobra"
)

func main() {
	cobra.MousetrapHelpText = "" // a double click opens the workbench
	args := os.Args[1:]
	if len(args) == 0 && doubleClicked() {
		args = []string{"bench"}
	}
	if len(args) > 0 && !strings.HasPrefix(args[0], "-") { // all but --help and the like
		memory.Tune()
	}
	os.Exit(run(args, os.Stdin, os.Stdout, os.Stderr, exact.DateOf(time.Now())))
}

// run is the program with everything it touches as an argument.
func run(args []string, in io.Reader, out, errout io.Writer, today exact.Date) int {
	printed := &heedful{to: out}
	c := &command{in: in, ui: terminal.Printer{Out: printed, Err: errout}, today: today}
	root := c.root()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(printed)
	root.SetErr(errout)
	err := root.Execute()
	if printed.err != nil { // the verb may have passed it on in the words of the system
		err = cannotPrint(printed.err)
	}
	if err != nil {
		c.ui.Trouble(err)
		return exitUnreadable
	}
	if c.partial {
		return exitUnreadable
	}
	return c.exit
}

// heedful remembers that something could not be printed: what is cut off must
// not pass for the whole.
type heedful struct {
	to  io.Writer
	err error
}

// Write prints p; after a failure nothing more.
func (h *heedful) Write(p []byte) (int, error) {
	if h.err != nil {
		return 0, h.err
	}
	n, err := h.to.Write(p)
	h.err = err
	return n, err
}

// cannotPrint words why the output could not be written.
func cannotPrint(err error) error {
	return &usageError{"what is printed could not be written to its end: " + store.Reason(err),
		"make room where it goes, and run this again"}
}
