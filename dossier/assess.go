package dossier

import (
	"os"
	"path/filepath"
	"slices"
	"sync"

	"gallipot/calc"
	"gallipot/calc/law/table"
	"gallipot/dossier/answer"
	"gallipot/dossier/assess"
	"gallipot/dossier/batch"
	"gallipot/dossier/decide"
	"gallipot/dossier/label"
	"gallipot/dossier/parallel"
	"gallipot/dossier/ready"
	"gallipot/dossier/stability"
	"gallipot/dossier/stock"
	"gallipot/dossier/workshop"
	"gallipot/ingredients/finding"
)

// checks are what is asked of every product beside its figures, in this order.
var checks = []assess.Check{ready.Findings, stability.Findings, label.Findings, answer.Findings}

// Prepare builds what every assessment looks up in the tables, beside the reading of a
// workshop.
func Prepare(tables *table.Tables) { tables.Prepare() }

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
	as = make([]*assess.Assessment, 0, len(products))
	batches = CheckEach(w, products, variants, opt,
		func(a *assess.Assessment, _ []finding.Finding) { as = append(as, a) })
	return as, batches
}

// CheckEach is CheckAll that hands over each product with the findings of its batches as
// soon as it and all before it are done, in their order and one at a time. It returns the
// findings of all batches.
func CheckEach(w *workshop.Workshop, products []*workshop.Product, variants map[string][]string, opt assess.Options,
	done func(a *assess.Assessment, batches []finding.Finding)) []finding.Finding {
	opt = opt.Within(w)
	as := make([]*assess.Assessment, len(products))
	found := make([][]finding.Finding, len(products))
	var mu sync.Mutex
	next := 0
	parallel.Each(len(products), func(i int) {
		a := *Assess(w, products[i], opt).Only(variants[products[i].ID])
		batches := batch.BatchFindings(w, []*assess.Assessment{&a})
		a.Results = nil
		if opt.Step != nil {
			opt.Step()
		}
		mu.Lock()
		defer mu.Unlock()
		as[i], found[i] = &a, batches
		for ; next < len(as) && as[next] != nil; next++ {
			done(as[next], found[next])
		}
	})
	batches := calc.Unique(slices.Concat(found...))
	if len(variants)+len(opt.Markets) == 0 && len(products) == len(w.Products) {
		lots := stock.Of(w, opt.Date).Findings()
		batches = append(batches, decide.Unused(w, opt.Date, as, slices.Concat(batches, lots))...)
	}
	return batches
}

// Files counts the files that a check of a workshop will read, without reading them.
func Files(dir string) int {
	n := 0
	for _, folder := range []string{"ingredients", "products", "batches", "lots"} {
		entries, _ := os.ReadDir(filepath.Join(dir, folder)) // the reader says what is wrong with it
		n += len(entries)
	}
	return n
}
