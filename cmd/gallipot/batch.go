package main

import (
	"slices"

	"github.com/spf13/cobra"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/document/plain"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// batchVerb lists the batches, or reports on one.
func (c *command) batchVerb() *cobra.Command {
	v := c.verb("batch [CODE]", func(args []string) error {
		w, opt, err := c.open()
		if w == nil || err != nil {
			return err
		}
		if len(args) == 0 {
			c.partial = c.reach.any()
			return plain.Write(c.ui.Out, batch.BatchList(w, opt.Date, c.ofBatches(w, opt)))
		}
		b := w.Batch(args[0])
		if b == nil {
			return unknown("batch", args[0], w.BatchCodes())
		}
		if err := c.inReach(b.Product); err != nil {
			return err
		}
		var a *assess.Assessment
		if p := w.Product(b.Product); p != nil {
			a = dossier.Assess(w, p, opt)
		}
		review := batch.Review(w, b, a)
		if len(review.Open) > 0 {
			c.exit = exitStop
		}
		if c.json {
			return review.WriteJSON(c.ui.Out)
		}
		return plain.Write(c.ui.Out, review.Document(w, opt.Date))
	})
	v.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return &usageError{"batch takes one code", "gallipot batch lists them all"}
		}
		return nil
	}
	return c.shared(v)
}

// ofBatches checks the products that have batches, for what is open in the records.
func (c *command) ofBatches(w *workshop.Workshop, opt assess.Options) []finding.Finding {
	var products []*workshop.Product
	for _, p := range w.Computable(w.Products) {
		if slices.ContainsFunc(w.BatchRecords, func(b *workshop.Batch) bool { return b.Product == p.ID }) {
			products = append(products, p)
		}
	}
	_, found := dossier.CheckAll(w, products, nil, opt)
	return found
}
