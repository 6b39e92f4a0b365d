package main

import (
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/stability"
)

// stabilityVerb prints the log of storage tests and microbiology, or a calendar
// of the readings to come.
func (c *command) stabilityVerb() *cobra.Command {
	var ics bool
	v := c.verb("stability [PRODUCT…]", func(args []string) error {
		w, opt, err := c.open()
		if w == nil || err != nil {
			return err
		}
		for _, arg := range args {
			if id, _, variant := strings.Cut(arg, "/"); variant {
				return &usageError{"tests are recorded for a product with all its variants",
					"gallipot stability " + id}
			}
		}
		products, _, err := c.pickAll(w, args)
		if err != nil {
			return err
		}
		if ics {
			return stability.WriteCalendar(c.ui.Out, products, opt.Law, opt.Date)
		}
		as := dossier.AssessAll(w, products, opt)
		if c.json {
			return stability.WriteStabilityJSON(c.ui.Out, as)
		}
		return plain.Write(c.ui.Out, stability.Document(as, opt.Date))
	})
	v.Flags().BoolVar(&ics, "ics", false, "print the readings to come as an iCalendar file")
	return c.shared(v)
}
