package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"gallipot/dossier/store"
	"gallipot/dossier/terminal"
	"gallipot/templates"
)

// beginVerb writes a new workshop with commented starter files.
func (c *command) beginVerb() *cobra.Command {
	v := c.verb("begin DIR", func(args []string) error {
		if err := store.WriteTree(args[0], templates.Begin()); err != nil {
			return err
		}
		fmt.Fprintf(c.ui.Out, "wrote a workshop into %s\n", args[0])
		fmt.Fprintf(c.ui.Out,
			"next: put your name into %s/workshop.yaml, copy a sheet in %s/ingredients for each raw material,\n",
			args[0], args[0])
		fmt.Fprintf(c.ui.Out, "      then run: gallipot check --workshop %s\n", terminal.Pasted(args[0]))
		return nil
	})
	v.Args = oneDir
	return v
}
