package main

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"
	"time"

	"github.com/inconshreveable/mousetrap"
	"github.com/spf13/cobra"

	"gallipot/calc/law/table"
	"gallipot/dossier/assess"
	"gallipot/dossier/bench"
	"gallipot/dossier/edit/history"
	"gallipot/dossier/terminal"
	"gallipot/ingredients/exact"
	"gallipot/templates"
	"gallipot/testdata"
)

// benchPort is where the workbench is found if no other port is named.
const benchPort = 4690

// benchVerb opens the workbench in a browser on this computer.
func (c *command) benchVerb() *cobra.Command {
	var opt bench.Options
	var stay bool
	v := c.verb("bench [DIR]", func(args []string) error {
		if len(args) > 0 {
			opt.Dir = args[0]
		}
		return c.bench(opt, !stay)
	})
	v.Args = cobra.MaximumNArgs(1)
	f := v.Flags()
	opt.Port = benchPort
	f.Var(portFlag(&opt.Port), "port", "port on this computer; where it is taken, any that is free")
	f.BoolVar(&stay, "no-open", false, "open no browser; the address is printed")
	f.BoolVar(&opt.ReadOnly, "read-only", false, "show the pages and change nothing")
	f.StringVar(&opt.ShareScale, "share-scale", "",
		"address of this computer in your network at which the batch pages alone answer other devices, under a code")
	f.StringVar(&c.date, "date", "", "day whose law counts, YYYY-MM-DD; default: today")
	return v
}

func (c *command) bench(opt bench.Options, browse bool) error {
	if _, err := c.options(); err != nil {
		return err
	}
	base, err := history.Base()
	if err != nil {
		return err
	}
	demo, err := fs.Sub(testdata.Demo, "demo")
	if err != nil {
		return err
	}
	opt.Base, opt.Tell, opt.Now, opt.Law = base, c.ui.Out, time.Now, table.Builtin()
	opt.Today = func() (exact.Date, bool) {
		o, _ := c.optionsAt() // looked at above
		return o.Date, o.DateChosen
	}
	opt.Demo, opt.Begin = demo, templates.Begin()
	if browse {
		opt.Browse = openBrowser
	}
	stop, end := signal.NotifyContext(context.Background(), syscall.SIGINT, syscall.SIGTERM)
	defer end()
	return bench.Run(stop, opt)
}

// optionsAt are the options of a page asked for now: a program that runs past
// midnight goes on with the law of the new day.
func (c *command) optionsAt() (assess.Options, error) {
	opt, err := c.options()
	if c.date == "" {
		opt.Date = max(c.today, exact.DateOf(time.Now()))
	}
	return opt, err
}

// doubleClicked says whether the program was started from a desktop, where nobody reads what it
// prints: on Windows by the Explorer, elsewhere where there is a screen and nobody at its streams.
func doubleClicked() bool {
	return mousetrap.StartedByExplorer() || runtime.GOOS != "windows" && terminal.HasScreen() &&
		!terminal.Awaited(os.Stdin, os.Stdout, os.Stderr)
}

// openBrowser opens an address the way the system does.
func openBrowser(address string) error {
	name, args := "xdg-open", []string{address}
	switch runtime.GOOS {
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", address}
	case "darwin":
		name = "open"
	}
	if !terminal.HasScreen() {
		return fmt.Errorf("there is no screen")
	}
	return exec.Command(name, args...).Start()
}
