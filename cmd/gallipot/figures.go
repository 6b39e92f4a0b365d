package main

import (
	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/figures"
	"gallipot/dossier/sections"
)

// figuresVerb prints the tables of a product or variant.
func (c *command) figuresVerb() *cobra.Command {
	var wanted []string
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
		doc, err := sections.Figures(a, variant, wanted)
		if err != nil {
			return asUsage("--section", err)
		}
		return plain.Write(c.ui.out, doc)
	})
	v.Args = oneProduct
	v.Flags().StringSliceVar(&wanted, "section", nil, "only these: "+joined(sections.SectionNames()))
	return c.shared(v)
}

// oneProduct wants one product, with or without a variant.
func oneProduct(cmd *cobra.Command, args []string) error {
	if len(args) != 1 {
		return &usageError{cmd.Name() + " needs one product", "gallipot " + cmd.Name() + " heath-wash, or heath-wash/duo for one variant; gallipot check lists what is there"}
	}
	return nil
}
