package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"gallipot/calc/law/table"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/sections"
	"gallipot/ingredients/exact"
	"gallipot/ingredients/pattern"
)

// lawVerb lists the tables, or all they say about one substance.
func (c *command) lawVerb() *cobra.Command {
	annex := ""
	var types, functions bool
	v := c.verb("law [SUBSTANCE]", func(args []string) error {
		opt, err := c.options()
		if err != nil {
			return err
		}
		asked := 0
		for _, yes := range []bool{types, functions, annex != "", len(args) > 0} {
			if yes {
				asked++
			}
		}
		switch {
		case asked > 1:
			return &usageError{"law takes a name, --annex, --types or --functions, one of them",
				"leave the others away"}
		case annex != "" && annex != "II":
			return &usageError{"law --annex shows Annex II alone",
				"write gallipot law --annex II, or gallipot law SUBSTANCE"}
		case types:
			return plain.Write(c.ui.Out, sections.ProductTypes(opt.Law, opt.Date))
		case functions:
			return plain.Write(c.ui.Out, sections.FunctionWords(opt.Law, opt.Date))
		}
		if annex == "II" {
			return plain.Write(c.ui.Out, sections.AnnexII(opt.Law, opt.Date))
		}
		if len(args) == 0 {
			return plain.Write(c.ui.Out, sections.LawTables(opt.Law, opt.Date))
		}
		doc, found := sections.LawOf(opt.Law, args[0], opt.Date)
		if !found && numberForm.MatchString(args[0]) {
			if err := exact.CheckCAS(args[0]); err != nil {
				return err
			}
		}
		if !found {
			return unknownSubstance(args[0], opt.Law)
		}
		return plain.Write(c.ui.Out, doc)
	})
	v.Flags().StringVar(&c.date, "date", "", "day whose law counts, YYYY-MM-DD; default: today")
	v.Flags().StringVar(&annex, "annex", "",
		"II: how much of the list of prohibited substances the tables hold")
	v.Flags().BoolVar(&types, "types", false, "list the product types")
	v.Flags().BoolVar(&functions, "functions", false, "list the words for what a material does")
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return &usageError{"law takes one name or number",
				`put quotes around a name with spaces: gallipot law "` + strings.Join(args, " ") + `"`}
		}
		return nil
	}
	return v
}

// numberForm is what is meant as a CAS number; a chemical name begins with figures too.
var numberForm = pattern.New(`^[0-9]+-[0-9]+-[0-9]+$`)

// unknownSubstance answers a name that no list has with the nearest ones.
func unknownSubstance(name string, tables *table.Tables) error {
	fix := "check the spelling, or look it up by its CAS number"
	var near []string
	for _, n := range tables.Dictionary().Names().Nearest(name, 3) {
		near = append(near, n.Name)
	}
	if len(near) > 0 {
		fix = "did you mean " + strings.Join(near, ", or ") + "? " + fix
	}
	return &usageError{fmt.Sprintf("no substance in the lists is called %q", name), fix}
}
