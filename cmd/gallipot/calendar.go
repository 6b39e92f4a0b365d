package main

import (
	"strings"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/calendar"
	"gallipot/dossier/document/plain"
	"gallipot/ingredients/exact"
)

// calendarVerb prints what is due, as a list by date or as a calendar.
func (c *command) calendarVerb() *cobra.Command {
	var asICS bool
	var until string
	v := c.verb("calendar [PRODUCT…]", func(args []string) error {
		w, opt, err := c.openAll()
		if w == nil || err != nil {
			return err
		}
		for _, arg := range args {
			if id, _, variant := strings.Cut(arg, "/"); variant {
				return &usageError{"what is due is due for a product with all its variants",
					"gallipot calendar " + id}
			}
		}
		products, _, err := c.pickAll(w, args)
		if err != nil {
			return err
		}
		last := opt.Date.AddYears(1)
		if until != "" {
			if last, err = exact.ParseDate(until); err != nil {
				return asUsage("--until", err)
			}
		}
		list := calendar.Of(w, dossier.AssessAll(w, products, opt), opt.Date)
		switch {
		case asICS:
			return calendar.WriteICS(c.ui.Out, list, opt.Date)
		case c.json:
			return calendar.WriteJSON(c.ui.Out, list)
		}
		return plain.Write(c.ui.Out, calendar.Document(w, list, opt.Date, last))
	})
	v.Flags().BoolVar(&asICS, "ics", false, "print an iCalendar file")
	v.Flags().StringVar(&until, "until", "", "last day of the list, YYYY-MM-DD; default: a year from the day")
	return c.shared(v)
}
