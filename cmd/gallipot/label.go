package main

import (
	"github.com/spf13/cobra"

	"gallipot/dossier"
)

// labelVerb prints the ingredient list and the label texts that the figures ask
// for.
func (c *command) labelVerb() *cobra.Command {
	v := c.verb("label PRODUCT[/VARIANT]", func(args []string) error {
		w, opt, err := c.open()
		if w == nil || err != nil {
			return err
		}
		p, variant, err := c.pick(w, args[0])
		if err != nil {
			return err
		}
		a := w.Assess(p, opt)
		if variant != "" {
			a = a.Only([]string{variant})
		}
		c.exit = exitCode(nil, []*dossier.Assessment{a})
		if c.json {
			return dossier.WriteJSON(c.ui.out, []*dossier.Assessment{a})
		}
		return dossier.WriteText(c.ui.out, dossier.LabelText(a, variant))
	})
	v.Args = oneProduct
	return c.shared(v)
}
