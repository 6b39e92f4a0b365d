// Command gallipot turns a small cosmetics maker's formulas and supplier papers
// into the file that a safety assessor needs. It prepares an assessment; it
// never is one.
package main

import (
	"io"
	"os"
	"time"

	"gallipot/ingredients"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr, ingredients.DateOf(time.Now())))
}

// Exit codes.
const (
	exitClean      = 0 // no finding of kind stop
	exitStop       = 1 // at least one stop
	exitUnreadable = 2 // the files or the command line cannot be read
)

// run is the program with everything it touches as an argument.
func run(args []string, in io.Reader, out, errout io.Writer, today ingredients.Date) int {
	c := &command{in: in, ui: ui{out: out, errout: errout}, today: today}
	root := c.root()
	root.SetArgs(args)
	root.SetIn(in)
	root.SetOut(out)
	root.SetErr(errout)
	if err := root.Execute(); err != nil {
		c.ui.trouble(err)
		return exitUnreadable
	}
	return c.exit
}
