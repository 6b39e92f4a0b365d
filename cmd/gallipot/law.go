package main

import (
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/ingredients"
)

// lawVerb lists the tables, or all they say about one substance.
func (c *command) lawVerb() *cobra.Command {
	annex := ""
	v := c.verb("law [SUBSTANCE]", func(args []string) error {
		opt, err := c.options()
		if err != nil {
			return err
		}
		if annex != "" && (annex != "II" || len(args) > 0) {
			return &usageError{"law --annex shows Annex II and takes no substance", "write gallipot law --annex II, or gallipot law SUBSTANCE"}
		}
		if annex == "II" {
			return dossier.WriteText(c.ui.out, dossier.AnnexII(opt.Law, opt.Date))
		}
		if len(args) == 0 {
			return dossier.WriteText(c.ui.out, dossier.LawTables(opt.Law, opt.Date))
		}
		doc, found := dossier.LawOf(opt.Law, args[0], opt.Date)
		if !found && strings.ContainsAny(args[0][:1], "0123456789") {
			if err := ingredients.CheckCAS(args[0]); err != nil {
				return err
			}
		}
		if !found {
			return unknown("substance in the tables", args[0], opt.Law.Dictionary().Names())
		}
		return dossier.WriteText(c.ui.out, doc)
	})
	v.Flags().StringVar(&c.date, "date", "", "day whose law counts, YYYY-MM-DD; default: today")
	v.Flags().StringVar(&annex, "annex", "", "II: how much of the list of prohibited substances the tables hold")
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return &usageError{"law takes one name or number", `put quotes around a name with spaces: gallipot law "` + strings.Join(args, " ") + `"`}
		}
		return nil
	}
	return v
}
