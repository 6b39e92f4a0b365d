package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"gallipot/templates"
)

// licencesVerb prints what the program is made of and under which licences.
func (c *command) licencesVerb() *cobra.Command {
	var full bool
	v := c.verb("licences", func([]string) error {
		list, texts := templates.Licences()
		fmt.Fprint(c.ui.Out, list)
		if full {
			fmt.Fprint(c.ui.Out, "\n"+texts)
		}
		return nil
	})
	v.Args = cobra.NoArgs
	v.Flags().BoolVar(&full, "full", false, "print the texts of the licences too")
	return v
}
