package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/calc/law/table"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/pack"
	"gallipot/ingredients/exact"
)

// lawVerb lists the tables, or all they say about one substance.
func (c *command) lawVerb() *cobra.Command {
	var types, functions bool
	v := c.verb("law [SUBSTANCE]", func(args []string) error {
		opt, err := c.options()
		if err != nil {
			return err
		}
		switch {
		case types && functions || (types || functions) && len(args) > 0:
			return &usageError{"law takes a name, --types or --functions, one of them", "leave the others away"}
		case types:
			return plain.Write(c.ui.out, pack.ProductTypes(table.Builtin(), opt.Date))
		case functions:
			return plain.Write(c.ui.out, pack.FunctionWords(table.Builtin(), opt.Date))
		case len(args) == 0:
			return plain.Write(c.ui.out, pack.LawTables(table.Builtin(), opt.Date))
		}
		doc, found := pack.LawOf(table.Builtin(), args[0], opt.Date)
		if !found && strings.ContainsAny(args[0][:1], "0123456789") {
			if err := exact.CheckCAS(args[0]); err != nil {
				return err
			}
		}
		if !found {
			return unknownSubstance(args[0])
		}
		return plain.Write(c.ui.out, doc)
	})
	v.Flags().StringVar(&c.date, "date", "", "day whose law counts, YYYY-MM-DD; default: today")
	v.Flags().BoolVar(&types, "types", false, "list the product types")
	v.Flags().BoolVar(&functions, "functions", false, "list the words for what a material does")
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return &usageError{"law takes one name or number", `put quotes around a name with spaces: gallipot law "` + strings.Join(args, " ") + `"`}
		}
		return nil
	}
	return v
}

// unknownSubstance answers a name that no list has with the nearest ones.
func unknownSubstance(name string) error {
	fix := "check the spelling, or look it up by its CAS number"
	var near []string
	for _, n := range table.Builtin().Dictionary().Names().Nearest(name, 3) {
		near = append(near, n.Name)
	}
	if len(near) > 0 {
		fix = "did you mean " + strings.Join(near, ", or ") + "? " + fix
	}
	return &usageError{fmt.Sprintf("no substance in the lists is called %q", name), fix}
}
