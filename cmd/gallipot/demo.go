package main

import (
	"fmt"
	"gallipot/dossier"
	"io/fs"

	"github.com/spf13/cobra"

	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/testdata"
)

// demoVerb writes the demo workshop and, with --pack, runs the main job on it.
func (c *command) demoVerb() *cobra.Command {
	var pack bool
	v := c.verb("demo DIR", func(args []string) error {
		tree, err := fs.Sub(testdata.Demo, "demo")
		if err != nil {
			return err
		}
		if err := store.WriteTree(args[0], tree); err != nil {
			return err
		}
		fmt.Fprintf(c.ui.Out,
			"wrote the demo workshop into %s (invented maker, suppliers, products and figures)\n", args[0])
		if !pack {
			fmt.Fprintf(c.ui.Out, "next: gallipot check --workshop %s\n", terminal.Pasted(args[0]))
			return nil
		}
		c.workshop = args[0]
		// The demo holds faults on purpose; a pack that says so is a success here.
		err = c.packs(nil, true, dossier.NoPapers)
		if c.exit == exitStop {
			c.exit = exitClean
		}
		return err
	})
	v.Args = oneDir
	v.Flags().BoolVar(&pack, "pack", false, "also make the pack of every product, into DIR/out")
	v.Flags().StringVar(&c.date, "date", "", "day whose law counts, YYYY-MM-DD; default: today")
	return v
}
