package dossier

import (
	"slices"

	"gallipot/calc"
	"gallipot/ingredients"
)

// checks are what is asked of every product beside its figures, in this order.
var checks = []Check{evidenceFindings, (*Assessment).logFindings, labelFindings}

// Assess computes a product for all its variants and markets, with everything
// that its papers, records and labels leave open.
//
// Errors: none; a product whose type is unknown has been refused by Load.
func (w *Workshop) Assess(p *Product, opt Options) *Assessment {
	opt.Checks = checks
	return Run(w, p, opt)
}

// AssessAll computes several products at once, in the order given.
func (w *Workshop) AssessAll(products []*Product, opt Options) []*Assessment {
	out := make([]*Assessment, len(products))
	inParallel(len(products), func(i int) { out[i] = w.Assess(products[i], opt) })
	return out
}

// CheckAll is AssessAll for whoever wants the findings alone: of the variants
// named for a product, all where none is, with those of its batches beside them.
// Results are let go one product at a time, so that the largest workshop fits
// into memory; those of the assessments that come back are nil.
func (w *Workshop) CheckAll(products []*Product, variants map[string][]string, opt Options) (as []*Assessment, batches []ingredients.Finding) {
	as = make([]*Assessment, len(products))
	found := make([][]ingredients.Finding, len(products))
	inParallel(len(products), func(i int) {
		a := *w.Assess(products[i], opt).Only(variants[products[i].ID])
		found[i] = BatchFindings(w, []*Assessment{&a})
		a.Results = nil
		as[i] = &a
		if opt.Step != nil {
			opt.Step()
		}
	})
	return as, calc.Unique(slices.Concat(found...))
}
