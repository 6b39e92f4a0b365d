package main

import (
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
)

// traceVerb follows a lot into batches, or lists the lots of a batch.
func (c *command) traceVerb() *cobra.Command {
	var asCSV, exercise bool
	v := c.verb("trace LOT|BATCH", func(args []string) error {
		begun := time.Now()
		w, opt, err := c.openAll()
		if w == nil || err != nil {
			return err
		}
		trace, found := batch.TraceBatch(w, args[0])
		if !found {
			if trace, found = batch.TraceLot(w, args[0]); !found {
				return unknown("lot or batch", args[0], append(batch.Lots(w), w.BatchCodes()...))
			}
		}
		switch {
		case exercise && trace.Kind != "lot":
			return &usageError{args[0] + " is a batch, and an exercise begins at a lot",
				"name a lot of it: gallipot trace " + args[0] + " lists them"}
		case exercise:
			err := plain.Write(c.ui.Out, trace.Exercise(w, opt.Date))
			fmt.Fprintf(c.ui.Err, "traced in %.1f s\n", time.Since(begun).Seconds())
			return err
		case asCSV:
			return trace.WriteCSV(c.ui.Out)
		case c.json:
			return trace.WriteJSON(c.ui.Out)
		}
		return plain.Write(c.ui.Out, trace.Document(w, opt.Date))
	})
	v.Args = func(cmd *cobra.Command, args []string) error {
		if len(args) != 1 {
			return &usageError{"trace needs one lot or batch code",
				"gallipot trace RM-0231; gallipot batch lists the batches"}
		}
		return nil
	}
	v.Flags().BoolVar(&exercise, "exercise", false,
		"print what a mock recall needs: batches, packs by outlet, whom to reach, what is unaccounted for")
	v.Flags().BoolVar(&asCSV, "csv", false, "print as CSV for a spreadsheet")
	return c.shared(v)
}
