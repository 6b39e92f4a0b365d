package main

import (
	"github.com/spf13/cobra"

	"gallipot/calc/law"
	"gallipot/dossier"
)

// lawVerb lists the tables, or all they say about one substance.
func (c *command) lawVerb() *cobra.Command {
	v := c.verb("law [SUBSTANCE]", func(args []string) error {
		if len(args) == 0 {
			return dossier.WriteText(c.ui.out, dossier.LawTables(law.Builtin(), c.today))
		}
		doc, found := dossier.LawOf(law.Builtin(), args[0], c.today)
		if !found {
			return unknown("substance in the tables", args[0], law.Builtin().Dictionary().Names())
		}
		return dossier.WriteText(c.ui.out, doc)
	})
	v.Args = cobra.MaximumNArgs(1)
	return v
}
