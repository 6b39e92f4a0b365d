package main

import (
	"fmt"
	"slices"

	"gallipot/dossier"
	"gallipot/dossier/assess"
	"gallipot/dossier/stock"
	"gallipot/dossier/terminal"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// streamed prints each product as soon as it is done: first what concerns the workshop as
// a whole, then the products in their order, in the end what was found in files that no
// product uses, and the counts. Nothing is joined: what several products share stands
// with each. With everything set, batches and lots of the whole workshop are asked too.
func (c *command) streamed(w *workshop.Workshop, products []*workshop.Product, variants map[string][]string,
	opt assess.Options, everything bool) {
	printed := map[string]bool{}
	piece := func(name string, fs []finding.Finding) { c.ui.Piece(c.ui.Out, w, name, fs, c.brief) }
	general := assess.MergeFindings(w, nil, false)
	for _, f := range general {
		printed[f.Key()] = true
	}
	piece("the workshop", general)
	var as []*assess.Assessment
	var found reported
	found.batches = dossier.CheckEach(w, w.Computable(products), variants, opt,
		func(a *assess.Assessment, batches []finding.Finding) {
			for _, f := range a.Findings {
				printed[f.Key()] = true
			}
			as = append(as, a)
			piece(a.Product.ID, slices.Concat(a.Findings, batches))
		})
	rest := []finding.Finding(nil)
	if everything {
		for _, f := range w.Loaded {
			if !printed[f.Key()] {
				rest = append(rest, f)
			}
		}
		found.lots = stock.Of(w, opt.Date).Findings()
	}
	piece("files of no product above", rest)
	piece("lots", found.lots)
	c.exit = exitCode(slices.Concat(w.Loaded, found.batches), as)
	all := assess.EachCounted(as)
	if c.brief || all == (finding.Counts{}) &&
		len(general)+len(rest)+len(found.batches)+len(found.lots) == 0 {
		return
	}
	c.foot(found, fmt.Sprintf("%s, one by one: %s", terminal.Counted(len(as), "product"),
		terminal.Counts(all)), products, as)
}
