package main

import (
	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/figures"
	"gallipot/dossier/pack"
)

// figuresVerb prints the tables of a product or variant.
func (c *command) figuresVerb() *cobra.Command {
	var sections []string
	v := c.verb("figures PRODUCT[/VARIANT]", func(args []string) error {
		w, opt, err := c.open()
		if w == nil || err != nil {
			return err
		}
		p, variant, err := c.pick(w, args[0])
		if err != nil {
			return err
		}
		a := dossier.Assess(w, p, opt)
		if variant != "" {
			a = a.Only([]string{variant})
		}
		c.exit = exitCode(nil, []*assess.Assessment{a})
		if c.json {
			return figures.WriteJSON(c.ui.out, []*assess.Assessment{a})
		}
		doc, err := pack.Figures(a, variant, sections)
		if err != nil {
			return asUsage("--section", err)
		}
		return plain.Write(c.ui.out, doc)
	})
	v.Args = oneProduct
	v.Flags().StringSliceVar(&sections, "section", nil, "only these: "+joined(pack.SectionNames()))
	return c.shared(v)
}
