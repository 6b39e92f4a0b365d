package dossier

import (
	"slices"

	"gallipot/calc"
	"gallipot/dossier/answer"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/decide"
	"gallipot/dossier/label"
	"gallipot/dossier/parallel"
	"gallipot/dossier/ready"
	"gallipot/dossier/stability"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// checks are what is asked of every product beside its figures, in this order.
var checks = []assess.Check{ready.Findings, stability.Findings, label.Findings, answer.Findings}

// Assess computes a product for all its variants and markets, with everything
// that its papers, records and labels leave open.
//
// Errors: none; a product whose type is unknown has been refused by Load.
func Assess(w *workshop.Workshop, p *workshop.Product, opt assess.Options) *assess.Assessment {
	opt.Checks, opt.Settle = checks, decide.Settle
	return assess.Run(w, p, opt)
}

// AssessAll computes several products at once, in the order given.
func AssessAll(w *workshop.Workshop, products []*workshop.Product, opt assess.Options) []*assess.Assessment {
	out := make([]*assess.Assessment, len(products))
	opt = opt.Within(w)
	parallel.Each(len(products), func(i int) { out[i] = Assess(w, products[i], opt) })
	return out
}

// CheckAll is AssessAll for whoever wants the findings alone: of the variants
// named for a product, all where none is, with those of its batches beside them; where
// the whole workshop is looked at, also which of its decisions settle nothing.
// Results are let go one product at a time, so that the largest workshop fits
// into memory; those of the assessments that come back are nil.
func CheckAll(w *workshop.Workshop, products []*workshop.Product, variants map[string][]string,
	opt assess.Options) (as []*assess.Assessment, batches []finding.Finding) {
	as = make([]*assess.Assessment, len(products))
	opt = opt.Within(w)
	found := make([][]finding.Finding, len(products))
	parallel.Each(len(products), func(i int) {
		a := *Assess(w, products[i], opt).Only(variants[products[i].ID])
		found[i] = batch.BatchFindings(w, []*assess.Assessment{&a})
		a.Results = nil
		as[i] = &a
		if opt.Step != nil {
			opt.Step()
		}
	})
	batches = calc.Unique(slices.Concat(found...))
	if len(variants)+len(opt.Markets) == 0 && len(products) == len(w.Products) {
		batches = append(batches, decide.Unused(w, opt.Date, as, batches)...)
	}
	return as, batches
}
